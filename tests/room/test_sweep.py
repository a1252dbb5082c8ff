"""The sweep: its states, its order, and what it refuses to take on."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.room.blocks import Blocks
from fulfil.room.network import Link, Network
from fulfil.room.sweeping.sweep import WIDEST, Sweep
from fulfil.room.sweeping.sweep_order import narrowest_steps, width_of
from fulfil.room.sweeping.sweep_states import BOTH, DONE, PASS, State, apply


def grid(columns: int, rows: int) -> Network:
    """Crossings numbered aisle by aisle, all passages of length 1."""
    links = []
    for column in range(columns):
        for row in range(rows):
            here = column * rows + row
            if row + 1 < rows:
                links.append(Link(here, here + 1, 1))
            if column + 1 < columns:
                links.append(Link(here, here + rows, 1))
    return Network(tuple((c, r) for c in range(columns) for r in range(rows)), tuple(links), 0, 0)


@given(st.integers(1, 7), st.integers(1, 4))
def test_grid_needs_no_more_slots_than_its_shorter_side(columns: int, rows: int) -> None:
    """Aisle by aisle, or cross aisle by cross aisle: the narrower of the two is taken."""
    network = grid(columns, rows)
    if not network.passages:
        return
    by_aisle = range(columns * rows)
    by_cross_aisle = sorted(by_aisle, key=lambda k: (k % rows, k // rows))
    width = width_of(narrowest_steps(network, [by_aisle, by_cross_aisle]))

    assert width <= max(2, min(columns, rows))
    assert width_of(narrowest_steps(network)) <= max(2, min(columns, rows)) + 1


def test_a_tree_needs_few_slots() -> None:
    """Twenty passages off one corner: two corners in sight are enough."""
    star = Network(tuple((k, 0) for k in range(21)), tuple(Link(0, k, 1) for k in range(1, 21)), 0, 0)

    assert width_of(narrowest_steps(star)) == 2


def test_one_way_and_wide_networks_are_left_to_others() -> None:
    """No sweep for one-way passages, nor for more corners in sight than the limit."""
    one_way = Network(((0, 0), (1, 0)), (Link(0, 1, 1, True), Link(1, 0, 1)), 0, 0)

    assert Sweep.of(one_way) is None
    assert Sweep.of(grid(WIDEST + 2, WIDEST + 2)) is None


states = st.lists(st.integers(0, 7).filter(lambda met: met != 1), min_size=3, max_size=3).map(tuple)


@given(states, st.sampled_from([(0, 1), (1, 2), (2, 0)]), st.integers(0, BOTH))
def test_pieces_are_numbered_in_order(state: State, slots: tuple[int, int], option: int) -> None:
    """After every effect the pieces are numbered 1, 2, ... in the order of the slots: one name for one state."""
    after = apply(state, ("span", *slots, option))
    assert after is not None
    pieces = list(dict.fromkeys(met // 2 for met in after if met))

    assert pieces == list(range(1, len(pieces) + 1))


@given(states, st.sampled_from([(0, 1), (1, 2), (2, 0)]))
def test_passing_twice_leaves_the_parities(state: State, slots: tuple[int, int]) -> None:
    """Two passes through the same passage change no parity, and join its ends in one piece."""
    once = apply(state, ("span", *slots, PASS))
    assert once is not None
    twice = apply(once, ("span", *slots, PASS))
    assert twice is not None

    assert [met & 1 for met in twice] == [met & 1 for met in state]
    assert twice[slots[0]] // 2 == twice[slots[1]] // 2


def test_a_piece_left_behind_is_no_walk() -> None:
    """A corner may not be left with an odd number of passages, nor with a piece that nothing else holds."""
    assert apply((3, 3), ("retire", 0, -1, 0)) is None
    assert apply((2, 4), ("retire", 0, -1, 0)) is None
    assert apply((2, 2), ("retire", 0, -1, 0)) == (0, 2)
    assert apply((0, 2), ("retire", 1, -1, 0)) == DONE
    assert apply(DONE, ("span", 0, 1, PASS)) is None


@pytest.mark.parametrize("crossings", [2, 3, 4, 5])
def test_bench_may_stand_anywhere_without_changing_the_tables_size(crossings: int) -> None:
    """A bench at a crossing needs no slot of its own; one in mid-aisle needs at most one."""
    ys = tuple(range(0, 10 * crossings, 10))
    at_crossing = Blocks((0, 7, 14, 21, 28, 35), ys, (14, ys[-1]))
    mid_aisle = Blocks((0, 7, 14, 21, 28, 35), ys, (14, 5))

    assert width_of(narrowest_steps(at_crossing.network, at_crossing.sweep_orders())) == crossings
    assert width_of(narrowest_steps(mid_aisle.network, mid_aisle.sweep_orders())) <= crossings + 1
