"""The shortest walk through a room: from the bench to every stop and back.

A *room* knows its distances and finds its own shortest walks; a *walk* is what comes out: the stops in walking
order, the line on the floor, its length, and how short any walk through these stops could be at best.

>>> from fulfil.room.block import Block
>>> room = Block(aisle_x_mm=(0, 5, 10), length_mm=10)
>>> walk = shortest_walk(room, [(2, 9), (0, 8), (1, 5), (0, 2)])
>>> walk.length_mm, walk.proven
(42, True)
>>> walk.stops
((0, 2), (0, 8), (2, 9), (1, 5))
>>> walk.path
((0, 0), (0, 10), (10, 10), (10, 9), (10, 10), (5, 10), (5, 0), (0, 0))

Limits: a stop is a point of the floor; how high a bin is costs time, not way (see :mod:`fulfil.room.time_model`).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Protocol, TypeAlias

Point: TypeAlias = tuple[int, int]
Stop: TypeAlias = tuple[Any, int]


@dataclass(frozen=True)
class Walk:
    """One walk: bench, stops in walking order, bench (or the room's other end).

    Attributes:
        length_mm: the way walked, whole millimetres.
        stops: every stop given, once, in the order of first coming past it; equal stops stand together.
        path: corner points (x, y) of the line on the floor, bench first; straight lines between them.
        bound_mm: no walk through these stops is shorter than this.
    """

    length_mm: int
    stops: tuple[Stop, ...]
    path: tuple[Point, ...]
    bound_mm: int

    @property
    def proven(self) -> bool:
        """Whether no shorter walk exists."""
        return self.bound_mm == self.length_mm


class Room(Protocol):
    """What every room can do. Stops are pairs: which aisle or passage, and how many millimetres along it."""

    @property
    def bench_mm(self) -> Point:
        """The bench's place on the floor, (x, y)."""
        ...

    def point_mm(self, stop: Stop) -> Point:
        """The stop's place on the floor, (x, y)."""
        ...

    def distance_mm(self, a: Stop | None, b: Stop | None) -> int:
        """The shortest way from ``a`` to ``b``; None stands for the bench."""
        ...

    def is_reachable(self, stop: Stop) -> bool:
        """Whether a walk can go from the bench to the stop and back."""
        ...

    def walk_length_mm(self, stops: Sequence[Stop]) -> int:
        """Only the length of the shortest walk through ``stops``."""
        ...

    def shortest_walk(self, stops: Sequence[Stop]) -> Walk:
        """The shortest walk through ``stops``."""
        ...


def shortest_walk(room: Room, stops: Sequence[Stop]) -> Walk:
    """The shortest walk from the bench through every stop and back.

    Args:
        room: a block, several blocks, or a walking graph.
        stops: pairs (aisle or passage, millimetres along it); equal ones are kept.

    Raises:
        RoomRefused: a stop lies outside the room or can't be reached.
    """
    return room.shortest_walk(stops)
