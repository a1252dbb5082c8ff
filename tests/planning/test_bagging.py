"""A line goes into the fewest bags that hold it, and every way to bag it keeps its pieces."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import PlanRefused
from fulfil.planning.bagging import ways_to_bag
from fulfil.quantities import equal_shares
from fulfil.records.tiny import BAG

LARGE = BAG.model_copy(update={"code": "bag-L", "usable_volume_mm3": 300_000, "max_load_g": Decimal(1000)})


def ways(pieces, *, volume=24.0, weight=0.11, most=5, bags=(BAG, LARGE)):
    """The ways to bag so many pieces."""
    return list(ways_to_bag(pieces, bulk_volume_mm3=volume, unit_weight_g=weight, bag_types=bags, most_bags=most))


def test_the_smallest_bag_that_holds_all_comes_first():
    """50 balls of 24 mm³ are 1 200 mm³: one small bag."""
    first = ways(50)[0]

    assert (first.shares, first.bag_type.code) == ((50,), "bag-S")


def test_volume_asks_for_more_bags():
    """30 000 balls are 720 000 mm³: three large bags of 300 000 mm³ at least, within the load of 1 kg each."""
    first = ways(30_000, weight=0.01)[0]

    assert (first.shares, first.bag_type.code) == ((10_000,) * 3, "bag-L")


def test_load_asks_for_more_bags():
    """30 pieces of 100 g are 3 kg: three bags of 1 kg, however small the pieces are."""
    assert ways(30, weight=100.0)[0].shares == (10, 10, 10)


def test_a_part_without_a_unit_weight_goes_by_volume_alone():
    """No weight, no load rule."""
    assert ways(30, weight=None)[0].shares == (30,)


def test_a_piece_too_large_for_every_bag_is_refused():
    """The sentence says what to do."""
    with pytest.raises(PlanRefused, match="a bag type that holds one piece; add one"):
        ways(1, volume=1e9)


@given(st.integers(1, 5000), st.integers(1, 60))
def test_shares_sum_and_differ_by_one_at_most(pieces, bags):
    """Equal shares, larger ones first."""
    shares = equal_shares(pieces, bags)

    assert sum(shares) == pieces
    assert max(shares) - min(shares) <= 1
    assert list(shares) == sorted(shares, reverse=True)


@given(st.integers(1, 3000), st.floats(1.0, 20_000.0), st.floats(0.001, 200.0))
def test_every_way_fits_and_ways_grow_by_one_bag(pieces, volume, weight):
    """Each share fits its bag by volume and load; the ways are k, k + 1, k + 2 … bags."""
    found = ways(pieces, volume=volume, weight=weight)

    assert [len(way.shares) for way in found] == list(range(len(found[0].shares), len(found[0].shares) + len(found)))
    for way in found:
        assert sum(way.shares) == pieces
        assert way.shares[0] * volume <= way.bag_type.usable_volume_mm3 * (1 + 1e-9)
        assert way.shares[0] * weight <= float(way.bag_type.max_load_g) * (1 + 1e-9)
