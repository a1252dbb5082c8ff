"""A strong search for a short tour over a distance table, for more stops than can be solved exactly.

Local search with two moves: a piece of one to three stops is moved elsewhere, either way round (Or-opt; I. Or, PhD
thesis, Northwestern University 1976), and a piece of any length is reversed (2-opt; G. A. Croes, Oper. Res. 6,
1958, 791-812, doi:10.1287/opre.6.6.791). Between two local searches the tour is kicked by exchanging two
neighbouring pieces (the double bridge; Martin, Otto, Felten, Complex Systems 5, 1991, 299-326), and goes back if it
didn't get shorter. Distances may differ by direction.

The search stops by the number of kicks, never by the clock, and draws its chances from its own seeded generator
(xorshift; Marsaglia, J. Stat. Softw. 8, 2003, doi:10.18637/jss.v008.i14): the same table gives the same tour.

>>> square = np.array([[abs(a - c) + abs(b - d) for c, d in ((0, 0), (9, 9), (0, 9), (9, 0))]
...                    for a, b in ((0, 0), (9, 9), (0, 9), (9, 0))])
>>> search_tour(square)
(36, [2, 1, 3])
"""

import numpy as np
from numba import njit
from numpy.typing import NDArray


def search_tour(way_mm: NDArray[np.int64], kicks: int = 2000, seed: int = 1) -> tuple[int, list[int]]:
    """Length and order of a short closed tour from 0 through 1, 2, ...; ``way_mm`` is [from, to]."""
    if len(way_mm) == 1:
        return 0, []
    length, order = _search(np.ascontiguousarray(way_mm, dtype=np.int64), kicks, np.uint64(seed * 2 + 1))
    return int(length), [int(stop) for stop in order]


@njit(cache=True)
def _length(way: NDArray[np.int64], tour: NDArray[np.int64]) -> np.int64:
    total: np.int64 = way[tour[-1], tour[0]]
    for k in range(len(tour) - 1):
        total += way[tour[k], tour[k + 1]]
    return total


@njit(cache=True)
def _nearest(way: NDArray[np.int64]) -> NDArray[np.int64]:
    size = len(way)
    tour = np.zeros(size, dtype=np.int64)
    seen = np.zeros(size, dtype=np.bool_)
    seen[0] = True
    for k in range(1, size):
        best = -1
        for stop in range(1, size):
            if not seen[stop] and (best < 0 or way[tour[k - 1], stop] < way[tour[k - 1], best]):
                best = stop
        tour[k] = best
        seen[best] = True
    return tour


@njit(cache=True)
def _reverse(tour: NDArray[np.int64], first: int, last: int) -> None:
    while first < last:
        tour[first], tour[last] = tour[last], tour[first]
        first += 1
        last -= 1


@njit(cache=True)
def _two_opt(way: NDArray[np.int64], tour: NDArray[np.int64]) -> bool:
    """One pass of reversals; whether the tour got shorter. Position 0 stays the bench."""
    size = len(tour)
    better = False
    for i in range(1, size - 1):
        turned = np.int64(0)
        for j in range(i + 1, size):
            turned += way[tour[j], tour[j - 1]] - way[tour[j - 1], tour[j]]
            before, after = tour[i - 1], tour[(j + 1) % size]
            gain = way[before, tour[i]] + way[tour[j], after]
            gain -= way[before, tour[j]] + way[tour[i], after] + turned
            if gain > 0:
                _reverse(tour, i, j)
                better = True
                turned = np.int64(0)
                for k in range(i + 1, j + 1):
                    turned += way[tour[k], tour[k - 1]] - way[tour[k - 1], tour[k]]
    return better


@njit(cache=True)
def _or_opt(way: NDArray[np.int64], tour: NDArray[np.int64]) -> bool:
    """One pass of moving short pieces; whether the tour got shorter. Position 0 stays the bench."""
    size = len(tour)
    better = False
    piece = np.empty(3, dtype=np.int64)
    for length in range(1, min(3, size - 2) + 1):
        i = 1
        while i + length <= size:
            before, after = tour[i - 1], tour[(i + length) % size]
            first, last = tour[i], tour[i + length - 1]
            freed = way[before, first] + way[last, after] - way[before, after]
            turned = np.int64(0)
            for k in range(i, i + length - 1):
                turned += way[tour[k + 1], tour[k]] - way[tour[k], tour[k + 1]]
            gain, place, turn = np.int64(0), -1, False
            for k in range(size):
                if i - 1 <= k < i + length:
                    continue
                a, b = tour[k], tour[(k + 1) % size]
                same = freed - (way[a, first] + way[last, b] - way[a, b])
                other = freed - (way[a, last] + way[first, b] - way[a, b]) - turned
                if same > gain:
                    gain, place, turn = same, k, False
                if other > gain:
                    gain, place, turn = other, k, True
            if place >= 0:
                better = True
                for k in range(length):
                    piece[k] = tour[i + k]
                if place < i:
                    for k in range(i - 1, place, -1):
                        tour[k + length] = tour[k]
                    at = place + 1
                else:
                    for k in range(i + length, place + 1):
                        tour[k - length] = tour[k]
                    at = place + 1 - length
                for k in range(length):
                    tour[at + k] = piece[length - 1 - k] if turn else piece[k]
            i += 1
    return better


@njit(cache=True)
def _search(way: NDArray[np.int64], kicks: int, state: np.uint64) -> tuple[np.int64, NDArray[np.int64]]:
    size = len(way)
    tour = _nearest(way)
    best = tour.copy()
    best_length = np.int64(1) << np.int64(62)
    cuts = np.empty(3, dtype=np.int64)
    for kick in range(kicks + 1):
        while True:
            moved = _or_opt(way, tour)
            reversed_one = _two_opt(way, tour)
            if not (moved or reversed_one):
                break
        length = _length(way, tour)
        if length <= best_length:
            best_length = length
            best[:] = tour
        if size < 5 or kick == kicks:
            break
        for k in range(3):
            state ^= state << np.uint64(13)
            state ^= state >> np.uint64(7)
            state ^= state << np.uint64(17)
            cuts[k] = 1 + np.int64(state % np.uint64(size))
        cuts.sort()
        a, b, c = cuts[0], cuts[1], cuts[2]
        tour[:a] = best[:a]
        tour[a : a + c - b] = best[b:c]
        tour[a + c - b : c] = best[a:b]
        tour[c:] = best[c:]
    return best_length, best[1:]
