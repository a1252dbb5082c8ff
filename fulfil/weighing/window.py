"""Acceptance windows for bags counted by weight, and the largest count a scale can resolve.

A bag passes when its gross weight lies inside the window. Two risks are stated: ``risk_pass``, the chance that a bag
with one piece short or over passes, and ``risk_reject``, the chance that a right bag is sent back. With the spreads
v_j of :mod:`fulfil.weighing.error_model` a limit may reach from the target at most::

    downwards  μ − z(1−β) v₋₁        upwards  μ − z(1−β) v₊₁        β = risk_pass

and *some* window holds both risks exactly when the right bag leaves these two limits with a chance of at most
α = ``risk_reject``. The tail beyond the far limit is left out of that rule (it makes the rule safe, and monotone in
the pieces); for risks up to 5 % it is below 1e-7. The reported probabilities contain both tails.

Where the window lies (half a unit weight is neither always safe nor always right):

- resolvable: the spare room is shared so that both sides have the same number of standard deviations to spare, but
  the window never grows past the point where a right bag is sent back once in a million: room beyond that would only
  hide wrong parts and slips of the tare. If no window symmetric about the target holds both risks, both limits lie at
  their farthest reach;
- not resolvable: half a unit weight, never more. The probabilities say which risk gives.

>>> window = count_window(50, unit_weight_g=0.9, unit_weight_u_g=0.009 / 50**0.5, piece_sd_g=0.009,
...                       indication_u_g=0.03, tare_g=2.1, tare_u_g=0.02)
>>> round(window.lower_g, 3), round(window.target_g, 3), round(window.upper_g, 3), window.resolvable
(46.665, 47.1, 47.535, True)
>>> largest_count(unit_weight_g=0.9, unit_weight_u_g=0.009 / 50**0.5, piece_sd_g=0.009,
...               indication_u_g=0.03, tare_u_g=0.02)
94

Limits: those of the error model. Risks are averaged over fresh samples; :func:`fulfil.weighing.limits.risks_of_limits`
gives them for a part's own sample, for a unit weight that is off by a stated amount, and for limits as printed. At the
largest count, with a sample of ten pieces or fewer, one piece over passes up to two and a half times as often given the
part's own sample; with a sample of fifty the difference is a tenth (``tests/benchmarks/monte_carlo_windows.py``).
"""

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Any, overload

import numpy as np

from fulfil.weighing.error_model import (
    ARRAY,
    MOST_PIECES,
    SINGLE,
    ErrorModel,
    Value,
    error_model,
    is_number,
    must_broadcast,
)
from fulfil.weighing.interval import IntervalGiven, Intervals, checked_interval, without_rounding
from fulfil.weighing.resolving import exact_count, exact_counts, risk_levels
from fulfil.weighing.shown_window import shown
from fulfil.weighing.tails import ndtri
from fulfil.weighing.window_types import (
    Arrays,
    ArrayWindow,
    CountWindow,
    Number,
    Numbers,
    SingleWindow,
    Wholes,
    as_frame,
    as_series,
    labels_of,
)

if TYPE_CHECKING:
    import pandas as pd

LEAST_RISK_REJECT = 1e-6
"""A window is never widened to make the risk of sending back a right bag smaller than this."""
_Z_LEAST_RISK = -float(ndtri(LEAST_RISK_REJECT / 2))

_NEVER_ZERO = 1e-200


@overload
def count_window(
    pieces: int,
    *,
    unit_weight_g: Number,
    unit_weight_u_g: Number,
    piece_sd_g: Number,
    indication_u_g: Number,
    tare_g: Number = ...,
    tare_u_g: Number = ...,
    risk_pass: Number = ...,
    risk_reject: Number = ...,
    d_g: IntervalGiven | None = ...,
) -> SingleWindow: ...


