"""The 95th percentile over samples, against a Monte Carlo of its own, and windows that are chosen by it."""

from decimal import Decimal
from math import sqrt

import numpy as np
import pytest
from scipy.stats import norm, t

from fulfil.records.settings import Settings
from fulfil.weighing.error_model import error_model
from fulfil.weighing.scale import Scale
from fulfil.weighing.unit_weight import UnitWeight, from_group
from fulfil.weighing.window import count_window
from fulfil.weighing.worst_sample import held_by_worst, is_held_by_worst, worst_risks

SCALE = Scale("II", Decimal("0.1"), Decimal("0.01"), Decimal(3000), repeatability_g=0.02)
SCREW = from_group(45.0, 50, reading_u_g=0.03, relative_piece_sd=0.01)
N, LOW, HIGH = 80, Decimal("73.68"), Decimal("74.52")


def simulated(part: UnitWeight, freedom: float, seed: int) -> tuple[float, ...]:
    """Unit weights as they may be, each with its own chance to pass: the 95th percentiles, and the rounding exact."""
    rng = np.random.default_rng(seed)
    error = part.u_g * (rng.standard_normal(400_000) if np.isinf(freedom) else rng.standard_t(freedom, 400_000))
    low, high = float(LOW) - 0.005 - 2.1, float(HIGH) + 0.005 - 2.1

    def passes(pieces: int) -> np.ndarray:
        sd = sqrt(pieces * part.piece_sd_g**2 + 0.02**2 + SCALE.bias_g(70.0) ** 2 + 0.02**2)
        mean = pieces * (part.mean_g + error)
        return norm.cdf((high - mean) / sd) - norm.cdf((low - mean) / sd)

    return tuple(float(np.quantile(risk, 0.95)) for risk in (passes(N - 1), passes(N + 1), 1 - passes(N)))


@pytest.mark.parametrize("freedom", [float("inf"), 8.0])
def test_percentiles_are_those_of_a_simulation(freedom: float) -> None:
    """To 4 %: a quantile of 400,000 draws in the tail."""
    part = UnitWeight(0.9, SCREW.u_g, SCREW.piece_sd_g, 50, "group", "family prior", freedom)
    worst = worst_risks(N, LOW, HIGH, part, SCALE, tare_g=2.1, tare_u_g=0.02)
    assert (worst.p_pass_one_short, worst.p_pass_one_over, worst.p_reject) == pytest.approx(
        simulated(part, freedom, 5), rel=0.04
    )


def test_a_unit_weight_without_error_has_no_worst() -> None:
    """The mean and the percentile are one."""
    part = UnitWeight(0.9, 0.0, 0.009, 50, "group", "family prior")
    window = count_window(N, unit_weight_g=0.9, unit_weight_u_g=0.0, piece_sd_g=0.009,
                          indication_u_g=SCALE.window_u_g(74.1), tare_g=2.1, tare_u_g=0.02, d_g=0.01)  # fmt: skip
    low, high = (Decimal(f"{limit:.2f}") for limit in (window.lower_g, window.upper_g))
    worst = worst_risks(N, low, high, part, SCALE, tare_g=2.1, tare_u_g=0.02)
    assert worst.p_pass_one_short == pytest.approx(window.p_pass_one_short, rel=1e-6)
    assert worst.p_reject == pytest.approx(window.p_reject, rel=1e-6)


@pytest.mark.parametrize("pieces", [10, 40, 60, 70, 78])
def test_a_count_is_held_by_the_worst_where_a_window_for_it_is_found(pieces: int) -> None:
    """The closed rule against a search over windows that are made narrower step by step."""
    known = {"unit_weight_g": 0.9, "unit_weight_u_g": SCREW.u_g, "piece_sd_g": 0.009, "indication_u_g": 0.03,
             "tare_g": 2.1, "tare_u_g": 0.02}  # fmt: skip
    bag = error_model(pieces, **known)
    error = t.ppf(0.95, 1e9) * SCREW.u_g

    def found() -> bool:
        for down in np.linspace(0.2, 0.9, 141):
            for up in np.linspace(0.2, 0.9, 141):
                v = sqrt((pieces - 1) * 0.009**2 + 0.03**2 + 0.02**2)
                w = sqrt((pieces + 1) * 0.009**2 + 0.03**2 + 0.02**2)
                short = norm.sf((-down + 0.9 - (pieces - 1) * error) / v)
                over = norm.cdf((up - 0.9 + (pieces + 1) * error) / w)
                if short <= 1e-3 and over <= 1e-3 and bag.reject_probability(-down, up) <= 0.005:
                    return True
        return False

    assert is_held_by_worst(bag, float("inf"), risk_pass=1e-3, risk_reject=0.005) == found()


def test_a_window_is_made_narrower_until_its_worst_holds() -> None:
    """Where nothing narrower holds the other risk, there is none."""
    assert held_by_worst(lambda risk: risk, lambda risk: 5 * risk, 0.001) == 0.000125
    assert held_by_worst(lambda risk: risk if risk > 0.0005 else None, lambda risk: 5 * risk, 0.001) is None


def test_the_setting_takes_two_words() -> None:
    """And no third."""
    assert Settings(risks_held_by="95th percentile").risks_held_by == "95th percentile"
    with pytest.raises(ValueError, match="must be mean or 95th percentile"):
        Settings(risks_held_by="median")
