"""How short a tour over a distance table could be at best: a proven lower bound, in whole millimetres.

Two bounds, the larger counts:

- the shortest spanning tree with one extra edge, every stop charged or paid for being met more or less than twice
  (the 1-tree of Held and Karp, Oper. Res. 18, 1970, 1138-1162, doi:10.1287/opre.18.6.1138; payments improved by the
  subgradient steps of Held, Wolfe, Crowder, Math. Program. 6, 1974, 62-88, doi:10.1007/BF01580223);
- where directions differ, the cheapest way to give every stop one way in and one way out (the assignment bound).

Payments are whole numbers of 1/1024 mm and tours are whole millimetres, so the bound is exact arithmetic, rounded up.

>>> int(tour_bound(np.array([[0, 5, 5], [5, 0, 5], [5, 5, 0]]), 15))
15
"""

import numpy as np
from numba import njit
from numpy.typing import NDArray
from scipy.optimize import linear_sum_assignment

_SCALE = 1024
_ROUNDS = 1000


def tour_bound(way_mm: NDArray[np.int64], tour_mm: int) -> int:
    """No closed tour through all rows of ``way_mm`` is shorter; ``tour_mm`` is the length of a known one."""
    size = len(way_mm)
    if size < 3:
        return tour_mm
    either = np.minimum(way_mm, way_mm.T) * _SCALE
    bound = -(-int(_one_tree(np.ascontiguousarray(either), np.int64(tour_mm) * _SCALE, _ROUNDS)) // _SCALE)
    if not np.array_equal(way_mm, way_mm.T):
        costs = way_mm.astype(np.float64)
        np.fill_diagonal(costs, float(way_mm.sum()) + 1.0)
        rows, columns = linear_sum_assignment(costs)
        bound = max(bound, int(way_mm[rows, columns].sum()))
    return min(bound, tour_mm)


@njit(cache=True)
def _one_tree(way: NDArray[np.int64], tour: np.int64, rounds: int) -> np.int64:
    """Best bound found, in the table's unit; the special stop of the 1-tree is 0."""
    size = len(way)
    far = np.int64(1) << np.int64(62)
    paid = np.zeros(size, dtype=np.int64)
    meets = np.empty(size, dtype=np.int64)
    before = np.full(size, 2, dtype=np.int64)
    near = np.empty(size, dtype=np.int64)
    parent = np.empty(size, dtype=np.int64)
    joined = np.empty(size, dtype=np.bool_)
    best = -far
    step = 2.0
    since = 0
    for _ in range(rounds):
        meets[:] = 0
        joined[:] = False
        joined[0] = True
        near[:] = far
        total = np.int64(0)
        here = 1
        joined[1] = True
        for _count in range(size - 2):
            choice = -1
            for j in range(2, size):
                if not joined[j]:
                    cost = way[here, j] + paid[here] + paid[j]
                    if cost < near[j]:
                        near[j] = cost
                        parent[j] = here
                    if choice < 0 or near[j] < near[choice]:
                        choice = j
            joined[choice] = True
            total += near[choice]
            meets[choice] += 1
            meets[parent[choice]] += 1
            here = choice
        one, two = -1, -1
        for j in range(1, size):
            cost = way[0, j] + paid[0] + paid[j]
            if one < 0 or cost < way[0, one] + paid[0] + paid[one]:
                one, two = j, one
            elif two < 0 or cost < way[0, two] + paid[0] + paid[two]:
                two = j
        total += way[0, one] + way[0, two] + 2 * paid[0] + paid[one] + paid[two]
        meets[one] += 1
        meets[two] += 1
        meets[0] = 2
        total -= 2 * paid.sum()
        if total > best:
            best = total
            since = 0
        else:
            since += 1
            if since == 20:
                step *= 0.7
                since = 0
        off = np.int64(0)
        for j in range(size):
            off += (meets[j] - 2) ** 2
        if off == 0 or best > tour - 1024:
            break
        move = step * max(tour - total, np.int64(1024)) / off
        for j in range(size):
            change = move * (0.7 * (meets[j] - 2) + 0.3 * (before[j] - 2))
            paid[j] += np.int64(round(change))
            before[j] = meets[j]
    return best
