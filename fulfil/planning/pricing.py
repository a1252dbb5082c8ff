"""Exact pricing: every batch whose walk costs less than the duals of its orders pay, by depth-first search.

For duals ``pi`` of the orders and ``sigma`` of the number of batches, the reduced cost of a batch is
``cost - sum(pi) - sigma``. Orders are sorted by dual; a batch is extended only by later orders. A branch is
left out when a lower bound of everything below it reaches the threshold. With ``r`` places left, two bounds hold
for any further orders ``T``, because neither the walk nor any part of its floor shrinks when stops are added:

- ``walk(S+T) >= walk(S) + (1/r) * sum over T of (walk(S+o) - walk(S))``;
- ``floor(S+T) >= floor(S) + (1/r) * sum over T of (growth of every part by o)``.

Both turn into one value for each order, so the best ``T`` is the ``r`` largest values (with unequal loads: the
fractional knapsack of Dantzig 1957, *Discrete-Variable Extremum Problems*, Operations Research 5(2):266-288,
doi 10.1287/opre.5.2.266).

Every number is an integer: walks in mm times :data:`SCALE`, duals rounded down to the same unit, shares of
growth rounded down. "Nothing found" is therefore a proof for these duals, not a matter of tolerances.

Limits: the search is exponential in the places of a cart; it stops after ``node_limit`` branches and then says so.
"""

from typing import Any

import numpy as np
from numba import njit, types

from fulfil.planning.walks import FLOOR_FUNCTION, WALK_FUNCTION

SCALE = 1024
"""Units of reduced cost in one millimetre."""


@njit(
    types.int64(types.int64[::1], types.int64, types.int64[::1], types.int64),
    cache=True,
    nogil=True,
)
def _sum_of_largest(values: Any, count: Any, scratch: Any, take: Any) -> Any:
    """Sum of the ``take`` largest positive values of the first ``count``."""
    if take <= 0:
        return np.int64(0)
    kept = np.int64(0)
    total = np.int64(0)
    for position in range(count):
        value = values[position]
        if value <= 0:
            continue
        if kept < take:
            at = kept
            kept += 1
        elif value > scratch[kept - 1]:
            total -= scratch[kept - 1]
            at = kept - 1
        else:
            continue
        while at > 0 and scratch[at - 1] < value:
            scratch[at] = scratch[at - 1]
            at -= 1
        scratch[at] = value
        total += value
    return total


@njit(
    types.int64(types.int64[::1], types.int64[::1], types.int64, types.int64[:, ::1], types.int64, types.int64),
    cache=True,
    nogil=True,
)
def _fractional_knapsack(values: Any, orders: Any, count: Any, load: Any, kind: Any, left: Any) -> Any:
    """Upper bound of the value that fits into ``left`` of one kind of capacity, rounded up."""
    ratio = np.empty(count, dtype=np.float64)
    free = np.int64(0)
    for position in range(count):
        weight = load[orders[position], kind]
        ratio[position] = 0.0
        if values[position] > 0:
            if weight == 0:
                free += values[position]
            else:
                ratio[position] = -np.float64(values[position]) / np.float64(weight)
    total = free
    for position in np.argsort(ratio):
        if ratio[position] >= 0.0 or left <= 0:
            break
        weight = load[orders[position], kind]
        if weight <= left:
            total += values[position]
            left -= weight
        else:
            total += (values[position] * left) // weight + 1
            left = 0
    return total


