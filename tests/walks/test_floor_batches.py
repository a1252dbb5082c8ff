"""Batches in rooms of every kind: true lengths, never less than proven, never more than a cart holds."""

from itertools import product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fulfil.errors import PlanRefused
from fulfil.planning.proving.proof import prove
from fulfil.room.block import Block
from fulfil.room.blocks import Blocks
from fulfil.room.graph import Corner, Passage, WalkingGraph
from fulfil.walks.rooms import as_planned, batches_in, has_bound

ONE_WAY = Blocks((0, 5, 10), (0, 10, 20), (0, 0), one_way=((1, 1), (2, -1)))
RING = WalkingGraph(
    (Corner("bench", 0, 0), Corner("a", 9, 0), Corner("b", 9, 9), Corner("c", 0, 9)),
    (
        Passage("p", "bench", "a", one_way=True),
        Passage("q", "a", "b"),
        Passage("r", "b", "c"),
        Passage("s", "c", "bench", one_way=True),
    ),
    "bench",
)
WIDE = Blocks(tuple(range(0, 40, 5)), tuple(range(0, 80, 10)), (0, 0))
ROOMS: Any = {
    "one block": (Block((0, 5, 10), 20), st.tuples(st.integers(0, 2), st.integers(0, 20))),
    "three cross aisles": (
        Blocks((0, 5, 10), (0, 10, 20), (0, 0)),
        st.tuples(st.integers(0, 2), st.integers(0, 20)),
    ),
    "one-way aisles": (ONE_WAY, st.tuples(st.integers(0, 2), st.integers(0, 20))),
    "one-way ring": (RING, st.tuples(st.sampled_from("pqrs"), st.integers(0, 9))),
    "too wide to sweep": (WIDE, st.tuples(st.integers(0, 7), st.integers(0, 70))),
}


@pytest.mark.parametrize("kind", ROOMS)
@given(st.data())
@settings(deadline=None, max_examples=12)
def test_lengths_are_true_and_carts_are_kept(kind, data):
    """Each batch's length is its true shortest walk, loads fit, the sum is no more than one order at a time."""
    room, stop = ROOMS[kind]
    orders = data.draw(st.lists(st.lists(stop, min_size=1, max_size=3), min_size=1, max_size=6))
    weights = data.draw(st.lists(st.integers(1, 3), min_size=len(orders), max_size=len(orders)))
    plan = batches_in(room, orders, capacity=4, weights=weights, effort="quick")

    assert sorted(order for batch in plan.batches for order in batch) == list(range(len(orders)))
    assert all(sum(weights[order] for order in batch) <= 4 for batch in plan.batches)
    assert plan.walks_mm == tuple(
        room.walk_length_mm([one for order in batch for one in orders[order]]) for batch in plan.batches
    )
    assert plan.length_mm == sum(plan.walks_mm) <= plan.one_by_one_mm


@pytest.mark.parametrize("room", [ONE_WAY, RING])
@given(st.data())
@settings(deadline=None, max_examples=10)
def test_a_bound_proven_with_both_ways_open_holds(room, data):
    """No way to batch four orders two by two, walked truly, is shorter than the bound."""
    stop = next(stop for one, stop in ROOMS.values() if one is room)
    orders = data.draw(st.lists(st.lists(stop, min_size=1, max_size=2), min_size=4, max_size=4))
    plan = batches_in(room, orders, capacity=2, weights=[1] * 4, effort="quick")
    proof = prove(plan, seconds=5)
    least = min(
        sum(
            room.walk_length_mm([stop for order in range(4) if chosen[order] == batch for stop in orders[order]])
            for batch in set(chosen)
        )
        for chosen in product(range(4), repeat=4)
        if all(chosen.count(batch) <= 2 for batch in chosen)
    )

    assert proof.bound_mm <= least <= plan.length_mm


def test_which_rooms_can_be_bounded():
    """All that can be swept once both ways are open; eight by eight is too wide."""
    assert has_bound(Block((0,), 10))
    assert has_bound(ONE_WAY)
    assert has_bound(RING)
    assert not has_bound(WIDE)


def test_cut_offs_stay_apart_where_asked():
    """Neighbours in an aisle ride apart if their keys differ."""
    orders = [[(0, 8)], [(0, 9)], [(0, 8)], [(0, 9)]]
    for room in (Block((0, 5), 20), ONE_WAY):
        plan = batches_in(room, orders, capacity=4, weights=[1] * 4, groups=["a", "b", "a", "b"])

        assert plan.batches == ((0, 2), (1, 3))


def test_a_plan_is_taken_up_as_it_was():
    """Not improved, even where that is easy; but refused where a cart can't hold it."""
    orders = [[(0, 8)], [(2, 19)], [(0, 9)], [(2, 18)]]
    for room in (Block((0, 5, 10), 20), ONE_WAY):
        plan = as_planned(room, orders, [[0, 1], [2, 3]], capacity=2, weights=[1] * 4)

        assert plan.batches == ((0, 1), (2, 3))
        assert plan.length_mm == sum(room.walk_length_mm([orders[a][0], orders[b][0]]) for a, b in plan.batches)
    with pytest.raises(PlanRefused, match="Cannot take up the plan of '1 walks'"):
        as_planned(ONE_WAY, orders, [[0, 1, 2, 3]], capacity=2, weights=[1] * 4)


def test_the_same_orders_give_the_same_plan():
    """Also where walks are searched."""
    orders = [[(k % 3, 3 * k % 20)] for k in range(9)]
    first, again = (batches_in(ONE_WAY, orders, capacity=3, weights=[1] * 9, seed=4) for _ in range(2))

    assert first.batches == again.batches
