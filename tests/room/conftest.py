"""Oracles for walks: written apart from the package and knowing nothing of its methods."""

from collections.abc import Callable, Sequence

import pytest


def held_karp(way: Sequence[Sequence[int]]) -> int:
    """The shortest closed tour over a distance matrix from its first row.

    M. Held, R. M. Karp, J. SIAM 10 (1962) 196-210, doi:10.1137/0110015: least length of a way from the start
    through a set of stops to its last one, set by set.
    """
    stops = len(way) - 1
    if stops == 0:
        return 0
    least = {(1 << j, j): way[0][j + 1] for j in range(stops)}
    for visited in range(1, 1 << stops):
        for last in range(stops):
            here = least.get((visited, last))
            if here is None:
                continue
            for new in range(stops):
                if not visited >> new & 1:
                    key = (visited | 1 << new, new)
                    total = here + way[last + 1][new + 1]
                    if total < least.get(key, total + 1):
                        least[key] = total
    everything = (1 << stops) - 1
    return min(least[everything, last] + way[last + 1][0] for last in range(stops))


@pytest.fixture(scope="session")
def least_tour() -> Callable[[Sequence[Sequence[int]]], int]:
    """Length of the shortest closed tour over a distance matrix, by Held and Karp."""
    return held_karp
