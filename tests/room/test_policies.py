"""Rules of thumb beside the shortest walk."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.room.block import Block
from fulfil.room.policies import POLICIES, compare, policy_length_mm

Stops = list[tuple[int, int]]


@st.composite
def rooms_and_stops(draw: st.DrawFn) -> tuple[Block, Stops]:
    """Blocks with the bench anywhere at the front."""
    aisles = draw(st.integers(1, 6))
    length_mm = draw(st.integers(2, 30))
    room = Block(
        tuple(draw(st.integers(1, 9)) + 10 * aisle for aisle in range(aisles)),
        length_mm,
        draw(st.integers(0, aisles - 1)),
    )
    stop = st.tuples(st.integers(0, aisles - 1), st.integers(0, length_mm))
    return room, draw(st.lists(stop, max_size=15))


@given(rooms_and_stops())
def test_no_rule_beats_the_shortest_walk(case: tuple[Block, Stops]) -> None:
    """Every rule makes a walk that can be walked, so none is shorter than the shortest."""
    room, stops = case
    lines = compare(room, stops)

    assert [line.policy for line in lines] == ["shortest", *POLICIES]
    assert all(line.above_shortest >= 0 for line in lines)
    assert lines[0].length_mm == room.shortest_walk(stops).length_mm


@given(rooms_and_stops())
def test_combined_is_at_most_s_shape_and_return(case: tuple[Block, Stops]) -> None:
    """Combined chooses aisle by aisle between passing through and returning: no longer than either rule alone."""
    room, stops = case

    assert policy_length_mm("combined", room, stops) <= policy_length_mm("S-shape", room, stops)
    assert policy_length_mm("combined", room, stops) <= policy_length_mm("return", room, stops)


@given(rooms_and_stops())
def test_largest_gap_is_at_most_midpoint(case: tuple[Block, Stops]) -> None:
    """Leaving out the largest gap is never longer than turning at the middle (Hall 1993)."""
    room, stops = case

    assert policy_length_mm("largest gap", room, stops) <= policy_length_mm("midpoint", room, stops)


@given(rooms_and_stops())
def test_repeated_stops_change_no_rule(case: tuple[Block, Stops]) -> None:
    """A stop given twice is walked to once."""
    room, stops = case

    assert compare(room, stops) == compare(room, stops + stops)


@pytest.mark.parametrize("policy", sorted(POLICIES))
def test_nothing_to_fetch_is_no_way(policy: str) -> None:
    """Without stops nobody walks."""
    assert policy_length_mm(policy, Block((0, 5), 10), []) == 0
    assert {line.above_shortest for line in compare(Block((0, 5), 10), [])} == {0.0}
