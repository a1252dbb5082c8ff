"""Compiled walks in one block."""

from itertools import pairwise, permutations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fulfil.room.block import Block
from fulfil.room.kernel import BlockWalks, block_evaluator

FAR = 10**15
# Ratliff & Rosenthal 1983, doi 10.1287/opre.31.3.507, tables I and II, every option, double passes too:
# states 1 UU1C, 2 E01C, 3 0E1C, 4 EE1C, 5 EE2C, 0 nothing yet, 6 finished.
AFTER_AISLE = {
    1: (4, 1, 1, 1, 1, 1),
    2: (1, 2, 5, 5, 4, 2),
    3: (1, 5, 3, 5, 4, 3),
    4: (1, 4, 4, 4, 4, 4),
    5: (1, 5, 5, 5, 4, 5),
    0: (1, 2, 3, 5, 4, 0),
    6: (None, None, None, None, None, 6),
}
AFTER_GAP = {
    1: (1, None, None, None, None),
    2: (None, 2, None, 5, 6),
    3: (None, None, 3, 5, 6),
    4: (None, 2, 3, 4, 6),
    5: (None, None, None, 5, None),
    0: (None, None, None, None, 0),
    6: (None, None, None, None, 6),
}
GAP_EDGES = (2, 2, 2, 4, 0)


def by_tables(aisle_x_mm, length_mm, bench_aisle, stops):
    """The shortest walk by the full published tables, aisle by aisle, empty ones too."""
    state = [FAR] * 7
    state[0] = 0
    for aisle, x_mm in enumerate(aisle_x_mm):
        if aisle:
            moved = [FAR] * 7
            for before in range(7):
                for option, after in enumerate(AFTER_GAP[before]):
                    if after is not None:
                        step = GAP_EDGES[option] * (x_mm - aisle_x_mm[aisle - 1])
                        moved[after] = min(moved[after], state[before] + step)
            state = moved
        heights = sorted({y for at, y in stops if at == aisle} | ({0} if aisle == bench_aisle else set()))
        costs = (length_mm, FAR, FAR, FAR, 2 * length_mm, 0)
        if heights:
            ends = [0, *heights, length_mm]
            gap = max(above - below for below, above in pairwise(ends))
            costs = (
                length_mm,
                2 * (length_mm - heights[0]),
                2 * heights[-1],
                2 * (length_mm - gap),
                2 * length_mm,
                FAR,
            )
        walked = [FAR] * 7
        for before in range(7):
            for option, after in enumerate(AFTER_AISLE[before]):
                if after is not None:
                    walked[after] = min(walked[after], state[before] + costs[option])
        state = walked
    return min(state[2], state[3], state[4], state[6])


@st.composite
def blocks_with_stops(draw):
    """A small block of uneven pitch, a bench aisle and stops, some at the corners."""
    aisle_x_mm = sorted(draw(st.sets(st.integers(0, 60), min_size=1, max_size=7)))
    length_mm = draw(st.integers(1, 30))
    bench_aisle = draw(st.integers(0, len(aisle_x_mm) - 1))
    stop = st.tuples(st.integers(0, len(aisle_x_mm) - 1), st.integers(0, length_mm))
    return aisle_x_mm, length_mm, bench_aisle, draw(st.lists(stop, max_size=14))


@settings(max_examples=400, deadline=None)
@given(blocks_with_stops())
def test_shortened_tables_give_the_published_tables_length(case):
    """Leaving out double passes and merging empty aisles into gaps changes no length."""
    walks = BlockWalks.of(case[0], case[1], case[2], [case[3]])

    assert walks.length([0]) == by_tables(*case)


@settings(max_examples=60, deadline=None)
@given(blocks_with_stops())
def test_no_order_of_up_to_six_stops_is_walked_shorter(case):
    """The length equals the best of all orders of the stops."""
    aisle_x_mm, length_mm, bench_aisle, stops = case
    stops = sorted(set(stops))[:6]
    room = Block(tuple(aisle_x_mm), length_mm, bench_aisle)
    best = min(
        sum(room.distance_mm(a, b) for a, b in zip((None, *tour), (*tour, None), strict=True))
        for tour in permutations(stops)
    )

    assert room.evaluator([stops]).length([0]) == best


