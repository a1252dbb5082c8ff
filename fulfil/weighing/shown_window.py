"""Windows for a display: limits on its steps, and the risks of exactly these limits, for many bags at once.

The limits are the real window's rounded inward. Where rounding spoils a risk, the widest limits at which one piece off
still passes with at most its risk; where these don't hold the other one, the bag isn't resolvable and its limits are
the window's rounded inward, or the step nearest to the target where none lies inside. Risks are averaged over the
part's own sample, since limits that are printed keep their place (:mod:`fulfil.weighing.error_model`).
:func:`fulfil.weighing.limits.printed_limits` is the same rule for one bag of a plan, in exact decimals.
"""

from dataclasses import dataclass, replace

import numpy as np

from fulfil.weighing.error_model import ARRAY, ErrorModel, Value
from fulfil.weighing.interval import Intervals, without_rounding


@dataclass(frozen=True, slots=True)
class Shown:
    """Limits as indications in g, gross, their risks, and whether these hold."""

    lower_g: Value
    upper_g: Value
    p_reject: Value
    p_pass_one_short: Value
    p_pass_one_over: Value
    holds: Value


def shown(
    bag: ErrorModel,
    lower_g: Value,
    upper_g: Value,
    intervals: Intervals,
    *,
    z_pass: Value,
    risk_pass: Value,
    risk_reject: Value,
) -> Shown:
    """The limits that a display can show for a real window, gross; arrays that broadcast."""
    target = np.asarray(bag.target_g)
    exact = exact_of(bag, intervals)
    half_step = np.asarray(intervals.at(target)) / 2

    def found(lower: Value, upper: Value) -> Shown:
        low, high = intervals.up(np.asarray(lower)), intervals.down(np.asarray(upper))
        below = low - np.asarray(intervals.at(low)) / 2 - target
        above = high + np.asarray(intervals.at(high)) / 2 - target
        reject = exact.reject_probability(below, above)
        short, over = exact.pass_probability(-1, below, above), exact.pass_probability(1, below, above)
        holds = (low <= high) & (np.maximum(short, over) <= risk_pass) & (reject <= risk_reject)
        return Shown(low, high, reject, short, over, holds)

    inward = found(lower_g, upper_g)
    if inward.holds.all():
        return inward
    is_empty = inward.lower_g > inward.upper_g
    if is_empty.any():
        nearest = intervals.nearest(target)
        single = found(nearest, nearest)
        inward = _chosen(is_empty, replace(single, holds=single.holds & ~is_empty), inward)
    reach_down = bag.unit_weight_g - z_pass * exact.spread(-1) - half_step
    reach_up = bag.unit_weight_g - z_pass * exact.spread(1) - half_step
    widest = found(target - reach_down, target + reach_up)
    return _chosen(~inward.holds & widest.holds, widest, inward)


def exact_of(bag: ErrorModel, intervals: Intervals) -> ErrorModel:
    """The bag averaged over its own sample, without the rounding, which the limits count exactly."""
    own = replace(bag, is_own_sample=True, arithmetic=ARRAY)
    return without_rounding(own, np.asarray(intervals.at(np.asarray(bag.target_g))))


def _chosen(where: Value, yes: Shown, no: Shown) -> Shown:
    return Shown(*(np.where(where, getattr(yes, name), getattr(no, name)) for name in Shown.__dataclass_fields__))
