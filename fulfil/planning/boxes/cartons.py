"""Which boxes an order's bags go into: what holds them, then what costs least, with a bound on how far it may be.

A set of bags may share a box when one box type holds its volume and its gross mass, each of its stiffest pieces lies in
it (:mod:`fulfil.planning.boxes.rigid`), those too thick to lie upon each other find place side by side, and none of its
hazards must be kept apart. Bags are first packed heaviest-and-fullest first into open boxes (first fit decreasing; with
one size and one box never more than 11/9 of the fewest and two thirds of a box, Dósa 2007, doi
10.1007/978-3-540-74450-4_1). The search of :mod:`fulfil.planning.boxes.box_search` then looks for a cheaper packing
until it has proven the cost or spent its steps. Last, each box becomes the cheapest type that holds its bags, heaviest
at the bottom.

Costs are whole packages: what the service charges, the box, the work. Ties: of packings that cost the same the one of
fewer boxes, then the one found first (fullest bags first); of box types that cost the same for the same bags the one of
the smallest usable volume, then of the smallest load, then by code. Without costs that leaves the fewest boxes, each as
small as can be.

>>> from fulfil.records.tiny import BOX
>>> plan = box_bags([Packed("B1", 40_000, 120.0, (20, 20, 20)), Packed("B2", 30_000, 80.0, (15, 6, 6))], [BOX])
>>> [(box.box_type.code, box.bag_codes, round(box.fill, 2)) for box in plan.boxes], plan.fewest, plan.is_proven
([('box-1', ('B1', 'B2'), 0.13)], 1, True)

Limits: bags are soft, so volume with a fill fraction stands for their shape; of pieces, how they are turned about each
other isn't tried. The bound on boxes takes the largest volume and load of any box type together.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from math import ceil, dist, floor, inf

from fulfil.errors import PlanRefused
from fulfil.planning.boxes.box_bounds import apart_bound, martello_toth_bound
from fulfil.planning.boxes.box_search import Item, Kind, cheapest_groups
from fulfil.planning.boxes.rigid import Sides, floor_mm2, footprint_mm2, lies_in
from fulfil.records.equipment import BoxType

SEARCH_STEPS = 20_000
"""How many placings the search tries before it stops with what it has; work, not seconds."""

TARE_SDS = 3.0
"""A box is counted as this many s.d. heavier than its mean when a limit on the gross mass is kept."""

_HAIR = 1e-6


@dataclass(frozen=True)
class Packed:
    """A bag as the packer sees it: code, volume in mm³, gross mass in g, sides of one piece in mm, hazards, pieces."""

    code: str
    volume_mm3: float
    mass_g: float
    sides_mm: Sides
    hazards: frozenset[str] = frozenset()
    pieces: int = 1


@dataclass(frozen=True)
class BoxedBags:
    """One box and the codes of its bags, heaviest first (they lie at the bottom); ``fill`` is of its usable volume."""

    box_type: BoxType
    bag_codes: tuple[str, ...]
    fill: float


@dataclass(frozen=True)
class BoxPlan:
    """The boxes of one order; ``fewest`` and ``least_cost`` are what no packing can beat; costs are 0 without prices.

    ``is_proven``: no packing costs less, and none that costs the same has fewer boxes.
    """

    boxes: tuple[BoxedBags, ...]
    fewest: int
    cost: int
    least_cost: int
    is_proven: bool


def takes_piece(box: BoxType, sides_mm: Sides) -> bool:
    """Whether a piece lies in an empty box."""
    return lies_in(sides_mm, box.inside_mm)


def no_cost(_: BoxType, __: float) -> int:
    """Where nothing has a price."""
    return 0


def box_bags(
    bags: Sequence[Packed],
    boxes: Sequence[BoxType],
    *,
    most_gross_g: float = float("inf"),
    keep_apart: Mapping[str, frozenset[str]] = {},
    cost: Callable[[BoxType, float], int] = no_cost,
    search_steps: int = SEARCH_STEPS,
) -> BoxPlan:
    """Boxes for the bags of one order.

    Args:
        bags: one or more.
        boxes: the box types to choose from.
        most_gross_g: a service's limit on the closed package; box and cushioning count with ``TARE_SDS`` s.d.
        keep_apart: for a hazard word, the words that may not share its box.
        cost: what a package costs, in minor units of one currency, from its box type and what its bags weigh in g; it
            must not fall as they weigh more.
        search_steps: the search's budget.

    Ties: as above; equal bags by code.

    Raises:
        PlanRefused: when a bag fits no box.
    """
    room = _Room(tuple(sorted(boxes, key=_by_size)), most_gross_g, cost)
    for bag in bags:
        if room.cheapest([bag]) is None:
            sides = " x ".join(str(side) for side in bag.sides_mm)
            expected = f"a box type that holds its volume, its mass and a piece of {sides} mm"
            raise PlanRefused("box the bag", bag.code, expected)
    ordered = sorted(bags, key=lambda bag: (-room.fullness(bag), bag.code))
    apart = [
        frozenset(j for j, other in enumerate(ordered) if other is not bag and _must_part(bag, other, keep_apart))
        for bag in ordered
    ]
    fewest = max(1, apart_bound(apart), room.bound(ordered))
    found = cheapest_groups(
        [room.item(bag) for bag in ordered], room.kinds(), apart, bound=fewest, search_steps=search_steps
    )
    boxed = []
    for places in found.groups:
        content = [ordered[place] for place in places]
        box = room.cheapest(content)
        if box is not None:  # the search has put together only what a kind takes
            heaviest_first = sorted(content, key=lambda bag: (-bag.mass_g, bag.code))
            fill = sum(bag.volume_mm3 for bag in content) / box.usable_volume_mm3
            boxed.append(BoxedBags(box, tuple(bag.code for bag in heaviest_first), fill))
    return BoxPlan(tuple(boxed), found.fewest, found.cost, found.least_cost, found.is_proven)


def _by_size(box: BoxType) -> tuple[int, float, str]:
    return box.usable_volume_mm3, float(box.max_load_g), box.code


def _must_part(bag: Packed, other: Packed, keep_apart: Mapping[str, frozenset[str]]) -> bool:
    return any(
        word in keep_apart.get(theirs, ()) or theirs in keep_apart.get(word, ())
        for word in bag.hazards
        for theirs in other.hazards
    )


@dataclass(frozen=True)
class _Room:
    """The box types, smallest first, under a limit on the gross mass."""

    by_size: tuple[BoxType, ...]
    most_gross_g: float
    cost: Callable[[BoxType, float], int]

    def most_load_g(self, box: BoxType) -> float:
        """What may lie in a box."""
        empty_g = float(box.tare_g + box.cushioning_g) + TARE_SDS * dist((0, 0), (box.tare_sd_g, box.cushioning_sd_g))
        return min(float(box.max_load_g), self.most_gross_g - empty_g)

    def cheapest(self, bags: Sequence[Packed]) -> BoxType | None:
        """The cheapest box type that holds the bags, of equal ones the smallest."""
        items = [self.item(bag) for bag in bags]
        volume, load = sum(item.volume for item in items), sum(item.load for item in items)
        able = [
            (kind.cost(load), place)
            for place, kind in enumerate(self.kinds())
            if volume <= kind.volume and load <= kind.load and sum(item.floors[place] for item in items) <= kind.floor
        ]
        return self.by_size[min(able)[1]] if able else None

    @property
    def largest(self) -> tuple[float, float]:
        """The largest volume in mm³ and load in g of any box type."""
        return max(box.usable_volume_mm3 for box in self.by_size), max(self.most_load_g(box) for box in self.by_size)

    def kinds(self) -> list[Kind]:
        """The box types as the search sees them, smallest first, in whole mm³, mg and mm²: sums of these are exact."""
        return [
            Kind(
                box.usable_volume_mm3,
                floor(1000 * self.most_load_g(box) + _HAIR) if self.most_load_g(box) < inf else inf,
                floor_mm2(box.inside_mm),
                partial(self._cost, box),
            )
            for box in self.by_size
        ]

    def _cost(self, box: BoxType, load_mg: float) -> int:
        return self.cost(box, load_mg / 1000)

    def item(self, bag: Packed) -> Item:
        """The bag as the search sees it, rounded up."""
        floors = tuple(_floor_mm2(bag, box) for box in self.by_size)
        return Item(ceil(bag.volume_mm3 - _HAIR), ceil(1000 * bag.mass_g - _HAIR), floors)

    def fullness(self, bag: Packed) -> float:
        """The larger part that a bag takes of the largest volume and load."""
        volume, load = self.largest
        return max(bag.volume_mm3 / volume, bag.mass_g / load)

    def bound(self, bags: Sequence[Packed]) -> int:
        """The Martello–Toth bound by volume or by mass, in whole mm³ and mg, sizes down and capacities up."""
        volume, load = self.largest
        volumes = [int(bag.volume_mm3) for bag in bags]
        masses = [int(bag.mass_g * 1000) for bag in bags]
        return max(martello_toth_bound(volumes, ceil(volume)), martello_toth_bound(masses, ceil(load * 1000)))


def _floor_mm2(bag: Packed, box: BoxType) -> float:
    """What the pieces of a bag take of the floor of a box, infinite where one doesn't go in."""
    if not takes_piece(box, bag.sides_mm):
        return inf
    return bag.pieces * footprint_mm2(bag.sides_mm, box.inside_mm)
