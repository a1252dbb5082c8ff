"""Bulk counts: intervals that hold the truth, tubs with one common error, samples that narrow them."""

from decimal import Decimal
from math import hypot, inf, nan
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from fulfil.errors import WeighingRefused
from fulfil.weighing.bulk import BulkCount, estimate_pieces, estimate_tubs, sample_for_half_width

WASHER = {"unit_weight_g": 0.1195, "unit_weight_u_g": 0.0002, "piece_sd_g": 0.0018, "indication_u_g": 0.6}


def test_a_tub_by_hand() -> None:
    """4,780 g of washers of 0.1195 g: 40,000, of which the unit weight leaves 67, the pieces 3, the scale 5."""
    tub = estimate_pieces(4890.0, 110.0, **WASHER)

    assert tub.pieces == 40_000
    assert tub.unit_weight_u == pytest.approx(40_000 * 0.0002 / 0.1195)
    assert tub.piece_u == pytest.approx(200 * 0.0018 / 0.1195)
    assert tub.weighing_u == pytest.approx(0.6 / 0.1195)
    assert tub.largest_part == "unit weight"
    half = 1.959964 * hypot(tub.unit_weight_u, tub.piece_u, tub.weighing_u)
    assert (tub.upper - tub.lower) / 2 == pytest.approx(half, abs=1.5)


def test_the_interval_costs_what_its_pieces_cost() -> None:
    """At 0.04 EUR a washer the 263 pieces between the ends are worth 10.52 EUR, exactly."""
    tub = estimate_pieces(4890.0, 110.0, **WASHER)

    assert tub.cost_of_interval(Decimal("0.04")) == Decimal("0.04") * (tub.upper - tub.lower)
    assert tub.cost_of_interval(Decimal("0.04")) == Decimal("10.52")


def test_tubs_keep_the_unit_weights_error_common() -> None:
    """Ten tubs are as uncertain together as one tub of all their pieces, far more than ten independent ones."""
    one = estimate_pieces(4890.0, 110.0, **WASHER)
    ten = estimate_tubs([4890.0] * 10, [110.0] * 10, **WASHER)
    together = estimate_pieces(47_800.0 + 110.0, 110.0, **{**WASHER, "indication_u_g": 0.6 * 10**0.5})

    assert (ten.pieces, ten.lower, ten.upper) == (together.pieces, together.lower, together.upper)
    assert ten.upper - ten.lower == pytest.approx(10 * (one.upper - one.lower), rel=0.02)
    assert ten.upper - ten.lower > 3 * 10**0.5 * (one.upper - one.lower)


@pytest.mark.parametrize(
    ("pieces", "unit_u", "sd", "scale_u", "tubs"),
    [(40_000, 0.002, 0.015, 5.0, 1), (500, 0.001, 0.01, 0.05, 1), (2_000, 0.01, 0.05, 1.0, 8), (30, 0.08, 0.1, 0.3, 1)],
)
def test_the_interval_holds_the_true_count_as_often_as_it_says(
    pieces: int, unit_u: float, sd: float, scale_u: float, tubs: int
) -> None:
    """In 3,000 simulated bulk counts the true count lies in the 95 % interval 95 % of the time."""
    rng = np.random.default_rng(pieces)
    held = 0
    for _ in range(3000):
        true_unit = 1.0 + unit_u * rng.standard_normal()
        net = pieces / tubs * true_unit + np.sqrt(pieces / tubs) * sd * rng.standard_normal(tubs)
        gross = (net + 100 + scale_u * rng.standard_normal(tubs)).tolist()
        count = estimate_tubs(
            gross, [100.0] * tubs, unit_weight_g=1.0, unit_weight_u_g=unit_u, piece_sd_g=sd, indication_u_g=scale_u
        )
        held += count.lower <= pieces <= count.upper

    assert held / 3000 == pytest.approx(0.95, abs=0.02)


@settings(deadline=None, max_examples=80)
@given(
    net=st.floats(1, 1e5),
    unit=st.floats(0.01, 50),
    relative_u=st.floats(0, 0.05),
    relative_sd=st.floats(0, 0.05),
    scale_u=st.floats(0.001, 1),
)
def test_both_ends_fit_and_the_next_counts_dont(
    net: float, unit: float, relative_u: float, relative_sd: float, scale_u: float
) -> None:
    """Each end of the interval is within z s.d. of the weight, one piece further is not."""
    assume(net > unit)
    z = 1.959963984540054

    def fits(count: int) -> bool:
        variance = count * (relative_sd * unit) ** 2 + (count * relative_u * unit) ** 2 + scale_u**2
        return (net - count * unit) ** 2 <= z**2 * variance * (1 + 1e-9)

    found = estimate_pieces(
        net + 10, 10, unit_weight_g=unit, unit_weight_u_g=relative_u * unit, piece_sd_g=relative_sd * unit,
        indication_u_g=scale_u,
    )  # fmt: skip

    assert found.lower <= found.pieces <= found.upper
    assert all(fits(end) or end == found.pieces for end in (found.lower, found.upper))
    assert not fits(found.upper + 2)
    assert found.lower < 2 or not fits(found.lower - 2)


@settings(deadline=None, max_examples=60)
@given(pieces=st.integers(100, 100_000), half=st.floats(3, 300), c=st.floats(0.001, 0.05), sample_u=st.floats(0, 0.05))
def test_the_sample_is_the_smallest_that_narrows(pieces: int, half: float, c: float, sample_u: float) -> None:
    """The sample found brings u(N) to the half-width at 95 %, one piece less doesn't."""
    scale_u = 0.05
    assume((half / 1.96) ** 2 > 1.02 * (pieces * c**2 + scale_u**2))
    n = sample_for_half_width(
        pieces, half, unit_weight_g=1.0, piece_sd_g=c, indication_u_g=scale_u, sample_u_g=sample_u
    )

    def half_width(sample: int) -> float:
        unit_u = hypot(c / sample**0.5, sample_u / sample)
        return 1.959963984540054 * hypot(pieces**0.5 * c, pieces * unit_u, scale_u)

    assert half_width(n) <= half * (1 + 1e-9)
    assert n == 1 or half_width(n - 1) > half * (1 - 1e-9)


