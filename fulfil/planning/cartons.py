"""Which boxes an order's bags go into: as few as can be, each as small as can be.

Bags are packed heaviest first into open boxes (first fit decreasing by the fuller of volume and load, see
Martello & Toth, *Knapsack Problems*, 1990, chapter 8); when all bags are placed, each box is changed to the smallest
type that still holds its bags. The number of boxes is compared with a bound that no packing can beat: the whole volume
and the whole load, each over the largest box.

>>> from fulfil.records.tiny import BOX
>>> box_bags([Packed("B1", 40_000.0, 120.0, 20), Packed("B2", 30_000.0, 80.0, 15)], [BOX])[0].box_type.code
'box-1'

Limits: bags are soft, so volume with a fill fraction stands for their shape; only the longest side is a hard length.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, dist

from fulfil.errors import PlanRefused
from fulfil.records.equipment import BoxType


@dataclass(frozen=True)
class Packed:
    """A bag as the packer sees it: code, volume in mm³, gross mass in g, longest piece in mm."""

    code: str
    volume_mm3: float
    mass_g: float
    longest_mm: int


@dataclass(frozen=True)
class BoxedBags:
    """One box and the codes of its bags, heaviest first (they lie at the bottom)."""

    box_type: BoxType
    bag_codes: tuple[str, ...]


def longest_inside_mm(box: BoxType) -> float:
    """The longest straight piece that a box takes: its space diagonal would bend bags, so the floor diagonal."""
    sides = sorted((box.length_mm, box.width_mm, box.height_mm))
    return dist((0, 0), sides[1:])


def fewest_boxes(bags: Sequence[Packed], boxes: Sequence[BoxType]) -> int:
    """A number of boxes that no packing can beat: total volume and total load over the largest box of each kind."""
    volume = sum(bag.volume_mm3 for bag in bags) / max(box.usable_volume_mm3 for box in boxes)
    load = sum(bag.mass_g for bag in bags) / float(max(box.max_load_g for box in boxes))
    return max(1, ceil(max(volume, load) - 1e-9))


def box_bags(bags: Sequence[Packed], boxes: Sequence[BoxType], *, most_load_g: float = float("inf")) -> list[BoxedBags]:
    """Boxes for the bags of one order; ``most_load_g`` is a service's limit on what may lie in one box.

    Ties: equal bags by code; equal boxes by code.

    Raises:
        PlanRefused: when a bag fits no box.
    """
    by_size = sorted(boxes, key=lambda box: (box.usable_volume_mm3, box.max_load_g, box.code))
    for bag in bags:
        if _smallest([bag], by_size, most_load_g) is None:
            raise PlanRefused("box the bag", bag.code, "a box type that holds its volume, mass and longest piece")
    filled: list[list[Packed]] = []
    for bag in sorted(bags, key=lambda bag: (-_fullness(bag, by_size[-1]), bag.code)):
        for content in filled:
            if _smallest([*content, bag], by_size, most_load_g) is not None:
                content.append(bag)
                break
        else:
            filled.append([bag])
    boxed = []
    for content in filled:
        box = _smallest(content, by_size, most_load_g)
        if box is not None:
            heaviest_first = sorted(content, key=lambda bag: (-bag.mass_g, bag.code))
            boxed.append(BoxedBags(box, tuple(bag.code for bag in heaviest_first)))
    return boxed


def _fullness(bag: Packed, box: BoxType) -> float:
    return max(bag.volume_mm3 / box.usable_volume_mm3, bag.mass_g / float(box.max_load_g))


def _smallest(bags: Sequence[Packed], by_size: Sequence[BoxType], most_load_g: float) -> BoxType | None:
    volume = sum(bag.volume_mm3 for bag in bags)
    load = sum(bag.mass_g for bag in bags)
    longest = max(bag.longest_mm for bag in bags)
    for box in by_size:
        fits = volume <= box.usable_volume_mm3 and load <= min(float(box.max_load_g), most_load_g)
        if fits and longest <= longest_inside_mm(box):
            return box
    return None
