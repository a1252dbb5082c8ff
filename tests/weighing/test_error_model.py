"""The error model: the spreads of the worked bag, both averages, and agreement of the two arithmetics."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.stats import norm

from fulfil.weighing.error_model import error_model

WORKED = {
    "unit_weight_g": 0.9,
    "unit_weight_u_g": 0.009 / math.sqrt(50),
    "piece_sd_g": 0.009,
    "indication_u_g": 0.03,
    "tare_u_g": 0.02,
}


def test_a_small_probability_keeps_its_digits() -> None:
    """One short of 25 passes ± 0.45 g with 2.65e-12: no 1 − 1 in sight."""
    bag = error_model(25, **WORKED)

    assert bag.pass_probability(-1, -0.45, 0.45) == pytest.approx(2.65e-12, rel=2e-3)
    assert bag.reject_probability(-0.45, 0.45) == pytest.approx(8.33e-12, rel=2e-3)


def test_a_bag_of_one_cannot_be_two_short() -> None:
    """There is no bag of −1 pieces: it never passes."""
    assert error_model(1, **WORKED).pass_probability(-2, -0.45, 0.45) == 0.0
    assert error_model([1], **WORKED).pass_probability(-2, -0.45, 0.45).tolist() == [0.0]


def test_pieces_without_any_scatter_are_certain() -> None:
    """With no uncertainty at all a right bag passes for sure, and one piece off never."""
    bag = error_model(10, unit_weight_g=1, unit_weight_u_g=0, piece_sd_g=0, indication_u_g=0)

    assert [bag.pass_probability(offset, -0.5, 0.5) for offset in (-1, 0, 1)] == [0.0, 1.0, 0.0]


@given(
    pieces=st.integers(1, 5000),
    offset=st.integers(-2, 2),
    half=st.floats(0.01, 3),
    own=st.booleans(),
)
def test_both_arithmetics_agree(pieces: int, offset: int, half: float, own: bool) -> None:
    """Single numbers and arrays use one set of formulas, and give the same to the last digits."""
    single, many = (replace(error_model(n, **WORKED), is_own_sample=own) for n in (pieces, [pieces]))

    assert many.pass_probability(offset, -half, half)[0] == pytest.approx(
        single.pass_probability(offset, -half, half), rel=1e-9, abs=1e-290
    )
    assert many.reject_probability(-half, half)[0] == pytest.approx(
        single.reject_probability(-half, half), rel=1e-9, abs=1e-290
    )


@pytest.mark.parametrize("offset", [-1, 0, 1])
def test_own_sample_is_the_average_over_the_true_unit_weight(offset: int) -> None:
    """Averaging the chance for a known true unit weight over N(μ̂, u²) gives (N + j)² u² (quadrature, scipy)."""
    pieces, u = 60, WORKED["unit_weight_u_g"]
    bag = replace(error_model(pieces, **WORKED), is_own_sample=True)
    known = error_model(pieces, **(WORKED | {"unit_weight_u_g": 0.0})).spread(offset)

    def passes(true_unit: float) -> float:
        mean = (pieces + offset) * true_unit - pieces * 0.9
        return float(norm.cdf((0.45 - mean) / known) - norm.cdf((-0.45 - mean) / known))

    average, _ = quad(lambda unit: passes(unit) * norm.pdf(unit, 0.9, u), 0.9 - 9 * u, 0.9 + 9 * u, epsabs=1e-13)

    assert bag.pass_probability(offset, -0.45, 0.45) == pytest.approx(average, rel=1e-6)


def test_spread_is_the_law_of_propagation() -> None:
    """v_j² = (N + j) σ² + N² u² + u_s² + u_t², against a numerical sum over arrays."""
    pieces = np.arange(1, 500)
    model = error_model(pieces, **WORKED)
    for offset in (-1, 0, 1):
        expected = (pieces + offset) * 0.009**2 + pieces**2 * 0.009**2 / 50 + 0.03**2 + 0.02**2
        assert model.spread(offset) == pytest.approx(np.sqrt(expected))
