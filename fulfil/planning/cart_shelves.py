"""Where each order's bags ride on a cart: heavy below, within each position's share, sharp and fragile goods apart.

Positions are numbered from the lowest level up, and each level has as many as the next, or one more if below. On a cart
of several levels the orders that are heaviest for each of their positions get the first ones (ties by order number), so
that the cart stands firm and nobody lifts much up; on a cart of one level they stand by order number.

Inside an order that takes several positions bags fill one after the other in the order of their bins, so that whoever
walks fills one position before the next. Where a position would then hold more than its share of volume or load, or a
sharp bag beside a fragile one, the bags are shared out anew: the one that takes most of a position first, each into the
first position where it has room and no such neighbour, else into the least filled one. What still can't be is told.

>>> shelves = Shelves(positions=4, levels=2, volume_mm3=10.0, mass_g=100.0)
>>> [shelves.level_of(position) for position in (1, 2, 3, 4)]
[1, 1, 2, 2]
>>> first_positions([("A", 1, 30.0), ("B", 2, 190.0), ("C", 1, 80.0)], shelves)
[4, 1, 3]
>>> share_out([OnCart(6, 20, is_fragile=True), OnCart(3, 20, is_sharp=True), OnCart(6, 20)], 2, shelves)
(0, 1, 1)

Limits: bags are put in as they are picked, so what breaks may lie below until it is laid on top: the pick list says so.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, permutations

from fulfil.records.settings import Settings

OVERFULL, SHARP_BESIDE_FRAGILE = "more than its share of the cart", "sharp beside fragile goods"
"""What can be wrong with a position."""


@dataclass(frozen=True)
class Shelves:
    """A cart: its positions, the levels they are shared out over, and what one position takes."""

    positions: int
    levels: int
    volume_mm3: float
    mass_g: float

    @classmethod
    def of(cls, settings: Settings) -> "Shelves":
        """The shop's cart: each position has an equal share."""
        positions, load_g = settings.cart_positions, float(settings.cart_max_load_g)
        return cls(positions, settings.cart_levels, settings.cart_volume_mm3 / positions, load_g / positions)

    def level_of(self, position: int) -> int:
        """The level of a position, both counted from 1 at the bottom."""
        return (position - 1) * min(self.levels, self.positions) // self.positions + 1


@dataclass(frozen=True)
class OnCart:
    """A bag on a cart."""

    volume_mm3: float
    mass_g: float
    is_fragile: bool = False
    is_sharp: bool = False

    def share(self, shelves: Shelves) -> float:
        """How much of a position it takes, of volume or load, whichever is more."""
        return max(self.volume_mm3 / shelves.volume_mm3, self.mass_g / shelves.mass_g)


def first_positions(loads: Sequence[tuple[str, int, float]], shelves: Shelves) -> list[int]:
    """The first position of each load, which is an order's number, how many positions it takes, and its mass in g."""

    def turn(index: int) -> tuple[float, str, int]:
        number, positions, mass_g = loads[index]
        return (-mass_g / positions if shelves.levels > 1 else 0.0, number, index)

    order = sorted(range(len(loads)), key=turn)
    first = dict(zip(order, accumulate((loads[index][1] for index in order), initial=1), strict=False))
    return [first[index] for index in range(len(loads))]


def share_out(bags: Sequence[OnCart], positions: int, shelves: Shelves) -> tuple[int, ...]:
    """For each bag of one order, given in the order of their bins, in which of its positions it rides, from 0."""
    in_turn = _in_turn(bags, positions)
    if positions == 1 or not any(troubles(some, shelves) for some in _by_position(bags, in_turn, positions)):
        return in_turn
    order = sorted(range(len(bags)), key=lambda index: (-bags[index].share(shelves), index))
    riding: list[list[OnCart]] = [[] for _ in range(positions)]
    found = [0] * len(bags)
    for index in order:
        fits = [place for place in range(positions) if not troubles([*riding[place], bags[index]], shelves)]
        least = min(range(positions), key=lambda place: (_filled(riding[place], shelves), place))
        found[index] = fits[0] if fits else least
        riding[found[index]].append(bags[index])
    return tuple(found)


def troubles(bags: Sequence[OnCart], shelves: Shelves) -> tuple[str, ...]:
    """What is wrong with these bags in one position; a bag that takes more than one by itself is no trouble alone."""
    said = []
    if len(bags) > 1 and _filled(bags, shelves) > 1:
        said.append(OVERFULL)
    if any(one.is_sharp and other.is_fragile for one, other in permutations(bags, 2)):
        said.append(SHARP_BESIDE_FRAGILE)
    return tuple(said)


def _filled(bags: Sequence[OnCart], shelves: Shelves) -> float:
    volume_mm3, mass_g = sum(bag.volume_mm3 for bag in bags), sum(bag.mass_g for bag in bags)
    # Sums of floats: a position that is exactly full isn't too full.
    return round(max(volume_mm3 / shelves.volume_mm3, mass_g / shelves.mass_g), 9)


def _in_turn(bags: Sequence[OnCart], positions: int) -> tuple[int, ...]:
    """Each position filled in turn by volume."""
    share_mm3 = sum(bag.volume_mm3 for bag in bags) / positions
    found, filled_mm3 = [], 0.0
    for bag in bags:
        found.append(min(positions - 1, int(filled_mm3 / share_mm3)))
        filled_mm3 += bag.volume_mm3
    return tuple(found)


def _by_position(bags: Sequence[OnCart], found: Sequence[int], positions: int) -> list[list[OnCart]]:
    return [[bag for bag, place in zip(bags, found, strict=True) if place == one] for one in range(positions)]
