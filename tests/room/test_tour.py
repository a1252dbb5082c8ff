"""Tours over distance tables: exact, searched, and bounded."""

from collections.abc import Callable
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from fulfil.room.touring.held_karp import held_karp
from fulfil.room.touring.tour_bound import tour_bound
from fulfil.room.touring.tour_proof import prove_tour
from fulfil.room.touring.tour_search import search_tour


@st.composite
def tables(draw: st.DrawFn, most: int = 8) -> NDArray[np.int64]:
    """Distance tables with the triangle inequality, symmetric or not."""
    size = draw(st.integers(1, most))
    rng = np.random.default_rng(draw(st.integers(0, 10**6)))
    way = rng.integers(1, 1000, (size, size))
    if draw(st.booleans()):
        way = np.minimum(way, way.T)
    np.fill_diagonal(way, 0)
    for k in range(size):
        way = np.minimum(way, way[:, [k]] + way[[k], :])
    return way


def closed_length(way: NDArray[np.int64], order: list[int]) -> int:
    """The length of the tour 0, order, 0."""
    tour = [0, *order, 0]
    return int(sum(way[a, b] for a, b in pairwise(tour)))


@given(tables())
@settings(deadline=None)
def test_exact_tour_equals_the_oracle(least_tour: Callable[..., int], way: NDArray[np.int64]) -> None:
    """Compiled and plain programme of Held and Karp agree, and the order has the length."""
    length, order = held_karp(way)

    assert length == least_tour(way.tolist()) == closed_length(way, order)
    assert sorted(order) == list(range(1, len(way)))


@given(tables())
@settings(deadline=None)
def test_search_and_bound_enclose_the_shortest(least_tour: Callable[..., int], way: NDArray[np.int64]) -> None:
    """Bound ≤ shortest ≤ searched, and small tables are searched out."""
    shortest = least_tour(way.tolist())
    length, order = search_tour(way, kicks=200)

    assert length == closed_length(way, order)
    assert sorted(order) == list(range(1, len(way)))
    assert length == shortest
    assert 0 <= tour_bound(way, length) <= shortest


@given(tables(most=9), st.integers(0, 500))
@settings(deadline=None, max_examples=40)
def test_proof_finds_and_proves_the_shortest(
    least_tour: Callable[..., int], way: NDArray[np.int64], longer: int
) -> None:
    """From a poor tour and no bound, integer programming finds the shortest tour and proves it."""
    shortest = least_tour(way.tolist())
    poor = list(range(1, len(way)))
    length, order, bound = prove_tour(way, closed_length(way, poor) + longer, poor, 0)

    assert length == shortest == bound
    assert closed_length(way, order) == shortest


def test_equal_tours_read_smallest() -> None:
    """Of equally short tours the exact method gives the order that reads smallest."""
    assert held_karp(np.ones((5, 5), dtype=np.int64))[1] == [1, 2, 3, 4]


@pytest.mark.parametrize("seed", range(5))
def test_search_is_repeatable_and_close_to_its_bound(seed: int) -> None:
    """Forty random points: the same tour every time, the bound within two per cent of it."""
    rng = np.random.default_rng(seed)
    points = rng.integers(0, 10000, (40, 2))
    way = np.abs(points[:, None, :] - points[None, :, :]).sum(axis=2)
    length, order = search_tour(way)

    assert (length, order) == search_tour(way)
    assert closed_length(way, order) == length
    assert 0.98 * length <= tour_bound(way, length) <= length
