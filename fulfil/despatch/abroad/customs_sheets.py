"""Customs papers as sheets: the declaration of a postal package, the commercial invoice of an order."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import date, datetime
from typing import NoReturn

from fulfil.despatch.abroad.customs import PackageCustoms, customs_of, hazards_of, reviewed_hazards
from fulfil.despatch.package_papers import consignee_lines, packages_of, shop_lines
from fulfil.despatch.quote import tariffs_of
from fulfil.errors import CodeRefused, StateRefused
from fulfil.papers.despatch import customs as customs_paper
from fulfil.papers.despatch import invoice
from fulfil.papers.despatch.cn22 import Cn22Sheet
from fulfil.papers.despatch.cn23 import Cn23Sheet
from fulfil.papers.despatch.customs import CustomsRow
from fulfil.papers.despatch.invoice import InvoiceRow, InvoiceSheet
from fulfil.papers.despatch.packed_package import PackedPackage
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.sheet import Sheet, head
from fulfil.records.despatch.dispatch import Package
from fulfil.records.despatch.service import Service
from fulfil.records.equipment import BoxType
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Part
from fulfil.records.plan import Bag
from fulfil.records.settings import Settings
from fulfil.shipping.customs import Form
from fulfil.shipping.limits import Insured
from fulfil.shipping.services import Quote
from fulfil.shop.asking import ByNumber
from fulfil.shop.clock import local_day
from fulfil.standards import cn22, dangerous_goods, hs, incoterms, iso3166, iso4217
from fulfil.store.books import Books

INVOICE_DECLARATION = "We declare that the particulars of this invoice are true and complete."
REVIEWED = "Holds goods that are restricted in transport: reviewed by a trained person, see the journal."


def order_customs(books: Books, order: Order, *, day: date) -> tuple[PackageCustoms, ...]:
    """The declarations of an order's packages, by package."""
    return tuple(customs_of(books, package, order, day=day) for package in packages_of(books, order))


def customs_sheets(books: Books, declared: Sequence[PackageCustoms], *, day: date) -> list[Cn22Sheet | Cn23Sheet]:
    """A declaration for each package that takes a CN 22 or CN 23."""
    number = invoice_number(declared) if declared else ""
    return [_customs_sheet(books, one, number, day) for one in declared if one.form in (Form.CN22, Form.CN23)]


def invoice_sheet(books: Books, order: Order, declared: Sequence[PackageCustoms], *, day: date) -> InvoiceSheet | None:
    """The commercial invoice of an order's packages; none where no package crosses a border."""
    abroad = [one for one in declared if one.form is not Form.NONE]
    if not abroad:
        return None
    settings = books.settings()
    bags = books.find(Bag, package_number=[one.package.number for one in abroad])
    sent: dict[int, int] = defaultdict(int)
    for bag in bags:
        sent[bag.line_no] += bag.pieces
    lines = books.find(OrderLine, order_number=order.number)
    parts = {part.number: part for part in books.find(Part, number=sorted({line.part_number for line in lines}))}
    rows = []
    for line in lines:
        part = parts[line.part_number]
        if sent[line.line_no]:
            row = InvoiceRow(
                line_no=line.line_no,
                part_number=part.number,
                description=part.customs_description,
                pieces=sent[line.line_no],
                unit_price_minor=line.unit_price_minor,
                hs_code=_hs(part.hs_code),
                origin=part.origin,
            )
            rows.append(row)
    return InvoiceSheet(
        **head(settings, invoice_number(abroad), day),
        order_number=order.number,
        order_day=day_words(local_day(order.received_at, settings)),
        from_lines=shop_lines(settings),
        from_contact=_contact(settings.email, settings.phone),
        to_lines=consignee_lines(order),
        to_contact=_contact(order.email, order.phone),
        service=books.need(Service, order.service_code).name,
        country_of_destination=iso3166.parse(order.country).label_name,
        countries_of_origin=tuple(sorted({row.origin for row in rows if row.origin})),
        terms=_terms(settings, order),
        currency=order.currency,
        rows=tuple(rows),
        packages=tuple(PackedPackage(number=one.package.number, gross_g=one.package.gross_g) for one in abroad),
        net_g=sum(one.declaration.net_g for one in abroad),
        declaration=INVOICE_DECLARATION,
    )


