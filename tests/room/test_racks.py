"""Racks: they fill what aisles, cross aisles and closed pieces leave."""

from hypothesis import given
from hypothesis import strategies as st

from fulfil.room.blocks import Blocks
from fulfil.room.racks import racks

BLOCKS = Blocks((0, 2500, 5000), (0, 9000, 20000), (0, 0), closed=((1, 12000, 14000),))


def test_closed_piece_and_racks() -> None:
    """A closed piece of an aisle has no racks; racks keep clear of aisles and cross aisles."""
    outlines = racks(BLOCKS, 1000)
    beside = sorted((rack.low_mm[1], rack.high_mm[1]) for rack in outlines if 500 < rack.low_mm[0] < 2500)

    assert (500, 8500) in beside
    assert [piece for piece in beside if piece[0] == 14000 or piece[1] == 12000] == [(9500, 12000), (14000, 19500)]
    for rack in outlines:
        (x1, y1), (x2, y2) = rack.low_mm, rack.high_mm
        assert x1 < x2
        assert y1 < y2
        assert not any(x1 - 400 < x < x2 + 400 for x in BLOCKS.aisle_x_mm)
        assert not any(y1 - 400 < y < y2 + 400 for y in BLOCKS.cross_y_mm)


@given(st.lists(st.integers(1200, 5000), min_size=1, max_size=6), st.integers(400, 3000))
def test_racks_never_overlap(gaps: list[int], width_mm: int) -> None:
    """However narrow or wide the aisles are, no rack stands in another or in an aisle."""
    xs = tuple(sum(gaps[:i]) for i in range(len(gaps) + 1))
    outlines = racks(Blocks(xs, (0, 9000, 20000), (0, 0)), width_mm)

    for i, one in enumerate(outlines):
        assert not any(one.low_mm[0] < x < one.high_mm[0] for x in xs)
        for other in outlines[i + 1 :]:
            apart_x = one.high_mm[0] <= other.low_mm[0] or other.high_mm[0] <= one.low_mm[0]
            apart_y = one.high_mm[1] <= other.low_mm[1] or other.high_mm[1] <= one.low_mm[1]
            assert apart_x or apart_y
