"""Exact pricing: every batch whose walk costs less than the duals of its orders pay, by depth-first search.

For duals ``pi`` of the orders, ``sigma`` of the number of batches and penalties ``mu`` of cuts, the reduced cost of
a batch is ``walk - sum(pi) - sigma + sum(mu of cuts hit)``; a cut on three orders is hit by a batch with two of them or
more (the subset-row cuts of Jepsen, Petersen, Spoorendonk & Pisinger 2008, *Subset-Row Inequalities Applied to the
Vehicle-Routing Problem with Time Windows*, Operations Research 56(2):497-511, doi 10.1287/opre.1070.0449).

Orders are sorted by dual; a batch is extended only by later orders. A branch is left out when a lower bound of
everything below it reaches the threshold. With ``r`` places left, two bounds hold for any further orders ``T``,
because neither the walk nor any part of its floor shrinks when stops are added:

- ``walk(S+T) >= walk(S) + (1/r) * sum over T of (walk(S+o) - walk(S))``;
- ``floor(S+T) >= floor(S) + (1/r) * sum over T of (growth of every part by o)``.

A cut that one order of S belongs to is hit by its other two orders at most together, so half its penalty counts for
each. Both bounds turn into one value for each order; how much the best ``T`` is worth at most, by places and by load at
once, says :mod:`fulfil.planning.proving.worth`.

Every number is an integer: walks in mm times :data:`SCALE`, duals and penalties rounded down to the same unit, shares
of growth rounded down. "Nothing found" is therefore a proof for these duals, not a matter of tolerances.

Limits: the search is exponential in the places of a cart; it stops after ``node_limit`` branches and then says so.
"""

from typing import Any

import numpy as np
from numba import njit, types

from fulfil.planning.proving.worth import (
    HIT,
    HIT_SHARE,
    I8,
    I8S,
    I8T,
    ORDER,
    WALK,
    best_prices,
    keep_worthy,
    most_that_fit,
)
from fulfil.planning.walks import FLOOR_FUNCTION, WALK_FUNCTION

SCALE = 1024
"""Units of reduced cost in one millimetre."""

U8T = types.uint64[:, ::1]
DIVISOR, PENALTY, SHARE = 0, 1, 2
"""Rows of the table of cuts."""

_PRICED: Any = types.UniTuple(I8, 3)  # type: ignore[no-untyped-call]


@njit(types.UniTuple(I8, 2)(I8T, I8T, I8, I8, I8T), cache=True, nogil=True)  # type: ignore[no-untyped-call]
def newly_hit(cuts_of: Any, needs: Any, depth: Any, order: Any, cuts: Any) -> Any:
    """Penalties of the cuts that ``order`` makes count once more, and the part of them that it answers for alone."""
    whole: Any = np.int64(0)
    part: Any = np.int64(0)
    for column in range(cuts_of.shape[1]):
        cut = cuts_of[order, column]
        if cut < 0:
            break
        if needs[depth, cut] == 1:
            whole += cuts[PENALTY, cut]
            part += cuts[SHARE, cut]
    return whole, part


@njit(types.void(I8T, I8T, I8, I8, I8T), cache=True, nogil=True)
def take_in(cuts_of: Any, needs: Any, depth: Any, order: Any, cuts: Any) -> None:
    """Note in ``needs`` that ``order`` is in the batch."""
    for column in range(cuts_of.shape[1]):
        cut = cuts_of[order, column]
        if cut < 0:
            break
        needs[depth, cut] -= 1
        if needs[depth, cut] == 0:
            needs[depth, cut] = cuts[DIVISOR, cut]


_PRICE: Any = njit(
    _PRICED(WALK_FUNCTION, FLOOR_FUNCTION, I8S, U8T, I8T, I8S, I8S, I8T, I8S, I8S, I8, I8T, I8T, I8S, I8T, I8S, I8S),
    cache=True,
    nogil=True,
    # No divisor here can be zero; what Python says of one takes a second to compile.
    error_model="numpy",
)


