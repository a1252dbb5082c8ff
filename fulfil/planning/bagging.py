"""Into how many bags a line goes, and which bag type: by volume and load; what can be counted decides the rest.

A line of N pieces can go into k equal bags (larger ones first) when the largest share fits a bag type by bulk volume
and by load. :func:`ways_to_bag` lists the ways from the fewest bags on; the day then takes the first one whose
counts the scale can prove.

>>> equal_shares(700, 3)
(234, 233, 233)
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from fulfil.errors import PlanRefused
from fulfil.quantities import equal_shares
from fulfil.records.equipment import BagType


@dataclass(frozen=True)
class WayToBag:
    """One way: the shares of the bags, larger first, and the bag type that holds the largest."""

    shares: tuple[int, ...]
    bag_type: BagType


def ways_to_bag(
    pieces: int,
    *,
    bulk_volume_mm3: float,
    unit_weight_g: float | None,
    bag_types: Sequence[BagType],
    most_bags: int,
) -> Iterator[WayToBag]:
    """The ways to bag ``pieces``, fewest bags first, up to ``most_bags`` bags (or the fewest that hold them, if more).

    Of the bag types that fit, the one with the smallest usable volume is taken, ties by code. A part without a
    unit weight is bagged by volume alone.

    Raises:
        PlanRefused: when not even one piece fits the largest bag.
    """
    by_size = sorted(bag_types, key=lambda bag: (bag.usable_volume_mm3, bag.code))
    most_in_one = max((_holds(bag, bulk_volume_mm3, unit_weight_g) for bag in by_size), default=0)
    if most_in_one < 1:
        raise PlanRefused("bag a piece of", f"{bulk_volume_mm3:g} mm³", "a bag type that holds one piece; add one")
    fewest = -(-pieces // most_in_one)
    for bags in range(fewest, max(fewest, min(most_bags, pieces)) + 1):
        shares = equal_shares(pieces, bags)
        fits = [bag for bag in by_size if _holds(bag, bulk_volume_mm3, unit_weight_g) >= shares[0]]
        yield WayToBag(shares, fits[0])


def _holds(bag: BagType, bulk_volume_mm3: float, unit_weight_g: float | None) -> int:
    """How many pieces a bag holds."""
    by_volume = int(bag.usable_volume_mm3 / bulk_volume_mm3)
    if unit_weight_g is None:
        return by_volume
    return min(by_volume, int(bag.max_load_g / Decimal(repr(unit_weight_g))))
