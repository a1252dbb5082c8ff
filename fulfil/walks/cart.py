"""What an order takes on a cart: positions by volume and mass, split over carts when it needs more than one has.

A position offers an equal share of the cart's volume and load; an order takes as many positions as it needs, so that
a cart whose positions suffice is neither too full nor too heavy. Which positions those are, and which bag rides in
which of them, is for :mod:`fulfil.planning.cart_shelves`; what can't ride as it should is a finding.

>>> positions_needed(13_000_000, 2_500.0, Settings())
3
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil

from fulfil.counting.count_lines import Counted
from fulfil.errors import PlanRefused
from fulfil.planning.cart_shelves import (
    OVERFULL,
    SHARP_BESIDE_FRAGILE,
    OnCart,
    Shelves,
    first_positions,
    share_out,
    troubles,
)
from fulfil.records.finding import Finding
from fulfil.records.part import Part, UnitWeight
from fulfil.records.place import Bin
from fulfil.records.settings import Settings
from fulfil.walks.floor import Floor

DO = {
    OVERFULL: "put some of its bags where there is room on the cart, heavy ones low",
    SHARP_BESIDE_FRAGILE: "guard the tips, and lay the fragile bag apart or on top",
}
"""What a picker does about each trouble."""


@dataclass(frozen=True)
class PlannedBag:
    """A bag before it has a number: whose it is, where its pieces lie, how they are counted."""

    order_number: str
    line_no: int
    place: Bin
    unit_weight: UnitWeight | None
    counted: Counted

    @property
    def mass_g(self) -> float:
        """Expected gross mass; a part that was never weighed counts its bag alone."""
        net_g = 0.0 if self.unit_weight is None else self.counted.pieces * self.unit_weight.mean_g
        return float(self.counted.bag_type.tare_g) + net_g


@dataclass(frozen=True)
class CartLoad:
    """The bags of one order that ride together, and how many positions they take."""

    order_number: str
    bags: tuple[PlannedBag, ...]
    positions: int


def positions_needed(volume_mm3: float, mass_g: float, settings: Settings) -> int:
    """Positions that a volume and a mass need, at least one."""
    by_volume = ceil(volume_mm3 * settings.cart_positions / settings.cart_volume_mm3)
    by_mass = ceil(mass_g * settings.cart_positions / float(settings.cart_max_load_g))
    return max(1, by_volume, by_mass)


def cart_loads(bags: Sequence[PlannedBag], settings: Settings, floor: Floor) -> list[CartLoad]:
    """The loads of one order: one if it fits a cart, else several, cut in the order of the bins along the aisles.

    Raises:
        PlanRefused: when a single bag is too large or too heavy for a cart.
    """
    along = sorted(bags, key=lambda bag: (floor.stop_of(bag.place), bag.place.code, bag.line_no))
    loads: list[CartLoad] = []
    riding: list[PlannedBag] = []
    for bag in along:
        if _positions([bag], settings) > settings.cart_positions:
            raise PlanRefused(
                "put on a cart the bag of part", bag.place.part_number, "a bag that a cart's volume and load can take"
            )
        if _positions([*riding, bag], settings) > settings.cart_positions:
            loads.append(CartLoad(bag.order_number, tuple(riding), _positions(riding, settings)))
            riding = []
        riding.append(bag)
    loads.append(CartLoad(riding[0].order_number, tuple(riding), _positions(riding, settings)))
    return loads


def on_cart(loads: Sequence[CartLoad], settings: Settings, parts: Mapping[str, Part]) -> list[tuple[PlannedBag, int]]:
    """The bags of one cart with their positions."""
    shelves = Shelves.of(settings)
    masses = [(load.order_number, load.positions, sum(bag.mass_g for bag in load.bags)) for load in loads]
    riding: list[tuple[PlannedBag, int]] = []
    for load, first in zip(loads, first_positions(masses, shelves), strict=True):
        places = share_out([_bag_on_cart(bag, parts) for bag in load.bags], load.positions, shelves)
        riding += [(bag, first + place) for bag, place in zip(load.bags, places, strict=True)]
    return riding


def cart_findings(
    riding: Sequence[tuple[PlannedBag, int]], settings: Settings, parts: Mapping[str, Part]
) -> list[Finding]:
    """What rides on one cart as it should not, by position; ``riding`` as :func:`on_cart` gives it."""
    by_position: dict[tuple[int, str], list[OnCart]] = defaultdict(list)
    for bag, position in riding:
        by_position[position, bag.order_number].append(_bag_on_cart(bag, parts))
    return [
        Finding(f"order {number}", None, "cart position", str(position), f"holds {says}", DO[says])
        for (position, number), bags in sorted(by_position.items())
        for says in troubles(bags, Shelves.of(settings))
    ]


def _bag_on_cart(bag: PlannedBag, parts: Mapping[str, Part]) -> OnCart:
    part = parts[bag.place.part_number]
    volume_mm3 = float(bag.counted.bag_type.usable_volume_mm3)
    return OnCart(volume_mm3, bag.mass_g, is_fragile=part.is_fragile, is_sharp="sharp" in part.hazard_words)


def _positions(bags: Sequence[PlannedBag], settings: Settings) -> int:
    volume_mm3 = sum(bag.counted.bag_type.usable_volume_mm3 for bag in bags)
    return positions_needed(volume_mm3, sum(bag.mass_g for bag in bags), settings)