@overload
def count_window(
    pieces: Arrays,
    *,
    unit_weight_g: Arrays,
    unit_weight_u_g: Arrays,
    piece_sd_g: Arrays,
    indication_u_g: Arrays,
    tare_g: Arrays = ...,
    tare_u_g: Arrays = ...,
    risk_pass: Arrays = ...,
    risk_reject: Arrays = ...,
    d_g: IntervalGiven | None = ...,
) -> ArrayWindow: ...


@overload
def count_window(
    pieces: "pd.Series[Any]",
    *,
    unit_weight_g: Numbers,
    unit_weight_u_g: Numbers,
    piece_sd_g: Numbers,
    indication_u_g: Numbers,
    tare_g: Numbers = ...,
    tare_u_g: Numbers = ...,
    risk_pass: Numbers = ...,
    risk_reject: Numbers = ...,
    d_g: IntervalGiven | None = ...,
) -> "pd.DataFrame": ...


@overload
def count_window(
    pieces: Arrays,
    *,
    unit_weight_g: "pd.Series[Any]",
    unit_weight_u_g: Numbers,
    piece_sd_g: Numbers,
    indication_u_g: Numbers,
    tare_g: Numbers = ...,
    tare_u_g: Numbers = ...,
    risk_pass: Numbers = ...,
    risk_reject: Numbers = ...,
    d_g: IntervalGiven | None = ...,
) -> "pd.DataFrame": ...


def count_window(
    pieces: Value,
    *,
    unit_weight_g: Value,
    unit_weight_u_g: Value,
    piece_sd_g: Value,
    indication_u_g: Value,
    tare_g: Value = 0.0,
    tare_u_g: Value = 0.0,
    risk_pass: Value = 0.001,
    risk_reject: Value = 0.005,
    d_g: IntervalGiven | None = None,
) -> "CountWindow | pd.DataFrame":
    """The acceptance window of a bag of ``pieces``; every argument may be an array, they broadcast.

    Columns of a table (pandas series of one index) give a frame with that index, the window's fields as columns:

    >>> import pandas as pd
    >>> parts = pd.DataFrame({"mean_g": [0.9, 0.4], "u_g": [0.0013, 0.002]}, index=["BALL-3", "CAM-7"])
    >>> count_window(50, unit_weight_g=parts["mean_g"], unit_weight_u_g=parts["u_g"], piece_sd_g=0.009,
    ...              indication_u_g=0.03)[["lower_g", "upper_g", "resolvable"]].round(2)
            lower_g  upper_g  resolvable
    BALL-3    44.56    45.44        True
    CAM-7     19.80    20.20       False

    Give ``d_g`` for limits that a display shows: they lie on its steps, the risks are those of these limits with
    rounding counted exactly, averaged over the part's own sample, and ``resolvable`` says whether they hold. Without it
    the limits are real numbers; rounded to a display afterwards their risks are others (up to twice as large).

    >>> window = count_window(50, unit_weight_g=0.9, unit_weight_u_g=0.009 / 50**0.5, piece_sd_g=0.009,
    ...                       indication_u_g=0.03, tare_g=2.1, tare_u_g=0.02, d_g=0.1)
    >>> window.lower_g, window.upper_g, f"{window.p_reject:.1e}", window.resolvable
    (46.7, 47.5, '1.2e-06', True)

    Args:
        pieces: pieces that should be in the bag, whole, from 1.
        unit_weight_g: mean mass of one piece, above 0.
        unit_weight_u_g: its standard uncertainty.
        piece_sd_g: piece-to-piece standard deviation.
        indication_u_g: standard uncertainty of the weighing, rounding included.
        tare_g: expected mass of the empty bag; the limits are gross.
        tare_u_g: its standard uncertainty (for a bag that isn't tared: its bag-to-bag s.d.).
        risk_pass: largest chance that a bag one piece off passes, between 0 and 0.5.
        risk_reject: largest chance that a right bag is sent back, between 0 and 0.5.
        d_g: the scale interval in g, 1, 2 or 5 × 10^k, or pairs of (up to g, d g) for a multi-interval scale;
            ``indication_u_g`` is then at least d/√12.

    Raises:
        QuantityRefused: pieces below 1 or not whole.
        WeighingRefused: a mass that can't be, a risk outside (0, 0.5), shapes that don't broadcast, an interval that
            no scale has.
    """
    labels = labels_of(
        pieces, unit_weight_g, unit_weight_u_g, piece_sd_g, indication_u_g, tare_g, tare_u_g, risk_pass, risk_reject
    )
    bag = error_model(
        pieces,
        unit_weight_g=unit_weight_g,
        unit_weight_u_g=unit_weight_u_g,
        piece_sd_g=piece_sd_g,
        indication_u_g=indication_u_g,
        tare_g=tare_g,
        tare_u_g=tare_u_g,
    )
    if not (is_number(risk_pass) and is_number(risk_reject)):
        must_broadcast({"pieces and masses": bag.target_g, "risk_pass": risk_pass, "risk_reject": risk_reject})
    window = window_of(bag, risk_pass=risk_pass, risk_reject=risk_reject)
    if d_g is not None:
        window = _shown(bag, window, checked_interval(d_g), risk_pass, risk_reject)
    return window if labels is None else as_frame(window, labels)


