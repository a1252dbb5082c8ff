"""Postal limits against the cases of public postal guidance that restates the UPU regulations."""

import pytest

from fulfil.standards import upu


@pytest.mark.parametrize(
    ("sides_mm", "is_accepted"),
    [
        ((600, 150, 150), True),  # 900 together, the limit itself
        ((602, 100, 100), True),  # 2 mm tolerance
        ((603, 100, 100), False),
        ((601, 150, 149), True),
        ((600, 151, 150), False),  # 901 together
        ((140, 90, 1), True),  # smallest face 90 × 140
        ((139, 90, 90), False),
        ((140, 89, 89), False),
    ],
)
def test_small_packets_are_accepted_up_to_the_limits(sides_mm, is_accepted):
    """Sum 900 mm, longest 600 mm with 2 mm tolerance, face 90 × 140 mm."""
    assert (upu.broken_limits(upu.SMALL_PACKET, sides_mm, weight_g=2000) == ()) is is_accepted


@pytest.mark.parametrize(
    ("length_mm", "diameter_mm", "is_accepted"),
    [(900, 70, True), (901, 10, False), (900, 71, False), (100, 35, True), (99, 40, False), (100, 34, False)],
)
def test_rolls_are_accepted_up_to_their_own_limits(length_mm, diameter_mm, is_accepted):
    """Length plus two diameters 170 to 1040 mm, length 100 to 900 mm."""
    broken = upu.broken_roll_limits(upu.SMALL_PACKET_ROLL, length_mm=length_mm, diameter_mm=diameter_mm, weight_g=100)

    assert (broken == ()) is is_accepted


@pytest.mark.parametrize(
    ("limits", "sides_mm", "is_accepted"),
    [
        (upu.PARCEL_SMALL, (1050, 250, 225), True),  # 1050 + 950 = 2000
        (upu.PARCEL_SMALL, (1050, 250, 226), False),
        (upu.PARCEL_SMALL, (1051, 100, 100), False),
        (upu.PARCEL_MEDIUM, (1500, 400, 350), True),
        (upu.PARCEL_LARGE, (2000, 250, 250), True),
        (upu.PARCEL_LARGE, (2001, 100, 100), False),
    ],
)
def test_parcels_are_accepted_up_to_length_and_girth(limits, sides_mm, is_accepted):
    """Girth is twice the sum of the two smaller sides."""
    assert (upu.broken_limits(limits, sides_mm, weight_g=20_000) == ()) is is_accepted
