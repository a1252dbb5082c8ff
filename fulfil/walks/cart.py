"""What an order takes on a cart: positions by volume and mass, split over carts when it needs more than one has.

A position offers an equal share of the cart's volume and load; an order takes as many positions as it needs, so that
a cart whose positions suffice is neither too full nor too heavy.

>>> positions_needed(13_000_000, 2_500.0, Settings())
3
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from fulfil.counting.count_lines import Counted
from fulfil.errors import PlanRefused
from fulfil.records.part import UnitWeight
from fulfil.records.place import Bin
from fulfil.records.settings import Settings
from fulfil.walks.floor import Floor


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


def _positions(bags: Sequence[PlannedBag], settings: Settings) -> int:
    volume_mm3 = sum(bag.counted.bag_type.usable_volume_mm3 for bag in bags)
    return positions_needed(volume_mm3, sum(bag.mass_g for bag in bags), settings)
