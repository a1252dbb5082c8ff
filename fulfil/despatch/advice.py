"""The despatch advice of a manifest for machines: OASIS UBL or UN/EDIFACT DESADV, one advice for each order.

The advices are kept with the closed manifest, so that they say the same whenever they are written. EDIFACT has one
alphabet in each interchange (ISO 9735, syntax version 3: UNOC Western, UNOD Central European, UNOE Cyrillic, UNOF
Greek): the first that has all letters of the consignee's orders, and a consignee reads only of its own. Its times have
no zone and are those of the shop's clock. Where the shop's own address has letters of another alphabet, it is written
without accents; the consignee's never is.
"""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from decimal import ROUND_HALF_EVEN
from enum import StrEnum
from pathlib import Path

from fulfil.despatch.abroad.customs import COUNTRY_NOT_SET
from fulfil.errors import CodeRefused, Refusal, StateRefused
from fulfil.files.written import write_all
from fulfil.orders.places import LinePlaces, places_of, shares_of
from fulfil.papers.kept import KeptShape, as_it_was
from fulfil.records.despatch.dispatch import Manifest, Package
from fulfil.records.despatch.handover import ManifestCopy
from fulfil.records.despatch.service import Service
from fulfil.records.equipment import BoxType
from fulfil.records.finding import Finding
from fulfil.records.identifier import CarrierNumber, Identifier
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Part
from fulfil.records.settings import Settings
from fulfil.shop.clock import local
from fulfil.standards import despatch_advice, edifact, ubl
from fulfil.standards.despatch_advice import DespatchAdvice, Party
from fulfil.store.books import Books
from fulfil.store.shop import Shop

KEPT = KeptShape(tuple[DespatchAdvice, ...], steps=(as_it_was,))
"""How the advices of closed manifests are kept: when an advice changes, add a step."""


class AdviceFormat(StrEnum):
    """Universal Business Language 2.1, or UN/EDIFACT DESADV of directory D.96A."""

    UBL = "ubl"
    EDIFACT = "edifact"


def advices_of(books: Books, manifest: Manifest, *, at: datetime) -> tuple[tuple[DespatchAdvice, ...], list[Finding]]:
    """One advice for each order on a manifest, by order number, and a finding for each that can't be written.

    ``at`` is when it is closed.

    A shop that hasn't set its country has none: an advice must say where it comes from.
    """
    settings = books.settings()
    if settings.country == COUNTRY_NOT_SET:
        return (), []
    packages = books.find(Package, manifest_number=manifest.number)
    advices, findings = [], []
    for place, number in enumerate(sorted({package.order_number for package in packages}), start=1):
        mine = [package for package in packages if package.order_number == number]
        try:
            order = books.need(Order, number)
            advices.append(_advice(books, settings, manifest, f"{manifest.number}-{place:03d}", order, mine, at))
        except CodeRefused as refusal:
            says = f"has no machine-readable despatch advice: expected {refusal.expected}"
            do = "tell the consignee by its packing list"
            findings.append(Finding(f"order {number}", None, "advice", str(refusal.value), says, do))
    return tuple(advices), findings


def as_json(advices: tuple[DespatchAdvice, ...]) -> str:
    """Advices as JSON; :func:`of_json` gives the same ones back."""
    return KEPT.json(advices)


def of_json(text: str) -> tuple[DespatchAdvice, ...]:
    """The advices that were written as JSON."""
    return KEPT.sheet(text)


def write_advices(shop: Shop, number: str, form: AdviceFormat, out: Path) -> tuple[list[Path], list[Finding]]:
    """Writes the advices of a closed manifest: an XML file for each order, or an interchange for each consignee.

    Raises:
        UnknownRefused: when there is no such manifest.
        StateRefused: when it isn't closed.
        FileRefused: when a file can't be written.
    """
    with shop.reading() as books:
        books.need(Manifest, number)
        copy = books.get(ManifestCopy, number)
        if copy is None:
            raise StateRefused("write the despatch advice of manifest", number, "a closed manifest")
        advices = of_json(copy.advices)
        settings = books.settings()
        codes = {service.name: service.code for service in books.find(Service)}
        if not advices:
            raise StateRefused(
                "write the despatch advice of manifest", number, "orders with an advice; set the country"
            )
    if form is AdviceFormat.UBL:
        return write_all(out, {f"{advice.number}.xml": ubl.write(advice) for advice in advices}), []
    contents, findings = interchanges(advices, settings, codes)
    return write_all(out, {f"{name}.edi": raw for name, raw in sorted(contents.items())}), findings


