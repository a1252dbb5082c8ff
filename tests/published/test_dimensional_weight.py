"""Dimensional weights as printed in carriers' public rate guides, and exactness where binary fractions go wrong.

Source: worked examples of public parcel and air freight rate guides (divisors 6000 and 5000 cm³/kg, 139 in³/lb),
recomputed exactly. One guide prints 21 kg for 41 × 51 × 61 cm over 6000; exact is 21.2585 kg.
"""

from decimal import Decimal
from fractions import Fraction
from math import ceil

import pytest

from fulfil.records.despatch.service import SideRounding
from fulfil.records.tiny import SERVICE
from fulfil.shipping.services import chargeable_weight, dimensional_weight, round_side, up_to_step

AIR = SERVICE.model_copy(update={"divisor_cm3_per_kg": 6000, "weight_step_g": 500})


@pytest.mark.parametrize(
    ("sides_cm", "exact_g"),
    [
        ((30, 45, 65), Fraction(14_625)),
        ((150, 100, 110), Fraction(275_000)),
        ((140, 100, 90), Fraction(210_000)),
        ((41, 51, 61), Fraction(42_517, 2)),
    ],
)
def test_published_examples_over_6000(sides_cm, exact_g):
    """Grams are cubic millimetres over the divisor in cm³/kg."""
    assert dimensional_weight([10 * side for side in sides_cm], 6000) == exact_g


@pytest.mark.parametrize(
    ("sides_cm", "actual_g", "charged_g"),
    [((30, 45, 65), 14_000, 15_000), ((150, 100, 110), 130_000, 275_000), ((140, 100, 90), 120_000, 210_000)],
)
def test_the_larger_weight_is_charged(sides_cm, actual_g, charged_g):
    """14.625 kg by volume against 14 kg is charged as 15 kg with a step of half a kilogram."""
    sides = tuple(10 * side for side in sides_cm)

    assert chargeable_weight(AIR, Decimal(actual_g), sides).chargeable_g == charged_g


def test_the_published_example_in_inches_and_pounds():
    """30.4 × 19.6 × 19.5 in are rounded to 30 × 20 × 20; 12 000 in³ over 139 are 86.33 lb, charged as 87 lb."""
    sides = [round_side(Fraction(side), 1, SideRounding.HALF_UP) for side in ("30.4", "19.6", "19.5")]

    assert sides == [30, 20, 20]
    assert round(float(dimensional_weight(sides, 139)), 2) == 86.33
    assert ceil(dimensional_weight(sides, 139)) == 87


def test_the_metric_and_the_inch_divisor_are_one():
    """6000 cm³/kg are 366 in³/kg and 166 in³/lb, 5000 cm³/kg are 139 in³/lb (as published, rounded up from 138.4)."""
    inch3 = Fraction("2.54") ** 3
    pound = Fraction("0.45359237")

    assert round(6000 / inch3) == 366
    assert round(6000 * pound / inch3) == 166
    assert ceil(5000 * pound / inch3) == 139


def test_rounding_up_is_exact_where_binary_fractions_are_not():
    """math.ceil(0.07 / 0.01) is 8; in whole grams every multiple of a step stays, and one gram more goes on."""
    assert ceil(0.07 / 0.01) == 8
    for step_g in (10, 50, 100, 200, 500, 1000):
        for mass_g in range(0, 5001, step_g):
            assert up_to_step(mass_g, step_g) == mass_g
            assert up_to_step(mass_g + 1, step_g) == mass_g + step_g
