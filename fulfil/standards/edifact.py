r"""UN/EDIFACT: segments and their escaping (ISO 9735), and the despatch advice message DESADV of directory D.96A.

>>> segment("FTX", "AAI", "", "", ("don't", "1+1"))
"FTX+AAI+++don?'t:1?+1'"

A message runs from UNH to UNT; UNT states how many segments it has, both included. DESADV opens a packaging level
(CPS) for the shipment and one below it for each package, with the package's own lines:

>>> from datetime import datetime
>>> from fulfil.standards.despatch_advice import Line, Package, Party
>>> advice = DespatchAdvice(
...     number="DA-17", issued=datetime(2026, 3, 2, 16, 5), order_number="PO-9",
...     seller=Party("Kleinteilehaus Muster", ("Musterweg 1",), "Musterstadt", "12345", "DE"),
...     consignee=Party("A. Nobody", ("1 Invented Road",), "Nowhere", "ZZ1 1ZZ", "GB"),
...     lines=(Line(1, "1", "SCR-0016", "Cap screw M3 x 16", ordered_pieces=250, despatched_pieces=200),),
...     packages=(Package("P000123", gross_g=412, contents=((1, 200),)),),
... )
>>> print(desadv(advice, message_reference="1").replace("'", "'\n"), end="")
UNH+1+DESADV:D:96A:UN'
BGM+351+DA-17+9'
DTM+137:202603021605:203'
MEA+PD+AAD+KGM:0.412'
RFF+ON:PO-9'
NAD+SE+++Kleinteilehaus Muster+Musterweg 1+Musterstadt++12345+DE'
NAD+CN+++A. Nobody+1 Invented Road+Nowhere++ZZ1 1ZZ+GB'
CPS+1'
PAC+1'
CPS+2+1'
PAC+1++PK'
MEA+PD+AAB+KGM:0.412'
PCI+24+P000123'
LIN+1++SCR-0016:SA'
IMD+F++:::Cap screw M3 x 16'
QTY+12:200:PCE'
QTY+21:250:PCE'
RFF+ON:PO-9:1'
CNT+2:1'
UNT+20+1'

Limits: the segments and their order follow the UN directory D.96A; partners' own subsets (EANCOM and others) may ask
for more. Qualifiers: MEA AAB gross weight of a package, AAD of the consignment, PCI 24 shipper assigned and 30 SSCC as
in public copies of code lists 6313 and 4233; QTY 12 despatched and 21 ordered, GIN BJ, CNT 2 quoted from memory.
An interchange has one alphabet; which syntax level has which part of ISO 8859 is quoted from memory (ISO 9735, syntax
version 3).
"""

import textwrap
import unicodedata
from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal

from fulfil.errors import CodeRefused
from fulfil.standards.despatch_advice import DOCUMENT_TYPE, DespatchAdvice, Line, Package, Party

SERVICE_STRING_ADVICE = "UNA:+.? '"
"""Component, element, decimal, release, reserved and terminator signs (ISO 9735)."""

ALPHABETS = {
    "UNOC": "iso8859-1",
    "UNOD": "iso8859-2",
    "UNOE": "iso8859-5",
    "UNOF": "iso8859-7",
}
"""Syntax levels and their part of ISO 8859, in the order in which they are tried."""

_SPECIAL = str.maketrans({sign: f"?{sign}" for sign in "?+:'"})
_LETTERS = {"ß": "ss", "æ": "ae", "Æ": "AE", "œ": "oe", "Œ": "OE", "ø": "o", "Ø": "O", "ł": "l", "Ł": "L", "đ": "d",
            "Đ": "D", "ð": "d", "Ð": "D", "þ": "th", "Þ": "TH", "ı": "i"}  # fmt: skip
"""Latin letters that don't come apart into a letter and its mark."""
_TYPED = str.maketrans({"\u2018": "'", "\u2019": "'", "\u201c": '"', "\u201d": '"', "\u2013": "-", "\u2014": "-"})
"""Typographic quotes and dashes, which no part of ISO 8859 has, and the signs of a typewriter for them."""

MOST_NAME = 35
"""Characters of a name's element (3128, 3036)."""

Element = str | Sequence[str]


def escape(text: str) -> str:
    """The text with the release sign ``?`` before each sign that EDIFACT uses itself, quotes and dashes as typed.

    >>> escape("O'Neill + Co: 50 ?")
    "O?'Neill ?+ Co?: 50 ??"
    """
    return text.translate(_TYPED).translate(_SPECIAL)