@_PRICE  # type: ignore[untyped-decorator]
def price(
    walk: Any,
    floor: Any,
    geometry: Any,
    occupancy: Any,
    load: Any,
    capacity: Any,
    least_load: Any,
    spare: Any,
    by_dual: Any,
    dual: Any,
    sigma: Any,
    cuts_of: Any,
    cuts: Any,
    limits: Any,
    found: Any,
    found_cost: Any,
    found_reduced: Any,
) -> Any:
    """Find batches of reduced cost below the threshold.

    Args:
        walk: Compiled length of a walk.
        floor: Compiled lower bound in parts.
        geometry: The room, packed.
        occupancy: One row of words for each order.
        load: What each order takes of each kind of capacity.
        capacity: What a cart holds of each kind.
        least_load: Batches that carry less than this of any kind aren't wanted.
        spare: What batches pay for what they leave free: rows of kinds, of divisors and of penalties (in the unit of
            duals) for every time that the divisor goes into what is left of that kind.
        by_dual: The orders, largest dual first.
        dual: Dual of each order, in mm times SCALE.
        sigma: Dual of the number of batches, in the same unit.
        cuts_of: For each order the numbers of the cuts it belongs to, padded with -1.
        cuts: Rows of divisors, of penalties (in the same unit) and of the part of a penalty that an order answers
            for alone, one column for each cut.
        limits: Six numbers: parts of the floor; no batch has more orders than this; threshold; stop after so many
            branches; of the first branches only that one and every so manieth after it, to share the work out.
        found: Filled with batches, one row each, padded with -1; the best ones when there are more than rows.
        found_cost: Filled with their walks in mm.
        found_reduced: Filled with their reduced costs.

    Returns:
        The least reduced cost met (0 if none is below the threshold), the number of batches in ``found``, and the
        number of branches, negative when the search stopped at the limit.
    """
    count, words = occupancy.shape
    kinds = capacity.size
    cut_count = cuts.shape[1]
    floor_parts, largest, threshold, node_limit = limits[0], limits[1], limits[2], limits[3]
    first_branch, every_branch = limits[4], limits[5]
    depths = largest + 2
    tables = np.zeros((depths, 5, count), dtype=np.int64)
    marked = np.zeros((depths, words), dtype=np.uint64)
    needs = np.zeros((depths, cut_count), dtype=np.int64)
    # Number by number: for a whole row numba also makes the words of an error about its length, three seconds of them.
    for cut in range(cut_count):
        needs[0, cut] = cuts[DIVISOR, cut]
    left = np.zeros((depths, kinds), dtype=np.int64)
    ints = np.zeros((5, depths), dtype=np.int64)
    candidate_count, position, cost, paid, chosen = ints[0], ints[1], ints[2], ints[3], ints[4]
    union = np.zeros(words, dtype=np.uint64)
    parts = np.zeros(floor_parts, dtype=np.int64)
    value = np.zeros(count, dtype=np.int64)
    scratch = np.zeros((3, count + 1), dtype=np.int64)
    prices = np.zeros((depths, kinds), dtype=np.int64)
    found_count = np.int64(0)
    worst: Any = np.int64(0)
    least = np.int64(0)
    nodes = np.int64(0)
    uniform = kinds == 1
    for index in range(count):
        tables[0, ORDER, index] = by_dual[index]
        if load[index, 0] != load[0, 0] or load[index, 0] <= 0:
            uniform = False
    for kind in range(kinds):
        left[0, kind] = capacity[kind]
    candidate_count[0] = count
    depth = np.int64(0)
    entering = True
    while depth >= 0:
        table = tables[depth]
        if entering:
            entering = False
            position[depth] = first_branch if depth == 0 else np.int64(0)
            nodes += 1
            if nodes > node_limit:
                return least, found_count, -nodes
            bottom = floor(marked[depth], geometry, parts) if depth > 0 else np.int64(0)
            base = cost[depth] * SCALE - paid[depth] - sigma - threshold
            floor_base = bottom * SCALE - paid[depth] - sigma - threshold
            places = left[depth, 0] // load[0, 0] if uniform else largest - depth
            kept = candidate_count[depth]
            if depth > 0 and places > 0:
                # First what the branch above knows: walk and floor with an order were no longer there.
                for row in range(2):
                    before = cost[depth] if row == 0 else bottom
                    for index in range(kept):
                        growth = max(np.int64(0), table[WALK + row, index] - before)
                        value[index] = dual[table[ORDER, index]] - (growth * SCALE) // places
                    worthy_base = base if row == 0 else floor_base
                    kept = keep_worthy(
                        value, worthy_base, places, table, kept, load, left[depth], prices[depth], scratch
                    )
            fitting = np.int64(0)
            for index in range(kept):
                order = table[ORDER, index]
                fits = True
                for kind in range(kinds):
                    if load[order, kind] > left[depth, kind]:
                        fits = False
                if fits:
                    table[ORDER, fitting] = order
                    table[HIT, fitting], table[HIT_SHARE, fitting] = newly_hit(cuts_of, needs, depth, order, cuts)
                    fitting += 1
            kept = fitting
            places = min(places, kept) if uniform else most_that_fit(table, scratch[0], kept, load, left[depth])
            # The floor goes first: in rooms of several blocks it costs far less than the walk.
            for row in (1, 0):
                before = cost[depth] if row == 0 else bottom
                for index in range(kept):
                    order = table[ORDER, index]
                    for word in range(words):
                        union[word] = marked[depth, word] | occupancy[order, word]
                    length = walk(union, geometry) if row == 0 else floor(union, geometry, parts)
                    table[WALK + row, index] = length
                    growth = (length - before) * SCALE
                    value[index] = dual[order] - table[HIT_SHARE, index] - growth // places
                    reduced = length * SCALE - paid[depth] - dual[order] - sigma + table[HIT, index]
                    if row == 1 or reduced >= threshold:
                        continue
                    is_full_enough = True
                    for kind in range(kinds):
                        if left[depth, kind] - load[order, kind] > capacity[kind] - least_load[kind]:
                            is_full_enough = False
                    for column in range(spare.shape[1]):
                        kind = spare[0, column]
                        reduced += ((left[depth, kind] - load[order, kind]) // spare[1, column]) * spare[2, column]
                    if reduced < threshold and is_full_enough:
                        least = min(least, reduced)
                        place: Any = np.int64(-1)
                        if found_count < found.shape[0]:
                            place = found_count
                            found_count += 1
                        elif found_reduced[worst] > reduced:
                            place = worst
                        if place >= 0:
                            found_reduced[place] = reduced
                            found_cost[place] = length
                            for level in range(found.shape[1]):
                                found[place, level] = chosen[level] if level < depth else np.int64(-1)
                            found[place, depth] = order
                            if found_count == found.shape[0]:
                                for other in range(found_count):
                                    if found_reduced[other] > found_reduced[worst]:
                                        worst = other
                if not uniform:
                    best_prices(value, places, table, kept, load, left[depth], prices[depth], scratch)
                worthy_base = base if row == 0 else floor_base
                kept = keep_worthy(value, worthy_base, places, table, kept, load, left[depth], prices[depth], scratch)
            if places <= 1:
                # One further order at most: those have been looked at above.
                depth -= 1
                continue
            candidate_count[depth] = kept
        index = position[depth]
        if index >= candidate_count[depth] - 1:
            # The last candidate has no later order to go with.
            depth -= 1
            continue
        position[depth] = index + (every_branch if depth == 0 else np.int64(1))
        order = table[ORDER, index]
        chosen[depth] = order
        below = depth + 1
        for word in range(words):
            marked[below, word] = marked[depth, word] | occupancy[order, word]
        for cut in range(cut_count):
            needs[below, cut] = needs[depth, cut]
        take_in(cuts_of, needs, below, order, cuts)
        for kind in range(kinds):
            prices[below, kind] = prices[depth, kind]
            left[below, kind] = left[depth, kind] - load[order, kind]
        cost[below] = table[WALK, index]
        paid[below] = paid[depth] + dual[order] - table[HIT, index]
        remaining = candidate_count[depth] - index - 1
        for later in range(remaining):
            for row in range(3):
                tables[below, row, later] = table[row, index + 1 + later]
        candidate_count[below] = remaining
        depth = below
        entering = True
    return least, found_count, nodes
