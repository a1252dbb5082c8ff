"""The papers of packages as sheets: packing list, package labels."""

from collections import Counter, defaultdict
from datetime import date, datetime

from fulfil.orders.places import places_of, shares_of
from fulfil.papers.despatch import packing_list
from fulfil.papers.despatch.logistic_label import LogisticLabelSheet
from fulfil.papers.despatch.package_label import PackageLabelSheet
from fulfil.papers.despatch.packed_package import PackedPackage
from fulfil.papers.despatch.packing_list import PackingLine, PackingListSheet
from fulfil.papers.numbering import OWN, After
from fulfil.papers.phrases import customer_cautions, language_of
from fulfil.papers.repeated import LIFT
from fulfil.papers.sheet import Sheet, head
from fulfil.records.despatch.dispatch import HERE, Package, PackageState
from fulfil.records.despatch.handover import ManifestVoid
from fulfil.records.despatch.service import Service
from fulfil.records.finding import Finding
from fulfil.records.identifier import Identifier
from fulfil.records.order import Order, OrderLine, OrderState
from fulfil.records.part import Part
from fulfil.records.plan import Bag
from fulfil.records.settings import Settings
from fulfil.shipping.address import address_lines
from fulfil.shipping.address_check import address_warnings
from fulfil.shop.asking import ByNumber
from fulfil.store.books import Books

OF_AN_ORDER = After("L")
"""The number of a packing list before there are packages."""


def consignee_lines(order: Order) -> tuple[str, ...]:
    """The consignee's address as lines."""
    return address_lines(
        name=order.name,
        company=order.company,
        street=order.street,
        city=order.city,
        post_code=order.post_code,
        region=order.region,
        country=order.country,
    )


def consignee_warnings(order: Order) -> list[Finding]:
    """What a person should look at in the consignee's address; never a wall."""
    return address_warnings(
        street=order.street,
        city=order.city,
        country=order.country,
        post_code=order.post_code,
        region=order.region,
        phone=order.phone,
        subject=f"order {order.number}",
    )


def shop_lines(settings: Settings) -> tuple[str, ...]:
    """The shop's own address as lines."""
    return address_lines(
        name=settings.shop_name,
        street=settings.street,
        city=settings.city,
        post_code=settings.post_code,
        region=settings.region,
        country=settings.country,
    )


def packing_list_sheet(books: Books, order: Order, *, day: date) -> PackingListSheet:
    """What was ordered, what is inside, what follows; nothing that is meant for the shop's own people."""
    settings = books.settings()
    packages = packages_of(books, order)
    now = {package.number for package in packages}
    bags = books.find(Bag, package_number=sorted(now))
    count = Counter(bag.line_no for bag in bags)
    places = places_of(books, [order.number])
    ordered = books.find(OrderLine, order_number=order.number)
    numbers = sorted({line.part_number for line in ordered} | {bag.part_number for bag in bags})
    parts = {part.number: part for part in books.find(Part, number=numbers)}
    also_in = language_of(order.country)
    lines = []
    for line in ordered:
        part = parts[line.part_number]
        shares = shares_of(line, places[order.number, line.line_no], now)
        row = PackingLine(
            line_no=line.line_no,
            part_number=part.number,
            description=part.description if part.finish in part.description else f"{part.description}, {part.finish}",
            ordered=line.pieces,
            inside=shares.now,
            to_follow=shares.to_follow,
            sent_before=shares.before,
            cancelled=shares.cancelled,
            bags=count[line.line_no],
            cautions=customer_cautions(part.hazard_words, also_in) if shares.now else (),
        )
        lines.append(row)
    number = packing_list.NUMBERED.number(packages[0].number) if packages else OF_AN_ORDER.number(order.number)
    return PackingListSheet(
        **head(settings, number, day),
        order_number=order.number,
        service=books.need(Service, order.service_code).name,
        from_lines=shop_lines(settings),
        to_lines=consignee_lines(order),
        lines=tuple(lines),
        packages=tuple(PackedPackage(number=package.number, gross_g=package.gross_g) for package in packages),
        contact=" · ".join(word for word in (settings.email, settings.phone) if word),
        also_in=also_in,
    )


