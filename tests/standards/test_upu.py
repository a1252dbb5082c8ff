"""Postal limits: the order of sides doesn't matter, every broken limit is named, nonsense is refused."""

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import QuantityRefused
from fulfil.standards import upu

SIDES = st.tuples(st.integers(1, 2500), st.integers(1, 2500), st.integers(1, 2500))


@given(SIDES, st.integers(1, 40_000))
def test_the_order_of_the_sides_does_not_matter(sides_mm, weight_g):
    """A package may lie any way up."""
    for limits in (upu.SMALL_PACKET, upu.PARCEL_SMALL, upu.PARCEL_MEDIUM, upu.PARCEL_LARGE):
        found = {upu.broken_limits(limits, turned, weight_g=weight_g) for turned in permutations(sides_mm)}

        assert len(found) == 1


@given(SIDES)
def test_girth_is_the_perimeter_across_the_longest_side(sides_mm):
    """All around, the longest side left out."""
    assert upu.girth_mm(sides_mm) == 2 * (sum(sides_mm) - max(sides_mm))


def test_all_broken_limits_are_said_at_once():
    """The clerk sees them together."""
    assert upu.broken_limits(upu.SMALL_PACKET, (700, 300, 80), weight_g=2500) == (
        "longest side 700 mm is over 602 mm",
        "length, width and depth together 1080 mm are over 900 mm",
        "weight 2500 g is over 2000 g",
    )


@pytest.mark.parametrize("sides_mm", [(0, 1, 1), (-1, 5, 5), (1, 2), ()])
def test_impossible_sides_are_refused(sides_mm):
    """Three lengths above zero."""
    with pytest.raises(QuantityRefused):
        upu.broken_limits(upu.SMALL_PACKET, sides_mm, weight_g=1)


def test_an_impossible_roll_is_refused():
    """Two lengths above zero."""
    with pytest.raises(QuantityRefused):
        upu.broken_roll_limits(upu.SMALL_PACKET_ROLL, length_mm=100, diameter_mm=0, weight_g=1)


def test_presets_are_found_by_name_and_say_where_they_come_from():
    """Five of them."""
    assert list(upu.PRESETS) == [limits.name for limits in upu.PRESETS.values()]
    assert all(limits.source for limits in upu.PRESETS.values())
    assert len(upu.PRESETS) == 5
