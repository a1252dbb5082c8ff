"""Pack an order: choose its boxes, say what each should weigh, weigh it, seal it or stop.

:func:`plan_packages` chooses the boxes once every bag has passed its check; :func:`weigh_package` seals a package
whose weight is right and whose service takes it. Nothing is sealed that a service refuses: it stops for review. A
sealed package is opened again only with a reason, in the journal (:func:`reopen_package`).
"""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from fulfil.checking.package import ExpectedPackage, PackageVerdict, judge_package
from fulfil.counting.readings import must_be_shown
from fulfil.despatch.abroad.customs import (
    PackageCustoms,
    crosses_border,
    customs_of,
    customs_stops,
    reviewed_hazards,
)
from fulfil.despatch.abroad.papers_due import customs_lacks
from fulfil.despatch.boxes import box_order, for_scale
from fulfil.despatch.inside import Inside, inside
from fulfil.despatch.pack_causes import likely_causes
from fulfil.errors import StateRefused
from fulfil.orders.gates import STAYS, must_be_whole
from fulfil.orders.moving import seal
from fulfil.orders.print_check import PRINTED
from fulfil.orders.unpacking import reopen_within
from fulfil.records.despatch.dispatch import HERE, Package, PackageState
from fulfil.records.despatch.service import ServiceKind
from fulfil.records.finding import Finding
from fulfil.records.happening import Happening
from fulfil.records.order import Order, OrderState
from fulfil.records.plan import Bag, BagState
from fulfil.records.revised import revised
from fulfil.records.text import cut
from fulfil.records.weighing import Verdict, WeighedKind, WeighingRecord
from fulfil.shipping.collections import Leaving
from fulfil.shipping.limits import Insured, limits_broken
from fulfil.shop.clock import local_day
from fulfil.shop.collecting import collections_of
from fulfil.shop.printing import must_print_texts
from fulfil.standards import lithium_batteries
from fulfil.standards.segregation import parted
from fulfil.store.books import Books
from fulfil.store.shop import Shop


@dataclass(frozen=True)
class PackedOrder:
    """The packages of an order, and what keeps them from their service (nothing is cleared by an empty list)."""

    packages: tuple[Package, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True)
class PackageCheck:
    """The package as it is now, the verdict on it, what stops it, and whether its whole order is packed.

    ``papers_due`` are the customs papers that a sealed package still lacks: it is not to leave without them.
    ``leaving`` is when a sealed package is collected.
    """

    package: Package
    verdict: PackageVerdict
    findings: tuple[Finding, ...]
    order_is_packed: bool
    papers_due: tuple[Finding, ...] = ()
    leaving: Leaving | None = None


def plan_packages(shop: Shop, order_number: str, *, at: datetime, person: str) -> PackedOrder:
    """Chooses boxes for a checked order and writes its packages; asked again, returns those it has.

    Raises:
        UnknownRefused: when there is no such order.
        StateRefused: when not all of its bags have passed.
        PlanRefused: when no box holds one of its bags.
        PaperRefused: when its address can't be printed on a label; nothing was boxed.
    """
    with shop.writing() as books:
        return box_within(books, order_number, at=at, person=person)


def box_within(books: Books, order_number: str, *, at: datetime, person: str) -> PackedOrder:
    """:func:`plan_packages` inside the caller's transaction."""
    order = books.need(Order, order_number)
    contents: dict[str, Inside] = {}
    # What was sent before is no package of this despatch.
    packages = books.find(Package, order_number=order_number, state=list(HERE))
    bags = books.find(Bag, order_number=order_number, package_number="", state=BagState.PASSED)
    if not packages or bags:
        must_be_whole(books, "pack order", order)
        if order.state is not OrderState.CHECKED:
            raise StateRefused("pack order", order_number, f"all its bags to be checked; it is {order.state}")
        must_print_texts([order.number, *(getattr(order, field) for field in PRINTED)])
        boxed = box_order(books, order, bags, at, person)
        packages += [package for package, _ in boxed]
        contents = {package.number: content for package, content in boxed}
    findings = [
        finding for package in packages for finding in stops(books, package, order, contents.get(package.number))
    ]
    return PackedOrder(tuple(packages), tuple(findings))


def weigh_package(
    shop: Shop,
    number: str,
    gross_g: Decimal,
    *,
    at: datetime,
    person: str,
    scale_code: str = "",
    photo_path: str = "",
    is_simulated: bool = False,
) -> PackageCheck:
    """Weighs a package; seals it when the weight is right and nothing stops it.

    ``photo_path`` is kept with it: a photo of the open package, taken before it is closed.

    Raises:
        UnknownRefused: when there is no such package or scale.
        StateRefused: when the package is sealed already.
        WeighingRefused: when the reading can't be the scale's.
    """
    with shop.writing() as books:
        return weigh_within(
            books,
            number,
            gross_g,
            at=at,
            person=person,
            scale_code=scale_code,
            photo_path=photo_path,
            is_simulated=is_simulated,
        )