def package_label_sheets(books: Books, order: Order) -> list[PackageLabelSheet]:
    """One label for each package of an order."""
    settings = books.settings()
    packages = packages_of(books, order)
    service = books.need(Service, order.service_code)
    return [
        PackageLabelSheet(
            package_number=package.number,
            order_number=order.number,
            service=service.name,
            from_lines=shop_lines(settings),
            to_lines=consignee_lines(order),
            package_no=place,
            packages=len(packages),
            gross_g=package.gross_g,
            notice=settings.notice,
            cautions=_lift(package, settings),
        )
        for place, package in enumerate(packages, start=1)
    ]


def logistic_label_sheets(books: Books, order: Order) -> list[LogisticLabelSheet]:
    """One label for each package that has a number of a GS1 prefix or of a post; none for the others."""
    numbers: dict[str, list[str]] = defaultdict(list)
    packages = sorted({package.number for package in packages_of(books, order)})
    for one in books.find(Identifier, package_number=packages):
        numbers[one.package_number].append(one.number)
    made = []
    for label in package_label_sheets(books, order) if numbers else ():
        given = numbers[label.package_number]
        sscc = next((number for number in given if number.isdigit()), "")
        s10 = next((number for number in given if not number.isdigit()), "")
        if given:
            made.append(LogisticLabelSheet(label=label, sscc=sscc, item_number=s10, post_code=order.post_code))
    return made


def order_sheets(books: Books, number: str, *, day: date) -> list[Sheet]:
    """An order's packing list and the labels of its packages: those with an SSCC or S10 number get logistic labels."""
    order = books.need(Order, number)
    logistic = logistic_label_sheets(books, order)
    has_number = {sheet.label.package_number for sheet in logistic}
    plain = [sheet for sheet in package_label_sheets(books, order) if sheet.package_number not in has_number]
    return [packing_list_sheet(books, order, day=day), *plain, *logistic]


def packages_of(books: Books, order: Order) -> list[Package]:
    """The packages of an order's present despatch, without those that are void: not yet shipped, else sent last."""
    packages = books.find(Package, order_number=order.number, state=[*HERE, PackageState.SHIPPED])
    void = {entry.package_number for entry in books.find(ManifestVoid, package_number=[one.number for one in packages])}
    held = [package for package in packages if package.number not in void]
    here = [package for package in held if not package.manifest_number]
    last = max((package.manifest_number for package in held), default="")
    return here or [package for package in held if package.manifest_number == last]


def is_heavy(package: Package, settings: Settings) -> bool:
    """Whether a package carries the lifting caution."""
    gross_g = package.expected_g if package.gross_g is None else package.gross_g
    return gross_g >= settings.lift_caution_g


def orders_with_packages(books: Books) -> list[Order]:
    """Orders whose packages are chosen, by number."""
    numbers = sorted({package.order_number for package in books.find(Package, state=[*HERE, PackageState.SHIPPED])})
    return [order for order in books.find(Order, number=numbers) if order.state is not OrderState.CANCELLED]


def _lift(package: Package, settings: Settings) -> tuple[str, ...]:
    return (LIFT,) if is_heavy(package, settings) else ()


def _packing_list(books: Books, order: Order, at: datetime) -> tuple[PackingListSheet, ...]:
    return (packing_list_sheet(books, order, day=at.date()),)


def _order_of(books: Books, package: Package) -> Order:
    return books.need(Order, package.order_number)


def _label(books: Books, package: Package, _: datetime) -> list[PackageLabelSheet]:
    labels = package_label_sheets(books, _order_of(books, package))
    return [label for label in labels if label.package_number == package.number]


def _logistic_label(books: Books, given: Identifier, _: datetime) -> list[LogisticLabelSheet]:
    labels = logistic_label_sheets(books, _order_of(books, books.need(Package, given.package_number)))
    return [one for one in labels if given.number in (one.sscc, one.item_number)]


def _given(books: Books, number: str) -> Identifier | None:
    return next(iter(books.find(Identifier, number=number)), None)


ORDERS_BY_NUMBER = (
    ByNumber(PackingListSheet, Order, _packing_list, OWN),
    ByNumber(PackingListSheet, Order, _packing_list, OF_AN_ORDER),
)
PACKAGES_BY_NUMBER = (
    ByNumber(LogisticLabelSheet, Identifier, _logistic_label, get=_given),
    ByNumber(PackageLabelSheet, Package, _label),
    ByNumber(PackingListSheet, Package, lambda books, package, at: _packing_list(books, _order_of(books, package), at)),
)
