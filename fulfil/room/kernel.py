"""Compiled length of the shortest walk in one block, on bit masks, for the batching loop.

The rule is Ratliff & Rosenthal 1983, *Order-Picking in a Rectangular Warehouse: A Solvable Case of the
Traveling Salesman Problem*, Operations Research 31(3):507-521, doi 10.1287/opre.31.3.507: sweep the aisles from
left to right and keep, per state of the two corners (their parity and the number of components), the shortest
partial walk. Two facts shorten the tables without changing the answer, both held by a test against the full
tables: walking an aisle twice in full is never needed in one block, and an aisle without stops only adds
its pitch to the gap beside it.

A stop is one bit. Each aisle has a sorted table of the heights that any order uses; an order's *occupancy* is one
mask per aisle (several 64-bit words when an aisle has more than 64 different heights), and a batch is the
bitwise *or* of its orders. Lengths are integer millimetres.

>>> from fulfil.room.kernel import BlockWalks
>>> walks = BlockWalks.of((0, 5000, 10000), 10000, 0, [[(0, 2000), (0, 8000)], [(1, 5000), (2, 9000)]])
>>> walks.length([0]), walks.length([0, 1])
(16000, 42000)

Limits: one block, all aisles of one length, the walk begins and ends at the bottom end of the bench aisle.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import gcd
from typing import Any, Protocol

import numpy as np
from numba import njit, types
from numba.core import cgutils
from numba.extending import intrinsic
from numpy.typing import NDArray

FAR = 1 << 50
"""Longer than any walk, in millimetres; small enough to be added up without overflow."""

HEADER = 5
"""Leading entries of the packed geometry: aisles, words per aisle, length of an aisle, bench aisle, approach."""

_WALK = types.int64(types.uint64[::1], types.int64[::1])
_FLOOR = types.int64(types.uint64[::1], types.int64[::1], types.int64[::1])


class BlockLike(Protocol):
    """What the kernel reads of a block: where its aisles, its bench and its stops lie."""

    @property
    def aisle_x_mm(self) -> tuple[int, ...]: ...  # noqa: D102

    @property
    def length_mm(self) -> int: ...  # noqa: D102

    @property
    def bench_mm(self) -> tuple[int, int]: ...  # noqa: D102

    def point_mm(self, stop: tuple[int, int]) -> tuple[int, int]: ...  # noqa: D102


def _trailing_zeros(typing_context: Any, bits: Any) -> Any:
    """Position of the lowest set bit of a word that isn't zero: one machine instruction."""

    def codegen(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:
        return builder.cttz(arguments[0], cgutils.true_bit)

    return types.int64(types.uint64), codegen


trailing_zeros: Any = intrinsic(_trailing_zeros)


@njit(cache=True, nogil=True)
def _aisle_reach(occupancy: Any, geometry: Any, aisle: Any) -> Any:
    """Lowest stop (-1 without any), highest stop, and largest gap of an aisle, its ends and the bench included."""
    words = geometry[1]
    low = np.int64(-1)
    previous = np.int64(0)
    gap = np.int64(0)
    if aisle == geometry[3]:
        low = np.int64(0)
    heights = HEADER + geometry[0] + aisle * words * 64
    for word in range(words):
        bits = occupancy[aisle * words + word]
        while bits != np.uint64(0):
            height = geometry[heights + word * 64 + trailing_zeros(bits)]
            if low < 0:
                low = height
            gap = max(gap, height - previous)
            previous = height
            bits &= bits - np.uint64(1)
    return low, previous, max(gap, geometry[2] - previous)


@njit(_WALK, cache=True, nogil=True)
def block_walk(occupancy: Any, geometry: Any) -> Any:
    """Length in mm of the shortest walk that begins and ends at the bench and visits every marked stop."""
    length = geometry[2]
    odd = top = bottom = joined = split = np.int64(FAR)
    x = np.int64(-1)
    for aisle in range(geometry[0]):
        low, high, gap = _aisle_reach(occupancy, geometry, aisle)
        if low < 0:
            continue
        pass_top = 2 * (length - low)
        pass_bottom = 2 * high
        pass_ends = 2 * (length - gap)
        if x < 0:
            odd, top, bottom, joined, split = length, pass_top, pass_bottom, np.int64(FAR), pass_ends
        else:
            step = 2 * (geometry[HEADER + aisle] - x)
            odd += step
            split += 2 * step
            joined_top = min(top, joined) + step
            joined_bottom = min(bottom, joined) + step
            joined += 2 * step
            best = min(min(joined_top, joined_bottom), min(joined, split))
            joined = min(joined + pass_ends, odd + length)
            odd = min(odd + pass_ends, best + length)
            split = min(split, min(joined_top, joined_bottom)) + pass_ends
            top = joined_top + pass_top
            bottom = joined_bottom + pass_bottom
        x = geometry[HEADER + aisle]
    return min(min(top, bottom), joined) + geometry[4]


@njit(_FLOOR, cache=True, nogil=True)
def block_floor(occupancy: Any, geometry: Any, floor: Any) -> Any:
    """Write a lower bound of the walk in parts that only grow with more stops; return their sum in mm.

    Part ``j`` is what aisle ``j`` costs at least: one pass, or both ends without the largest gap. The last three
    parts are the cross aisles out to the farthest stop on either side of the bench and back, and the approach.
    """
    aisles = geometry[0]
    length = geometry[2]
    bench_x = geometry[HEADER + geometry[3]]
    left = right = total = np.int64(0)
    approach = np.int64(0)
    for aisle in range(aisles):
        low, _, gap = _aisle_reach(occupancy, geometry, aisle)
        floor[aisle] = 0
        if low >= 0:
            floor[aisle] = min(length, 2 * (length - gap))
            total += floor[aisle]
            approach = geometry[4]
            left = max(left, 2 * (bench_x - geometry[HEADER + aisle]))
            right = max(right, 2 * (geometry[HEADER + aisle] - bench_x))
    floor[aisles] = left
    floor[aisles + 1] = right
    floor[aisles + 2] = approach
    return total + left + right + approach


@dataclass(frozen=True, eq=False)
class BlockWalks:
    """Walk lengths of any batch of a fixed list of orders.

    Attributes:
        walk: Compiled ``(occupancy, geometry) -> length in mm``, see :func:`block_walk`.
        floor: Compiled lower bound in parts, see :func:`block_floor`.
        floor_parts: How many parts the lower bound has.
        step_mm: Every walk is a multiple of this: a walk passes every gap and every part of an aisle an even number
            of times in sum.
        subadditive: Joining two batches never walks more than both, as every walk returns to the bench.
        geometry: The block, packed: header, aisle positions, heights of the bits (int64, mm).
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
    def of(
        cls,
        aisle_x_mm: Sequence[int],
        length_mm: int,
        bench_aisle: int,
        orders: Sequence[Sequence[tuple[int, int]]],
        approach_mm: int = 0,
    ) -> "BlockWalks":
        """Pack a block and its orders; each order is a list of stops ``(aisle, y_mm)`` that lie in the block.

        ``approach_mm`` is added to every walk: twice the way from a bench outside the block to the bench aisle's foot.
        """
        heights: list[set[int]] = [set() for _ in aisle_x_mm]
        for order in orders:
            for aisle, y_mm in order:
                heights[aisle].add(y_mm)
        words = max(1, max((len(ys) + 63) // 64 for ys in heights))
        table = np.zeros((len(heights), words * 64), dtype=np.int64)
        bit: list[dict[int, int]] = []
        for aisle, ys in enumerate(heights):
            ordered = sorted(ys)
            table[aisle, : len(ordered)] = ordered
            bit.append({y_mm: position for position, y_mm in enumerate(ordered)})
        header = np.array([len(heights), words, length_mm, bench_aisle, approach_mm, *aisle_x_mm], dtype=np.int64)
        occupancy = np.zeros((len(orders), len(heights) * words), dtype=np.uint64)
        for row, order in enumerate(orders):
            for aisle, y_mm in order:
                word, position = divmod(bit[aisle][y_mm], 64)
                occupancy[row, aisle * words + word] |= np.uint64(1 << position)
        return cls(
            walk=block_walk,
            floor=block_floor,
            floor_parts=len(heights) + 3,
            step_mm=2
            * gcd(length_mm, *(x_mm - aisle_x_mm[0] for x_mm in aisle_x_mm), *(y for ys in heights for y in ys)),
            subadditive=True,
            geometry=np.concatenate([header, table.ravel()]),
            occupancy=occupancy,
        )

    def length(self, batch: Sequence[int]) -> int:
        """Length in mm of the shortest walk for the orders of a batch, given by their places in the list."""
        marked = np.bitwise_or.reduce(self.occupancy[list(batch)], axis=0)
        return int(self.walk(marked, self.geometry))


def block_evaluator(block: BlockLike, orders: Sequence[Sequence[tuple[int, int]]]) -> BlockWalks:
    """Pack a block's orders for the batching loop; a bench off every aisle becomes an aisle without bins.

    Raises:
        RoomRefused: A stop lies in no aisle, or beyond an end of its aisle.
    """
    bench_x_mm = block.bench_mm[0]
    columns = sorted({*block.aisle_x_mm, bench_x_mm})
    column_at = {x_mm: column for column, x_mm in enumerate(columns)}
    placed = [[block.point_mm(stop) for stop in order] for order in orders]
    return BlockWalks.of(
        columns,
        block.length_mm,
        column_at[bench_x_mm],
        [[(column_at[x_mm], y_mm) for x_mm, y_mm in order] for order in placed],
    )
