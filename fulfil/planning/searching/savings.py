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

_ROOM = (WALK_FUNCTION, types.int64[::1], types.uint64[:, ::1])


@njit(types.int64(types.int64[:, ::1], types.int64), cache=True, nogil=True)
def _best_partner(savings: Any, row: Any) -> Any:
    best: Any = np.int64(-1)
    best_saving = np.int64(NEVER)
    for other in range(row + 1, savings.shape[0]):
        if savings[row, other] > best_saving:
            best_saving = savings[row, other]
            best = other
    return best


@njit(
    types.int64(*_ROOM, types.int64[:, ::1], types.int64[::1], types.int64[::1], types.int64, types.int64),
    cache=True,
    nogil=True,
)
def _saving(
    walk: Any, geometry: Any, marked: Any, carried: Any, capacity: Any, length: Any, one: Any, other: Any
) -> Any:
    """What one walk instead of two saves, or NEVER."""
    for kind in range(capacity.size):
        if carried[one, kind] + carried[other, kind] > capacity[kind]:
            return np.int64(NEVER)
    common = np.empty(marked.shape[1], dtype=np.uint64)
    for word in range(common.size):
        common[word] = marked[one, word] | marked[other, word]
    return length[one] + length[other] - walk(common, geometry)


@njit(
    types.void(*_ROOM, types.int64[:, ::1], types.int64[::1], types.int64[::1]),
    cache=True,
    nogil=True,
)
def _join_by_savings(walk: Any, geometry: Any, marked: Any, carried: Any, capacity: Any, batch_of: Any) -> None:
    """Give every order the place of the lowest order in its batch; ``marked`` and ``carried`` are used up."""
    count = marked.shape[0]
    length = np.empty(count, dtype=np.int64)
    partner = np.empty(count, dtype=np.int64)
    savings = np.empty((count, count), dtype=np.int64)
    for row in range(count):
        batch_of[row] = row
        length[row] = walk(marked[row], geometry)
    for row in range(count):
        for other in range(row + 1, count):
            savings[row, other] = _saving(walk, geometry, marked, carried, capacity, length, row, other)
        partner[row] = _best_partner(savings, row)
    while True:
        first: Any = np.int64(-1)
        best_saving = np.int64(NEVER)
        for row in range(count):
            if partner[row] >= 0 and savings[row, partner[row]] > best_saving:
                best_saving = savings[row, partner[row]]
                first = row
        if first < 0:
            break
        second = partner[first]
        for word in range(marked.shape[1]):
            marked[first, word] |= marked[second, word]
        for kind in range(capacity.size):
            carried[first, kind] += carried[second, kind]
        length[first] = walk(marked[first], geometry)
        for order in range(count):
            if batch_of[order] == second:
                batch_of[order] = first
        savings[first, second] = NEVER
        partner[second] = -1
        for other in range(count):
            if other in (first, second) or batch_of[other] != other:
                continue
            saving = _saving(walk, geometry, marked, carried, capacity, length, first, other)
            low, high = (first, other) if first < other else (other, first)
            savings[low, high] = saving
            low, high = (second, other) if second < other else (other, second)
            savings[low, high] = NEVER
            if partner[other] == first or partner[other] == second:
                partner[other] = _best_partner(savings, other)
            elif other < first and saving > NEVER:
                held = partner[other]
                if held < 0 or saving > savings[other, held] or (saving == savings[other, held] and first < held):
                    partner[other] = first
        partner[first] = _best_partner(savings, first)


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
    _join_by_savings(walk, geometry, occupancy.copy(), load.copy(), capacity, batch_of)
    return batch_of


@njit(types.void(*_ROOM, types.int64[:, ::1]), cache=True, nogil=True)
def _fill_losses(walk: Any, geometry: Any, occupancy: Any, loss: Any) -> None:
    """What each pair walks more than the longer of its two orders alone."""
    count, words = occupancy.shape
    common = np.empty(words, dtype=np.uint64)
    length = np.empty(count, dtype=np.int64)
    for order in range(count):
        length[order] = walk(occupancy[order], geometry)
        loss[order, order] = -NEVER
        for other in range(order):
            for word in range(words):
                common[word] = occupancy[order, word] | occupancy[other, word]
            loss[order, other] = walk(common, geometry) - max(length[order], length[other])
            loss[other, order] = loss[order, other]


def nearest_orders(
    walk: Any, geometry: NDArray[np.int64], occupancy: NDArray[np.uint64], wanted: int
) -> NDArray[np.int64]:
    """For each order the ``wanted`` others (or all there are) that add least to its walk; of equals the first."""
    loss = np.empty((len(occupancy), len(occupancy)), dtype=np.int64)
    _fill_losses(walk, geometry, occupancy, loss)
    ranked = np.argsort(loss, axis=1, kind="stable")
    return np.ascontiguousarray(ranked[:, : max(0, min(wanted, len(occupancy) - 1))])
