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


def ways(pieces, *, volume=24.0, sides=(3, 3, 3), weight=0.11, most=5, bags=(BAG, LARGE)):
    """The ways to bag so many pieces."""
    return list(
        ways_to_bag(
            pieces, bulk_volume_mm3=volume, sides_mm=sides, unit_weight_g=weight, bag_types=bags, most_bags=most
        )
    )


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


LONG = BAG.model_copy(update={"code": "long", "width_mm": 90, "height_mm": 900, "usable_volume_mm3": 900_000})


def test_a_rod_gets_the_bag_that_is_long_enough():
    """A rod of 820 × 6 mm takes 46 000 mm³ in a heap; a bag of 60 × 80 mm doesn't take it, whatever it holds."""
    wide = BAG.model_copy(update={"usable_volume_mm3": 60_000})

    assert ways(1, volume=46_000.0, sides=(820, 6, 6), bags=(wide, LONG))[0].bag_type.code == "long"


def test_a_jar_gets_the_bag_that_goes_around_it():
    """A jar of 59 × 37 × 37 mm: 37 + 37 mm are more than 60 mm of width, however much the small bag may hold."""
    jar = {"volume": 20_000.0, "sides": (59, 37, 37)}
    middle = BAG.model_copy(update={"code": "bag-M", "width_mm": 74, "height_mm": 96, "usable_volume_mm3": 50_000})
    narrow = middle.model_copy(update={"code": "bag-N", "width_mm": 73})

    assert ways(1, bags=(BAG, narrow, middle), **jar)[0].bag_type.code == "bag-M"


def test_of_bags_that_fit_the_cheapest_is_taken():
    """The larger bag costs less; without a price of each, or in two currencies, size alone decides; ties by size."""
    small = BAG.model_copy(update={"price_minor": 4, "currency": "EUR"})
    large = LARGE.model_copy(update={"price_minor": 3, "currency": "EUR"})

    assert ways(50, bags=(small, large))[0].bag_type.code == "bag-L"
    assert ways(50, bags=(small, large.model_copy(update={"price_minor": 4})))[0].bag_type.code == "bag-S"
    assert ways(50, bags=(small, LARGE))[0].bag_type.code == "bag-S"
    assert ways(50, bags=(small, large.model_copy(update={"currency": "CHF"})))[0].bag_type.code == "bag-S"


def test_a_piece_longer_than_every_bag_is_refused():
    """The sentence gives the piece's sides, so that the right bag can be bought."""
    with pytest.raises(PlanRefused, match=r"950 x 6 x 6 mm.*a bag type that holds one piece; add one"):
        ways(1, volume=100.0, sides=(950, 6, 6), bags=(BAG, LARGE, LONG))


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
