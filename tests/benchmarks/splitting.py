"""Split an order over carts when it is too large for one.

Parts are filled in walking order, no stop skipped, so a part's stops lie together; any two neighbouring parts overfill
a cart together. Each stop's load stays whole, unless it alone overfills a cart: then full carts are taken off it first.

>>> split_order([((0, 1000), (3,)), ((0, 5000), (4,)), ((2, 9000), (25,))], capacity=(10,))
[[((0, 1000), (3,)), ((0, 5000), (4,))], [((2, 9000), (10,))], [((2, 9000), (10,))], [((2, 9000), (5,))]]

Limits: which stops go together is decided by their order, not by a search.
"""

from collections.abc import Sequence

from fulfil.errors import PlanRefused
from fulfil.planning.walks import Stop

LoadedStop = tuple[Stop, tuple[int, ...]]
"""A stop and what is taken there of each kind of capacity."""


def split_order(stops: Sequence[LoadedStop], *, capacity: Sequence[int]) -> list[list[LoadedStop]]:
    """Parts of an order that each fit on a cart; one part if the whole order fits.

    Args:
        stops: Stops in walking order with their loads, whole numbers of 0 or more for each kind.
        capacity: What a cart holds of each kind.

    Raises:
        PlanRefused: A load that has not one number of 0 or more for each kind, or a capacity below 1.
    """
    limits = tuple(capacity)
    if not limits or min(limits) < 1:
        raise PlanRefused("split an order over carts of capacity", limits, "1 or more of each kind")
    parts: list[list[LoadedStop]] = [[]]
    left = list(limits)
    for stop, load in stops:
        if len(load) != len(limits) or min(load) < 0:
            raise PlanRefused(f"split an order at stop {stop} with load", load, f"{len(limits)} numbers of 0 or more")
        for piece in _pieces(load, limits):
            if parts[-1] and any(taken > free for taken, free in zip(piece, left, strict=True)):
                parts.append([])
                left = list(limits)
            parts[-1].append((stop, piece))
            left = [free - taken for free, taken in zip(left, piece, strict=True)]
    return parts if parts[0] else []


def _pieces(load: tuple[int, ...], limits: tuple[int, ...]) -> list[tuple[int, ...]]:
    """The load of one stop in pieces that each fit on an empty cart."""
    left = list(load)
    pieces: list[tuple[int, ...]] = []
    while any(amount > limit for amount, limit in zip(left, limits, strict=True)):
        pieces.append(tuple(min(amount, limit) for amount, limit in zip(left, limits, strict=True)))
        left = [amount - taken for amount, taken in zip(left, pieces[-1], strict=True)]
    return [*pieces, tuple(left)]
