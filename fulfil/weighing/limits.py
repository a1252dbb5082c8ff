"""Window limits as a display can show them, and the risks of any pair of limits.

A display moves in steps of d, so a limit between two steps is never shown. Limits are rounded *inward*: the lower one
up, the upper one down to a multiple of d. A bag passes when its indication is at or between them, which are exactly
the indications that lie inside the real window. Inward rounding therefore gives nothing away, but an indication stands
for every load within half an interval of it: the loads that pass reach from ½ d below the printed lower limit to ½ d
above the upper one. :func:`risks_of_limits` with ``d_g`` counts that exactly, in place of the d²/12 in
``indication_u_g``, so the risks printed beside a window are the risks of the printed window.

>>> from fulfil.weighing.window import count_window
>>> part = dict(unit_weight_g=0.9, unit_weight_u_g=0.009 / 50**0.5, piece_sd_g=0.009, indication_u_g=0.03,
...             tare_g=2.1, tare_u_g=0.02)
>>> lower_g, upper_g = on_scale(count_window(50, **part), Decimal("0.1"))
>>> print(lower_g, upper_g)
46.7 47.5
>>> printed = risks_of_limits(50, lower_g, upper_g, **part, d_g=Decimal("0.1"))
>>> f"{printed.p_reject:.1e} {printed.p_pass_one_short:.1e} {printed.p_pass_one_over:.1e}"
'1.2e-06 5.2e-07 6.5e-07'

Limits: the tare's own rounding, if the bag was tared, belongs into ``tare_u_g`` and is taken as normal.
"""

from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import Literal, TypeAlias

import numpy as np

from fulfil.errors import WeighingRefused
from fulfil.weighing.error_model import ARRAY, SINGLE, ErrorModel, Value, error_model, is_number, must_broadcast
from fulfil.weighing.interval import IntervalGiven, checked_interval, without_rounding
from fulfil.weighing.resolving import quantile
from fulfil.weighing.window_types import CountWindow

Average: TypeAlias = Literal["fresh samples", "own sample"]

AVERAGE_WORDS: dict[Average, str] = {
    "fresh samples": "on average over fresh samples of this part",
    "own sample": "on average over what the true unit weight may be, given this part's own sample",
}
"""What a paper that states a risk says about it."""

_NANOGRAM = Decimal("1e-9")


@dataclass(frozen=True, slots=True)
class Risks:
    """Chances that a bag passes with two short, one short, the right count, one over and two over.

    Floats for single numbers, else arrays. A bag of one can't be two short: its chance is 0.
    """

    p_pass_two_short: Value
    p_pass_one_short: Value
    p_pass_right: Value
    p_pass_one_over: Value
    p_pass_two_over: Value
    p_reject: Value

    def hold(self, risk_pass: float, risk_reject: float) -> Value:
        """True where the chance of one short or over is at most ``risk_pass`` and of rejection ``risk_reject``."""
        return (
            (self.p_pass_one_short <= risk_pass) & (self.p_pass_one_over <= risk_pass) & (self.p_reject <= risk_reject)
        )


def on_scale(window: CountWindow, d_g: Decimal | float) -> tuple[Decimal, Decimal]:
    """The window's limits as gross indications of a scale with interval ``d_g``, rounded inward; exact.

    A limit counts as lying on a multiple of d when it is within a nanogram of it.

    Raises:
        WeighingRefused: no indication of this scale lies inside the window.
    """
    if np.ndim(window.lower_g) or np.ndim(window.upper_g):
        raise WeighingRefused("show a window of", f"shape {np.shape(window.lower_g)}", "one bag at a time")
    (step_g,) = checked_interval(d_g).steps_g
    step = d_g if isinstance(d_g, Decimal) else Decimal(repr(step_g))
    lower = _multiple(window.lower_g, step, ROUND_CEILING)
    upper = _multiple(window.upper_g, step, ROUND_FLOOR)
    if lower > upper:
        raise WeighingRefused(
            "show a window of",
            f"{window.lower_g:.6g} g to {window.upper_g:.6g} g",
            f"at least one multiple of {d_g} g inside; use a finer scale or count by hand",
        )
    return lower, upper


def printed_limits(
    bag: ErrorModel, window: CountWindow, d_g: Decimal, *, risk_pass: float, risk_reject: float
) -> tuple[Decimal, Decimal, Risks] | None:
    """Limits on the display that hold both risks once rounding is counted exactly, with those risks; None if none do.

    First the window rounded inward; if rounding spoils a risk, the widest limits at which one piece off still passes
    with at most ``risk_pass``. The risks are averaged over the part's own sample. For a bag of single numbers.
    """
    d, target = float(d_g), bag.target_g
    exact = without_rounding(replace(bag, is_own_sample=True), d)

    def holding(lower_g: float, upper_g: float) -> tuple[Decimal, Decimal, Risks] | None:
        lower, upper = _multiple(lower_g, d_g, ROUND_CEILING), _multiple(upper_g, d_g, ROUND_FLOOR)
        if lower > upper:
            return None
        risks = risks_between(exact, float(lower) - d / 2 - target, float(upper) + d / 2 - target)
        return (lower, upper, risks) if risks.hold(risk_pass, risk_reject) else None

    printed = holding(window.lower_g, window.upper_g)
    if printed is None:
        z_pass = quantile(risk_pass)
        reach_down = bag.unit_weight_g - z_pass * exact.spread(-1) - d / 2
        reach_up = bag.unit_weight_g - z_pass * exact.spread(1) - d / 2
        printed = holding(target - reach_down, target + reach_up)
    return printed


