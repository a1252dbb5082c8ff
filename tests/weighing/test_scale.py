"""Scales: uncertainty of an indication without counting anything twice, and readings that can't be used."""

import math
from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import WeighingRefused
from fulfil.weighing.scale import ErrorRule, Scale, repeatability_g

BENCH = Scale("III", Decimal("0.1"), Decimal("0.1"), Decimal(600))
FINE = Scale("II", Decimal("0.01"), Decimal("0.001"), Decimal(500), repeatability_g=0.002)


def test_rounding_alone_is_a_third_of_an_interval() -> None:
    """d/√12 = .28868 d (JCGM 100:2008, F.2.2.1), as the difference of two readings d/√6 = .40825 d (computed)."""
    steady = Scale("III", Decimal("0.1"), Decimal("0.1"), Decimal(600), repeatability_g=0.0)

    assert steady.indication_u_g(50.0) == pytest.approx(0.028868, abs=5e-7)
    assert steady.net_u_g(50.0) == pytest.approx(0.040825, abs=5e-7)


def test_a_permissible_error_is_rectangular_and_already_holds_repeatability() -> None:
    """Class III in service: 0.1 g to 50 g, 0.2 g to 200 g, 0.3 g above; over √3, plus rounding, nothing else."""
    for load, permitted in ((50.0, 0.1), (50.1, 0.2), (200.0, 0.2), (200.1, 0.3)):
        expected = math.sqrt(permitted**2 / 3 + 0.1**2 / 12)

        assert BENCH.indication_u_g(load) == pytest.approx(expected)
        assert BENCH.net_u_g(load) == pytest.approx(math.sqrt(permitted**2 / 3 + 0.1**2 / 6))


def test_arrays_of_loads_give_arrays() -> None:
    """A catalogue's bags are asked about in one call, and agree with one by one."""
    loads = np.array([1.0, 50.0, 50.1, 200.0, 599.0])

    assert BENCH.indication_u_g(loads).tolist() == pytest.approx([BENCH.indication_u_g(load) for load in loads])
    assert FINE.net_u_g(loads).tolist() == pytest.approx([FINE.net_u_g(1.0)] * 5)


@given(load=st.decimals(0, 600, places=1), rule=st.sampled_from(["OIML R 76", "NIST HB 44"]))
def test_uncertainty_follows_the_permissible_error_at_every_load(load: Decimal, rule: ErrorRule) -> None:
    """The fast table of floats has the steps of the exact standard."""
    scale = Scale("III", Decimal("0.1"), Decimal("0.1"), Decimal(600), error_rule=rule)
    expected = math.sqrt(float(scale.permissible_error_g(load)) ** 2 / 3 + 0.01 / 12)

    assert scale.indication_u_g(load) == pytest.approx(expected)


def test_the_us_rule_counts_in_divisions() -> None:
    """HB 44, class III maintenance at 500 d, 2 000 d and 4 000 d: 1 d, 2 d, 3 d."""
    scale = Scale("III", Decimal("0.1"), Decimal("0.1"), Decimal(600), error_rule="NIST HB 44")

    assert [scale.permissible_error_g(Decimal(load)) for load in (50, 200, 400)] == [
        Decimal("0.1"),
        Decimal("0.2"),
        Decimal("0.3"),
    ]


def test_min_comes_from_the_plate_or_the_class() -> None:
    """20 e for class III; a plate that says more is believed."""
    assert BENCH.min_load_g == Decimal("2.0")
    assert Scale("III", Decimal("0.1"), Decimal("0.1"), Decimal(600), min_load_g=Decimal(5)).min_load_g == Decimal(5)


def test_repeatability_is_before_rounding() -> None:
    """Normal scatter of 0.08 g read to 0.1 g, 3,000 readings: s² − d²/12 gives it back (5 std errors)."""
    rng = np.random.default_rng(5)
    loads = 50 + rng.uniform(-0.05, 0.05, 300)
    series = [[round(Decimal(float(x)), 1) for x in load + rng.normal(0, 0.08, 10)] for load in loads]

    assert repeatability_g(series, Decimal("0.1")) == pytest.approx(0.08, rel=5 * 1.2 / (2 * 2_700) ** 0.5)


def test_a_steady_display_shows_no_repeatability() -> None:
    """All readings alike: 0, the rounding is what is left."""
    assert repeatability_g([[Decimal("50.1")] * 10], Decimal("0.1")) == 0.0


def test_repeatability_needs_repeats() -> None:
    """One reading of each load shows nothing."""
    with pytest.raises(WeighingRefused, match="one load weighed at least twice"):
        repeatability_g([[Decimal("50.1")], [Decimal("20.0")]], Decimal("0.1"))


@pytest.mark.parametrize(
    ("gross", "tare", "sentence"),
    [
        ("1.9", "0", "Cannot weigh net '1.9 g': expected at least the minimum load of 2.0 g; "
         "use a finer scale or count by hand."),
        ("-0.1", "0", "Cannot weigh '-0.1 g': expected no negative reading; empty the pan and set the scale to zero."),
        ("50.0", "-2.1", "Cannot weigh '-2.1 g': expected no negative reading; "
         "empty the pan and set the scale to zero."),
        ("2.0", "2.1", "Cannot subtract tare '2.1 g': expected no more than the gross 2.0 g; "
         "weigh the empty bag again."),
        ("600.1", "0", "Cannot weigh gross '600.1 g': expected at most the capacity of 600 g; take a larger scale."),
        ("50.05", "0", "Cannot weigh gross '50.05 g': expected a multiple of the scale interval 0.1 g; "
         "read the display again."),
        ("NaN", "0", "Cannot read gross 'NaN g': expected a number; wait for a steady reading."),
    ],
)  # fmt: skip
def test_a_reading_that_cannot_be_used_says_what_to_do(gross: str, tare: str, sentence: str) -> None:
    """Every sentence ends with the next step at the bench."""
    with pytest.raises(WeighingRefused) as refused:
        BENCH.net_g(Decimal(gross), Decimal(tare))

    assert str(refused.value) == sentence


def test_a_net_weight_is_exact() -> None:
    """47.1 − 2.1 g is 45.0 g, not 45.00000000000001."""
    assert BENCH.net_g(Decimal("47.1"), Decimal("2.1")) == Decimal("45.0")


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"accuracy_class": "V"}, "I, II, III or IIII, as on the plate"),
        ({"e_g": Decimal("0.3")}, "1, 2 or 5 times a power of ten"),
        ({"e_g": Decimal("0.01")}, "0.1 g or more"),
        ({"d_g": Decimal("0.2")}, "at most e = 0.1 g"),
        ({"d_g": Decimal("0.03")}, "1, 2 or 5 times a power of ten"),
        ({"capacity_g": Decimal(2)}, "more than Min = 2.0 g"),
        ({"capacity_g": Decimal("NaN")}, "more than Min = 2.0 g"),
        ({"repeatability_g": -0.1}, "weigh one load ten times"),
        ({"repeatability_g": math.nan}, "weigh one load ten times"),
    ],
)
def test_a_scale_that_cannot_exist_is_refused(change: dict[str, Any], words: str) -> None:
    """The plate's numbers are held against the class table as they enter."""
    plate: dict[str, Any] = {"accuracy_class": "III", "e_g": Decimal("0.1"), "d_g": Decimal("0.1")}
    plate["capacity_g"] = Decimal(600)
    with pytest.raises(WeighingRefused) as refused:
        Scale(**{**plate, **change})

    assert words in str(refused.value)
