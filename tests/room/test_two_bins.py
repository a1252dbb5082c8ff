"""Parts that live in more than one bin."""

from itertools import product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fulfil.errors import RoomRefused
from fulfil.room.block import Block
from fulfil.room.blocks import Blocks
from fulfil.room.two_bins import choose_bins

stops = st.tuples(st.integers(0, 3), st.integers(0, 20))
ROOMS: Any = [Block((0, 4, 9, 12), 20), Blocks((0, 4, 9, 12), (0, 7, 20), (4, 7))]


@given(
    st.sampled_from(ROOMS),
    st.lists(stops, max_size=4),
    st.lists(st.lists(stops, min_size=1, max_size=3), max_size=5),
)
@settings(deadline=None)
def test_choice_is_the_best_of_all(
    room: Block | Blocks, fixed: list[tuple[int, int]], choices: list[list[tuple[int, int]]]
) -> None:
    """Every combination tried in full: none makes a shorter walk than the one chosen."""
    choice = choose_bins(room, fixed, choices)

    assert choice.walk.length_mm == min(room.walk_length_mm([*fixed, *bins]) for bins in product(*choices))
    assert choice.proven
    assert all(bin_ in bins for bin_, bins in zip(choice.bins, choices, strict=True))
    assert sorted(choice.walk.stops) == sorted([*fixed, *choice.bins])


@given(st.lists(st.lists(stops, min_size=2, max_size=3), min_size=1, max_size=5), st.integers(0, 8))
@settings(deadline=None)
def test_cut_short_it_still_bounds(choices: list[list[tuple[int, int]]], most_walks: int) -> None:
    """Stopped early, the bound is at most the best of all, and proven is said only if it is."""
    room = ROOMS[0]
    choice = choose_bins(room, [], choices, most_walks=most_walks)
    best = min(room.walk_length_mm(bins) for bins in product(*choices))

    assert choice.bound_mm <= best <= choice.walk.length_mm
    assert not choice.proven or choice.walk.length_mm == best


def test_part_without_a_bin_is_refused() -> None:
    """A part that lives nowhere can't be fetched."""
    with pytest.raises(RoomRefused, match=r"^Cannot choose a bin for part '1': expected at least one bin\.$"):
        choose_bins(ROOMS[0], [], [[(0, 1)], []])
