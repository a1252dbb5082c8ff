"""Savings construction: join the two batches whose common walk saves most, until no two fit on one cart.

The rule is Clarke & Wright 1964, *Scheduling of Vehicles from a Central Depot to a Number of Delivery Points*,
Operations Research 12(4):568-581, doi 10.1287/opre.12.4.568, in the form used for order batching that
recomputes the savings of a batch after every joining (de Koster, van der Poort & Wolters 1999, *Efficient orderbatching
methods in warehouses*, International Journal of Production Research 37(7):1479-1504,
doi 10.1080/002075499191094). Equal savings: the pair with the lowest first, then lowest second place wins.

Limits: the table of savings is square, so this is for up to a few thousand orders at once;
:mod:`fulfil.planning.batching` cuts longer lists into neighbourhoods first.
"""

from typing import Any

import numpy as np
from numba import njit, types
from numpy.typing import NDArray

from fulfil.planning.walks import WALK_FUNCTION

NEVER = -(1 << 60)
"""A saving so bad that no pair takes it: the two don't fit on one cart, or one of them is gone."""


@njit(
    types.int64(types.int64[:, ::1], types.int64, types.int64),
    cache=True,
    nogil=True,
)
def _best_partner(savings: Any, row: Any, count: Any) -> Any:
    best = np.int64(-1)
    best_saving = np.int64(NEVER)
    for other in range(row + 1, count):
        if savings[row, other] > best_saving:
            best_saving = savings[row, other]
            best = other
    return best


@njit(
    types.void(
        WALK_FUNCTION,
        types.int64[::1],
        types.uint64[:, ::1],
        types.int64[:, ::1],
        types.int64[::1],
        types.int64[::1],
    ),
    cache=True,
    nogil=True,
)
def _join_by_savings(walk: Any, geometry: Any, occupancy: Any, load: Any, capacity: Any, batch_of: Any) -> None:
    """Give every order the place of the lowest order in its batch."""
    count, words = occupancy.shape
    marked = occupancy.copy()
    carried = load.copy()
    common = np.empty(words, dtype=np.uint64)
    length = np.empty(count, dtype=np.int64)
    partner = np.full(count, np.int64(-1))
    alive = np.ones(count, dtype=np.bool_)
    savings = np.full((count, count), np.int64(NEVER))
    for row in range(count):
        batch_of[row] = row
        length[row] = walk(marked[row], geometry)
    for row in range(count):
        for other in range(row + 1, count):
            if np.all(carried[row] + carried[other] <= capacity):
                for word in range(words):
                    common[word] = marked[row, word] | marked[other, word]
                savings[row, other] = length[row] + length[other] - walk(common, geometry)
        partner[row] = _best_partner(savings, row, count)
    while True:
        first = np.int64(-1)
        best_saving = np.int64(NEVER)
        for row in range(count):
            if alive[row] and partner[row] >= 0 and savings[row, partner[row]] > best_saving:
                best_saving = savings[row, partner[row]]
                first = row
        if first < 0:
            break
        second = partner[first]
        for word in range(words):
            marked[first, word] |= marked[second, word]
        carried[first] += carried[second]
        length[first] = walk(marked[first], geometry)
        alive[second] = False
        for order in range(count):
            if batch_of[order] == second:
                batch_of[order] = first
        for other in range(count):
            if other == first or not alive[other]:
                continue
            saving = np.int64(NEVER)
            if np.all(carried[first] + carried[other] <= capacity):
                for word in range(words):
                    common[word] = marked[first, word] | marked[other, word]
                saving = length[first] + length[other] - walk(common, geometry)
            low, high = min(first, other), max(first, other)
            savings[low, high] = saving
            savings[min(second, other), max(second, other)] = NEVER
            if other < first or other < second:
                stale = partner[other] == first or partner[other] == second
                better = other < first and (
                    partner[other] < 0
                    or saving > savings[other, partner[other]]
                    or (saving == savings[other, partner[other]] and first < partner[other])
                )
                if stale:
                    partner[other] = _best_partner(savings, other, count)
                elif better and saving > NEVER:
                    partner[other] = first
        savings[first, second] = NEVER
        partner[first] = _best_partner(savings, first, count)


def join_by_savings(
    walk: Any,
    geometry: NDArray[np.int64],
    occupancy: NDArray[np.uint64],
    load: NDArray[np.int64],
    capacity: NDArray[np.int64],
) -> NDArray[np.int64]:
    """Batch all orders by savings; returns for each order the lowest place in its batch.

    Args:
        walk: Compiled length of a walk, see :mod:`fulfil.planning.walks`.
        geometry: The room, packed for ``walk``.
        occupancy: One row of 64-bit words for each order.
        load: What each order takes of each kind of capacity, one row for each order.
        capacity: What a cart holds of each kind.
    """
    batch_of = np.empty(len(occupancy), dtype=np.int64)
    _join_by_savings(walk, geometry, occupancy, load, capacity, batch_of)
    return batch_of


@njit(
    types.void(
        WALK_FUNCTION,
        types.int64[::1],
        types.uint64[:, ::1],
        types.int64[:, ::1],
    ),
    cache=True,
    nogil=True,
)
def _fill_nearest(walk: Any, geometry: Any, occupancy: Any, near: Any) -> None:
    count, words = occupancy.shape
    common = np.empty(words, dtype=np.uint64)
    length = np.empty(count, dtype=np.int64)
    loss = np.empty(count, dtype=np.float64)
    for order in range(count):
        length[order] = walk(occupancy[order], geometry)
    for order in range(count):
        for other in range(count):
            for word in range(words):
                common[word] = occupancy[order, word] | occupancy[other, word]
            # What the pair walks more than the longer of the two; then, among equals, the greater saving.
            both = walk(common, geometry)
            loss[other] = np.float64(both - max(length[order], length[other]))
            loss[other] -= 1e-3 * np.float64(length[order] + length[other] - both)
        loss[order] = np.inf
        ranked = np.argsort(loss, kind="mergesort")
        near[order, :] = ranked[: near.shape[1]]


def nearest_by_saving(
    walk: Any, geometry: NDArray[np.int64], occupancy: NDArray[np.uint64], wanted: int
) -> NDArray[np.int64]:
    """For each order the ``wanted`` others (or all there are) that go best with it, best first."""
    near = np.empty((len(occupancy), max(0, min(wanted, len(occupancy) - 1))), dtype=np.int64)
    _fill_nearest(walk, geometry, occupancy, near)
    return near