def segment(tag: str, *elements: Element) -> str:
    """One segment with its terminator; empty elements and components at an end are left out."""
    written = [
        escape(element) if isinstance(element, str) else ":".join(map(escape, _without_empty_end(element)))
        for element in elements
    ]
    return "+".join((tag, *_without_empty_end(written))) + "'"


def count_segments(message: str) -> int:
    """How many segments `message` has: its terminators that no release sign stands before.

    >>> count_segments("UNH+1+DESADV:D:96A:UN'FTX+AAI+++don?'t??'UNT+3+1'")
    3
    """
    segments = 0
    is_released = False
    for sign in message:
        segments += sign == "'" and not is_released
        is_released = sign == "?" and not is_released
    return segments


def desadv(advice: DespatchAdvice, *, message_reference: str) -> str:
    """The advice as one DESADV message of directory D.96A, without interchange.

    Raises:
        CodeRefused: when a text is longer than its data element, which would lose some of it.
    """
    segments = [
        segment("UNH", _fit(message_reference, 14, "message reference"), ("DESADV", "D", "96A", "UN")),
        segment("BGM", DOCUMENT_TYPE, _fit(advice.number, 35, "advice number"), "9"),
        segment("DTM", ("137", f"{advice.issued:%Y%m%d%H%M}", "203")),
    ]
    if advice.packages:
        segments.append(_weight("AAD", advice.gross_g))
    segments.append(segment("RFF", ("ON", _fit(advice.order_number, 35, "order number"))))
    if advice.customer_reference:
        segments.append(segment("RFF", ("CR", _fit(advice.customer_reference, 35, "customer reference"))))
    segments += _party("SE", advice.seller)
    if advice.buyer is not None:
        segments += _party("BY", advice.buyer)
    segments += _party("CN", advice.consignee)
    if advice.service:
        segments.append(segment("TDT", "20", "", "", "", ("", "", "", _fit(advice.service, MOST_NAME, "service"))))
    segments += _levels(advice)
    lines = sum(text.startswith("LIN+") for text in segments)
    segments.append(segment("CNT", ("2", str(lines))))
    segments.append(segment("UNT", str(len(segments) + 1), message_reference))
    return "".join(segments)


def interchange(
    messages: Sequence[str],
    *,
    sender: str,
    recipient: str,
    prepared: datetime,
    control_reference: str,
    alphabet: str = "UNOC",
) -> bytes:
    """The messages as one interchange UNB … UNZ, syntax version 3, in one of `ALPHABETS` (UNOC: ISO 8859-1).

    >>> interchange([], sender="SHOP", recipient="CARRIER", prepared=datetime(2026, 3, 2, 16, 5), control_reference="7")
    b"UNA:+.? 'UNB+UNOC:3+SHOP+CARRIER+260302:1605+7'UNZ+0+7'"

    Raises:
        CodeRefused: when a letter isn't in the alphabet; give a Latin transliteration.
    """
    header = segment(
        "UNB",
        (alphabet, "3"),
        _fit(sender, 35, "sender"),
        _fit(recipient, 35, "recipient"),
        (f"{prepared:%y%m%d}", f"{prepared:%H%M}"),
        _fit(control_reference, 14, "control reference"),
    )
    trailer = segment("UNZ", str(len(messages)), control_reference)
    text = "".join((SERVICE_STRING_ADVICE, header, *messages, trailer))
    try:
        return text.encode(ALPHABETS[alphabet])
    except UnicodeEncodeError as trouble:
        letter = text[trouble.start]
        part = ALPHABETS[alphabet].replace("iso8859", "ISO 8859")
        expected = f"letters of {part}; give a Latin transliteration"
        raise CodeRefused(f"write as UN/EDIFACT {alphabet}", letter, expected) from None


def alphabet_of(text: str) -> str:
    """The first of `ALPHABETS` that has every letter of a message.

    >>> [alphabet_of(text) for text in ("Musterstraße", "Łódź", "Примерово", "Παράδειγμα")]
    ['UNOC', 'UNOD', 'UNOE', 'UNOF']

    Raises:
        CodeRefused: when none has them all.
    """
    for name, encoding in ALPHABETS.items():
        try:
            text.encode(encoding)
        except UnicodeEncodeError:
            continue
        return name
    foreign = next((letter for letter in text if ord(letter) > 255), "")
    raise CodeRefused(
        "write in one UN/EDIFACT alphabet", foreign, "letters of one part of ISO 8859; give a Latin transliteration"
    )


