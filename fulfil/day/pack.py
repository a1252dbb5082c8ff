"""Pack an order: choose its boxes, say what each should weigh, weigh it, seal it or stop.

:func:`plan_packages` chooses the boxes once every bag has passed its check; :func:`weigh_package` seals a package
whose weight is right and whose service takes it. Nothing is sealed that a service refuses: it stops for review.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from math import hypot, sqrt

from fulfil.checking.package import ExpectedPackage, PackageVerdict, expect_package, judge_package
from fulfil.day.counting import scale_of
from fulfil.day.numbers import next_code
from fulfil.errors import PlanRefused, StateRefused, WeighingRefused
from fulfil.planning.cartons import Packed, box_bags
from fulfil.records.dispatch import Package, PackageState
from fulfil.records.equipment import BagType, BoxType, ScaleRecord
from fulfil.records.finding import Finding
from fulfil.records.order import Order, OrderState
from fulfil.records.part import Part, UnitWeight
from fulfil.records.plan import Bag, BagState
from fulfil.records.service import Service
from fulfil.records.weighing import Verdict, WeighedKind, WeighingRecord
from fulfil.shipping.limits import limits_broken
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from fulfil.weighing.diagnosis import PackedBag, explain_package

MOST_CAUSES = 3


@dataclass(frozen=True)
class PackedOrder:
    """The packages of an order, and what keeps them from their service (nothing is cleared by an empty list)."""

    packages: tuple[Package, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True)
class PackageCheck:
    """The package as it is now, the verdict on it, what stops it, and whether its whole order is packed."""

    package: Package
    verdict: PackageVerdict
    findings: tuple[Finding, ...]
    order_is_packed: bool


def plan_packages(shop: Shop, order_number: str, *, at: datetime, person: str) -> PackedOrder:
    """Chooses boxes for a checked order and writes its packages; asked again, returns those it has.

    Raises:
        UnknownRefused: when there is no such order.
        StateRefused: when not all of its bags have passed.
        PlanRefused: when no box holds one of its bags.
    """
    with shop.writing() as books:
        order = books.need(Order, order_number)
        packages = books.find(Package, order_number=order_number)
        if not packages:
            if order.state is not OrderState.CHECKED:
                raise StateRefused("pack order", order_number, f"all its bags to be checked; it is {order.state}")
            packages = _box(books, order, at, person)
        findings = [finding for package in packages for finding in _stops(books, package, order)]
    return PackedOrder(tuple(packages), tuple(findings))


def weigh_package(
    shop: Shop,
    number: str,
    gross_g: Decimal,
    *,
    at: datetime,
    person: str,
    scale_code: str = "",
    is_simulated: bool = False,
) -> PackageCheck:
    """Weighs a package; seals it when the weight is right and nothing stops it.

    Raises:
        UnknownRefused: when there is no such package or scale.
        StateRefused: when the package is sealed already.
        WeighingRefused: when the reading can't be the scale's.
    """
    with shop.writing() as books:
        package = books.need(Package, number)
        if package.state not in (PackageState.PLANNED, PackageState.STOP):
            raise StateRefused("weigh package", number, f"a package that isn't sealed yet; this one is {package.state}")
        order = books.need(Order, package.order_number)
        if order.state in (OrderState.HELD, OrderState.CANCELLED):
            raise StateRefused("weigh package", number, f"an order that goes on; order {order.number} is {order.state}")
        scale = package_scale(books, scale_code)
        scale_of(scale).net_g(gross_g)
        verdict = judge_package(gross_g, _expected(package))
        if verdict.verdict is not Verdict.PASSED:
            causes = _likely_causes(books, package, gross_g, scale)
            verdict = PackageVerdict(verdict.verdict, verdict.reason, causes)
        package = package.model_copy(update={"gross_g": gross_g})
        findings = _stops(books, package, order)
        is_sealed = verdict.verdict is Verdict.PASSED and not findings
        state = PackageState.SEALED if is_sealed else PackageState.STOP
        package = package.model_copy(update={"state": state, "sealed_at": at if is_sealed else None})
        books.replace([package])
        weighing = WeighingRecord(
            at=at,
            person=person,
            scale_code=scale.code,
            kind=WeighedKind.PACKAGE,
            subject=number,
            indication_g=gross_g,
            verdict=verdict.verdict,
            reason=verdict.reason[:200],
            is_simulated=is_simulated,
        )
        books.add([weighing])
        books.journal(
            at=at,
            person=person,
            event="package weighed",
            subject=number,
            particulars={
                "verdict": verdict.verdict,
                "reason": verdict.reason,
                "causes": verdict.likely_causes,
                "findings": [str(finding) for finding in findings],
            },
            is_simulated=is_simulated,
        )
        siblings = books.find(Package, order_number=order.number)
        is_packed = all(sibling.state is PackageState.SEALED for sibling in siblings)
        if is_packed:
            books.replace([order.model_copy(update={"state": OrderState.PACKED})])
    return PackageCheck(package, verdict, tuple(findings), is_packed)


def package_scale(books: Books, code: str = "") -> ScaleRecord:
    """The scale for packages: the one named, else the finest meant for packages (ties by code).

    Raises:
        UnknownRefused: when the shop has no such scale.
    """
    if code:
        return books.need(ScaleRecord, code)
    scales = sorted(books.find(ScaleRecord, use="packages"), key=lambda scale: (scale.d_g, scale.code))
    if not scales:
        raise WeighingRefused("weigh packages on", "no scale", "a scale with use 'packages' in scales.csv")
    return scales[0]


def _expected(package: Package) -> ExpectedPackage:
    return ExpectedPackage(package.expected_g, package.lower_g, package.upper_g, 0.0, package.visible_from_g)


def _box(books: Books, order: Order, at: datetime, person: str) -> list[Package]:
    """Chooses the boxes and writes the packages and which bag lies in which."""
    settings = books.settings()
    bags = {bag.code: bag for bag in books.find(Bag, order_number=order.number)}
    boxes = {box.code: box for box in books.find(BoxType)}
    service = books.need(Service, order.service_code)
    most_load_g = _most_load_g(service, list(boxes.values()))
    weighed = {code: _weighed(books, bag) for code, bag in bags.items()}
    packed = [_packed(books, bag, float(weighed[bag.code][0])) for bag in bags.values()]
    scale = package_scale(books)
    packages = []
    for boxed in box_bags(packed, list(boxes.values()), most_load_g=most_load_g):
        box = boxes[boxed.box_type.code]
        content = [weighed[code] for code in boxed.bag_codes]
        gross_g = float(box.tare_g) + sum(float(mass) for mass, _ in content)
        check = expect_package(
            content,
            box_tare_g=box.tare_g,
            box_tare_sd_g=box.tare_sd_g,
            indication_u_g=scale_of(scale).indication_u_g(gross_g),
            d_g=scale.d_g,
            risk_pass=settings.risk_pass,
            risk_reject=settings.risk_reject,
        )
        package = Package(
            number=next_code(books, "P", at.date()),
            order_number=order.number,
            service_code=order.service_code,
            box_type=box.code,
            expected_g=check.expected_g,
            lower_g=check.lower_g,
            upper_g=check.upper_g,
            visible_from_g=check.visible_from_g,
        )
        packages.append(package)
        update = {"package_number": package.number, "state": BagState.PACKED}
        books.replace([bags[code].model_copy(update=update) for code in boxed.bag_codes])
    books.add(packages)
    particulars = {"packages": [package.number for package in packages]}
    books.journal(at=at, person=person, event="boxes chosen", subject=order.number, particulars=particulars)
    return packages


def _most_load_g(service: Service, boxes: Sequence[BoxType]) -> float:
    """What may lie in one box for a service: its weight limit less the heaviest box and its spread."""
    if not service.max_weight_g:
        return float("inf")
    empty_g = max(float(box.tare_g) + 3 * box.tare_sd_g for box in boxes)
    load_g = float(service.max_weight_g) - empty_g
    if load_g <= 0:
        raise PlanRefused("pack for service", service.code, "a weight limit above the empty boxes")
    return load_g


def _packed(books: Books, bag: Bag, mass_g: float) -> Packed:
    part = books.need(Part, bag.part_number)
    return Packed(bag.code, bag.pieces * part.bulk_volume_mm3, mass_g, part.longest_mm)


def _weighed(books: Books, bag: Bag) -> tuple[Decimal, float]:
    """A bag's gross mass and its standard uncertainty: its own passed indication, else from its unit weight."""
    passed = books.find(WeighingRecord, kind=WeighedKind.BAG, subject=bag.code, verdict=Verdict.PASSED)
    if passed:
        scale = books.need(ScaleRecord, passed[-1].scale_code)
        return passed[-1].indication_g, scale_of(scale).indication_u_g(float(passed[-1].indication_g))
    weight = books.get(UnitWeight, bag.part_number, bag.lot) or books.get(UnitWeight, bag.part_number, "")
    if weight is None:
        raise WeighingRefused(
            "say what to expect of bag", bag.code, "its gross weight too: its part has no unit weight; weigh the bag"
        )
    bag_type = books.need(BagType, bag.bag_type)
    net_u_g = hypot(sqrt(bag.pieces) * weight.piece_sd_g, bag.pieces * weight.u_g)
    mass_g = Decimal(repr(round(bag.pieces * weight.mean_g, 3))) + bag.tare_g
    return mass_g, hypot(net_u_g, bag_type.tare_sd_g)


