r"""GS1 keys and element strings: SSCC, GTIN and GLN with their check digit, Application Identifiers, FNC1.

The check digit is modulo 10, weights 3, 1, 3 … from the right of the payload (GS1 General Specifications, 7.9).
The specification's own example, and a GTIN-13:

>>> check_digit("37610425002123456"), check_digit("629104150021")
(9, 3)
>>> validate_sscc("342603046212321014")
Traceback (most recent call last):
    ...
fulfil.errors.CodeRefused: Cannot read as an SSCC '342603046212321014': expected check digit 6, got 4.

An element string is Application Identifier and value, again and again. People write it with brackets; a scanner sends
it without, and ends a value whose length the AI doesn't settle beforehand by FNC1, received as ASCII 29
(General Specifications, 7.8):

>>> lot_and_count = parse("(10)LOT7(37)25")
>>> element_string(lot_and_count)
'10LOT7\x1d3725'
>>> parse("]C110LOT7\x1d3725") == lot_and_count
True
>>> print_elements(parse("019501234567890331020004008005000365"))
'(01)95012345678903(3102)000400(8005)000365'
>>> parse("(3102)000400")[0].measure
Decimal('4.00')

An SSCC names a logistic unit for the whole world. A shop may make one only under the company prefix that a GS1
organisation licensed to it; without one it uses its own package numbers in plain Code 128:

>>> sscc("952000123", 42, extension_digit=3)
'395200012300000425'
>>> sscc("", 42)
Traceback (most recent call last):
    ...
fulfil.errors.CodeRefused: Cannot make an SSCC with the company prefix '': expected 4 to 12 digits licensed to this shop by GS1.

Limits: which AIs there are, their formats and how a scanned text falls into them is what biip knows (an open reader of
GS1 element strings); dates and links in values are not interpreted. A right check digit shows a well-copied key, not a
licensed one.
"""  # noqa: E501 - a refusal is one sentence

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from fulfil.errors import CodeRefused

if TYPE_CHECKING:
    from biip.gs1_application_identifiers import GS1ApplicationIdentifier

SEPARATOR = "\x1d"
"""ASCII 29: how a scanner transmits FNC1 between element strings."""

SYMBOLOGY_IDENTIFIER = "]C1"
"""What a scanner sends first for GS1-128; plain Code 128 is ]C0 (ISO/IEC 15424)."""

_KEY_OF = {"00": "sscc", "01": "gtin", "02": "gtin", "402": "gsin"} | {f"41{digit}": "gln" for digit in range(8)}
"""AIs whose value is a key with a check digit."""

_KEY_NAMES = {"sscc": "an SSCC", "gtin": "a GTIN", "gln": "a GLN", "gsin": "a GSIN"}
_KEY_LENGTHS = {"sscc": (18,), "gtin": (8, 12, 13, 14), "gln": (13,), "gsin": (17,)}


@dataclass(frozen=True, slots=True)
class Element:
    """One element string; its value matches the AI's format and its check digit, if any, is right."""

    ai: str
    value: str

    def __post_init__(self) -> None:
        known = _known(self.ai)
        if re.fullmatch(known.pattern.removesuffix("$"), f"{self.ai}{self.value}") is None:
            form = known.format.partition("+")[2]
            raise CodeRefused(f"read as the value of AI ({self.ai})", self.value, f"the format {form}")
        if self.ai in _KEY_OF:
            _key(_KEY_OF[self.ai], self.value)

    @property
    def title(self) -> str:
        """The AI's data title, as printed on labels."""
        return _known(self.ai).data_title

    @property
    def needs_separator(self) -> bool:
        """Whether FNC1 must end this element when another one follows."""
        return _known(self.ai).separator_required

    @property
    def measure(self) -> Decimal | None:
        """The value of a measure or amount with the decimals that the AI's last digit gives, else None.

        For AI 391n the leading ISO 4217 number of the currency is left out.
        """
        from biip.gs1_element_strings import GS1ElementString

        return GS1ElementString.extract(f"{self.ai}{self.value}").decimal

    def __str__(self) -> str:
        return f"({self.ai}){self.value}"


def check_digit(payload: str) -> int:
    """The modulo-10 check digit of a key's payload.

    >>> check_digit("39501101530000001")
    1
    """
    if re.fullmatch(r"[0-9]+", payload) is None:
        raise CodeRefused("compute a GS1 check digit of", payload, "digits only")
    weighed = sum(int(digit) * (3, 1)[place % 2] for place, digit in enumerate(reversed(payload)))
    return -weighed % 10


def validate_sscc(code: str) -> str:
    """Return `code` unchanged if it is a serial shipping container code of 18 digits.

    >>> validate_sscc("395011015300000011")
    '395011015300000011'
    """
    return _key("sscc", code)


def validate_gtin(code: str) -> str:
    """Return `code` unchanged if it is a global trade item number of 8, 12, 13 or 14 digits.

    >>> validate_gtin("09501101530003"), validate_gtin("6291041500213")
    ('09501101530003', '6291041500213')
    """
    return _key("gtin", code)


def validate_gln(code: str) -> str:
    """Return `code` unchanged if it is a global location number of 13 digits.

    >>> validate_gln("5412345678908")
    '5412345678908'
    """
    return _key("gln", code)


