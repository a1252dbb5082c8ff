"""Choose the boxes of a checked order, what holds it and then what costs least, and say what each should weigh.

A bag that passed on a scale weighs what the scale said; a bag counted by hand is expected from its unit weight, with
the larger uncertainty that comes with it. Box and cushioning have their own s.d.; where the empty box was weighed, its
own indication stands in their place. The window is made for one scale, and anew when the package goes on another.
"""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from math import hypot, inf, sqrt
from typing import Any

from fulfil.checking.package import ExpectedPackage, expect_package
from fulfil.counting.count_lines import scale_of
from fulfil.counting.lot_weights import lot_weight
from fulfil.counting.scale_checks import if_usable, usable_scale, usable_scales
from fulfil.despatch.box_costs import box_cost
from fulfil.despatch.inside import Inside
from fulfil.errors import PlanRefused, WeighingRefused
from fulfil.orders.moving import box_bags as box_bags_in
from fulfil.planning.boxes.cartons import BoxPlan, Packed, box_bags
from fulfil.records.despatch.dispatch import Package
from fulfil.records.despatch.service import Service
from fulfil.records.equipment import BagType, BoxType, ScaleRecord
from fulfil.records.happening import Happening
from fulfil.records.order import Order
from fulfil.records.part import Part, UnitWeight
from fulfil.records.plan import Bag, BagState
from fulfil.records.revised import revised
from fulfil.shipping.limits import limits_broken
from fulfil.shop.clock import local_day
from fulfil.shop.numbers import next_code_at
from fulfil.standards.segregation import KEEP_APART
from fulfil.store.books import Books

_OF_SIZE = ("longest_mm", "length_girth_mm", "size_preset")


@dataclass(frozen=True)
class BagMass:
    """A bag's gross mass with its standard uncertainty, in g; ``is_weighed`` says that a scale showed it."""

    gross_g: Decimal
    u_g: float
    is_weighed: bool


@dataclass(frozen=True)
class Packing:
    """What a package weighs without its bags, in g, and the standard uncertainties that this has, by name."""

    mass_g: Decimal
    terms: tuple[tuple[str, float], ...]

    @property
    def u_g(self) -> float:
        """The standard uncertainty of all of it, in g."""
        return hypot(*(u_g for _, u_g in self.terms))


AFTER_EMPTY_SD_G = 0.2
"""S.d. of what a box gains or loses between its empty weight and its last: fluff, a strip cut longer (judgement)."""


def packing_by_type(holder: BoxType | BagType) -> Packing:
    """Box and cushioning, or one more bag, as the shop's file has them."""
    if isinstance(holder, BagType):
        return Packing(holder.tare_g, (("bag, one to the next", holder.tare_sd_g),))
    terms = (("box, one to the next", holder.tare_sd_g), ("cushioning", holder.cushioning_sd_g))
    return Packing(holder.tare_g + holder.cushioning_g, terms)


def packing_weighed(empty_g: Decimal, scale: ScaleRecord) -> Packing:
    """A box that was weighed empty, with its cushioning, on this scale."""
    u_g = scale_of(scale).indication_u_g(float(empty_g))
    return Packing(empty_g, (("empty box's weight", u_g), ("closing strip", AFTER_EMPTY_SD_G)))


def packing_of(books: Books, package: Package) -> Packing:
    """What a package weighs without its bags: as it was weighed empty, else as its box type has it."""
    if package.empty_g is None:
        return packing_by_type(books.need(BoxType, package.box_type))
    return packing_weighed(package.empty_g, books.need(ScaleRecord, package.empty_scale_code))


def package_scales(books: Books) -> list[ScaleRecord]:
    """The scales that a package may go on, the first choice first.

    Those for packages come first, the finest before; then the others, the coarsest before, for a package that is too
    light for all of those. Ties go by code.

    Raises:
        WeighingRefused: when the shop has no scale for packages.
    """
    usable = usable_scales(books)
    packing = [scale for scale in usable if scale.use == "packages"]
    if not packing:
        raise WeighingRefused("weigh packages on", "no scale", "a scale with use 'packages' in scales.csv")
    others = [scale for scale in usable if scale.use != "packages"]
    return [
        *sorted(packing, key=lambda scale: (scale.d_g, scale.code)),
        *sorted(others, key=lambda scale: (-scale.d_g, scale.code)),
    ]