# Worked examples of one block, recomputed here by the full tables; example B is worked by hand in the comment.
EXAMPLES = {
    "A": (10, 3, [[], [4], [], []], 14),
    # Aisle 0 passed once 10, aisle 1 once 10, aisle 2 from the top 2(10-9) = 2; top gap 0-1 once 5, top gap 1-2
    # twice 10, bottom gap 0-1 once 5: 42.
    "B": (10, 5, [[2, 8], [5], [9]], 42),
    "C": (110, 24, [[30], [20, 90], [100], [10]], 444),
    "D": (20, 4, [[1, 2, 18], [], [19], [5, 6], [10]], 86),
    "E": (10, 1, [[5]] * 5, 58),
    "F": (12, 6, [[6], [1, 11], [], [2, 10], []], 64),
}


@pytest.mark.parametrize("name", sorted(EXAMPLES))
def test_worked_examples(name):
    """Six small rooms with their shortest walks, by the full tables and by the kernel (C in tenths)."""
    length, pitch, aisles, expected = EXAMPLES[name]
    aisle_x_mm = [pitch * aisle for aisle in range(len(aisles))]
    stops = [(aisle, y) for aisle, heights in enumerate(aisles) for y in heights]

    assert by_tables(aisle_x_mm, length, 0, stops) == expected
    assert BlockWalks.of(aisle_x_mm, length, 0, [stops]).length([0]) == expected


def test_more_than_64_heights_in_one_aisle():
    """An aisle with 200 different heights needs four words, and the length is still the tables'."""
    rng = np.random.default_rng(1)
    orders = [[(int(rng.integers(3)), int(y)) for y in rng.integers(1, 1000, size=4)] for _ in range(150)]
    walks = BlockWalks.of((0, 70, 190), 1000, 1, orders)

    assert walks.geometry[1] > 1
    for batch in ([0], [3, 77, 149], list(range(0, 150, 7))):
        stops = [stop for order in batch for stop in orders[order]]
        assert walks.length(batch) == by_tables((0, 70, 190), 1000, 1, stops)


@settings(max_examples=200, deadline=None)
@given(blocks_with_stops(), st.integers(0, 14))
def test_more_stops_never_shorten_a_walk_or_a_part_of_its_floor(case, kept):
    """Walk and every part of the lower bound only grow, and the parts add up to no more than the walk."""
    aisle_x_mm, length_mm, bench_aisle, stops = case
    walks = BlockWalks.of(aisle_x_mm, length_mm, bench_aisle, [stops[:kept], stops])
    few = np.zeros(walks.floor_parts, dtype=np.int64)
    many = np.zeros(walks.floor_parts, dtype=np.int64)
    floors = [walks.floor(walks.occupancy[row], walks.geometry, parts) for row, parts in ((0, few), (1, many))]

    assert walks.length([0]) <= walks.length([1])
    assert np.all(few <= many)
    assert floors == [few.sum(), many.sum()]
    assert floors[1] <= walks.length([1])


@settings(max_examples=200, deadline=None)
@given(blocks_with_stops())
def test_every_walk_is_a_multiple_of_the_step(case):
    """Bounds may be rounded up to the next multiple."""
    walks = BlockWalks.of(case[0], case[1], case[2], [case[3]])

    assert walks.step_mm == 0 or walks.length([0]) % walks.step_mm == 0


def test_a_bench_between_two_aisles():
    """A bench off every aisle is reached along the front cross aisle: 2 * (500 + 300) and 2 * (1500 + 400)."""
    room = Block((0, 2000), 1000, bench_x_mm=500)
    walks = block_evaluator(room, [[(0, 300)], [(1, 400)], [(0, 300), (1, 400)]])

    assert [walks.length([order]) for order in range(3)] == [1600, 3800, 5400]
    assert walks.length([2]) == room.shortest_walk([(0, 300), (1, 400)]).length_mm


def test_an_approach_is_added_to_every_walk():
    """A depot outside the block adds its way there and back once for each walk."""
    walks = BlockWalks.of((0, 10), 100, 0, [[(0, 30)], [(1, 40)]], approach_mm=24)

    assert walks.length([0]) == 24 + 60
    assert walks.length([0, 1]) == 24 + 20 + 60 + 80
