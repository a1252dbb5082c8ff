"""Bins that share a stop: side by side and one above the other."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from fulfil.room.block import Block
from fulfil.room.sides import ShelvedBin, bins_along

bins_of_a_room = st.lists(
    st.builds(
        ShelvedBin,
        code=st.text("ABCDEFGH", min_size=3, max_size=6),
        stop=st.tuples(st.integers(0, 2), st.integers(0, 10)),
        side=st.sampled_from(["left", "right"]),
        level=st.integers(0, 3),
    ),
    max_size=20,
    unique_by=lambda bin_: bin_.code,
)


@given(bins_of_a_room)
def test_every_bin_comes_once_in_walking_order(bins: list[ShelvedBin]) -> None:
    """The bins are the ones given, and their stops follow the walk."""
    walk = Block((0, 5, 10), 10).shortest_walk([bin_.stop for bin_ in bins])
    order = bins_along(walk, bins)

    assert sorted(bin_.code for bin_ in order) == sorted(bin_.code for bin_ in bins)
    assert tuple(bin_.stop for bin_ in order) == walk.stops
    assert order == bins_along(walk, bins[::-1])


@given(bins_of_a_room)
def test_the_aisle_is_crossed_at_most_once_a_stop(bins: list[ShelvedBin]) -> None:
    """At one stop all bins of one side come before those of the other, the first side being the last one used."""
    walk = Block((0, 5, 10), 10).shortest_walk([bin_.stop for bin_ in bins])
    order = bins_along(walk, bins)
    for before, after in pairwise(order):
        if before.stop == after.stop and before.side == after.side:
            assert before.level <= after.level
        if before.stop != after.stop and before.stop[0] == after.stop[0] and before.side != after.side:
            assert all(bin_.side != before.side for bin_ in bins if bin_.stop == after.stop)


def test_bins_off_the_walk_are_left_out() -> None:
    """A bin whose stop the walk doesn't have isn't listed."""
    walk = Block((0,), 10).shortest_walk([(0, 2)])

    assert bins_along(walk, [ShelvedBin("A", (0, 3), "left", 0)]) == ()
