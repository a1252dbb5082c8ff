"""Near pricing: batches that price out, found by exchanging one order at a time in batches that nearly do.

Each batch of the linear programme's basis is improved by the best exchange (one order out, one in, or either alone)
until none lowers its reduced cost, and every batch of negative reduced cost on the way is kept. This finds most
columns at a small part of the time of exact pricing (:mod:`fulfil.planning.pricing`), which then only has to
find the last ones and to prove that there are no more.

Limits: finds, never proves.
"""

from typing import Any

import numpy as np
from numba import njit

from fulfil.planning.pricing import I8, I8S, I8T, SCALE, U8T, newly_hit
from fulfil.planning.walks import WALK_FUNCTION


@njit(
    I8(WALK_FUNCTION, I8S, U8T, I8T, I8S, I8S, I8, U8T, I8S, I8T, I8, I8T, I8S, I8S),
    cache=True,
    nogil=True,
)
def price_near(
    walk: Any,
    geometry: Any,
    occupancy: Any,
    load: Any,
    capacity: Any,
    dual: Any,
    sigma: Any,
    cuts_of: Any,
    penalty: Any,
    starts: Any,
    steps: Any,
    found: Any,
    found_cost: Any,
    found_reduced: Any,
) -> Any:
    """Fill ``found`` with batches of negative reduced cost near ``starts``; return how many.

    The arguments are those of :func:`fulfil.planning.pricing.price`; ``starts`` has one batch in each row, padded with
    -1, and at most ``steps`` exchanges are made from each.
    """
    count, words = occupancy.shape
    kinds = capacity.size
    cut_words = cuts_of.shape[1]
    width = starts.shape[1]
    inside = np.zeros(count, dtype=np.bool_)
    rest = np.zeros((width + 1, words), dtype=np.uint64)
    seen = np.zeros((width + 1, 2 * cut_words), dtype=np.uint64)
    base = np.zeros(width + 1, dtype=np.int64)
    base_cost = np.zeros(width + 1, dtype=np.int64)
    members = np.zeros(width + 1, dtype=np.int64)
    union = np.zeros(words, dtype=np.uint64)
    carried = np.zeros(kinds, dtype=np.int64)
    found_count = np.int64(0)
    worst: Any = np.int64(0)
    for start in range(starts.shape[0]):
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
        for step in range(steps):
            # Row p: the batch without its order p; the last row: the batch as it is.
            for out in range(size + 1):
                for word in range(words):
                    rest[out, word] = np.uint64(0)
                for word in range(2 * cut_words):
                    seen[out, word] = np.uint64(0)
                value = -sigma
                for place in range(size):
                    if place == out:
                        continue
                    order = members[place]
                    value -= dual[order]
                    value += newly_hit(cuts_of, seen, out, order, cut_words, penalty)
                    for word in range(words):
                        rest[out, word] |= occupancy[order, word]
                    for word in range(cut_words):
                        seen[out, cut_words + word] |= seen[out, word] & cuts_of[order, word]
                        seen[out, word] |= cuts_of[order, word]
                base_cost[out] = walk(rest[out], geometry)
                base[out] = value + base_cost[out] * SCALE
            if step == 0:
                current = base[size]
            best = current
            best_out: Any = np.int64(-1)
            best_in: Any = np.int64(-1)
            best_cost: Any = np.int64(0)
            for out in range(size + 1):
                if out < size and size > 1 and base[out] < best:
                    best, best_out, best_in, best_cost = base[out], out, np.int64(-1), base_cost[out]
                for order in range(count):
                    if inside[order] or base[out] - dual[order] >= best:
                        continue
                    fits = True
                    for kind in range(kinds):
                        freed = load[members[out], kind] if out < size else np.int64(0)
                        if carried[kind] + load[order, kind] - freed > capacity[kind]:
                            fits = False
                    if not fits:
                        continue
                    for word in range(words):
                        union[word] = rest[out, word] | occupancy[order, word]
                    length = walk(union, geometry)
                    reduced = base[out] + (length - base_cost[out]) * SCALE - dual[order]
                    if reduced < best:
                        reduced += newly_hit(cuts_of, seen, out, order, cut_words, penalty)
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
            if current >= 0:
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