def _stops(books: Books, package: Package, order: Order) -> list[Finding]:
    """What keeps a package from its service."""
    box = books.need(BoxType, package.box_type)
    parts = [books.need(Part, bag.part_number) for bag in books.find(Bag, package_number=package.number)]
    hazards = {word for part in parts for word in part.hazard_words}
    gross_g = package.expected_g if package.gross_g is None else package.gross_g
    service = books.need(Service, package.service_code)
    return limits_broken(service, order.country, gross_g, box.outside_mm, hazards, package.number)


def _likely_causes(books: Books, package: Package, gross_g: Decimal, scale: ScaleRecord) -> tuple[str, ...]:
    """The most likely explanations of a package's weight, as sentences with probabilities."""
    box = books.need(BoxType, package.box_type)
    bags = []
    for bag in books.find(Bag, package_number=package.number):
        mass_g, u_g = _weighed(books, bag)
        weight = books.get(UnitWeight, bag.part_number, bag.lot) or books.get(UnitWeight, bag.part_number, "")
        unit_weight_g = (float(mass_g - bag.tare_g) / bag.pieces) if weight is None else weight.mean_g
        tare_g = float(mass_g) - bag.pieces * unit_weight_g
        bags.append(PackedBag(bag.code, bag.part_number, bag.pieces, unit_weight_g, 0.0, 0.0, max(0.0, tare_g), u_g))
    found = explain_package(
        float(gross_g),
        bags,
        packing_g=float(box.tare_g),
        packing_sd_g=box.tare_sd_g,
        indication_u_g=scale_of(scale).indication_u_g(float(gross_g)),
    )
    return tuple(f"{cause.sentence} ({cause.probability:.0%})" for cause in found[:MOST_CAUSES])
