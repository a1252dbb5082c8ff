"""What batching asks of a room: the length of the walk for any set of its orders, compiled.

A room answers ``room.evaluator(orders)`` with an object of this shape. Planning sees only that shape, never the
room, so any room whose walks can be computed from the marked stops can be batched and proven:

- an order is a row of 64-bit words (*occupancy*); the stops of a batch are the bitwise *or* of its rows;
- ``walk(marked, geometry)`` is the exact length in integer millimetres; more stops never make it shorter;
- ``floor(marked, geometry, parts)`` fills a lower bound in parts, none of which shrinks when stops are added,
  and returns their sum. The exact length as a single part is always right; many parts let a proof prune better.
"""

from collections.abc import Sequence
from typing import Any, Protocol

import numpy as np
from numba import types
from numpy.typing import NDArray

Stop = tuple[int, int]
"""Aisle and height in mm in one block; other rooms have their own pair."""

WALK_FUNCTION = types.FunctionType(types.int64(types.uint64[::1], types.int64[::1]))
FLOOR_FUNCTION = types.FunctionType(types.int64(types.uint64[::1], types.int64[::1], types.int64[::1]))


class Walks(Protocol):
    """Compiled walk lengths of any batch of a fixed list of orders."""

    @property
    def walk(self) -> Any:
        """Compiled ``(occupancy, geometry) -> length in mm``."""

    @property
    def floor(self) -> Any:
        """Compiled ``(occupancy, geometry, parts) -> lower bound in mm``."""

    @property
    def floor_parts(self) -> int:
        """How many parts the lower bound has."""

    @property
    def step_mm(self) -> int:
        """Every walk is a multiple of this length; 1 is always right."""

    @property
    def subadditive(self) -> bool:
        """Whether joining two batches never walks more than both: so in rooms where walks end where they begin."""

    @property
    def geometry(self) -> NDArray[np.int64]:
        """The room, packed for ``walk`` and ``floor``."""

    @property
    def occupancy(self) -> NDArray[np.uint64]:
        """One row of words for each order."""


class Room(Protocol):
    """A room that can be batched."""

    def evaluator(self, orders: Sequence[Sequence[Stop]]) -> Walks:
        """Pack the orders for compiled walk lengths; refuses stops that lie in no aisle."""
