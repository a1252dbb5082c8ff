"""Bounds on the number of boxes never exceed the true minimum, and the sharper one is never below the plain one."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.planning.boxes.box_bounds import apart_bound, martello_toth_bound, sum_bound


def fewest(sizes, capacity):
    """The true minimum, by trying everything."""
    best = len(sizes)

    def place(rest, loads):
        nonlocal best
        if len(loads) >= best:
            return
        if not rest:
            best = len(loads)
            return
        for i, load in enumerate(loads):
            if load + rest[0] <= capacity:
                place(rest[1:], [*loads[:i], load + rest[0], *loads[i + 1 :]])
        place(rest[1:], [*loads, rest[0]])

    place(sorted(sizes, reverse=True), [])
    return best


@given(st.lists(st.integers(0, 30), min_size=1, max_size=8))
def test_bounds_lie_in_order_below_the_true_minimum(sizes):
    """L1 ≤ L2 ≤ the minimum found by trying everything."""
    assert sum_bound(sizes, 30) <= martello_toth_bound(sizes, 30) <= max(1, fewest(sizes, 30))


def test_l2_is_worth_its_trouble():
    """Items just above half a box: the sum says two thirds of them, L2 says all."""
    assert (sum_bound([51] * 6, 100), martello_toth_bound([51] * 6, 100)) == (4, 6)


def test_no_items_need_no_box():
    """An empty order."""
    assert martello_toth_bound([], 100) == 0


@pytest.mark.parametrize(
    ("apart", "least"),
    [
        ([], 0),
        ([set(), set()], 1),
        ([{1}, {0}, set()], 2),
        ([{1, 2}, {0, 2}, {0, 1}], 3),
        ([{1, 2}, {0}, {0}], 2),
    ],
)
def test_items_kept_apart_in_pairs_need_a_box_each(apart, least):
    """Three goods of which no two may share a package need three."""
    assert apart_bound(apart) == least