def weigh_within(
    books: Books,
    number: str,
    gross_g: Decimal,
    *,
    at: datetime,
    person: str,
    scale_code: str = "",
    photo_path: str = "",
    is_simulated: bool = False,
    bags_counted: int = 0,
) -> PackageCheck:
    """:func:`weigh_package` inside the caller's transaction; ``bags_counted`` is noted where bags were counted."""
    package = books.need(Package, number)
    if package.state not in (PackageState.PLANNED, PackageState.STOP):
        raise StateRefused("weigh package", number, f"a package that isn't sealed yet; this one is {package.state}")
    order = books.need(Order, package.order_number)
    if order.state in STAYS:
        raise StateRefused("weigh package", number, f"an order that goes on; order {order.number} is {order.state}")
    package, scale = for_scale(books, package, scale_code)
    must_be_shown(scale, gross_g, may_be_too_light=package.lower_g >= scale.min_g)
    verdict = judge_package(gross_g, _expected(package))
    if verdict.verdict is not Verdict.PASSED:
        causes = likely_causes(books, package, gross_g, scale)
        verdict = PackageVerdict(verdict.verdict, verdict.reason, causes)
    package = revised(package, {"gross_g": gross_g, "photo_path": photo_path or package.photo_path})
    content = inside(books, package)
    day = local_day(at, books.settings())
    # The declaration is made once: what stops the package and which papers it lacks both read it.
    declared = customs_of(books, package, order, day=day, content=content) if crosses_border(books, order) else None
    findings = stops(books, package, order, content, declared)
    is_sealed = verdict.verdict is Verdict.PASSED and not findings
    state = PackageState.SEALED if is_sealed else PackageState.STOP
    package = revised(package, {"state": state, "sealed_at": at if is_sealed else None})
    books.replace([package])
    weighing = WeighingRecord(
        at=at,
        person=person,
        scale_code=scale.code,
        kind=WeighedKind.PACKAGE,
        subject=number,
        indication_g=gross_g,
        verdict=verdict.verdict,
        reason=cut(verdict.reason),
        is_simulated=is_simulated,
    )
    books.add([weighing])
    books.journal(
        at=at,
        person=person,
        event=Happening.PACKAGE_SEALED if is_sealed else Happening.PACKAGE_WEIGHED,
        subject=number,
        particulars={
            "verdict": verdict.verdict,
            "reason": verdict.reason,
            "causes": verdict.likely_causes,
            "findings": [str(finding) for finding in findings],
            "photo": package.photo_path,
            **({"bags_counted": bags_counted} if bags_counted else {}),
        },
        is_simulated=is_simulated,
    )
    if is_sealed:
        seal(books, number, content.bags, at=at, person=person)
    is_packed = is_sealed and books.need(Order, order.number).state is OrderState.PACKED
    lacks = customs_lacks(books, package, order, day=day, declared=declared) if is_sealed and declared else []
    leaving = collections_of(books).next_leaving(content.service, at) if is_sealed else None
    due = tuple(lack.finding for lack in lacks)
    return PackageCheck(package, verdict, tuple(findings), is_packed, due, leaving)


def reopen_package(shop: Shop, number: str, reason: str, *, at: datetime, person: str) -> Package:
    """Opens a sealed package again: it must be checked and weighed anew; the reason stays in the journal.

    Raises:
        UnknownRefused: when there is no such package.
        StateRefused: when it isn't sealed, is on a manifest, or the reason is empty.
    """
    with shop.writing() as books:
        return reopen_within(books, number, reason, at=at, person=person)


def stops(
    books: Books,
    package: Package,
    order: Order,
    content: Inside | None = None,
    declared: PackageCustoms | None = None,
) -> list[Finding]:
    """What keeps a package from its service, or from crossing its border.

    ``content`` is what it is judged by, where that has been read; ``declared`` is its declaration, where that was made.
    """
    content = inside(books, package) if content is None else content
    gross_g = package.expected_g if package.gross_g is None else package.gross_g
    found = limits_broken(
        content.service,
        order.country,
        gross_g,
        content.box.outside_mm,
        content.transport_words,
        package.number,
        reviewed_hazards(books, package) if content.hazards else (),
        Insured(order.insured_minor, order.currency),
    )
    do = "split them over packages; the supplier's safety data sheets and local codes govern"
    source = f"package {package.number}"
    is_post = content.service.kind is ServiceKind.POSTAL
    is_reviewed = bool(content.lithium) and "lithium-battery" in reviewed_hazards(books, package)
    for said, pieces in content.lithium.items():
        review = "stop for review by a trained person; the carrier's rules and local codes govern"
        battery = lithium_batteries.parse(said)
        says = lithium_batteries.against(battery, pieces, by_post=is_post, is_reviewed=is_reviewed)
        found += [Finding(source, None, "lithium", said, one, review) for one in says]
    found += [
        Finding(source, None, "hazard", f"{first} {second}", "these goods must not share a package", do)
        for first, second in parted(content.hazards)
    ]
    return found + customs_stops(books, package, order, content, declared)


def _expected(package: Package) -> ExpectedPackage:
    return ExpectedPackage(package.expected_g, package.lower_g, package.upper_g, 0.0, package.visible_from_g)