def risks_of_limits(
    pieces: Value,
    lower_g: Value,
    upper_g: Value,
    *,
    unit_weight_g: Value,
    unit_weight_u_g: Value,
    piece_sd_g: Value,
    indication_u_g: Value,
    tare_g: Value = 0.0,
    tare_u_g: Value = 0.0,
    d_g: IntervalGiven | None = None,
    averaged_over: Average = "fresh samples",
    unit_weight_error_g: Value = None,
) -> Risks:
    """The risks of accepting gross weights from ``lower_g`` to ``upper_g``; other arguments as in ``count_window``.

    Args:
        pieces: pieces that should be in the bag.
        lower_g: lower limit, gross.
        upper_g: upper limit, gross.
        unit_weight_g: see :func:`fulfil.weighing.window.count_window`, like the next five.
        unit_weight_u_g: standard uncertainty of the unit weight.
        piece_sd_g: piece-to-piece standard deviation.
        indication_u_g: standard uncertainty of the weighing, rounding included.
        tare_g: expected mass of the empty bag.
        tare_u_g: its standard uncertainty.
        d_g: the scale interval, or pairs of (up to g, d g); given, the limits are indications, and rounding is counted
            exactly.
        averaged_over: "fresh samples" or this part's "own sample", see :mod:`fulfil.weighing.error_model`.
        unit_weight_error_g: the true unit weight less the one in use; given, nothing is averaged: the risks are those
            of a part whose unit weight is wrong by this much.

    Raises:
        QuantityRefused: pieces below 1 or not whole.
        WeighingRefused: a mass that can't be, limits that are no numbers or the wrong way round, shapes that don't
            broadcast, an interval that no scale has, another word for the average.
    """
    if averaged_over not in AVERAGE_WORDS:
        raise WeighingRefused("average risks over", averaged_over, " or ".join(f"'{one}'" for one in AVERAGE_WORDS))
    must_broadcast({"pieces": pieces, "lower limit": lower_g, "upper limit": upper_g, "unit weight": unit_weight_g,
                    "unit weight error": 0.0 if unit_weight_error_g is None else unit_weight_error_g})  # fmt: skip
    bag = error_model(
        pieces,
        unit_weight_g=unit_weight_g,
        unit_weight_u_g=unit_weight_u_g,
        piece_sd_g=piece_sd_g,
        indication_u_g=indication_u_g,
        tare_g=tare_g,
        tare_u_g=tare_u_g,
    )
    lower, upper = _limits(lower_g, upper_g)
    if unit_weight_error_g is not None and not np.all(np.isfinite(np.asarray(unit_weight_error_g, dtype=np.float64))):
        raise WeighingRefused("use unit weight error", f"{unit_weight_error_g} g", "a number, below 0 or above")
    is_single = isinstance(lower, float) and isinstance(upper, float) and bag.arithmetic is SINGLE
    if not (is_single and np.ndim(unit_weight_error_g) == 0):
        bag = replace(bag, arithmetic=ARRAY)
    bag = replace(bag, is_own_sample=averaged_over == "own sample")
    if d_g is None:
        return risks_between(bag, lower - bag.target_g, upper - bag.target_g, unit_weight_error_g=unit_weight_error_g)
    intervals = checked_interval(d_g)
    exact = without_rounding(bag, intervals.at(bag.target_g))
    low, high = lower - intervals.at(lower) / 2, upper + intervals.at(upper) / 2
    return risks_between(exact, low - bag.target_g, high - bag.target_g, unit_weight_error_g=unit_weight_error_g)


def risks_between(bag: ErrorModel, low_g: Value, high_g: Value, *, unit_weight_error_g: Value = None) -> Risks:
    """As :func:`risks_of_limits`, for deviations from the target of a bag whose error model is known."""
    error = 0.0
    if unit_weight_error_g is not None:
        bag, error = replace(bag, unit_weight_u_g=0.0), unit_weight_error_g

    def passes(offset: int) -> Value:
        drift = (bag.pieces + offset) * error
        return bag.pass_probability(offset, low_g - drift, high_g - drift)

    drift = bag.pieces * error
    rejects = bag.reject_probability(low_g - drift, high_g - drift)
    return Risks(passes(-2), passes(-1), 1.0 - rejects, passes(1), passes(2), rejects)


def _multiple(limit_g: float, d_g: Decimal, rounding: str) -> Decimal:
    # Through nanograms: binary fractions of a decimal limit must not cost a whole interval.
    return (Decimal(limit_g).quantize(_NANOGRAM) / d_g).to_integral_value(rounding) * d_g


def _limits(lower_g: Value, upper_g: Value) -> tuple[Value, Value]:
    """Both limits as floats or float64 arrays, finite and in order."""
    limits = []
    for name, limit_g in (("lower", lower_g), ("upper", upper_g)):
        try:
            limit = float(limit_g) if is_number(limit_g) else np.asarray(limit_g).astype(np.float64)
        except (TypeError, ValueError):
            raise WeighingRefused(f"use {name} limit", f"{limit_g} g", "a mass in g") from None
        if not np.all(np.isfinite(limit)):
            raise WeighingRefused(f"use {name} limit", f"{limit_g} g", "a mass in g, no other than a number")
        limits.append(limit)
    if np.any(np.asarray(limits[0]) > np.asarray(limits[1])):
        raise WeighingRefused("accept weights between limits", f"{lower_g} g to {upper_g} g", "the lower one first")
    return limits[0], limits[1]
