"""Into how many bags a line goes, and which bag type: by shape, volume and load; what can be counted decides the rest.

A line of N pieces can go into k equal bags (larger ones first) when one piece goes into a bag type
(:func:`fulfil.planning.boxes.rigid.goes_into_bag`) and the largest share fits it by bulk volume and by load.
:func:`ways_to_bag` lists the ways from the fewest bags on; the day then takes the first one whose counts the scale can
prove.

>>> equal_shares(700, 3)
(234, 233, 233)
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from fulfil.errors import PlanRefused
from fulfil.planning.boxes.rigid import Sides, goes_into_bag
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
    sides_mm: Sides,
    unit_weight_g: float | None,
    bag_types: Sequence[BagType],
    most_bags: int,
) -> Iterator[WayToBag]:
    """The ways to bag ``pieces``, fewest bags first, up to ``most_bags`` bags (or the fewest that hold them, if more).

    Of the bag types that fit, the cheapest is taken where each of the shop's has a price and all in one currency; ties,
    and without prices, by the smallest usable volume, then by code. A part without a unit weight is bagged by shape and
    volume alone.

    Args:
        pieces: one or more.
        bulk_volume_mm3: the room that one piece takes in a heap.
        sides_mm: the sides of one piece.
        unit_weight_g: mass of one piece, None where it isn't known.
        bag_types: the shop's.
        most_bags: no more than these, unless they don't hold the pieces.

    Raises:
        PlanRefused: when no bag takes one piece.
    """
    has_prices = len({bag.currency for bag in bag_types}) == 1 and all(bag.currency for bag in bag_types)
    by_price = sorted(bag_types, key=lambda bag: (bag.price_minor * has_prices, bag.usable_volume_mm3, bag.code))
    by_price = [bag for bag in by_price if holds_piece(bag, bulk_volume_mm3, sides_mm)]
    most_in_one = max((_holds(bag, bulk_volume_mm3, unit_weight_g) for bag in by_price), default=0)
    if most_in_one < 1:
        piece = f"{' x '.join(str(side) for side in sides_mm)} mm, {bulk_volume_mm3:g} mm³"
        raise PlanRefused("bag a piece of", piece, "a bag type that holds one piece; add one")
    fewest = -(-pieces // most_in_one)
    for bags in range(fewest, max(fewest, min(most_bags, pieces)) + 1):
        shares = equal_shares(pieces, bags)
        fits = [bag for bag in by_price if _holds(bag, bulk_volume_mm3, unit_weight_g) >= shares[0]]
        yield WayToBag(shares, fits[0])


def holds_piece(bag: BagType, bulk_volume_mm3: float, sides_mm: Sides) -> bool:
    """Whether a bag takes one piece, by its shape and by the room it has in a heap."""
    return goes_into_bag(sides_mm, bag.width_mm, bag.height_mm) and bulk_volume_mm3 <= bag.usable_volume_mm3


def _holds(bag: BagType, bulk_volume_mm3: float, unit_weight_g: float | None) -> int:
    """How many pieces a bag holds."""
    by_volume = int(bag.usable_volume_mm3 / bulk_volume_mm3)
    if unit_weight_g is None:
        return by_volume
    return min(by_volume, int(bag.max_load_g / Decimal(repr(unit_weight_g))))
