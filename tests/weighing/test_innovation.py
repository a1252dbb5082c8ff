"""Innovations: white while nothing drifts, whatever the sample was; the estimate is the pooled one."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fulfil.errors import WeighingRefused
from fulfil.weighing.learning.drift import first_signal
from fulfil.weighing.learning.innovation import innovations


def test_the_estimate_after_all_is_the_weighted_mean():
    """Without noise, sample and bags pool to ΣW/ΣN with u = σ/√ΣN (JCGM 100:2008, 4.2.3)."""
    found = innovations(
        [50, 100], [45.2, 90.1], [0.0, 0.0], unit_weight_g=0.9, unit_weight_u_g=0.009 / 50**0.5, piece_sd_g=0.009
    )

    assert found.unit_weight_g == pytest.approx((45.0 + 45.2 + 90.1) / 200)
    assert found.unit_weight_u_g == pytest.approx(0.009 / 200**0.5)


@given(
    bags=st.lists(st.tuples(st.integers(1, 500), st.floats(-3, 3)), min_size=1, max_size=8),
    sample=st.integers(2, 500),
)
@settings(deadline=None, max_examples=50)
def test_the_order_of_bags_does_not_move_the_estimate(bags, sample):
    """Reversed, the same weighings end at the same estimate."""

    def end(rows):
        return innovations(
            [n for n, _ in rows],
            [n * 0.9 + z * 0.009 * n**0.5 for n, z in rows],
            [0.02] * len(rows),
            unit_weight_g=0.9,
            unit_weight_u_g=0.009 / sample**0.5,
            piece_sd_g=0.009,
        )

    there, back = end(bags), end(bags[::-1])

    assert there.unit_weight_g == pytest.approx(back.unit_weight_g, rel=1e-9)
    assert there.unit_weight_u_g == pytest.approx(back.unit_weight_u_g, rel=1e-9)


def simulated(rng, sample, bags, shift=0.0, since=0):
    """Z of bags of 50 after a sample of 0.9 g pieces; from ``since`` on pieces weigh ``shift`` more."""
    mean = 0.9 + 0.009 * rng.standard_normal(sample).mean()
    true = np.where(np.arange(bags) < since, 0.9, 0.9 * (1 + shift))
    nets = 50 * true + 0.009 * 50**0.5 * rng.standard_normal(bags) + 0.03 * rng.standard_normal(bags)
    found = innovations(
        [50] * bags,
        nets.tolist(),
        [0.03] * bags,
        unit_weight_g=mean,
        unit_weight_u_g=0.009 / sample**0.5,
        piece_sd_g=0.009,
    )
    return np.array(found.residual_g) / np.array(found.sd_g)


def test_residuals_are_white_after_a_small_sample():
    """Mean 0, variance 1, neighbours uncorrelated over 4000 series after a sample of ten; plain residuals are not."""
    rng = np.random.default_rng(20260302)

    z = np.array([simulated(rng, 10, 6) for _ in range(4000)])

    assert np.abs(z.mean(axis=0)).max() < 4 / 4000**0.5
    assert np.abs(z.var(axis=0) - 1).max() < 5 * (2 / 4000) ** 0.5
    assert np.abs(np.corrcoef(z.T) - np.eye(6)).max() < 4 / 4000**0.5


def test_a_small_sample_raises_no_false_alarm_and_a_drift_does():
    """Charts on innovations: below 2 % of series of 30 bags after a sample of ten alarm; with a shift most do."""
    rng = np.random.default_rng(7)

    quiet = sum(first_signal(simulated(rng, 10, 30)) is not None for _ in range(500))
    drifted = sum(first_signal(simulated(rng, 200, 30, shift=0.004, since=10)) is not None for _ in range(200))

    assert quiet < 10
    assert drifted > 180


@pytest.mark.parametrize(
    ("columns", "says"),
    [
        (([50], [45.0], []), "Cannot chart columns of '(1, 1, 0)': expected one length."),
        (
            ([50], [float("nan")], [0.03]),
            "Cannot chart a weighing of 'nan g ± 0.03 g': expected a net weight with some uncertainty.",
        ),
    ],
)
def test_refusals(columns, says):
    """What can't be charted is refused in a sentence."""
    with pytest.raises(WeighingRefused) as refused:
        innovations(*columns, unit_weight_g=0.9, unit_weight_u_g=0.001, piece_sd_g=0.009)

    assert str(refused.value) == says