def for_scale(books: Books, package: Package, code: str = "") -> tuple[Package, ScaleRecord]:
    """The package with its window as the scale it goes on shows it, and that scale.

    It is the scale named, else the one that the window was made for, else (it may not be used now) the first choice.

    Raises:
        UnknownRefused: when the shop has no such scale.
        WeighingRefused: when the scale named failed its test, or the shop has no scale for packages.
    """
    scale = usable_scale(books, code) if code else if_usable(books, package.scale_code)
    if scale is not None and scale.code == package.scale_code:
        return package, scale
    packing = packing_of(books, package)
    masses = [bag_mass(books, bag) for bag in books.find(Bag, package_number=package.number)]
    if scale is None:
        scale, window = _first_choice(books, packing, masses)
    else:
        window = window_of(books, packing, masses, scale)
    return revised(package, window_figures(scale, window)), scale


def bag_mass(books: Books, bag: Bag) -> BagMass:
    """What a checked bag weighs: its own passed indication, else what its unit weight says.

    Raises:
        WeighingRefused: a bag that was neither weighed nor can be told from a unit weight.
    """
    if bag.gross_g is not None and bag.gross_u_g is not None:
        return BagMass(bag.gross_g, bag.gross_u_g, is_weighed=True)
    weight = unit_weight_of(books, bag)
    if weight is None:
        raise WeighingRefused(
            "say what to expect of bag", bag.code, "its gross weight too: its part has no unit weight; weigh the bag"
        )
    net_u_g = hypot(sqrt(bag.pieces) * weight.piece_sd_g, bag.pieces * weight.u_g)
    mass_g = Decimal(repr(round(bag.pieces * weight.mean_g, 3))) + bag.tare_g
    return BagMass(mass_g, hypot(net_u_g, books.need(BagType, bag.bag_type).tare_sd_g), is_weighed=False)


def unit_weight_of(books: Books, bag: Bag) -> UnitWeight | None:
    """The unit weight of a bag's lot, else of its part."""
    weight = lot_weight(books, bag.part_number, bag.lot)
    return None if weight is None else weight.record


def box_order(
    books: Books, order: Order, passed: Sequence[Bag], at: datetime, person: str
) -> list[tuple[Package, Inside]]:
    """Chooses the boxes for its passed bags, writes the packages and which bag lies in which."""
    bags = {bag.code: bag for bag in passed}
    masses = {code: bag_mass(books, bag) for code, bag in bags.items()}
    parts = {part.number: part for part in books.find(Part, number=sorted({bag.part_number for bag in passed}))}
    service = books.need(Service, order.service_code)
    plan = _boxes(
        books,
        order,
        service,
        [_packed(bag, parts[bag.part_number], masses[bag.code]) for bag in passed],
        local_day(at, books.settings()),
    )
    packages = []
    for boxed in plan.boxes:
        package = _package(books, order, boxed.box_type, [masses[code] for code in boxed.bag_codes], at)
        update = {"package_number": package.number, "state": BagState.PACKED}
        inside = books.change([bags[code] for code in boxed.bag_codes], update)
        box_bags_in(books, package.number, inside, at=at, person=person)
        content = Inside(
            service,
            boxed.box_type,
            sorted(inside, key=lambda bag: bag.code),
            {bag.part_number: parts[bag.part_number] for bag in inside},
        )
        packages.append((package, content))
    books.add(package for package, _ in packages)
    particulars = {
        "packages": [package.number for package, _ in packages],
        "fewest": plan.fewest,
        "cost_minor": plan.cost,
        "least_cost_minor": plan.least_cost,
        "is_proven": plan.is_proven,
        "fill": [f"{boxed.fill:.3f}" for boxed in plan.boxes],
    }
    books.journal(at=at, person=person, event=Happening.BOXES_CHOSEN, subject=order.number, particulars=particulars)
    return packages


