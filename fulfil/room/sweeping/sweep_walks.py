"""Compiled length of the shortest walk in any room that can be swept, on bit masks, for the batching loop.

The dynamic programme is that of :mod:`fulfil.room.sweeping.sweep`, made ready for millions of calls: for each step only
the changes of state that a walk can still be finished from are kept, in one flat table for passages with marked stops
and one for those without. A stop is one bit: each passage has a sorted table of the places that any order uses, an
order's *occupancy* is one mask for each passage with stops, a batch is the bitwise *or* of its orders.

The lower bound in parts: what each passage costs at least (through, or in from both ends without the largest gap), and,
where passages run along x and y, the ways across to the farthest stop on either side of the bench.

>>> from fulfil.room.blocks import Blocks
>>> room = Blocks(aisle_x_mm=(0, 5, 10), cross_y_mm=(0, 10, 20), bench_mm=(0, 0))
>>> walks = SweepWalks.of(room, [[(0, 4), (1, 6)], [(1, 14), (2, 9)]])
>>> walks.length([0, 1]), room.walk_length_mm([(0, 4), (1, 6), (1, 14), (2, 9)])
(50, 50)

Limits: rooms without one-way passages and with few corners in sight (see :mod:`fulfil.room.sweeping.sweep`).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import gcd
from typing import Any, Protocol

import numpy as np
from numba import njit, types
from numpy.typing import NDArray

from fulfil.errors import RoomRefused
from fulfil.room.kernel import trailing_zeros
from fulfil.room.network import Network, Place
from fulfil.room.sweeping.sweep import Sweep
from fulfil.room.sweeping.sweep_states import BOTH, HIGH, LOW, NONE, PASS, TWICE
from fulfil.room.walk import Stop

FAR = 1 << 50
"""Longer than any walk, in millimetres; small enough to be added up without overflow."""

HEADER = 8
"""Leading entries of the packed room: steps, most states at once, passages with stops, words for each of them, where
the steps begin, where the places begin, where what is known of each passage begins, which bound is used."""

_STEP = 5
"""Entries of a step: its length, the number of its passage with stops or -1, first change and number of changes when
nothing is marked there, number of changes when something is; those follow the others."""

_COLUMN = 4
"""Entries of a passage with stops: its length, how far it lies left and right of the bench, whether it counts."""

_WALK = types.int64(types.uint64[::1], types.int64[::1])
_FLOOR = types.int64(types.uint64[::1], types.int64[::1], types.int64[::1])
_BARE, _MARKED = (NONE, PASS, TWICE), (PASS, TWICE, LOW, HIGH, BOTH)


class SweptRoom(Protocol):
    """What is read of a room."""

    @property
    def network(self) -> Network: ...  # noqa: D102

    @property
    def sweep(self) -> Sweep | None: ...  # noqa: D102

    def place(self, stop: Stop) -> Place: ...  # noqa: D102


@njit(cache=True, nogil=True)
def _passage_reach(occupancy: Any, geometry: Any, column: Any) -> Any:
    """First marked place of a passage (-1 without any), the last, and the largest gap between two of them."""
    words = geometry[3]
    places = geometry[5] + column * words * 64
    low = np.int64(-1)
    previous = np.int64(0)
    gap = np.int64(0)
    for word in range(words):
        bits = occupancy[column * words + word]
        while bits != np.uint64(0):
            place = geometry[places + word * 64 + trailing_zeros(bits)]
            if low < 0:
                low = place
            else:
                gap = max(gap, place - previous)
            previous = place
            bits &= bits - np.uint64(1)
    return low, previous, gap


@njit(_WALK, cache=True, nogil=True)
def sweep_walk(occupancy: Any, geometry: Any) -> Any:
    """Length in mm of the shortest walk through every marked stop."""
    now = np.full(geometry[1], FAR, dtype=np.int64)
    then = np.full(geometry[1], FAR, dtype=np.int64)
    cost = np.zeros(6, dtype=np.int64)
    now[0] = 0
    for step in range(geometry[0]):
        at = geometry[4] + step * _STEP
        length = geometry[at]
        column = geometry[at + 1]
        first = geometry[at + 2]
        count = geometry[at + 3]
        cost[PASS] = length
        cost[TWICE] = 2 * length
        if column >= 0:
            low, high, gap = _passage_reach(occupancy, geometry, column)
            if low >= 0:
                first += 3 * count
                count = geometry[at + 4]
                cost[LOW] = 2 * high
                cost[HIGH] = 2 * (length - low)
                cost[BOTH] = 2 * (length - gap)
        then[:] = FAR
        for change in range(first, first + 3 * count, 3):
            total = now[geometry[change]] + cost[geometry[change + 2]]
            to = geometry[change + 1]
            if total < then[to]:
                then[to] = total
        now, then = then, now
    return now[0]


@njit(_FLOOR, cache=True, nogil=True)
def sweep_floor(occupancy: Any, geometry: Any, floor: Any) -> Any:
    """Write a lower bound of the walk in parts that only grow with more stops; return their sum in mm.

    Either the walk itself as the only part, or one part for each passage with stops and two for the ways across.
    """
    if geometry[7] == 0:
        floor[0] = sweep_walk(occupancy, geometry)
        return floor[0]
    columns = geometry[2]
    total = left = right = np.int64(0)
    for column in range(columns):
        known = geometry[6] + column * _COLUMN
        low, high, gap = _passage_reach(occupancy, geometry, column)
        floor[column] = 0
        if low >= 0:
            length = geometry[known]
            free = max(max(low, length - high), gap)
            if geometry[known + 3]:
                floor[column] = min(length, 2 * (length - free))
            total += floor[column]
            left = max(left, geometry[7] * geometry[known + 1])
            right = max(right, geometry[7] * geometry[known + 2])
    floor[columns] = left
    floor[columns + 1] = right
    return total + left + right


@dataclass(frozen=True, eq=False)
class SweepWalks:
    """Walk lengths of any batch of a fixed list of orders.

    Attributes:
        walk: Compiled ``(occupancy, geometry) -> length in mm``, see :func:`sweep_walk`.
        floor: Compiled lower bound in parts, see :func:`sweep_floor`.
        floor_parts: How many parts the lower bound has.
        step_mm: Every walk is a multiple of this.
        subadditive: Whether joining two batches never walks more than both: where walks end at the bench.
        geometry: The room, packed (int64, mm).
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
    def of(cls, room: SweptRoom, orders: Sequence[Sequence[Stop]]) -> "SweepWalks":
        """Pack a room and its orders.

        Raises:
            RoomRefused: the room can't be swept, or a stop lies outside it or can't be reached.
        """
        network, sweep = room.network, room.sweep
        if sweep is None:
            raise RoomRefused("measure batches in the room of", f"{len(network.points)} corners", "one to be swept")
        placed = [[room.place(stop) for stop in order] for order in orders]
        for order, places in zip(orders, placed, strict=True):
            for stop, place in zip(order, places, strict=True):
                if not network.is_reachable(place):
                    raise RoomRefused("walk to stop", stop, "a way from the bench and back")
        alongs: dict[int, set[int]] = {}
        for places in placed:
            for passage, along_mm in places:
                alongs.setdefault(passage, set()).add(along_mm)
        columns = sorted(alongs)
        column_of = {passage: column for column, passage in enumerate(columns)}
        words = max([1, *(-(-len(ys) // 64) for ys in alongs.values())])
        table = np.zeros((len(columns), words * 64), dtype=np.int64)
        occupancy = np.zeros((len(orders), max(1, len(columns) * words)), dtype=np.uint64)
        bit: list[dict[int, int]] = []
        for column, passage in enumerate(columns):
            ordered = sorted(alongs[passage])
            table[column, : len(ordered)] = ordered
            bit.append({along_mm: position for position, along_mm in enumerate(ordered)})
        for row, places in enumerate(placed):
            for passage, along_mm in places:
                column = column_of[passage]
                word, position = divmod(bit[column][along_mm], 64)
                occupancy[row, column * words + word] |= np.uint64(1 << position)
        returns = network.start == network.end
        is_grid = _is_grid(network)
        known = _known(network, columns)
        steps, changes, most = _program(sweep, column_of)
        steps_at = HEADER
        places_at = steps_at + steps.size
        known_at = places_at + table.size
        changes_at = known_at + known.size
        steps[:, 2] = changes_at + 3 * steps[:, 2]
        across = 2 if returns else 1
        header = [len(steps), most, len(columns), words, steps_at, places_at, known_at, across if is_grid else 0]
        lengths = [link.length_mm for link in network.passages]
        unit = gcd(*lengths, *(along_mm for ys in alongs.values() for along_mm in ys))
        return cls(
            walk=sweep_walk,
            floor=sweep_floor,
            floor_parts=len(columns) + 2 if is_grid else 1,
            step_mm=(2 if is_grid and returns else 1) * unit,
            subadditive=returns,
            geometry=np.concatenate(
                [np.array(header, dtype=np.int64), steps.ravel(), table.ravel(), known.ravel(), changes.ravel()]
            ),
            occupancy=occupancy,
        )

    def length(self, batch: Sequence[int]) -> int:
        """Length in mm of the shortest walk for the orders of a batch, given by their places in the list."""
        marked = np.bitwise_or.reduce(self.occupancy[list(batch)], axis=0)
        return int(self.walk(marked, self.geometry))


def _is_grid(network: Network) -> bool:
    """Whether every passage runs straight along x or y, so that ways across and along can be counted apart."""
    for link in network.passages:
        (x1, y1), (x2, y2) = network.points[link.a], network.points[link.b]
        if abs(x1 - x2) + abs(y1 - y2) != link.length_mm or (x1 != x2 and y1 != y2):
            return False
    return True


def _known(network: Network, columns: Sequence[int]) -> NDArray[np.int64]:
    """What :data:`_COLUMN` says of each passage with stops; one along x doesn't count besides the ways across."""
    bench_x = network.points[network.start][0]
    rows = []
    for passage in columns:
        link = network.passages[passage]
        xs = (network.points[link.a][0], network.points[link.b][0])
        rows.append((link.length_mm, max(0, bench_x - max(xs)), max(0, min(xs) - bench_x), int(xs[0] == xs[1])))
    return np.array(rows, dtype=np.int64).reshape(-1, _COLUMN)


def _program(sweep: Sweep, column_of: dict[int, int]) -> tuple[NDArray[np.int64], NDArray[np.int64], int]:
    """The steps, their changes of state (from, to, option), and the most states at once.

    States are numbered anew after every step: those that the walk can be in and still be finished from.
    """
    moves = sweep.moves()
    live: list[set[int]] = [{1}]
    for moved in reversed(moves):
        live.append({before for before, after, _ in moved if after in live[-1]})
    live.reverse()
    numbers = {0: 0}
    steps: list[tuple[int, int, int, int, int]] = []
    changes: list[tuple[int, int, int]] = []
    most = 1
    for follows, moved, (_, _, _, passage) in zip(live[1:], moves, sweep.steps, strict=True):
        kept = [move for move in moved if move[0] in numbers and move[1] in follows]
        renumbered = {state: number for number, state in enumerate(sorted({after for _, after, _ in kept}))}
        bare = [(numbers[a], renumbered[b], option) for a, b, option in kept if option in _BARE]
        marked = [(numbers[a], renumbered[b], option) for a, b, option in kept if option in _MARKED]
        column = column_of.get(passage, -1) if passage >= 0 else -1
        if column < 0:
            marked = []
        length_mm = sweep.network.passages[passage].length_mm if passage >= 0 else 0
        steps.append((length_mm, column, len(changes), len(bare), len(marked)))
        changes += [*bare, *marked]
        numbers = renumbered
        most = max(most, len(renumbered))
    return (
        np.array(steps, dtype=np.int64).reshape(-1, _STEP),
        np.array(changes, dtype=np.int64).reshape(-1, 3),
        most,
    )
