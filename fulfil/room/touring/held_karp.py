"""The shortest tour over a distance table, exactly, by the programme of Held and Karp.

M. Held, R. M. Karp: A dynamic programming approach to sequencing problems. J. SIAM 10 (1962) 196-210,
doi:10.1137/0110015. For every set of stops still to come and every stop to stand at, the shortest rest of the tour.

Rule among equal tours: the order that reads smallest.

>>> held_karp(np.array([[0, 2, 9], [1, 0, 6], [7, 3, 0]]))
(13, [2, 1])

Limits: the work grows as 2^stops; meant for :data:`MOST_STOPS`.
"""

import numpy as np
from numba import njit, types
from numpy.typing import NDArray

MOST_STOPS = 13
"""Up to this many different stops a tour is found exactly: a few milliseconds."""


def held_karp(way_mm: NDArray[np.int64]) -> tuple[int, list[int]]:
    """Length and order of the shortest closed tour from 0 through 1, 2, ...; ``way_mm`` is [from, to]."""
    if len(way_mm) == 1:
        return 0, []
    length, order = _held_karp(np.ascontiguousarray(way_mm, dtype=np.int64))
    return int(length), [int(stop) for stop in order]


@njit(types.Tuple((types.int64, types.int64[::1]))(types.int64[:, ::1]), cache=True)  # type: ignore[no-untyped-call]
def _held_karp(way: NDArray[np.int64]) -> tuple[np.int64, NDArray[np.int64]]:
    stops = len(way) - 1
    sets = 1 << stops
    rest = np.empty((sets, stops + 1), dtype=np.int64)
    for here in range(stops + 1):
        rest[0, here] = way[here, 0]
    for ahead in range(1, sets):
        for here in range(stops + 1):
            best = np.int64(1) << np.int64(62)
            for k in range(stops):
                if ahead >> k & 1:
                    total = way[here, k + 1] + rest[ahead ^ (1 << k), k + 1]
                    if total < best:
                        best = total
            rest[ahead, here] = best
    order = np.empty(stops, dtype=np.int64)
    ahead, here = sets - 1, 0
    for position in range(stops):
        for k in range(stops):
            if ahead >> k & 1 and way[here, k + 1] + rest[ahead ^ (1 << k), k + 1] == rest[ahead, here]:
                order[position] = k + 1
                ahead ^= 1 << k
                here = k + 1
                break
    return rest[sets - 1, 0], order