def _boxes(books: Books, order: Order, service: Service, packed: Sequence[Packed], day: date) -> BoxPlan:
    """The boxes that the service takes by size; if these don't hold the order, any: the package stops for review.

    Of those that hold it, the cheapest (:mod:`fulfil.despatch.box_costs`).
    """
    boxes = books.find(BoxType)
    hazards = frozenset[str]().union(*(bag.hazards for bag in packed))
    cost = box_cost(books, service, order, boxes, hazards, as_of=day)
    taken = [box for box in boxes if _takes(service, order.country, box)]
    if not boxes:
        raise PlanRefused("box order", order.number, "a box type in boxes.csv that holds its bags")

    def boxed(some: Sequence[BoxType], most_g: float) -> BoxPlan:
        return box_bags(packed, some, most_gross_g=most_g, keep_apart=KEEP_APART, cost=cost)

    most_gross_g = float(service.max_weight_g) if service.max_weight_g else inf
    for some in filter(None, (taken, boxes)):
        with suppress(PlanRefused):
            return boxed(some, most_gross_g)
    return boxed(boxes, inf)


def _takes(service: Service, country: str, box: BoxType) -> bool:
    found = limits_broken(service, country, Decimal(1), box.outside_mm, (), box.code)
    return not any(finding.field in _OF_SIZE for finding in found)


def _packed(bag: Bag, part: Part, mass: BagMass) -> Packed:
    volume_mm3 = bag.pieces * part.bulk_volume_mm3
    hazards = frozenset(part.hazard_words)
    return Packed(bag.code, volume_mm3, float(mass.gross_g), part.sides_mm, hazards, bag.pieces)


def _package(books: Books, order: Order, box: BoxType, masses: Sequence[BagMass], at: datetime) -> Package:
    return Package(
        number=next_code_at(books, "P", at),
        order_number=order.number,
        service_code=order.service_code,
        box_type=box.code,
        **window_figures(*_first_choice(books, packing_by_type(box), masses)),
    )


def _first_choice(books: Books, packing: Packing, masses: Sequence[BagMass]) -> tuple[ScaleRecord, ExpectedPackage]:
    """The first scale between whose Min and Max the window lies, else the package scale that comes nearest to it."""
    choices = []
    for scale in package_scales(books):
        window = window_of(books, packing, masses, scale)
        if scale.min_g <= window.lower_g and window.upper_g <= scale.max_g:
            return scale, window
        choices.append((scale, window))
    for_packages = [choice for choice in choices if choice[0].use == "packages"]
    able = [(scale, window) for scale, window in for_packages if window.expected_g <= scale.max_g]
    return able[0] if able else for_packages[-1]


def window_of(books: Books, packing: Packing, masses: Sequence[BagMass], scale: ScaleRecord) -> ExpectedPackage:
    """What bags and what holds them should weigh, within which window on this scale."""
    settings = books.settings()
    gross_g = float(packing.mass_g) + sum(float(mass.gross_g) for mass in masses)
    return expect_package(
        [(mass.gross_g, mass.u_g) for mass in masses],
        box_tare_g=packing.mass_g,
        box_tare_sd_g=packing.u_g,
        indication_u_g=scale_of(scale).indication_u_g(gross_g),
        d_g=scale.d_g,
        risk_pass=settings.risk_pass,
        risk_reject=settings.risk_reject,
    )


def window_figures(scale: ScaleRecord, window: ExpectedPackage) -> dict[str, Any]:
    """A window as a package keeps it, with the scale that it was made for."""
    return {
        "scale_code": scale.code,
        "expected_g": window.expected_g,
        "lower_g": window.lower_g,
        "upper_g": window.upper_g,
        "visible_from_g": window.visible_from_g,
    }