def sscc(company_prefix: str, serial: int, *, extension_digit: int = 0) -> str:
    """The SSCC of the shop's logistic unit number `serial`; it must not be used again within a year.

    Args:
        company_prefix: 4 to 12 digits licensed to the shop by GS1.
        serial: from 0 up to what the digits left by the prefix can hold.
        extension_digit: 0 to 9, enlarges the number range.

    Raises:
        CodeRefused: without a company prefix, or when the serial doesn't fit.
    """
    if re.fullmatch(r"[0-9]{4,12}", company_prefix) is None:
        raise CodeRefused(
            "make an SSCC with the company prefix", company_prefix, "4 to 12 digits licensed to this shop by GS1"
        )
    if not 0 <= extension_digit <= 9:
        raise CodeRefused("make an SSCC with the extension digit", extension_digit, "a digit from 0 to 9")
    room = 16 - len(company_prefix)
    if not 0 <= serial < 10**room:
        raise CodeRefused("make an SSCC with the serial", serial, f"0 to {10**room - 1}")
    payload = f"{extension_digit}{company_prefix}{serial:0{room}d}"
    return f"{payload}{check_digit(payload)}"


def weight_element(ai_stem: str, mass_kg: Decimal) -> Element:
    """The element of a net (310n) or gross (330n) weight in kg, with the decimals that `mass_kg` is written with.

    >>> print(weight_element("330", Decimal("1.250")))
    (3303)001250
    """
    exponent = mass_kg.as_tuple().exponent
    decimals = -exponent if isinstance(exponent, int) else -1
    if not 0 <= decimals <= 5 or not 0 <= mass_kg < 10 ** (6 - decimals):
        raise CodeRefused(f"write as AI ({ai_stem}n)", mass_kg, "six digits in all, five decimals at most")
    return Element(f"{ai_stem}{decimals}", f"{int(mass_kg.scaleb(decimals)):06d}")


def parse(text: str) -> tuple[Element, ...]:
    """The elements of a bracketed text, or of what a scanner sent.

    Raises:
        CodeRefused: for an unknown AI, a value that breaks its format, or a wrong check digit.
    """
    if text.startswith("("):
        found = re.findall(r"\(([0-9]{2,4})\)((?:(?!\([0-9]{2,4}\)).)+)", text)
        if "".join(f"({ai}){value}" for ai, value in found) != text:
            raise CodeRefused("read as element strings", text, "(AI)value, repeated")
        return tuple(Element(ai, value) for ai, value in found)
    rest = text.removeprefix(SYMBOLOGY_IDENTIFIER).removeprefix(SEPARATOR)
    if not rest:
        raise CodeRefused("read as element strings", text, "at least one Application Identifier with its value")
    elements = []
    while rest:
        element = _first(rest, text)
        elements.append(element)
        rest = rest[len(element.ai) + len(element.value) :].removeprefix(SEPARATOR)
    return tuple(elements)


def validate(text: str) -> str:
    """Return `text` unchanged if it is element strings as a scanner sends them, separators where they must be.

    >>> validate("10LOT73725")                # read as one lot number, which is legal
    '10LOT73725'
    >>> validate("0039501101530000001110LOT7")
    '0039501101530000001110LOT7'
    """
    if text != element_string(parse(text)):
        raise CodeRefused("read as element strings", text, "no brackets, and FNC1 only where an AI needs it")
    return text


def element_string(elements: Iterable[Element]) -> str:
    """The data characters of `elements` in the order given: what `code128.gs1_modules` takes."""
    listed = tuple(elements)
    return "".join(
        f"{element.ai}{element.value}{SEPARATOR if element.needs_separator and place < len(listed) else ''}"
        for place, element in enumerate(listed, start=1)
    )


def print_elements(elements: Iterable[Element]) -> str:
    """The human readable text: AIs in brackets, no separators."""
    return "".join(str(element) for element in elements)


def _first(rest: str, text: str) -> Element:
    from biip import ParseError
    from biip.gs1_element_strings import GS1ElementString

    known = _identifier(rest)
    if known is None:
        raise CodeRefused("read as element strings", text, f"a known Application Identifier at '{rest[:4]}'")
    try:
        value = GS1ElementString.extract(rest).value
    except ParseError:
        value = rest[len(known.ai) :].split(SEPARATOR, 1)[0]
    return Element(known.ai, value)


def _known(ai: str) -> "GS1ApplicationIdentifier":
    known = _identifier(ai)
    if known is None or known.ai != ai:
        raise CodeRefused("use the Application Identifier", ai, "one of the GS1 General Specifications, section 3")
    return known


def _identifier(rest: str) -> "GS1ApplicationIdentifier | None":
    """The AI at the head of a text, if the standard knows it."""
    from biip import ParseError
    from biip.gs1_application_identifiers import GS1ApplicationIdentifier

    try:
        return GS1ApplicationIdentifier.extract(rest)
    except ParseError:
        return None


def _key(kind: str, code: str) -> str:
    name = _KEY_NAMES[kind]
    *most, last = _KEY_LENGTHS[kind]
    if re.fullmatch(r"[0-9]+", code) is None or len(code) not in _KEY_LENGTHS[kind]:
        lengths = f"{', '.join(map(str, most))} or {last}" if most else f"{last}"
        raise CodeRefused(f"read as {name}", code, f"{lengths} digits")
    if int(code[-1]) != check_digit(code[:-1]):
        raise CodeRefused(f"read as {name}", code, f"check digit {check_digit(code[:-1])}, got {code[-1]}")
    return code
