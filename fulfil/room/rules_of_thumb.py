"""Two rules of thumb for walking any room, for comparison with the shortest walk.

- *bin order*: the stops as a sorted list has them, by the code of the bin;
- *nearest next*: from where one stands to the nearest stop that is left (the nearest-neighbour rule of
  D. J. Rosenkrantz, R. E. Stearns, P. M. Lewis, SIAM J. Comput. 6, 1977, 563-581, doi:10.1137/0206041); ties go to the
  first in bin order.

>>> from fulfil.room.block import Block
>>> room = Block((0, 5, 10), 10)
>>> stops = [(0, 2), (0, 8), (1, 5), (2, 9)]
>>> bin_order_mm(room, stops), nearest_next_mm(room, stops), room.shortest_walk(stops).length_mm
(50, 50, 42)

Limits: in one-way rooms the nearest stop may be a dead end to go on from; the rule has no eye for it.
"""

from collections.abc import Callable, Sequence
from itertools import pairwise

from fulfil.room.walk import Room, Stop


def bin_order_mm(room: Room, stops: Sequence[Stop]) -> int:
    """The walk from the bench through the stops as given, and to its end; 0 without stops."""
    if not stops:
        return 0
    between = sum(room.distance_mm(one, other) for one, other in pairwise(stops))
    return room.distance_mm(None, stops[0]) + between + room.distance_mm(stops[-1], None)


def nearest_next_mm(room: Room, stops: Sequence[Stop]) -> int:
    """The walk to the nearest stop that is left, again and again, and to its end."""
    left = list(stops)
    walked: list[Stop] = []
    while left:
        here = walked[-1] if walked else None
        place = min(range(len(left)), key=lambda place: (room.distance_mm(here, left[place]), place))
        walked.append(left.pop(place))
    return bin_order_mm(room, walked)


ANYWHERE: dict[str, Callable[[Room, Sequence[Stop]], int]] = {
    "bin order": bin_order_mm,
    "nearest next": nearest_next_mm,
}
"""The rules that need no block, by name."""
