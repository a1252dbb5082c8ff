"""Stiff pieces in flat bags and boxes, against turning them by hand and by numbers."""

from itertools import permutations
from math import cos, pi, sin

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from fulfil.planning.boxes.rigid import footprint_mm2, goes_into_bag, lies_in

SIDE = st.integers(1, 400)
BLOCK = st.tuples(SIDE, SIDE, SIDE)


def turned_fits(piece: tuple[int, int], floor: tuple[int, int], slack: float) -> bool:
    """Whether a rectangle lies in another at one of 20,001 angles: its outline turned, measured along both sides."""
    angles = np.linspace(0, pi / 2, 20_001)
    p, q = piece
    wide = p * np.cos(angles) + q * np.sin(angles)
    deep = p * np.sin(angles) + q * np.cos(angles)
    return bool(np.any((wide <= floor[0] + slack) & (deep <= floor[1] + slack)))


def test_a_jar_of_59_mm_does_not_go_into_an_envelope_of_25_mm():
    """59 × 37 × 37 mm: no way to turn it is 25 mm high. A hand of 106 × 10 × 1 mm does."""
    assert not lies_in((59, 37, 37), (230, 160, 25))
    assert lies_in((106, 10, 1), (230, 160, 25))


def test_a_cast_foot_of_48_mm_does_not_either():
    """48 × 40 × 40 mm."""
    assert not lies_in((48, 40, 40), (230, 160, 25))


def test_a_rod_of_820_mm_gets_the_long_bag():
    """820 + 6 <= 900 and 6 + 6 <= 90, but 60 × 80 holds nothing of 820 mm, however thin."""
    assert not goes_into_bag((820, 6, 6), 60, 80)
    assert goes_into_bag((820, 6, 6), 90, 900)
    assert goes_into_bag((820, 6, 6), 900, 90)


def test_a_bag_bends_around_the_piece():
    """30 mm of thickness take 30 mm of width and of length: 150 × 70 × 30 needs 180 × 100, not a millimetre less."""
    assert goes_into_bag((150, 70, 30), 100, 180)
    assert not goes_into_bag((150, 70, 30), 99, 180)
    assert not goes_into_bag((150, 70, 30), 100, 179)


def test_a_thin_rod_lies_from_corner_to_corner_and_a_thick_one_does_not():
    """Floor 400 × 300 mm, diagonal 500 mm: a rod of 495 × 4 lies, one of 495 × 60 would stick out.

    A rectangle of p = 495 turned so that it lies along the diagonal (cos 0.8, sin 0.6) takes 396 + 0.6 q by
    297 + 0.8 q: q may be 3.75 mm at this angle; at the best one 4 mm lie, 60 mm don't at any.
    """
    box = (400, 300, 20)
    assert lies_in((495, 4, 4), box)
    assert not lies_in((495, 60, 4), box)
    assert turned_fits((495, 4), (400, 300), 0)
    assert not turned_fits((495, 60), (400, 300), 0)


@given(BLOCK, BLOCK)
def test_turning_by_numbers_says_the_same(piece, box):
    """Every side up, every angle on the floor; what fits only by a hair may be said either way."""
    ways = [(one, other) for one in permutations(piece) for other in permutations(box) if one[0] <= other[0]]

    if lies_in(piece, box):
        assert any(turned_fits((one[1], one[2]), (other[1], other[2]), 0.05) for one, other in ways)
    else:
        assert not any(turned_fits((one[1], one[2]), (other[1], other[2]), -0.05) for one, other in ways)


@given(BLOCK, BLOCK, st.permutations([0, 1, 2]))
def test_how_a_piece_or_box_is_written_down_changes_nothing(piece, box, order):
    """Sides in any order; a larger box takes what a smaller one does; nothing lies in a box of less volume."""
    mixed = tuple(piece[place] for place in order)

    assert lies_in(mixed, box) == lies_in(piece, box)
    assert footprint_mm2(mixed, box) == footprint_mm2(piece, box)
    if lies_in(piece, box):
        assert lies_in(piece, (box[0] + 1, box[1], box[2]))
        assert np.prod(piece) <= np.prod(box)


@given(BLOCK, BLOCK)
def test_a_footprint_is_never_more_than_the_piece_covers(piece, box):
    """No way to put the piece down covers less of the floor: so the rule keeps nothing out that could go in."""
    if lies_in(piece, box) and footprint_mm2(piece, box):
        high = min(box)
        least = min(one[1] * one[2] for one in permutations(piece) if one[0] <= high)
        assert footprint_mm2(piece, box) == least


def test_turning_the_outline_is_measured_right():
    """A square of 10 at 45° is 14.14 wide."""
    assert abs(10 * cos(pi / 4) + 10 * sin(pi / 4) - 14.142) < 1e-3
