"""Lots and pieces: the analysis of variance against reference libraries, and no digit lost."""

from decimal import Decimal

import numpy as np
import pytest
import statsmodels.api as sm
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import f_oneway

from fulfil.errors import WeighingRefused
from fulfil.weighing.anova import one_way, unit_weight_over_lots

LOTS = [[0.912, 0.905, 0.894, 0.903], [0.921, 0.918, 0.926, 0.922], [0.899, 0.907, 0.903, 0.896]]


def test_f_and_its_chance_are_those_of_scipy() -> None:
    """scipy.stats.f_oneway on lots of unequal size."""
    lots = [[0.912, 0.905], [0.921, 0.918, 0.926, 0.922], [0.899, 0.907, 0.903]]
    table = one_way(lots)
    reference = f_oneway(*lots)

    assert table.f == pytest.approx(reference.statistic)
    assert table.p_value == pytest.approx(reference.pvalue)


def test_components_are_those_of_restricted_likelihood() -> None:
    """For lots of one size with MSB > MSW the ANOVA estimates are the REML ones: statsmodels MixedLM."""
    values = np.concatenate(LOTS)
    lots = np.repeat([0, 1, 2], 4)
    fitted = sm.MixedLM(values * 1e3, np.ones(12), lots).fit(reml=True)
    table = one_way(LOTS)

    assert table.lot_variance * 1e6 == pytest.approx(float(fitted.cov_re[0, 0]), rel=1e-4)
    assert table.ms_within * 1e6 == pytest.approx(fitted.scale, rel=1e-4)


@given(
    readings=st.lists(st.lists(st.integers(-500, 500), min_size=2, max_size=8), min_size=2, max_size=6),
    digits=st.integers(0, 12),
)
def test_a_common_number_in_front_changes_nothing(readings: list[list[int]], digits: int) -> None:
    """Adding 10^k to decimal readings leaves every sum of squares as it was, to the last bit."""
    near = [[Decimal(value) / 1000 for value in group] for group in readings]
    far = [[value + 10**digits for value in group] for group in near]
    one, other = one_way(near), one_way(far)

    assert (one.ss_between, one.ss_within) == (other.ss_between, other.ss_within)


@given(lots=st.lists(st.lists(st.floats(0.5, 2), min_size=2, max_size=6), min_size=2, max_size=6))
def test_squares_between_and_within_add_up(lots: list[list[float]]) -> None:
    """SSB + SSW is the total sum of squares; the lot variance is never negative."""
    table = one_way(lots)
    everything = np.concatenate(lots)

    assert table.ss_between + table.ss_within == pytest.approx(
        float(((everything - everything.mean()) ** 2).sum()), abs=1e-12
    )
    assert table.lot_variance >= 0
    assert table.df_between + table.df_within == everything.size - 1


def test_the_true_components_come_back() -> None:
    """3,000 simulated lots of 4 with σ_L .005 g, σ_e .009 g: both within 5 % (over five standard errors)."""
    rng = np.random.default_rng(13)
    lots = 0.9 + rng.normal(0, 0.005, (3_000, 1)) + rng.normal(0, 0.009, (3_000, 4))
    table = one_way(lots.tolist())

    assert table.residual_sd == pytest.approx(0.009, rel=0.05)
    assert table.lot_sd == pytest.approx(0.005, rel=0.10)


def test_unit_weight_of_an_unsampled_lot() -> None:
    """u² = σ_L² (1 + 1/k) + σ_e²/(k n): three lots of four pieces, a perfect scale."""
    table = one_way(LOTS)
    part = unit_weight_over_lots(LOTS, reading_u_g=0.0)

    assert part.u_g**2 == pytest.approx(table.lot_variance * (4 / 3) + table.ms_within / 12)
    assert (part.lots, part.lot, part.sample_pieces, part.piece_sd_freedom) == (3, "", 12, 9)
    assert part.piece_sd_g == pytest.approx(table.residual_sd)
    assert part.is_usable_for_acceptance


def test_pieces_that_never_differ_within_a_lot() -> None:
    """F is infinite, its chance 0, the lots explain everything."""
    table = one_way([[1.0, 1.0], [2.0, 2.0]])

    assert (table.f, table.p_value, table.r_squared, table.intraclass_correlation) == (float("inf"), 0.0, 1.0, 1.0)


@pytest.mark.parametrize("lots", [[], [[1.0, 2.0]], [[1.0, 2.0], []], [[1.0], [2.0]]])
def test_too_little_to_compare_is_refused(lots: list[list[float]]) -> None:
    """Two lots, none empty, one with two pieces."""
    with pytest.raises(WeighingRefused, match="two or more lots, all with readings and one with at least two"):
        one_way(lots)


def test_a_reading_that_is_no_number_is_refused() -> None:
    """NaN in a float, NaN in a Decimal."""
    for reading in (float("nan"), Decimal("NaN"), float("inf")):
        with pytest.raises(WeighingRefused, match="weigh that piece again"):
            one_way([[0.9, reading], [0.9, 0.8]])
