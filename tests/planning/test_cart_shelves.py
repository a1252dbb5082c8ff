"""Bags on a cart: worked by hand, then what holds for any bags.

Heavy goods low and nothing heavy above the shoulder is the usual advice for shelves and carts (common practice; local
codes govern).
"""

from hypothesis import given
from hypothesis import strategies as st

from fulfil.planning.cart_shelves import OnCart, Shelves, first_positions, share_out, troubles

CART = Shelves(positions=6, levels=3, volume_mm3=10_000_000.0, mass_g=4_000.0)
"""Six positions on three levels, each for 10 litres and 4 kg."""


def test_heavy_orders_ride_below():
    """By position A has 1 kg, B 3.5, C 2, D 3.5: B and D (by number) below, then C, then A; on one level by number."""
    loads = [("A", 1, 1_000.0), ("B", 2, 7_000.0), ("C", 2, 4_000.0), ("D", 1, 3_500.0)]
    flat = Shelves(positions=6, levels=1, volume_mm3=10_000_000.0, mass_g=4_000.0)

    assert first_positions(loads, CART) == [6, 1, 4, 3]
    assert [CART.level_of(position) for position in first_positions(loads, CART)] == [3, 1, 2, 2]
    assert first_positions(loads, flat) == [1, 2, 4, 6]


def test_a_position_is_not_overloaded():
    """Bags of 3, 3, 1 and 1 kg, 1 litre each, in two positions: in turn the first would bear 6 kg; now 4 and 4."""
    bags = [OnCart(1_000_000, mass) for mass in (3_000, 3_000, 1_000, 1_000)]

    assert share_out(bags, 2, CART) == (0, 1, 0, 1)


def test_sharp_goods_ride_apart_from_fragile_ones():
    """A blade picked beside a glass eye goes into the order's other position; with one position it is told."""
    glass, blade, felt = OnCart(1e6, 10, is_fragile=True), OnCart(1e6, 10, is_sharp=True), OnCart(1e6, 10)

    assert share_out([glass, blade, felt, felt], 2, CART) == (0, 1, 0, 0)
    assert troubles([glass, blade], CART) == ("sharp beside fragile goods",)
    assert troubles([glass, felt], CART) == ()


BAG = st.builds(OnCart, st.floats(1e4, 9e6), st.floats(1.0, 3_900.0), is_fragile=st.booleans(), is_sharp=st.booleans())


@given(st.lists(BAG, min_size=1, max_size=12), st.integers(1, 6))
def test_every_bag_rides_once_and_no_worse_than_in_turn(bags, positions):
    """Each bag in one of its order's positions; where that can be, no position has a trouble."""
    found = share_out(bags, positions, CART)

    assert len(found) == len(bags)
    assert all(0 <= place < positions for place in found)
    if positions >= len(bags):
        by_place = [[bag for bag, at in zip(bags, found, strict=True) if at == place] for place in range(positions)]
        assert not any(troubles(some, CART) for some in by_place)


@given(st.lists(st.tuples(st.integers(1, 3), st.floats(1.0, 12_000.0)), min_size=1, max_size=6))
def test_no_lighter_order_rides_below_a_heavier_one(found):
    """By mass of a position; positions don't overlap."""
    loads = [(f"O{number}", positions, mass) for number, (positions, mass) in enumerate(found)]
    first = first_positions(loads, CART)
    taken = [position for (_, count, _), at in zip(loads, first, strict=True) for position in range(at, at + count)]

    assert sorted(taken) == [*range(1, len(taken) + 1)]
    for (_, mine, mass), at in zip(loads, first, strict=True):
        for (_, other, other_mass), other_at in zip(loads, first, strict=True):
            if mass / mine > other_mass / other:
                assert at < other_at