def _shown(
    bag: ErrorModel, window: CountWindow, intervals: Intervals, risk_pass: Value, risk_reject: Value
) -> CountWindow:
    _, z_pass, _, is_single = risk_levels(risk_pass, risk_reject)
    on_display = shown(
        bag, window.lower_g, window.upper_g, intervals, z_pass=z_pass, risk_pass=risk_pass, risk_reject=risk_reject
    )
    values = [window.target_g, on_display.lower_g, on_display.upper_g, on_display.p_reject,
              on_display.p_pass_one_short, on_display.p_pass_one_over, on_display.holds]  # fmt: skip
    if bag.arithmetic is SINGLE and is_single:
        target, low, high, reject, short, over = map(float, values[:-1])
        return SingleWindow(target, low, high, reject, short, over, bool(values[-1]))
    return ArrayWindow(*np.broadcast_arrays(*values))


@overload
def largest_count(  # type: ignore[overload-overlap]  # the first that fits holds
    *,
    unit_weight_g: Number,
    unit_weight_u_g: Number,
    piece_sd_g: Number,
    indication_u_g: Number,
    tare_g: Number = ...,
    tare_u_g: Number = ...,
    risk_pass: Number = ...,
    risk_reject: Number = ...,
    d_g: IntervalGiven | None = ...,
) -> int: ...


@overload
def largest_count(
    *,
    unit_weight_g: Arrays,
    unit_weight_u_g: Arrays,
    piece_sd_g: Arrays,
    indication_u_g: Arrays,
    tare_g: Arrays = ...,
    tare_u_g: Arrays = ...,
    risk_pass: Arrays = ...,
    risk_reject: Arrays = ...,
    d_g: IntervalGiven | None = ...,
) -> Wholes: ...


@overload
def largest_count(
    *,
    unit_weight_g: "pd.Series[Any]",
    unit_weight_u_g: Numbers,
    piece_sd_g: Numbers,
    indication_u_g: Numbers,
    tare_g: Numbers = ...,
    tare_u_g: Numbers = ...,
    risk_pass: Numbers = ...,
    risk_reject: Numbers = ...,
    d_g: IntervalGiven | None = ...,
) -> "pd.Series[int]": ...


