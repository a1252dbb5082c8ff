"""Which boxes an order's bags go into: as few as can be, each as small as can be, with a bound on how few.

A set of bags may share a box when one box type holds its volume, its gross mass and its longest piece, and none of
its hazards must be kept apart. Bags are first packed heaviest-and-fullest first into open boxes (first fit
decreasing; with one size and one box never more than 11/9 of the fewest and two thirds of a box, Dósa 2007, doi
10.1007/978-3-540-74450-4_1). Where that is above the bound of :mod:`fulfil.planning.boxes.box_bounds`, the search of
:mod:`fulfil.planning.boxes.box_search` looks for fewer until it has proven the number or spent its steps. Last, each
box becomes the smallest type that holds its bags, heaviest at the bottom.

>>> from fulfil.records.tiny import BOX
>>> plan = box_bags([Packed("B1", 40_000, 120.0, 20), Packed("B2", 30_000, 80.0, 15)], [BOX])
>>> [(box.box_type.code, box.bag_codes, round(box.fill, 2)) for box in plan.boxes], plan.fewest, plan.is_proven
([('box-1', ('B1', 'B2'), 0.13)], 1, True)

Limits: bags are soft, so volume with a fill fraction stands for their shape; a piece is taken as stiff, so its length
must lie flat on the floor of the box. The bound takes the largest volume and load of any box type together.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, dist

from fulfil.errors import PlanRefused
from fulfil.planning.boxes.box_bounds import apart_bound, martello_toth_bound
from fulfil.planning.boxes.box_search import fewest_groups
from fulfil.records.equipment import BoxType

SEARCH_STEPS = 20_000
"""How many placings the search tries before it stops with what it has; work, not seconds."""

TARE_SDS = 3.0
"""A box is counted as this many s.d. heavier than its mean when a limit on the gross mass is kept."""


@dataclass(frozen=True)
class Packed:
    """A bag as the packer sees it: code, volume in mm³, gross mass in g, longest piece in mm, hazard words."""

    code: str
    volume_mm3: float
    mass_g: float
    longest_mm: int
    hazards: frozenset[str] = frozenset()


@dataclass(frozen=True)
class BoxedBags:
    """One box and the codes of its bags, heaviest first (they lie at the bottom); ``fill`` is of its usable volume."""

    box_type: BoxType
    bag_codes: tuple[str, ...]
    fill: float


@dataclass(frozen=True)
class BoxPlan:
    """The boxes of one order; ``fewest`` is a number that no packing can beat."""

    boxes: tuple[BoxedBags, ...]
    fewest: int

    @property
    def is_proven(self) -> bool:
        """Whether no packing has fewer boxes."""
        return len(self.boxes) == self.fewest


def longest_inside_mm(box: BoxType) -> float:
    """The longest straight piece that a box takes: its space diagonal would bend bags, so the floor diagonal."""
    sides = sorted((box.length_mm, box.width_mm, box.height_mm))
    return dist((0, 0), sides[1:])


def box_bags(
    bags: Sequence[Packed],
    boxes: Sequence[BoxType],
    *,
    most_gross_g: float = float("inf"),
    keep_apart: Mapping[str, frozenset[str]] = {},
    search_steps: int = SEARCH_STEPS,
) -> BoxPlan:
    """Boxes for the bags of one order.

    Args:
        bags: one or more.
        boxes: the box types to choose from.
        most_gross_g: a service's limit on the closed package; box and cushioning count with ``TARE_SDS`` s.d.
        keep_apart: for a hazard word, the words that may not share its box.
        search_steps: the search's budget.

    Ties: equal bags by code; equal boxes by code.

    Raises:
        PlanRefused: when a bag fits no box.
    """
    room = _Room(tuple(sorted(boxes, key=_by_size)), most_gross_g)
    for bag in bags:
        if room.smallest([bag]) is None:
            raise PlanRefused("box the bag", bag.code, "a box type that holds its volume, mass and longest piece")
    ordered = sorted(bags, key=lambda bag: (-room.fullness(bag), bag.code))
    apart = [
        frozenset(j for j, other in enumerate(ordered) if other is not bag and _must_part(bag, other, keep_apart))
        for bag in ordered
    ]
    fewest = max(1, apart_bound(apart), room.bound(ordered))
    found = fewest_groups(
        [(bag.volume_mm3, bag.mass_g, bag.longest_mm) for bag in ordered],
        room.kinds(),
        apart,
        bound=fewest,
        search_steps=search_steps,
    )
    boxed = []
    for places in found.groups:
        content = [ordered[place] for place in places]
        box = room.smallest(content)
        if box is not None:
            heaviest_first = sorted(content, key=lambda bag: (-bag.mass_g, bag.code))
            fill = sum(bag.volume_mm3 for bag in content) / box.usable_volume_mm3
            boxed.append(BoxedBags(box, tuple(bag.code for bag in heaviest_first), fill))
    return BoxPlan(tuple(boxed), found.fewest)


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

    def most_load_g(self, box: BoxType) -> float:
        """What may lie in a box."""
        empty_g = float(box.tare_g + box.cushioning_g) + TARE_SDS * dist((0, 0), (box.tare_sd_g, box.cushioning_sd_g))
        return min(float(box.max_load_g), self.most_gross_g - empty_g)

    def smallest(self, bags: Sequence[Packed]) -> BoxType | None:
        """The smallest box type that holds the bags."""
        volume = sum(bag.volume_mm3 for bag in bags)
        load = sum(bag.mass_g for bag in bags)
        longest = max(bag.longest_mm for bag in bags)
        for box in self.by_size:
            is_large = volume <= box.usable_volume_mm3 and load <= self.most_load_g(box)
            if is_large and longest <= longest_inside_mm(box):
                return box
        return None

    @property
    def largest(self) -> tuple[float, float]:
        """The largest volume in mm³ and load in g of any box type."""
        return max(box.usable_volume_mm3 for box in self.by_size), max(self.most_load_g(box) for box in self.by_size)

    def kinds(self) -> list[tuple[float, float, float]]:
        """Volume, load and longest piece of each box type, smallest first."""
        return [(float(box.usable_volume_mm3), self.most_load_g(box), longest_inside_mm(box)) for box in self.by_size]

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
