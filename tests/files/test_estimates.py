"""What is assumed where the catalogue says nothing has the right size and direction."""

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.files.estimates import bulk_volume_mm3, usable_volume_mm3


@given(st.floats(0.001, 1000), st.integers(1, 1000))
def test_a_heap_is_looser_than_its_pieces(mean_g: float, longest_mm: int) -> None:
    """A piece takes more room in a heap than its own volume, and the longer it is for its mass the more."""
    volume = bulk_volume_mm3(mean_g=mean_g, longest_mm=longest_mm)

    assert volume > mean_g / 7.85e-3
    assert bulk_volume_mm3(mean_g=mean_g, longest_mm=longest_mm + 1) >= volume


def test_ball_with_and_without_its_weight() -> None:
    """A steel ball of 10 mm (4.11 g by its geometry) takes the same room whether its weight is known or not."""
    mean_g = 7.85e-3 * pi / 6 * 10**3

    assert bulk_volume_mm3(mean_g=mean_g, longest_mm=10) == pytest.approx(bulk_volume_mm3(mean_g=None, longest_mm=10))


@given(st.integers(10, 500), st.integers(10, 500))
def test_a_bag_holds_the_same_whichever_side_is_up(width_mm: int, height_mm: int) -> None:
    """Width and height may be swapped, and a bag never holds more than a tube of its circumference."""
    volume = usable_volume_mm3(width_mm, height_mm)
    w, h = sorted((width_mm, height_mm))

    assert volume == usable_volume_mm3(height_mm, width_mm)
    assert 0 < volume < w * w * h / pi


def test_square_bag_against_the_teabag_problem() -> None:
    """A unit square bag, before the part that closes, holds .19051, below the numerical .2055 (quoted from memory)."""
    unit = usable_volume_mm3(1000, 1000) / 0.6 / 1000**3

    assert unit == pytest.approx(1 / pi - 0.142 * 0.9, abs=1e-6)
    assert unit < 0.2055