@njit(
    types.UniTuple(types.int64, 3)(
        WALK_FUNCTION,
        FLOOR_FUNCTION,
        types.int64,
        types.int64[::1],
        types.uint64[:, ::1],
        types.int64[:, ::1],
        types.int64[::1],
        types.int64,
        types.int64[::1],
        types.int64,
        types.int64,
        types.int64,
        types.int64,
        types.int64[:, ::1],
        types.int64[::1],
    ),
    cache=True,
    nogil=True,
)
def price(
    walk: Any,
    floor: Any,
    floor_parts: Any,
    geometry: Any,
    occupancy: Any,
    load: Any,
    capacity: Any,
    largest: Any,
    dual: Any,
    sigma: Any,
    threshold: Any,
    haste: Any,
    node_limit: Any,
    found: Any,
    found_cost: Any,
) -> Any:
    """Find batches of reduced cost below ``threshold``.

    Args:
        walk: Compiled length of a walk.
        floor: Compiled lower bound in parts.
        floor_parts: How many parts.
        geometry: The room, packed.
        occupancy: One row of words for each order.
        load: What each order takes of each kind of capacity.
        capacity: What a cart holds of each kind.
        largest: No batch has more orders.
        dual: Dual of each order, in mm times SCALE.
        sigma: Dual of the number of batches, in the same unit.
        threshold: Reduced costs from here on don't matter (0, or less to be hasty).
        haste: 1 is exact; a larger number counts growth that often and misses batches.
        node_limit: Stop after so many branches.
        found: Filled with batches, one row each, padded with -1; the best ones when there are more than rows.
        found_cost: Filled with their walks in mm.

    Returns:
        The least reduced cost met (0 if none is negative), the number of batches in ``found``, and the number
        of branches, negative when the search stopped at the limit.
    """
    count, words = occupancy.shape
    kinds = capacity.size
    order_of = np.argsort(-dual, kind="mergesort")
    depth_limit = largest + 1
    candidates = np.zeros((depth_limit, count), dtype=np.int64)
    child_cost = np.zeros((depth_limit, count), dtype=np.int64)
    candidate_count = np.zeros(depth_limit, dtype=np.int64)
    position = np.zeros(depth_limit, dtype=np.int64)
    marked = np.zeros((depth_limit, words), dtype=np.uint64)
    left = np.zeros((depth_limit, kinds), dtype=np.int64)
    cost = np.zeros(depth_limit, dtype=np.int64)
    paid = np.zeros(depth_limit, dtype=np.int64)
    chosen = np.zeros(depth_limit, dtype=np.int64)
    union = np.zeros(words, dtype=np.uint64)
    parts = np.zeros(floor_parts, dtype=np.int64)
    grown = np.zeros(floor_parts, dtype=np.int64)
    value = np.zeros(count, dtype=np.int64)
    floor_value = np.zeros(count, dtype=np.int64)
    scratch = np.zeros(depth_limit + 1, dtype=np.int64)
    found_reduced = np.zeros(found.shape[0], dtype=np.int64)
    found_count = np.int64(0)
    least = np.int64(0)
    nodes = np.int64(0)

    uniform = kinds == 1
    for order in range(count):
        if load[order, 0] != load[0, 0] or load[order, 0] <= 0:
            uniform = False
    depth = np.int64(0)
    candidate_count[0] = count
    for index in range(count):
        candidates[0, index] = order_of[index]
    left[0, :] = capacity
    entering = True
    while depth >= 0:
        if entering:
            nodes += 1
            if nodes > node_limit:
                return least, found_count, -nodes
            # Children's walks, and what is found among them.
            kept = np.int64(0)
            for index in range(candidate_count[depth]):
                order = candidates[depth, index]
                fits = True
                for kind in range(kinds):
                    if load[order, kind] > left[depth, kind]:
                        fits = False
                if not fits:
                    continue
                for word in range(words):
                    union[word] = marked[depth, word] | occupancy[order, word]
                candidates[depth, kept] = order
                child_cost[depth, kept] = walk(union, geometry)
                reduced = child_cost[depth, kept] * SCALE - paid[depth] - dual[order] - sigma
                if reduced < threshold:
                    least = min(least, reduced)
                    row = np.int64(-1)
                    if found_count < found.shape[0]:
                        row = found_count
                        found_count += 1
                    else:
                        worst = np.argmax(found_reduced)
                        if found_reduced[worst] > reduced:
                            row = worst
                    if row >= 0:
                        found_reduced[row] = reduced
                        found_cost[row] = child_cost[depth, kept]
                        found[row, :] = -1
                        for level in range(depth):
                            found[row, level] = chosen[level]
                        found[row, depth] = order
                kept += 1
            candidate_count[depth] = kept
            # How many more orders could still be added.
            places = kept
            if uniform:
                places = min(places, left[depth, 0] // load[0, 0])
            else:
                for kind in range(kinds):
                    weights = np.empty(kept, dtype=np.int64)
                    for index in range(kept):
                        weights[index] = load[candidates[depth, index], kind]
                    weights.sort()
                    total = np.int64(0)
                    fit = np.int64(0)
                    for weight in weights:
                        total += weight
                        if total > left[depth, kind]:
                            break
                        fit += 1
                    places = min(places, fit)
            if places <= 1:
                # A single further order has been looked at above.
                candidate_count[depth] = 0
            else:
                bottom = floor(marked[depth], geometry, parts) if depth > 0 else np.int64(0)
                if depth == 0:
                    parts[:] = 0
                for index in range(kept):
                    order = candidates[depth, index]
                    growth = (child_cost[depth, index] - cost[depth]) * SCALE * haste
                    value[index] = dual[order] - growth // places
                    for word in range(words):
                        union[word] = marked[depth, word] | occupancy[order, word]
                    growth = (floor(union, geometry, grown) - bottom) * SCALE * haste
                    floor_value[index] = dual[order] - growth // places
                if uniform:
                    best = _sum_of_largest(value, kept, scratch, places - 1)
                    floor_best = _sum_of_largest(floor_value, kept, scratch, places - 1)
                else:
                    best = _sum_of_largest(value, kept, scratch, places - 1)
                    floor_best = _sum_of_largest(floor_value, kept, scratch, places - 1)
                    for kind in range(kinds):
                        best = min(
                            best, _fractional_knapsack(value, candidates[depth], kept, load, kind, left[depth, kind])
                        )
                        floor_best = min(
                            floor_best,
                            _fractional_knapsack(floor_value, candidates[depth], kept, load, kind, left[depth, kind]),
                        )
                base = cost[depth] * SCALE - paid[depth] - sigma - best
                floor_base = bottom * SCALE - paid[depth] - sigma - floor_best
                survivors = np.int64(0)
                for index in range(kept):
                    if base - value[index] < threshold and floor_base - floor_value[index] < threshold:
                        candidates[depth, survivors] = candidates[depth, index]
                        child_cost[depth, survivors] = child_cost[depth, index]
                        survivors += 1
                candidate_count[depth] = survivors
            position[depth] = 0
            entering = False
        if position[depth] >= candidate_count[depth] - 1:
            # The last candidate has no later order to go with.
            depth -= 1
            continue
        index = position[depth]
        position[depth] += 1
        order = candidates[depth, index]
        chosen[depth] = order
        for word in range(words):
            marked[depth + 1, word] = marked[depth, word] | occupancy[order, word]
        for kind in range(kinds):
            left[depth + 1, kind] = left[depth, kind] - load[order, kind]
        cost[depth + 1] = child_cost[depth, index]
        paid[depth + 1] = paid[depth] + dual[order]
        remaining = candidate_count[depth] - index - 1
        candidates[depth + 1, :remaining] = candidates[depth, index + 1 : index + 1 + remaining]
        candidate_count[depth + 1] = remaining
        depth += 1
        entering = True
    return least, found_count, nodes