def test_no_sample_narrows_scatter_itself() -> None:
    """Where the pieces' own scatter is wider than asked for, the refusal says what can be had and what to do."""
    with pytest.raises(WeighingRefused) as refused:
        sample_for_half_width(40_000, 2, unit_weight_g=0.1195, piece_sd_g=0.0018, indication_u_g=0.01)

    assert str(refused.value) == (
        "Cannot find a sample that counts 40000 pieces to ± '2': expected more than ± 5.9 pieces, which scatter and "
        "scale alone make; weigh less at a time."
    )


@pytest.mark.parametrize(
    ("gross", "tare", "changes", "sentence"),
    [
        (100.0, 110.0, {}, "Cannot count a tub with tare in g '110.0': expected less than its gross of 100 g; "
                           "weigh the empty tub again."),
        (110.0, 110.0, {}, "expected less than its gross of 110 g; weigh the empty tub again."),
        (4.0, 1.0, {"min_load_g": 5.0}, "Cannot count a tub weighing in g '4.0': expected the scale's minimum load of "
                                        "5 g or more."),
        (nan, 1.0, {}, "Cannot count a tub with gross in g 'nan': expected a number."),
        (10.0, -1.0, {}, "Cannot count a tub with tare in g '-1.0': expected a number of 0 or more."),
        (10.0, 1.0, {"unit_weight_g": 0.0}, "with unit weight in g '0.0': expected a number above 0."),
        (10.0, 1.0, {"unit_weight_u_g": inf}, "with unit weight's u in g 'inf': expected a number of 0 or more."),
        (10.0, 1.0, {"unit_weight_u_g": 0.1}, "less than 0.061 g, or no interval ends; sample the part first."),
        (10.0, 1.0, {"coverage": 95}, "Cannot give an interval with coverage '95': expected a number between 0 and 1."),
    ],
)  # fmt: skip
def test_bad_input_is_refused(gross: float, tare: float, changes: dict[str, Any], sentence: str) -> None:
    """A tare above the gross, too small a load, an unknown unit weight and no numbers are refused in a sentence."""
    with pytest.raises(WeighingRefused) as refused:
        estimate_pieces(gross, tare, **{**WASHER, **changes})

    assert str(refused.value).endswith(sentence)


def test_tubs_without_tares_are_refused() -> None:
    """Each tub needs its own tare, and there must be a tub."""
    with pytest.raises(WeighingRefused, match="tares '1': expected one for each of 2 tubs"):
        estimate_tubs([10.0, 10.0], [1.0], **WASHER)
    with pytest.raises(WeighingRefused, match="one for each of 0 tubs, at least one"):
        estimate_tubs([], [], **WASHER)


def test_one_fitting_count_is_said_as_sure() -> None:
    """An interval of one count doesn't print its two ends."""
    count = BulkCount(500, 500, 500, 0.95, 1056.0, 0.06, 0.47, 0.14)

    assert count.sentence == "500 pieces, 95 % sure."


@pytest.mark.parametrize("pieces", [19.4, 19.5, 20.6, 1.3])
def test_a_weight_between_two_whole_numbers_fits_none(pieces: float) -> None:
    """19.4 pieces at an s.d. of 0.017 is no 19: tare, foreign matter or a wrong part."""
    spool = {"unit_weight_g": 2.0, "unit_weight_u_g": 0.0005, "piece_sd_g": 0.006, "indication_u_g": 0.02}
    count = estimate_pieces(pieces * 2.0 + 50.0, 50.0, **spool)

    assert not count.fits_a_whole_number
    assert f"No whole number of pieces fits: {pieces:.2f} by weight" in count.sentence


def test_two_tubs_whose_errors_cancel_are_both_seen() -> None:
    """19.4 and 20.6 pieces make 40 together; neither is a number of pieces."""
    spool = {"unit_weight_g": 2.0, "unit_weight_u_g": 0.0005, "piece_sd_g": 0.006, "indication_u_g": 0.02}

    assert not estimate_tubs([88.8, 91.2], [50.0, 50.0], **spool).fits_a_whole_number
    assert estimate_tubs([90.0, 90.0], [50.0, 50.0], **spool).fits_a_whole_number


def test_right_bins_fit_a_whole_number_but_for_one_in_370() -> None:
    """20,000 simulated bins of 20: the share called odd is that of three standard deviations (scipy.stats.norm)."""
    rng = np.random.default_rng(20)
    net = 20 * 2.0 + rng.normal(0, 0.006 * 20**0.5, 20_000) + rng.normal(0, 0.02, 20_000)
    net += 20 * rng.normal(0, 0.0005, 20_000)
    spool = {"unit_weight_g": 2.0, "unit_weight_u_g": 0.0005, "piece_sd_g": 0.006, "indication_u_g": 0.02}
    odd = sum(not estimate_pieces(50.0 + one, 50.0, **spool).fits_a_whole_number for one in net)

    assert odd / 20_000 == pytest.approx(2 * norm.sf(3), abs=4.8 * (0.0027 / 20_000) ** 0.5)


def test_nothing_is_odd_where_no_whole_number_would_show() -> None:
    """A tub of 40,000 known to ± 130 pieces always fits one."""
    assert estimate_pieces(4890.06, 110.0, **WASHER).fits_a_whole_number
