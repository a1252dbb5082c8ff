"""The best plan for a few orders, exactly: every batch that fits, and the best way to put them together.

For every set of orders, smallest sets first: the batch with its first order, and the best plan of the rest (the
subset recursion of Held & Karp 1962, *A Dynamic Programming Approach to Sequencing Problems*, Journal of
SIAM 10(1):196-210, doi 10.1137/0110015, applied to a partition). Of equal plans the one whose first batch has the
smallest sum of two-powers of its places wins, then the second's, and so on.

Limits: the work grows threefold with each order; it is meant for up to thirteen or so.
"""

from typing import Any

import numpy as np
from numba import njit, types

from fulfil.planning.walks import WALK_FUNCTION


@njit(
    types.int64(
        WALK_FUNCTION,
        types.int64[::1],
        types.uint64[:, ::1],
        types.int64[:, ::1],
        types.int64[::1],
        types.int64,
        types.int64[::1],
    ),
    cache=True,
    nogil=True,
)
def plan_few(walk: Any, geometry: Any, occupancy: Any, load: Any, capacity: Any, set_up: Any, batch_of: Any) -> Any:
    """Fill ``batch_of`` with the best plan and return what it costs in mm.

    ``set_up`` is what each walk costs besides its length, in mm; the other arguments are those of ``anneal``.
    """
    count, words = occupancy.shape
    sets = np.int64(1) << count
    alone = np.empty(sets, dtype=np.int64)
    best = np.empty(sets, dtype=np.int64)
    first_batch = np.empty(sets, dtype=np.int64)
    marked = np.empty(words, dtype=np.uint64)
    best[0] = 0
    for chosen in range(1, sets):
        fits = True
        for kind in range(capacity.size):
            carried: Any = np.int64(0)
            for order in range(count):
                if (chosen >> order) & 1:
                    carried += load[order, kind]
            if carried > capacity[kind]:
                fits = False
        alone[chosen] = -1
        if fits:
            for word in range(words):
                marked[word] = np.uint64(0)
                for order in range(count):
                    if (chosen >> order) & 1:
                        marked[word] |= occupancy[order, word]
            alone[chosen] = walk(marked, geometry) + set_up
        lowest = chosen & -chosen
        others = chosen ^ lowest
        best[chosen] = -1
        rest = others
        while True:
            batch = chosen ^ rest
            if alone[batch] >= 0:
                length = alone[batch] + best[rest]
                if best[chosen] < 0 or length < best[chosen]:
                    best[chosen] = length
                    first_batch[chosen] = batch
            if rest == 0:
                break
            rest = (rest - 1) & others
    left = sets - 1
    number: Any = np.int64(0)
    while left:
        batch = first_batch[left]
        for order in range(count):
            if (batch >> order) & 1:
                batch_of[order] = number
        number += 1
        left ^= batch
    return best[sets - 1]
