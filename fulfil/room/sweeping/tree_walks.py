"""A compiled measure of batches for rooms that can't be swept: twice the ways of the shortest-path tree.

Every stop marks its shortest way from the bench as bits, one for each stretch of the tree; a batch is the bitwise *or*
of its orders, and measures twice the stretches marked. Orders whose stops lie along one another's ways measure
little together, which is what batching needs. No walk is that long where all passages are two-way, but
it may be much shorter, so this is a measure for the search only: nothing is proven by it.

>>> from fulfil.room.blocks import Blocks
>>> walks = TreeWalks.of(Blocks((0, 5), (0, 10), (0, 0)), [[(0, 4)], [(0, 6)], [(1, 2)]])
>>> walks.length([0]), walks.length([0, 1]), walks.length([0, 1, 2])
(8, 12, 26)
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np
from numba import njit, types
from numpy.typing import NDArray
from scipy.sparse.csgraph import dijkstra

from fulfil.errors import RoomRefused
from fulfil.room.kernel import trailing_zeros
from fulfil.room.network import Network, Place, one_step_lengths
from fulfil.room.walk import Stop


class PlacedRoom(Protocol):
    """What is read of a room."""

    @property
    def network(self) -> Network: ...  # noqa: D102

    def place(self, stop: Stop) -> Place: ...  # noqa: D102


@njit(types.int64(types.uint64[::1], types.int64[::1]), cache=True, nogil=True)
def tree_walk(occupancy: Any, geometry: Any) -> Any:
    """Twice the length in mm of every marked stretch; ``geometry`` has the length of each."""
    total = np.int64(0)
    for word in range(len(occupancy)):
        bits = occupancy[word]
        while bits != np.uint64(0):
            total += 2 * geometry[word * 64 + trailing_zeros(bits)]
            bits &= bits - np.uint64(1)
    return total


@njit(types.int64(types.uint64[::1], types.int64[::1], types.int64[::1]), cache=True, nogil=True)
def tree_floor(occupancy: Any, geometry: Any, floor: Any) -> Any:
    """The measure itself as the only part."""
    floor[0] = tree_walk(occupancy, geometry)
    return floor[0]


@dataclass(frozen=True, eq=False)
class TreeWalks:
    """Measures of any batch of a fixed list of orders, in the shape that batching asks for.

    Attributes:
        walk: Compiled ``(occupancy, geometry) -> mm``, see :func:`tree_walk`.
        floor: The same as a single part.
        floor_parts: One.
        step_mm: One.
        subadditive: Always.
        geometry: The length of each stretch (int64, mm).
        occupancy: One row of 64-bit words for each order (uint64).
    """

    walk: Any
    floor: Any
    floor_parts: int
    step_mm: int
    subadditive: bool
    geometry: NDArray[np.int64]
    occupancy: NDArray[np.uint64]

    @classmethod
    def of(cls, room: PlacedRoom, orders: Sequence[Sequence[Stop]]) -> "TreeWalks":
        """Pack a room and its orders.

        Raises:
            RoomRefused: a stop lies outside the room or can't be reached.
        """
        network = room.network
        cut = network.cut([(room.place(stop), stop) for order in orders for stop in order])
        table, predecessors = dijkstra(
            one_step_lengths(len(cut.points), network.steps(cut)),
            directed=True,
            indices=[network.start],
            return_predecessors=True,
        )
        lengths, before = table[0], predecessors[0]
        point_of = {stop: point for point, stops in cut.stops_at.items() for stop in stops}
        words = -(-len(cut.points) // 64)
        occupancy = np.zeros((len(orders), words), dtype=np.uint64)
        for row, order in enumerate(orders):
            for stop in order:
                point = point_of[stop]
                if not np.isfinite(lengths[point]) or not network.is_reachable(room.place(stop)):
                    raise RoomRefused("walk to stop", stop, "a way from the bench and back")
                while point != network.start:
                    occupancy[row, point // 64] |= np.uint64(1 << (point % 64))
                    point = int(before[point])
        stretch = np.zeros(words * 64, dtype=np.int64)
        for point in range(len(cut.points)):
            if before[point] >= 0:
                stretch[point] = round(float(lengths[point] - lengths[before[point]]))
        return cls(tree_walk, tree_floor, 1, 1, True, stretch, occupancy)

    def length(self, batch: Sequence[int]) -> int:
        """Measure of a batch in mm, orders given by their places in the list."""
        marked = np.bitwise_or.reduce(self.occupancy[list(batch)], axis=0)
        return int(self.walk(marked, self.geometry))