def interchanges(
    advices: Sequence[DespatchAdvice], settings: Settings, codes: Mapping[str, str]
) -> tuple[dict[str, bytes], list[Finding]]:
    """Interchanges by the number of their first advice, and a finding for each advice that fits into no alphabet.

    Each consignee gets one for itself, or one for each alphabet. ``codes`` are the shop's codes of services by their
    names: a name too long for its element is told by its code.
    """
    sorted_in: dict[tuple[Party, str], list[DespatchAdvice]] = defaultdict(list)
    messages: dict[str, str] = {}
    findings = []
    for advice in advices:
        fitting = replace(advice, issued=local(advice.issued, settings))
        if len(advice.service) > edifact.MOST_NAME:
            fitting = replace(fitting, service=codes.get(advice.service, advice.service))
        try:
            _, alphabet = _message(fitting, "1")
            together = sorted_in[advice.consignee, alphabet]
            messages[advice.number], _ = _message(fitting, str(len(together) + 1))
        except Refusal as refusal:
            source = f"order {advice.order_number}"
            do = "send the UBL file, or a paper with a Latin transliteration"
            says = f"can't be written as UN/EDIFACT: expected {refusal.expected}"
            findings.append(Finding(source, None, "advice", str(refusal.value), says, do))
            continue
        together.append(fitting)
    written = {
        together[0].number: edifact.interchange(
            [messages[one.number] for one in together],
            sender=edifact.plain(settings.shop_name)[:35],
            recipient=_recipient(together[0]),
            prepared=together[0].issued,
            control_reference=_reference(together[0]),
            alphabet=alphabet,
        )
        for (_, alphabet), together in sorted_in.items()
    }
    return written, findings


def _recipient(advice: DespatchAdvice) -> str:
    """The consignee's name without accents; of a name in another script nothing is left, and a number stands for it."""
    name = edifact.plain(advice.consignee.name)
    is_whole = sum(map(str.isalnum, name)) >= sum(map(str.isalnum, advice.consignee.name))
    return name[:35].strip() if is_whole else _reference(advice)


def _reference(advice: DespatchAdvice) -> str:
    return advice.number.replace("-", "")[:14]


def _message(advice: DespatchAdvice, reference: str) -> tuple[str, str]:
    """The message and its alphabet; where no one has all letters, the shop's own words go without accents."""
    message = edifact.desadv(advice, message_reference=reference)
    try:
        return message, edifact.alphabet_of(message)
    except CodeRefused:
        seller = replace(
            advice.seller,
            name=edifact.plain(advice.seller.name),
            address_lines=tuple(edifact.plain(line) for line in advice.seller.address_lines),
            city=edifact.plain(advice.seller.city),
        )
        ours = replace(advice, seller=seller, service=edifact.plain(advice.service))
        message = edifact.desadv(ours, message_reference=reference)
        return message, edifact.alphabet_of(message)


def _advice(
    books: Books,
    settings: Settings,
    manifest: Manifest,
    number: str,
    order: Order,
    packages: Sequence[Package],
    at: datetime,
) -> DespatchAdvice:
    now = {package.number for package in packages}
    places = places_of(books, [order.number])
    ordered = books.find(OrderLine, order_number=order.number)
    numbers = sorted({line.part_number for line in ordered})
    parts = {part.number: part for part in books.find(Part, number=numbers)}
    lines = []
    for line in ordered:
        shares = shares_of(line, places[order.number, line.line_no], now)
        part = parts[line.part_number]
        lines.append(
            despatch_advice.Line(
                number=line.line_no,
                order_line=str(line.line_no),
                part_number=part.number,
                description=part.description,
                ordered_pieces=line.pieces,
                despatched_pieces=shares.now,
                before_pieces=shares.before,
                cancelled_pieces=shares.cancelled,
                outstanding_reason="to follow" if shares.to_follow else "",
                hs_code=part.hs_code,
                origin=part.origin,
            )
        )
    return DespatchAdvice(
        number=number,
        issued=at.replace(microsecond=0),
        order_number=order.number,
        seller=_shop_party(settings),
        consignee=Party(
            name=order.name,
            address_lines=tuple(line for line in (order.company, order.street) if line),
            city=order.city,
            postal_code=order.post_code,
            country=order.country,
            region=order.region,
            telephone=order.phone,
            email=order.email,
        ),
        lines=tuple(lines),
        packages=tuple(
            _package(books, package, _contents(ordered, places, now, package.number)) for package in packages
        ),
        service=books.need(Service, manifest.service_code).name,
        note=settings.notice,
    )


def _contents(
    ordered: Sequence[OrderLine], places: Mapping[tuple[str, int], LinePlaces], now: Collection[str], number: str
) -> tuple[tuple[int, int], ...]:
    """What a package of this despatch holds, by line; a kit lies in the package that makes it whole."""
    contents = []
    for line in ordered:
        at = places[line.order_number, line.line_no]
        until = shares_of(line, at, [one for one in now if one > number]).before
        pieces = until - shares_of(line, at, [one for one in now if one >= number]).before
        if pieces:
            contents.append((line.line_no, pieces))
    return tuple(contents)


def _package(books: Books, package: Package, contents: tuple[tuple[int, int], ...]) -> despatch_advice.Package:
    numbers = [one.number for one in books.find(Identifier, package_number=package.number)]
    tracked = [one.number for one in books.find(CarrierNumber, package_number=package.number)]
    gross_g = package.expected_g if package.gross_g is None else package.gross_g
    return despatch_advice.Package(
        number=package.number,
        gross_g=max(1, int(gross_g.to_integral_value(ROUND_HALF_EVEN))),
        contents=contents,
        sides_mm=books.need(BoxType, package.box_type).outside_mm,
        sscc=next((number for number in numbers if number.isdigit()), ""),
        tracking_number=next((number for number in numbers if not number.isdigit()), next(iter(tracked), "")),
    )


def _shop_party(settings: Settings) -> Party:
    return Party(
        name=settings.shop_name,
        address_lines=(settings.street,) if settings.street else (),
        city=settings.city,
        postal_code=settings.post_code,
        country=settings.country,
        region=settings.region,
        telephone=settings.phone,
        email=settings.email,
    )
