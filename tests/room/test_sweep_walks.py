"""Compiled walk lengths of batches in rooms with several blocks and in odd ones."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from fulfil.errors import RoomRefused
from fulfil.planning.batching import plan_batches
from fulfil.planning.proving.proof import prove
from fulfil.room.blocks import Blocks
from fulfil.room.graph import Corner, Passage, WalkingGraph

Orders = list[list[tuple[object, int]]]


@st.composite
def rooms_and_orders(draw: st.DrawFn) -> tuple[Blocks | WalkingGraph, Orders]:
    """Grids with dead ends, closed pieces and a bench or end anywhere, or trees with chords; orders in them."""
    if draw(st.booleans()):
        aisles = sorted(draw(st.sets(st.integers(0, 40), min_size=1, max_size=4)))
        crossings = sorted(draw(st.sets(st.integers(0, 30), min_size=2, max_size=4)))
        corners = [(x, y) for x in aisles for y in crossings]
        end = draw(st.none() | st.sampled_from(corners))
        grid = Blocks(tuple(aisles), tuple(crossings), draw(st.sampled_from(corners)), end)
        stop = st.tuples(st.integers(0, len(aisles) - 1), st.integers(crossings[0], crossings[-1]))
        return grid, draw(st.lists(st.lists(stop, min_size=1, max_size=4), min_size=2, max_size=5))
    size = draw(st.integers(2, 6))
    places = tuple(Corner(f"c{k}", draw(st.integers(0, 30)), draw(st.integers(0, 30))) for k in range(size))
    pairs = [(draw(st.integers(0, k - 1)), k) for k in range(1, size)]
    more = st.tuples(st.integers(0, size - 1), st.integers(0, size - 1)).filter(lambda pair: pair[0] != pair[1])
    pairs += draw(st.lists(more, max_size=3))
    passages = tuple(Passage(f"p{k}", f"c{a}", f"c{b}", draw(st.integers(1, 20))) for k, (a, b) in enumerate(pairs))
    graph = WalkingGraph(places, passages, "c0", draw(st.none() | st.sampled_from([one.name for one in places])))
    along = st.sampled_from(passages).flatmap(
        lambda one: st.tuples(st.just(one.name), st.integers(0, one.length_mm or 0))
    )
    return graph, draw(st.lists(st.lists(along, min_size=1, max_size=4), min_size=2, max_size=5))


@given(rooms_and_orders(), st.data())
@settings(deadline=None, max_examples=60)
def test_batches_measure_as_the_room_does(case: tuple[Blocks | WalkingGraph, Orders], data: st.DataObject) -> None:
    """Every batch's compiled length is that of the room's own shortest walk."""
    room, orders = case
    assume(room.sweep is not None)
    walks = room.evaluator(orders)
    batch = data.draw(st.lists(st.integers(0, len(orders) - 1), min_size=1, unique=True))

    assert walks.length(batch) == room.walk_length_mm([stop for order in batch for stop in orders[order]])


@given(rooms_and_orders())
@settings(deadline=None, max_examples=60)
def test_the_bound_in_parts_holds_and_only_grows(case: tuple[Blocks | WalkingGraph, Orders]) -> None:
    """No part shrinks when an order joins, their sum never exceeds the walk, and walks are multiples of the step."""
    room, orders = case
    assume(room.sweep is not None)
    walks = room.evaluator(orders)
    marked = np.zeros_like(walks.occupancy[0])
    before = np.zeros(walks.floor_parts, dtype=np.int64)
    for row in walks.occupancy:
        marked |= row
        parts = np.zeros(walks.floor_parts, dtype=np.int64)
        least = walks.floor(marked, walks.geometry, parts)
        length = walks.walk(marked, walks.geometry)

        assert least == parts.sum() <= length
        assert (parts >= before).all()
        assert length % walks.step_mm == 0
        before = parts


def test_a_room_with_a_middle_aisle_is_batched_and_proven() -> None:
    """Two carts of two: who lives in one block rides together, and no plan is shorter."""
    room = Blocks((0, 5000, 10000), (0, 10000, 20000), (0, 0))
    plan = plan_batches(room, [[(0, 2000)], [(2, 19000)], [(0, 8000)], [(2, 12000)]], capacity=2)
    proof = prove(plan)

    assert plan.batches == ((0, 2), (1, 3))
    assert plan.length_mm == 16000 + 58000
    assert (proof.bound_mm, proof.closed) == (74000, True)


def test_one_way_rooms_are_refused() -> None:
    """Their walks are searched; batching them takes another way."""
    room = Blocks((0, 5), (0, 10), (0, 0), one_way=((1, 1),))

    with pytest.raises(
        RoomRefused, match="Cannot measure batches in the room of '4 corners': expected one to be swept"
    ):
        room.evaluator([[(0, 3)]])