def largest_count(
    *,
    unit_weight_g: Value,
    unit_weight_u_g: Value,
    piece_sd_g: Value,
    indication_u_g: Value,
    tare_g: Value = 0.0,
    tare_u_g: Value = 0.0,
    risk_pass: Value = 0.001,
    risk_reject: Value = 0.005,
    d_g: IntervalGiven | None = None,
) -> Value:
    """The largest number of pieces for which both risks hold, 0 if none; arguments as in :func:`count_window`.

    With ``d_g`` they hold wherever the limits fall between the steps of the display, so that ``count_window`` with it
    may resolve a few pieces more. Every smaller number of pieces is resolvable too. At most 999 999 999 (pieces without
    scatter on a unit weight without uncertainty have no limit). An int for single numbers, a series for series, else an
    int64 array.
    """
    labels = labels_of(
        unit_weight_g, unit_weight_u_g, piece_sd_g, indication_u_g, tare_g, tare_u_g, risk_pass, risk_reject
    )
    one = error_model(
        1,
        unit_weight_g=unit_weight_g,
        unit_weight_u_g=unit_weight_u_g,
        piece_sd_g=piece_sd_g,
        indication_u_g=indication_u_g,
        tare_g=tare_g,
        tare_u_g=tare_u_g,
    )
    if not (is_number(risk_pass) and is_number(risk_reject)):
        must_broadcast({"masses": one.target_g, "risk_pass": risk_pass, "risk_reject": risk_reject})
    z_reject, z_pass, level_reject, is_single = risk_levels(risk_pass, risk_reject)
    if not is_single:
        one = replace(one, arithmetic=ARRAY)
    m = one.arithmetic
    intervals = None if d_g is None else checked_interval(d_g)
    if intervals is not None:
        without_rounding(one, intervals.steps_g[0])
    # N σ² + N² u² ≤ R, the rule with v₀ in place of v₋₁ and v₊₁, lands within a few pieces of the exact answer.
    room = (one.unit_weight_g / (z_reject + z_pass)) ** 2 - one.fixed_variance_g2
    room = m.maximum(room, 0.0)
    scatter = one.piece_sd_g**2
    root = m.sqrt(scatter**2 + 4.0 * one.unit_weight_u_g**2 * room)
    guess = m.minimum(2.0 * room / (scatter + root + _NEVER_ZERO), float(MOST_PIECES))
    if m is SINGLE:
        return exact_count(one, math.floor(guess), z_pass, level_reject, intervals)
    guess, *_ = np.broadcast_arrays(np.floor(guess), one.tare_g)
    counts = exact_counts(one, guess.copy(), z_pass, level_reject, intervals)
    return counts if labels is None else as_series(counts, labels)


def window_of(bag: ErrorModel, *, risk_pass: Value = 0.001, risk_reject: Value = 0.005) -> CountWindow:
    """The acceptance window of a bag whose error model is known; see :func:`count_window`."""
    z_reject, z_pass, level_reject, is_single = risk_levels(risk_pass, risk_reject)
    if not is_single:
        bag = replace(bag, arithmetic=ARRAY)
    m = bag.arithmetic
    unit, right, over = bag.unit_weight_g, bag.spread(0), bag.spread(1)
    reach_down, reach_up = unit - z_pass * bag.spread(-1), unit - z_pass * over
    is_even = z_reject * right <= reach_up
    is_resolvable = is_even | (bag.reject_probability(-reach_down, reach_up) <= level_reject)
    spare = (unit - z_reject * right - z_pass * over) / (right + over)
    widest = m.maximum(z_reject, _Z_LEAST_RISK)
    half = m.minimum(z_reject + spare, widest) * right
    unresolved = 0.5 * unit
    low = m.where(is_even, -half, m.where(is_resolvable, -reach_down, -unresolved))
    high = m.where(is_even, half, m.where(is_resolvable, reach_up, unresolved))
    target = bag.target_g
    values = (
        target,
        target + low,
        target + high,
        bag.reject_probability(low, high),
        bag.pass_probability(-1, low, high),
        bag.pass_probability(1, low, high),
        is_resolvable,
    )
    return SingleWindow(*values) if m is SINGLE else ArrayWindow(*np.broadcast_arrays(*values))
