"""Decision rules and uncertainty against worked examples of the JCGM guides.

SOURCES
- JCGM 106:2012 (also OIML G 1-106), The role of measurement uncertainty in conformity assessment: examples quoted from
  memory (clause numbers too) and recomputed here by quadrature.
- JCGM 101:2008, 9.3, mass calibration, Table 6: quoted from memory and recomputed by simulation.
"""

import math

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import norm

from fulfil.weighing.error_model import ErrorModel, error_model


def measured(u: float) -> ErrorModel:
    """One thing measured with standard uncertainty u: a bag of one piece whose only error is the indication's."""
    return error_model(1, unit_weight_g=1.0, unit_weight_u_g=0.0, piece_sd_g=0.0, indication_u_g=u)


@pytest.mark.parametrize(
    ("value", "u", "lower", "upper", "quoted", "computed"),
    [
        (-5.47, 0.05, -math.inf, -5.40, 0.92, 0.91924),
        (509.7, 8.6, 490.0, math.inf, 0.99, 0.98901),
        (13.6, 1.8, 12.5, 16.3, 0.66, 0.66263),
    ],
)
def test_conformance_probability(
    value: float, u: float, lower: float, upper: float, quoted: float, computed: float
) -> None:
    """JCGM 106, 7.3.2 examples 1 (upper limit) and 2 (lower limit), 7.4 (both): p_c = Φ − Φ."""
    p = measured(u).pass_probability(0, lower - value, upper - value)

    assert p == pytest.approx(computed, abs=6e-6)
    assert round(p, 2) == quoted


def test_guarded_rejection() -> None:
    """JCGM 106, 8.3.3: speed limit 100 km/h, u 2 %: above 106.588 km/h it was exceeded with 99.9 % (quoted ≈ 107)."""
    shown = 106.588

    assert measured(0.02 * shown).pass_probability(0, 100 - shown, math.inf) == pytest.approx(0.999, abs=2e-6)


@pytest.mark.parametrize(
    ("guard", "consumer", "producer"),
    [(0.0, 0.018942, 0.037208), (0.02, 0.009878, 0.069027), (0.04, 0.004334, 0.114657), (0.08, 0.000469, 0.247670)],
)
def test_global_risks_of_resistors(guard: float, consumer: float, producer: float) -> None:
    """JCGM 106: 1500 Ω ± 0.2 Ω, process u 0.12 Ω, meter u 0.04 Ω; guard 0.02 Ω quoted as R_C 1 %, R_P 7 %.

    Consumer's risk: a wrong count leaves the shop; producer's risk: a right bag is counted again. P(accepted) is ours.
    """
    meter, half = measured(0.04), 0.2 - guard

    def accepted(true: float) -> float:
        return float(norm.pdf(true, 0, 0.12) * meter.pass_probability(0, -half - true, half - true))

    inside = quad(accepted, -0.2, 0.2, epsabs=1e-12)[0]
    outside = quad(accepted, 0.2, 1.2, epsabs=1e-12)[0] + quad(accepted, -1.2, -0.2, epsabs=1e-12)[0]
    in_tolerance = norm.cdf(0.2 / 0.12) - norm.cdf(-0.2 / 0.12)

    assert in_tolerance == pytest.approx(0.904419, abs=1e-6)
    assert outside == pytest.approx(consumer, abs=2e-6)
    assert in_tolerance - inside == pytest.approx(producer, abs=2e-6)


@pytest.mark.parametrize(("k", "false_accept"), [(2.0, 0.0227501), (1.64485, 0.05), (2.32635, 0.01), (3.09023, 0.001)])
def test_a_guard_band_of_k_u(k: float, false_accept: float) -> None:
    """A value k u inside one limit lies beyond it with at most 2.275 %, 5 %, 1 %, 0.1 % (computed)."""
    assert measured(1.0).pass_probability(0, k, math.inf) == pytest.approx(false_accept, abs=5e-7)


def test_simulation_finds_what_first_order_misses() -> None:
    """Mass calibration in air: simulated u .0754 mg and 95 % [1.0834, 1.3825] mg, first order only .0539 mg.

    This checks how the suite simulates (seeded NumPy draws), and shows why windows are confirmed by simulation and not
    by formula alone. 1,000,000 draws; limits to .002 mg.
    """
    rng, draws = np.random.default_rng(101), 1_000_000
    reference, added = rng.normal(100_000.0, 0.050, draws), rng.normal(1.234, 0.020, draws)
    air = rng.uniform(1.10, 1.30, draws)
    weight, standard = rng.uniform(7000, 9000, draws), rng.uniform(7950, 8050, draws)
    correction = (reference + added) * (1 + (air - 1.2) * (1 / weight - 1 / standard)) - 100_000
    low, high = np.quantile(correction, [0.025, 0.975])

    assert correction.mean() == pytest.approx(1.2341, abs=4e-4)
    assert correction.std() == pytest.approx(0.0754, abs=2e-4)
    assert (low, high) == pytest.approx((1.0834, 1.3825), abs=0.002)
    assert math.hypot(0.050, 0.020) == pytest.approx(0.0539, abs=5e-5)
