"""Which bin first, where several share a stop: left and right of the aisle, and one above the other.

Rule *same side first* (common practice): at each stop the picker goes on at the side of the bin taken last, if that
was in the same aisle, otherwise begins on the left as seen from the front; on each side from the lowest level up;
equal ones by code. So the cart is left, and the aisle crossed, as seldom as can be without changing the walk.

>>> from fulfil.room.block import Block
>>> bins = [ShelvedBin("A", (0, 2), "left", 1), ShelvedBin("B", (0, 2), "right", 1),
...         ShelvedBin("C", (0, 6), "left", 1), ShelvedBin("D", (0, 6), "right", 2)]
>>> walk = Block((0,), 10).shortest_walk([bin.stop for bin in bins])
>>> [bin.code for bin in bins_along(walk, bins)]
['A', 'B', 'D', 'C']

Limits: a bin opposite and a step ahead is another stop, and comes in walking order.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from fulfil.room.walk import Stop, Walk


@dataclass(frozen=True)
class ShelvedBin:
    """A bin as a picker finds it: its stop, the side seen from the front ("left" or "right"), the level from below.

    ``line`` is its line in the file it came from, if any.
    """

    code: str
    stop: Stop
    side: str
    level: int
    line: int | None = None


def bins_along(walk: Walk, bins: Sequence[ShelvedBin]) -> tuple[ShelvedBin, ...]:
    """The bins in the order of taking: stops in walking order, and by the rule above at each stop."""
    at: dict[Stop, list[ShelvedBin]] = {}
    for bin_ in bins:
        at.setdefault(bin_.stop, []).append(bin_)
    order: list[ShelvedBin] = []
    for stop in dict.fromkeys(walk.stops):
        same_aisle = bool(order) and order[-1].stop[0] == stop[0]
        side = order[-1].side if same_aisle else "left"
        order.extend(sorted(at.get(stop, ()), key=lambda one: (one.side != side, one.level, one.code)))
    return tuple(order)