def plain(text: str) -> str:
    """The text without accents and without letters beyond ASCII, for names of sender and recipient.

    >>> plain("Kleinteilehaus Müller"), plain("Große Øre")
    ('Kleinteilehaus Muller', 'Grosse Ore')
    """
    for letter, written in _LETTERS.items():
        text = text.replace(letter, written)
    return unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode()


def _levels(advice: DespatchAdvice) -> list[str]:
    """Segment group 10: one level for the shipment, one below it for each package."""
    segments = [segment("CPS", "1")]
    if advice.packages:
        segments.append(segment("PAC", str(len(advice.packages))))
    number = 0
    said: set[int] = set()
    for line in advice.lines:
        if not line.despatched_pieces:
            number += 1
            said.add(line.number)
            segments += _line(number, advice, line, 0, is_first=True)
    for level, package in enumerate(advice.packages, start=2):
        segments += [segment("CPS", str(level), "1"), *_package(package)]
        for line_number, pieces in package.contents:
            number += 1
            line = advice.line(line_number)
            segments += _line(number, advice, line, pieces, is_first=line_number not in said)
            said.add(line_number)
    return segments


def _package(package: Package) -> list[str]:
    segments = [segment("PAC", "1", "", "PK"), _weight("AAB", package.gross_g)]
    for attribute, side_mm in zip(("LN", "WD", "HT"), package.sides_mm or (), strict=False):
        segments.append(segment("MEA", "PD", attribute, ("MMT", str(side_mm))))
    mark = _fit(package.number, 35, "package number")
    segments.append(segment("PCI", "30" if package.sscc else "24", mark))
    if package.tracking_number:
        segments.append(segment("RFF", ("CN", _fit(package.tracking_number, 35, "tracking number"))))
    if package.sscc:
        segments.append(segment("GIN", "BJ", package.sscc))
    return segments


def _line(number: int, advice: DespatchAdvice, line: Line, pieces: int, *, is_first: bool) -> list[str]:
    segments = [segment("LIN", str(number), "", (_fit(line.part_number, 35, "part number"), "SA"))]
    if line.buyer_part_number:
        segments.append(segment("PIA", "1", (_fit(line.buyer_part_number, 35, "part number"), "BP")))
    parts = textwrap.wrap(line.description, 35)
    for first in range(0, len(parts), 2):
        segments.append(segment("IMD", "F", "", ("", "", "", *parts[first : first + 2])))
    segments.append(segment("QTY", ("12", str(pieces), "PCE")))
    if is_first:
        segments.append(segment("QTY", ("21", str(line.ordered_pieces), "PCE")))
    order_line = _fit(line.order_line, 6, "order line number")
    segments.append(segment("RFF", ("ON", advice.order_number, order_line)))
    return segments


def _party(qualifier: str, party: Party) -> list[str]:
    # Element 3229 is a code of 9 characters; a region with a longer name stands among the address lines of C058.
    is_code = len(party.region) <= 9
    segments = [
        segment(
            "NAD",
            qualifier,
            (party.gln, "", "9") if party.gln else "",
            "" if is_code else _parts(party.region, 5, "region"),
            _parts(party.name, 5, "party name"),
            _parts("\n".join(party.address_lines), 4, "street"),
            _fit(party.city, 35, "city"),
            party.region if is_code else "",
            _fit(party.postal_code, 9, "post code"),
            party.country,
        )
    ]
    if party.contact_name or party.telephone or party.email:
        segments.append(segment("CTA", "IC", ("", _fit(party.contact_name, 35, "contact name"))))
        for address, channel in ((party.telephone, "TE"), (party.email, "EM")):
            if address:
                segments.append(segment("COM", (_fit(address, 512, "contact address"), channel)))
    return segments


def _without_empty_end(texts: Sequence[str]) -> Sequence[str]:
    kept = len(texts)
    while kept and not texts[kept - 1]:
        kept -= 1
    return texts[:kept]


def _weight(attribute: str, mass_g: int) -> str:
    return segment("MEA", "PD", attribute, ("KGM", f"{Decimal(mass_g).scaleb(-3):.3f}"))


def _parts(text: str, most: int, what: str) -> tuple[str, ...]:
    """Up to `most` components of 35 characters each, broken at spaces where there are any."""
    parts = [part for line in text.split("\n") for part in textwrap.wrap(line, 35)]
    if len(parts) > most:
        raise CodeRefused(f"write as UN/EDIFACT the {what}", text, f"at most {most} lines of 35 characters")
    return tuple(parts)


def _fit(text: str, most: int, what: str) -> str:
    if len(text) > most:
        raise CodeRefused(f"write as UN/EDIFACT the {what}", text, f"at most {most} characters")
    return text
