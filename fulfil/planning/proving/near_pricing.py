"""Near pricing: batches that price out, found by exchanging one order at a time in batches that nearly do.

Each batch of the linear programme's basis is improved by the best exchange (one order out, one in, or either alone)
until none lowers its reduced cost, and every batch of negative reduced cost on the way is kept. This finds most
columns at a small part of the time of exact pricing (:mod:`fulfil.planning.proving.pricing`), which then only has to
find the last ones and to prove that there are no more.

Limits: finds, never proves.
"""

from typing import Any

import numpy as np
from numba import njit

from fulfil.planning.proving.pricing import DIVISOR, SCALE, U8T, newly_hit, take_in
from fulfil.planning.proving.worth import I8, I8S, I8T
from fulfil.planning.walks import FLOOR_FUNCTION, WALK_FUNCTION

STEPS = 20
"""At most so many exchanges are made from each start."""


@njit(I8(I8T, I8S, I8S, I8T, I8, I8), cache=True, nogil=True)
def free_places(spare: Any, carried: Any, capacity: Any, load: Any, gone: Any, come: Any) -> Any:
    """Penalties for what a batch leaves free once one order has gone and another has come (-1 for none)."""
    total: Any = np.int64(0)
    for column in range(spare.shape[1]):
        kind = spare[0, column]
        left = capacity[kind] - carried[kind]
        if gone >= 0:
            left += load[gone, kind]
        if come >= 0:
            left -= load[come, kind]
        total += (left // spare[1, column]) * spare[2, column]
    return total


@njit(
    I8(WALK_FUNCTION, FLOOR_FUNCTION, I8, I8S, U8T, I8T, I8S, I8S, I8T, I8S, I8, I8T, I8T, I8T, I8, I8T, I8S, I8S),
    cache=True,
    nogil=True,
)
def price_near(
    walk: Any,
    floor: Any,
    floor_parts: Any,
    geometry: Any,
    occupancy: Any,
    load: Any,
    capacity: Any,
    least_load: Any,
    spare: Any,
    dual: Any,
    sigma: Any,
    cuts_of: Any,
    cuts: Any,
    starts: Any,
    most_walks: Any,
    found: Any,
    found_cost: Any,
    found_reduced: Any,
) -> Any:
    """Fill ``found`` with batches of negative reduced cost near ``starts``; return how many.

    The arguments are those of :func:`fulfil.planning.proving.pricing.price`; ``starts`` has one batch in each row,
    padded with -1; it stops after so many walks measured.
    """
    count, words = occupancy.shape
    kinds = capacity.size
    width = starts.shape[1]
    inside = np.zeros(count, dtype=np.bool_)
    rest = np.zeros((width + 1, words), dtype=np.uint64)
    needs = np.zeros((width + 1, cuts.shape[1]), dtype=np.int64)
    base = np.zeros(width + 1, dtype=np.int64)
    base_cost = np.zeros(width + 1, dtype=np.int64)
    members = np.zeros(width + 1, dtype=np.int64)
    union = np.zeros(words, dtype=np.uint64)
    carried = np.zeros(kinds, dtype=np.int64)
    parts = np.zeros(floor_parts, dtype=np.int64)
    found_count = np.int64(0)
    worst: Any = np.int64(0)
    for start in range(starts.shape[0]):
        if most_walks <= 0:
            break
        size: Any = np.int64(0)
        for kind in range(kinds):
            carried[kind] = 0
        while size < width and starts[start, size] >= 0:
            order = starts[start, size]
            members[size] = order
            inside[order] = True
            for kind in range(kinds):
                carried[kind] += load[order, kind]
            size += 1
        current = np.int64(0)
        for step in range(STEPS):
            # Row p: the batch without its order p; the last row: the batch as it is.
            for out in range(size + 1):
                for word in range(words):
                    rest[out, word] = np.uint64(0)
                for cut in range(cuts.shape[1]):
                    needs[out, cut] = cuts[DIVISOR, cut]
                value = -sigma
                for place in range(size):
                    if place == out:
                        continue
                    order = members[place]
                    value -= dual[order]
                    value += newly_hit(cuts_of, needs, out, order, cuts)[0]
                    take_in(cuts_of, needs, out, order, cuts)
                    for word in range(words):
                        rest[out, word] |= occupancy[order, word]
                base_cost[out] = walk(rest[out], geometry)
                base[out] = value + base_cost[out] * SCALE
            if step == 0:
                current = base[size] + free_places(spare, carried, capacity, load, np.int64(-1), np.int64(-1))
            best = current
            best_out: Any = np.int64(-1)
            best_in: Any = np.int64(-1)
            best_cost: Any = np.int64(0)
            for out in range(size + 1):
                may_go = out < size and size > 1
                for kind in range(kinds):
                    if may_go and carried[kind] - load[members[out], kind] < least_load[kind]:
                        may_go = False
                if may_go and base[out] < best:
                    reduced = base[out] + free_places(spare, carried, capacity, load, members[out], np.int64(-1))
                    if reduced < best:
                        best, best_out, best_in, best_cost = reduced, out, np.int64(-1), base_cost[out]
                for order in range(count):
                    if inside[order] or base[out] - dual[order] >= best:
                        continue
                    fits = True
                    for kind in range(kinds):
                        freed = load[members[out], kind] if out < size else np.int64(0)
                        loaded = carried[kind] + load[order, kind] - freed
                        if loaded > capacity[kind] or (out < size and loaded < least_load[kind]):
                            fits = False
                    if not fits:
                        continue
                    for word in range(words):
                        union[word] = rest[out, word] | occupancy[order, word]
                    # The floor costs far less than the walk, in rooms of several blocks above all.
                    least = floor(union, geometry, parts)
                    if base[out] + (least - base_cost[out]) * SCALE - dual[order] >= best:
                        continue
                    most_walks -= 1
                    length = walk(union, geometry)
                    reduced = base[out] + (length - base_cost[out]) * SCALE - dual[order]
                    if reduced < best:
                        reduced += newly_hit(cuts_of, needs, out, order, cuts)[0]
                        gone = members[out] if out < size else np.int64(-1)
                        reduced += free_places(spare, carried, capacity, load, gone, order)
                        if reduced < best:
                            best, best_out, best_in, best_cost = reduced, out, order, length
            if best_out < 0:
                break
            if best_out < size:
                gone = members[best_out]
                inside[gone] = False
                for kind in range(kinds):
                    carried[kind] -= load[gone, kind]
                size -= 1
                members[best_out] = members[size]
            if best_in >= 0:
                members[size] = best_in
                inside[best_in] = True
                for kind in range(kinds):
                    carried[kind] += load[best_in, kind]
                size += 1
            current = best
            is_full_enough = True
            for kind in range(kinds):
                if carried[kind] < least_load[kind]:
                    is_full_enough = False
            if current >= 0 or not is_full_enough:
                continue
            row: Any = np.int64(-1)
            if found_count < found.shape[0]:
                row = found_count
                found_count += 1
            elif found_reduced[worst] > current:
                row = worst
            if row >= 0:
                found_reduced[row] = current
                found_cost[row] = best_cost
                for place in range(found.shape[1]):
                    found[row, place] = members[place] if place < size else np.int64(-1)
                if found_count == found.shape[0]:
                    for other in range(found_count):
                        if found_reduced[other] > found_reduced[worst]:
                            worst = other
        for place in range(size):
            inside[members[place]] = False
    return found_count
