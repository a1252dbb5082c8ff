"""Customs: what each package of an order declares, on which paper, and what must be put right before it goes.

Net masses come from counted pieces and unit weights (a part that was never weighed: from its bag), values from the
order's prices. A shop that hasn't set its country (``XX``) gets no customs check: nobody can say where a border is.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from fulfil.counting.lot_weights import LotWeight, weight_for_lot
from fulfil.despatch.inside import Inside, inside
from fulfil.errors import StateRefused
from fulfil.records.despatch.customs import CustomsParticulars, HazardReview, SdrRateEntry
from fulfil.records.despatch.dispatch import HERE, Package
from fulfil.records.finding import Finding
from fulfil.records.happening import Happening
from fulfil.records.identifier import Identifier
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import UnitWeight
from fulfil.records.plan import Bag
from fulfil.records.revised import revised
from fulfil.records.settings import Settings
from fulfil.records.weighing import Verdict, WeighedKind, WeighingRecord
from fulfil.shipping.customs import SALE, Declaration, Form, Goods, declare, form_of
from fulfil.standards import dangerous_goods, iso4217, upu
from fulfil.standards.cn22 import SdrRate, validate_category
from fulfil.standards.customs_territory import needs_declaration
from fulfil.store.books import Books
from fulfil.store.shop import Shop

COUNTRY_NOT_SET = "XX"


@dataclass(frozen=True)
class PackageCustoms:
    """A package with its declaration, the paper it takes, and the rate by which that was decided.

    ``item_number`` is its S10 number, or the shop's own where it has none; ``said`` is what else customs are told of
    its order. ``posted_on``, ``postage`` and ``document`` (the invoice's number) stand once its papers are made.
    """

    package: Package
    order: Order
    declaration: Declaration
    form: Form
    rate: SdrRate | None
    item_number: str
    said: CustomsParticulars
    posted_on: date | None = None
    postage: str = ""
    document: str = ""


def enter_sdr_rate(shop: Shop, entry: SdrRateEntry, *, at: datetime, person: str) -> None:
    """Takes in what one SDR costs on a day; the same day again corrects it."""
    with shop.writing() as books:
        books.replace([entry])
        particulars = {"per_sdr": entry.per_sdr, "source": entry.source}
        subject = f"{entry.currency} {entry.as_of}"
        books.journal(at=at, person=person, event=Happening.SDR_RATE_ENTERED, subject=subject, particulars=particulars)


def note_particulars(
    shop: Shop, order_number: str, line_no: int = 0, *, at: datetime, person: str, **said: str
) -> CustomsParticulars:
    """Notes what customs are told of an order (line 0) or of one of its lines; what isn't said stays as it was.

    Raises:
        UnknownRefused: when there is no such order or line, or the forms have no such category.
    """
    with shop.writing() as books:
        return note_particulars_within(books, order_number, line_no, said, at=at, person=person)


def note_particulars_within(
    books: Books, order_number: str, line_no: int, said: Mapping[str, str], *, at: datetime, person: str
) -> CustomsParticulars:
    """:func:`note_particulars` inside the caller's transaction."""
    if said.get("category"):
        validate_category(said["category"])
    books.need(Order, order_number)
    if line_no:
        books.need(OrderLine, order_number, line_no)
    before = books.get(CustomsParticulars, order_number, line_no)
    noted = revised(before or CustomsParticulars(order_number=order_number, line_no=line_no), said)
    books.replace([noted])
    particulars = {"line": line_no, **said}
    books.journal(
        at=at, person=person, event=Happening.PARTICULARS_NOTED, subject=order_number, particulars=particulars
    )
    return noted


def category_of(said: CustomsParticulars | None) -> str:
    """What an order is declared as: what was noted, else a sale."""
    return (said.category if said is not None else "") or SALE


def review_hazards(shop: Shop, package_number: str, reason: str, *, at: datetime, person: str) -> HazardReview:
    """Records that a trained person looked at a package's restricted goods; what its service refuses stays refused.

    Raises:
        UnknownRefused: when there is no such package.
        StateRefused: when it has left or holds nothing restricted, or the reason is empty.
    """
    with shop.writing() as books:
        package = books.need(Package, package_number)
        if package.state not in HERE:
            raise StateRefused("review package", package_number, f"one still in the house; this one is {package.state}")
        restricted = dangerous_goods.stops_for_review(hazards_of(books, package))
        if not restricted:
            raise StateRefused("review package", package_number, "one with goods that are restricted in transport")
        if not reason.strip():
            raise StateRefused("review package", package_number, "a reason: what was seen, and by which rule it goes")
        review = HazardReview(
            package_number=package_number, hazards=" ".join(restricted), reason=reason, at=at, person=person
        )
        books.add([review])
        particulars = {"hazards": list(restricted), "reason": reason}
        books.journal(
            at=at, person=person, event=Happening.HAZARDS_REVIEWED, subject=package_number, particulars=particulars
        )
    return review


def hazards_of(books: Books, package: Package) -> tuple[str, ...]:
    """The hazard words of what lies in a package, in the vocabulary's order."""
    words = inside(books, package).hazards
    return tuple(word for word in dangerous_goods.HAZARD_WORDS if word in words)


def reviewed_hazards(books: Books, package: Package) -> tuple[str, ...]:
    """The hazard words that a trained person has reviewed for this package."""
    reviews = books.find(HazardReview, package_number=package.number)
    return tuple(sorted({word for review in reviews for word in review.hazards.split()}))


def customs_of(
    books: Books, package: Package, order: Order, *, day: date, content: Inside | None = None
) -> PackageCustoms:
    """The package's declaration and its paper; its findings are what customs would turn back.

    ``content`` is what is in it, where that has been read.
    """
    content = inside(books, package) if content is None else content
    declaration = declare(
        _goods(books, content, order),
        currency=order.currency,
        gross_g=package.expected_g if package.gross_g is None else package.gross_g,
        subject=f"package {package.number}",
    )
    rate = sdr_rate(books, order.currency, day=day)
    is_parcel = upu.is_parcel(content.service.size_preset, declaration.gross_g)
    crosses = crosses_border(books, order)
    form = form_of(declaration, content.service.kind, rate, needs_declaration=crosses, is_parcel=is_parcel)
    numbers = [given.number for given in books.find(Identifier, package_number=package.number)]
    item_number = next((number for number in numbers if not number.isdigit()), package.number)
    said = books.get(CustomsParticulars, order.number, 0) or CustomsParticulars(order_number=order.number)
    return PackageCustoms(package, order, declaration, form, rate, item_number, said)


def crosses_border(books: Books, order: Order) -> bool:
    """Whether the order's goods need a customs declaration."""
    settings = books.settings()
    return settings.country != COUNTRY_NOT_SET and needs_declaration(
        settings.country, order.country, sender_post_code=settings.post_code, post_code=order.post_code
    )


def customs_stops(
    books: Books,
    package: Package,
    order: Order,
    content: Inside | None = None,
    declared: PackageCustoms | None = None,
) -> list[Finding]:
    """What keeps a package from crossing its border; none for one that crosses none.

    ``content`` is what it is judged by, where that has been read; ``declared`` is its declaration, where that was made.
    """
    if declared is not None:
        return list(declared.declaration.findings)
    if not crosses_border(books, order):
        return []
    gross_g = package.expected_g if package.gross_g is None else package.gross_g
    goods = _goods(books, inside(books, package) if content is None else content, order)
    return list(declare(goods, currency=order.currency, gross_g=gross_g, subject=f"package {package.number}").findings)


def sdr_rate(books: Books, currency: str, *, day: date) -> SdrRate | None:
    """The newest rate that was entered for the currency, not later than the day."""
    entries = [entry for entry in books.find(SdrRateEntry, currency=currency) if entry.as_of <= day]
    return entries[-1].rate if entries else None


def customs_rows(declared: Iterable[PackageCustoms], sender: Settings) -> list[dict[str, Any]]:
    """One flat row a declared line, for CSV and JSON: electronic advance data in plain words.

    The fields are those of a postal advance message (item number, category, sender and addressee with telephone and
    e-mail, postage, pieces, masses, codes, values), as :mod:`fulfil.standards.itmatt` lists them; no conformance with
    UPU M33 is claimed.
    """
    return [
        {
            "package": one.package.number,
            "order": one.order.number,
            "paper": one.form.value,
            "item_number": one.item_number,
            "category": one.declaration.category,
            "posting_date": "" if one.posted_on is None else one.posted_on.isoformat(),
            "document": one.document,
            "document_type": "invoice" if one.document else "",
            "total_value": f"{iso4217.from_minor(one.declaration.value_minor, one.declaration.currency):f}",
            "postage": one.postage,
            "sender_reference": one.said.sender_reference,
            "importer_reference": one.said.importer_reference,
            "comment": one.said.comment,
            "consignee": one.order.name,
            "consignee_company": one.order.company,
            "consignee_street": one.order.street,
            "consignee_city": one.order.city,
            "consignee_post_code": one.order.post_code,
            "consignee_region": one.order.region,
            "country": one.order.country,
            "consignee_phone": one.order.phone,
            "consignee_email": one.order.email,
            "sender": sender.shop_name,
            "sender_street": sender.street,
            "sender_city": sender.city,
            "sender_post_code": sender.post_code,
            "sender_country": sender.country,
            "sender_phone": sender.phone,
            "sender_email": sender.email,
            "line": number,
            "line_category": line.category,
            "description": line.description,
            "hs_code": line.hs_code,
            "origin": line.origin,
            "pieces": line.pieces,
            "net_kg": f"{Decimal(line.net_g).scaleb(-3):.3f}",
            "gross_kg": f"{one.declaration.gross_g.scaleb(-3):.3f}",
            "value": f"{iso4217.from_minor(line.value_minor, one.declaration.currency):f}",
            "currency": one.declaration.currency,
        }
        for one in declared
        for number, line in enumerate(one.declaration.lines, start=1)
    ]


def _goods(books: Books, content: Inside, order: Order) -> list[Goods]:
    parts = content.parts
    said = {one.line_no: one.category for one in books.find(CustomsParticulars, order_number=order.number)}
    prices = {line.line_no: line.unit_price_minor for line in books.find(OrderLine, order_number=order.number)}
    weights: dict[str, list[UnitWeight]] = defaultdict(list)
    for one in books.find(UnitWeight, part_number=sorted(parts)):
        weights[one.part_number].append(one)
    return [
        Goods(
            part_number=bag.part_number,
            description=parts[bag.part_number].customs_description,
            hs_code=parts[bag.part_number].hs_code,
            origin=parts[bag.part_number].origin,
            pieces=bag.pieces,
            net_g=_net_g(books, bag, weight_for_lot(weights[bag.part_number], bag.lot)),
            value_minor=bag.pieces * prices[bag.line_no],
            category=said.get(bag.line_no) or said.get(0) or SALE,
        )
        for bag in content.bags
    ]


def _net_g(books: Books, bag: Bag, weight: LotWeight | None) -> Decimal:
    """Pieces times unit weight to the milligram; from the bag's own weighing where the part has none, else 0."""
    if weight is not None:
        return Decimal(repr(round(bag.pieces * weight.record.mean_g, 3)))
    passed = books.find(WeighingRecord, kind=WeighedKind.BAG, subject=bag.code, verdict=Verdict.PASSED)
    return max(passed[-1].indication_g - passed[-1].tare_g, Decimal(0)) if passed else Decimal(0)