def _terms(settings: Settings, order: Order) -> str:
    """The shop's terms of delivery with their named place, on the consignee's side or the shop's own."""
    city, country = settings.city, settings.country
    if incoterms.is_named_at_destination(settings.terms_of_delivery):
        city, country = order.city, order.country
    ends_at = ", ".join(word for word in (city, iso3166.parse(country).label_name) if word)
    return incoterms.written(settings.terms_of_delivery, settings.named_place or ends_at)


def invoice_number(declared: Sequence[PackageCustoms]) -> str:
    """The invoice's number follows its first package's, so that a reprint has the same."""
    return invoice.NUMBERED.number(declared[0].package.number)


def _customs_sheet(books: Books, one: PackageCustoms, invoice_no: str, day: date) -> Cn22Sheet | Cn23Sheet:
    settings = books.settings()
    sdr = ""
    if one.rate is not None and one.declaration.currency == one.rate.currency:
        sdr = cn22.print_sdr(one.declaration.value, one.rate)
    elif one.rate is None:
        sdr = f"no SDR rate entered for {one.declaration.currency}: CN 23 taken"
    return (Cn22Sheet if one.form is Form.CN22 else Cn23Sheet)(
        **head(settings, customs_paper.NUMBERED.number(one.package.number), day),
        item_number=one.item_number,
        order_number=one.order.number,
        invoice_number=invoice_no,
        from_lines=shop_lines(settings),
        from_contact=_contact(settings.email, settings.phone),
        to_lines=consignee_lines(one.order),
        importer_contact=_contact(one.order.email, one.order.phone),
        category=one.declaration.category,
        operator=books.need(Service, one.package.service_code).name,
        sender_reference=one.said.sender_reference,
        importer_reference=one.said.importer_reference,
        currency=one.declaration.currency,
        rows=tuple(
            CustomsRow(
                description=line.description,
                pieces=line.pieces,
                net_g=line.net_g,
                value_minor=line.value_minor,
                hs_code=_hs(line.hs_code),
                origin=line.origin,
            )
            for line in one.declaration.lines
        ),
        gross_g=one.declaration.gross_g,
        sdr_sentence=sdr,
        postage=postage_of(books, one, day),
        comments=(
            *((one.said.comment,) if one.said.comment else ()),
            *((REVIEWED,) if _is_reviewed(books, one.package) else ()),
        ),
    )


def postage_of(books: Books, one: PackageCustoms, day: date) -> str:
    """What the service charges by the shop's tables."""
    service = books.need(Service, one.package.service_code)
    quoted = tariffs_of(books).quote(
        service,
        one.order.country,
        one.declaration.gross_g,
        books.need(BoxType, one.package.box_type).outside_mm,
        as_of=day,
        post_code=one.order.post_code,
        hazards=hazards_of(books, one.package),
        insured=Insured(one.order.insured_minor, one.order.currency),
    )
    return iso4217.print_money(quoted.charge_minor, quoted.currency) if isinstance(quoted, Quote) else ""


def _hs(code: str) -> str:
    """The code as people read it; as given where it is none."""
    try:
        return hs.print_code(hs.parse(code))
    except CodeRefused:
        return code


def _contact(email: str, phone: str) -> str:
    return " · ".join(word for word in (phone, email) if word)


def _is_reviewed(books: Books, package: Package) -> bool:
    """Whether it holds restricted goods, all of which a trained person has reviewed."""
    restricted = set(dangerous_goods.stops_for_review(hazards_of(books, package)))
    return bool(restricted) and restricted <= set(reviewed_hazards(books, package))


def _declaration_of(books: Books, package: Package, at: datetime) -> Sequence[Sheet]:
    """The declaration of a package, by the number that follows from the package's."""
    order = books.need(Order, package.order_number)
    declared = order_customs(books, order, day=at.date())
    number = customs_paper.NUMBERED.number(package.number)
    found = [one for one in customs_sheets(books, declared, day=at.date()) if one.document_number == number]
    return found or _goes_without(number, package)


def _invoice_of(books: Books, package: Package, at: datetime) -> Sequence[Sheet]:
    """The invoice of a package's order."""
    order = books.need(Order, package.order_number)
    bill = invoice_sheet(books, order, order_customs(books, order, day=at.date()), day=at.date())
    return _goes_without(invoice.NUMBERED.number(package.number), package) if bill is None else (bill,)


def _goes_without(number: str, package: Package) -> NoReturn:
    raise StateRefused("show the customs paper", number, f"a package that needs one; {package.number} goes without")


BY_NUMBER = (
    ByNumber(Cn22Sheet, Package, _declaration_of),
    ByNumber(InvoiceSheet, Package, _invoice_of),
)
