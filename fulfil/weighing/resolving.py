"""Whether some window holds both risks of a bag, and the largest count for which one does, by trying.

The rule is that of :mod:`fulfil.weighing.window`: the right bag must leave the two limits at their farthest reach with
a chance of at most the risk of sending it back. A guess from a formula lands within a few pieces; from there single
pieces are tried, so that what is answered holds and one piece more doesn't.

>>> from fulfil.weighing.error_model import error_model
>>> bag = error_model(94, unit_weight_g=0.9, unit_weight_u_g=0.009 / 50**0.5, piece_sd_g=0.009, indication_u_g=0.03,
...                   tare_u_g=0.02)
>>> is_resolvable(bag, 0.001, 0.005), is_resolvable(bag.with_pieces(95.0), 0.001, 0.005)
(True, False)
"""

from dataclasses import replace
from functools import lru_cache

import numpy as np

from fulfil.errors import WeighingRefused
from fulfil.weighing.error_model import MOST_PIECES, ErrorModel, Value, is_number
from fulfil.weighing.interval import Intervals
from fulfil.weighing.tails import ndtri

# Keeps rounding in the last digits of a limit from breaking a stated risk.
_HAIR = 1.0 + 1e-9


def is_resolvable(bag: ErrorModel, risk_pass: float, risk_reject: float) -> bool:
    """Whether some window holds both risks, without computing it; for a bag of single numbers."""
    _, z_pass, level_reject = _single_levels(risk_pass, risk_reject)
    return bool(resolves_at(bag, z_pass, level_reject))


def resolves_at(bag: ErrorModel, z_pass: Value, level_reject: Value, intervals: Intervals | None = None) -> Value:
    """Whether it is so at these levels, for single numbers and arrays; with a display's steps, wherever limits fall."""
    lost = 0.0
    if intervals is not None:
        # Limits on the steps of a display lie up to one interval inside of where they could.
        lost = intervals.at(bag.target_g + bag.unit_weight_g)
        rest = bag.arithmetic.maximum(bag.fixed_variance_g2 - intervals.at(bag.target_g) ** 2 / 12, 0.0)
        bag = replace(bag, is_own_sample=True, fixed_variance_g2=rest)
    reach_down = bag.unit_weight_g - z_pass * bag.spread(-1) - lost
    reach_up = bag.unit_weight_g - z_pass * bag.spread(1) - lost
    return bag.reject_probability(-reach_down, reach_up) <= level_reject


def exact_count(one: ErrorModel, guess: int, z_pass: float, level_reject: float, intervals: Intervals | None) -> int:
    """The largest count near a guess."""

    def resolves(pieces: float) -> bool:
        return bool(resolves_at(one.with_pieces(pieces), z_pass, level_reject, intervals))

    pieces = guess
    if intervals is not None and pieces > 0 and not resolves(float(pieces)):
        # The steps may cost many pieces: halving finds how many are left.
        enough, too_many = 0, pieces
        while too_many - enough > 1:
            middle = (enough + too_many) // 2
            enough, too_many = (middle, too_many) if resolves(float(middle)) else (enough, middle)
        return enough
    while pieces > 0 and not resolves(float(pieces)):
        pieces -= 1
    if pieces < guess:
        return pieces
    while pieces < MOST_PIECES and resolves(pieces + 1.0):
        pieces += 1
    return pieces


def exact_counts(
    one: ErrorModel, pieces: Value, z_pass: Value, level_reject: Value, intervals: Intervals | None
) -> Value:
    """The largest counts near guesses, an array."""

    def resolves(pieces: Value) -> Value:
        return resolves_at(one.with_pieces(pieces), z_pass, level_reject, intervals)

    if intervals is not None:
        enough, too_many = np.zeros_like(pieces), pieces + 1.0
        while (too_many - enough > 1).any():
            middle = np.maximum(np.floor((enough + too_many) / 2), 1.0)
            fits = resolves(middle) & (middle < too_many)
            enough, too_many = np.where(fits, middle, enough), np.where(fits, too_many, np.minimum(middle, too_many))
        pieces = enough
    too_many = (pieces > 0) & ~resolves(np.maximum(pieces, 1.0))
    while too_many.any():
        pieces = pieces - too_many
        too_many &= (pieces > 0) & ~resolves(np.maximum(pieces, 1.0))
    more = (pieces < MOST_PIECES) & resolves(pieces + 1.0)
    while more.any():
        pieces = pieces + more
        more &= (pieces < MOST_PIECES) & resolves(pieces + 1.0)
    return pieces.astype(np.int64)


def risk_levels(risk_pass: Value, risk_reject: Value) -> tuple[Value, Value, Value, bool]:
    """Normal quantiles z(1−α/2) and z(1−β) and the level α, each a hair on the safe side; whether both are numbers."""
    if is_number(risk_pass) and is_number(risk_reject):
        return (*_single_levels(float(risk_pass), float(risk_reject)), True)
    levels = []
    for name, risk in (("risk_pass", risk_pass), ("risk_reject", risk_reject)):
        array = np.asarray(risk, dtype=np.float64)
        bad = ~((array > 0.0) & (array < 0.5))
        if bad.any():
            raise WeighingRefused(f"use {name}", array[bad].flat[0], _RISK_EXPECTED)
        levels.append(array)
    return -ndtri(levels[1] / 2) * _HAIR, -ndtri(levels[0]) * _HAIR, levels[1] / _HAIR, False


@lru_cache(maxsize=256)
def quantile(risk: float) -> float:
    """The normal quantile z(1 − risk)."""
    return -float(ndtri(risk))


@lru_cache(maxsize=256)
def _single_levels(risk_pass: float, risk_reject: float) -> tuple[float, float, float]:
    for name, risk in (("risk_pass", risk_pass), ("risk_reject", risk_reject)):
        if not 0.0 < risk < 0.5:
            raise WeighingRefused(f"use {name}", risk, _RISK_EXPECTED)
    return quantile(risk_reject / 2) * _HAIR, quantile(risk_pass) * _HAIR, risk_reject / _HAIR


_RISK_EXPECTED = "a probability above 0 and below 0.5, such as 0.001 for one bag in a thousand"
