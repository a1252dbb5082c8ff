"""Limits on a display: inward rounding, and risks of the limits as printed."""

import math
from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.stats import norm

from fulfil.errors import WeighingRefused
from fulfil.weighing.error_model import error_model
from fulfil.weighing.limits import on_scale, printed_limits, risks_of_limits
from fulfil.weighing.window import count_window, window_of

PART: dict[str, Any] = {
    "unit_weight_g": 0.9,
    "unit_weight_u_g": 0.009 / math.sqrt(50),
    "piece_sd_g": 0.009,
    "indication_u_g": 0.04,
    "tare_g": 2.1,
    "tare_u_g": 0.02,
}
D = Decimal("0.1")


@given(pieces=st.integers(1, 90), d=st.sampled_from(["0.001", "0.002", "0.05", "0.1", "0.2"]))
def test_printed_limits_are_the_outermost_indications_inside(pieces: int, d: str) -> None:
    """Both printed limits lie inside the window and on the display's steps; the next step outwards lies outside."""
    interval = Decimal(d)
    window = count_window(pieces, **PART)
    lower, upper = on_scale(window, interval)

    assert lower % interval == 0 == upper % interval
    assert window.lower_g - 1e-9 <= lower <= upper <= window.upper_g + 1e-9
    assert lower - interval < window.lower_g
    assert upper + interval > window.upper_g


def test_a_limit_on_a_step_stays_on_it() -> None:
    """0.1 + 0.2 is a hair above 0.3 in binary; the printed limit is 0.3 all the same."""
    window = count_window(100, **PART)
    shifted = type(window)(1.0, 0.1 + 0.2, 1.7, 0.0, 0.0, 0.0, True)

    assert on_scale(shifted, D) == (Decimal("0.3"), Decimal("1.7"))


def test_a_window_between_two_steps_is_refused() -> None:
    """No indication of a 5 g display lies in a window of 1 g: the sentence says to use a finer scale."""
    with pytest.raises(WeighingRefused, match=r"Cannot show a window of '46.6.* g to 47.5.* g'.*use a finer scale"):
        on_scale(count_window(50, **PART), Decimal(5))


@pytest.mark.parametrize("pieces", [1, 40, 80])
def test_risks_of_printed_limits_count_the_rounding_exactly(pieces: int) -> None:
    """Against summing the chance of every indication between the limits, one by one (scipy)."""
    lower, upper = on_scale(count_window(pieces, **PART), D)
    risks = risks_of_limits(pieces, lower, upper, **PART, d_g=D)
    for offset, stated in ((-1, risks.p_pass_one_short), (0, risks.p_pass_right), (1, risks.p_pass_one_over)):
        spread = error_model(pieces, **(PART | {"indication_u_g": math.sqrt(0.04**2 - 0.1**2 / 12)})).spread(offset)
        gross = norm((pieces + offset) * 0.9 + 2.1, spread)
        steps = [lower + i * D for i in range(int((upper - lower) / D) + 1)]
        summed = sum(gross.cdf(float(step) + 0.05) - gross.cdf(float(step) - 0.05) for step in steps)

        assert stated == pytest.approx(summed, rel=1e-6, abs=1e-14)


def test_half_a_display_step_that_isn_t_in_the_uncertainty_is_refused() -> None:
    """An indication can't be surer than its rounding: d/√12."""
    with pytest.raises(WeighingRefused, match=r"at least d/√12 = 0.0289 g"):
        risks_of_limits(50, 46.7, 47.5, **(PART | {"indication_u_g": 0.02}), d_g=0.1)


@pytest.mark.parametrize("pieces", [5, 60])
def test_risks_with_a_known_error_average_to_the_stated_ones(pieces: int) -> None:
    """The chance for a unit weight that is off, averaged over N(0, u²), is the chance over the part's own sample."""
    u = PART["unit_weight_u_g"]
    window = count_window(pieces, **PART)

    def passes(error: float) -> float:
        risks = risks_of_limits(pieces, window.lower_g, window.upper_g, **PART, unit_weight_error_g=error)
        return float(risks.p_pass_one_over * norm.pdf(error, 0, u))

    average, _ = quad(passes, -9 * u, 9 * u, epsabs=1e-14)
    stated = risks_of_limits(pieces, window.lower_g, window.upper_g, **PART, averaged_over="own sample")

    assert stated.p_pass_one_over == pytest.approx(average, rel=1e-6, abs=1e-13)


def test_risks_from_two_short_to_two_over_are_ordered() -> None:
    """Two pieces off pass more rarely than one; arrays give arrays."""
    pieces = np.array([1, 2, 50, 94])
    windows = count_window(pieces, **PART)
    risks = risks_of_limits(pieces, windows.lower_g, windows.upper_g, **PART)

    assert (risks.p_pass_two_short <= risks.p_pass_one_short).all()
    assert (risks.p_pass_two_over <= risks.p_pass_one_over).all()
    assert risks.p_pass_two_short[0] == 0.0
    assert risks.p_pass_right == pytest.approx(1 - risks.p_reject)


@given(
    unit=st.floats(0.3, 50),
    c=st.floats(0.001, 0.05),
    sample=st.integers(5, 200),
    pieces=st.integers(1, 300),
    tare=st.floats(0, 5),
)
def test_printed_limits_hold_both_risks_or_there_are_none(
    unit: float, c: float, sample: int, pieces: int, tare: float
) -> None:
    """What is printed keeps the stated risks, rounding and the part's own sample included."""
    part: dict[str, Any] = {"unit_weight_g": unit, "unit_weight_u_g": c * unit / sample**0.5, "piece_sd_g": c * unit,
            "indication_u_g": 0.04, "tare_g": tare, "tare_u_g": 0.02}  # fmt: skip
    bag = error_model(pieces, **part)
    window = window_of(bag)
    printed = printed_limits(bag, window, D, risk_pass=0.001, risk_reject=0.005)
    assume(printed is not None)
    lower, upper, risks = printed
    again = risks_of_limits(pieces, lower, upper, **part, d_g=D, averaged_over="own sample")

    assert risks.hold(0.001, 0.005)
    assert again.p_pass_one_over == pytest.approx(risks.p_pass_one_over, rel=1e-6, abs=1e-15)
    assert again.p_reject == pytest.approx(risks.p_reject, rel=1e-6, abs=1e-15)
