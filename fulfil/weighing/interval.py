"""The steps in which a scale shows masses: one interval d, or several by load, and limits that lie on a step.

A multi-interval scale has one weighing range divided into partial ranges, each with its own interval that holds up to
the range's end (OIML R 76-1:2006, T.3.2.6; Directive 2014/31/EU, Annex I, 3.2; clause numbers quoted from memory). It
is given as pairs (up to g, d g); a load on a range's end belongs to that range.

>>> bench = checked_interval([(300, 0.1), (600, 0.2)])
>>> bench.at(299.96), bench.at(300), bench.at(300.05)
(0.1, 0.1, 0.2)
>>> float(bench.up(46.63)), float(bench.down(300.39))
(46.7, 300.2)
>>> checked_interval(0)
Traceback (most recent call last):
    ...
fulfil.errors.WeighingRefused: Cannot use scale interval d '0': expected 1, 2 or 5 times a power of ten in g, or pairs \
of (up to g, d g) in rising order.

Limits: zero-tracking and extended displays aren't modelled; an indication is the step nearest to the load.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal, InvalidOperation
from itertools import pairwise
from typing import Any, TypeAlias

import numpy as np

from fulfil.errors import WeighingRefused
from fulfil.standards.oiml_r76 import is_scale_interval
from fulfil.weighing.error_model import ErrorModel, Value, is_number

Mass: TypeAlias = Decimal | float
IntervalGiven: TypeAlias = Mass | Sequence[tuple[Mass, Mass]]

# Half a nanogram: binary fractions of a decimal limit must not cost a whole interval.
_HAIR_G = 0.5e-9
_EXPECTED = "1, 2 or 5 times a power of ten in g, or pairs of (up to g, d g) in rising order"


@dataclass(frozen=True, slots=True)
class Intervals:
    """Scale intervals by load, in g: ``steps_g[i]`` holds up to ``ends_g[i]``, the last one for all above."""

    ends_g: tuple[float, ...]
    steps_g: tuple[float, ...]

    def at(self, load_g: Value) -> Value:
        """The interval at a load; a float for a number, else an array."""
        if len(self.steps_g) == 1 and np.ndim(load_g) == 0:
            return self.steps_g[0]
        found = np.asarray(self.steps_g)[np.searchsorted(self.ends_g, np.asarray(load_g) - _HAIR_G)]
        return float(found) if np.ndim(load_g) == 0 else found

    def up(self, load_g: Value) -> Value:
        """The lowest step at or above a load."""
        step = self.at(load_g)
        return np.round(np.ceil((load_g - _HAIR_G) / step) * step, 9)

    def down(self, load_g: Value) -> Value:
        """The highest step at or below a load."""
        step = self.at(load_g)
        return np.round(np.floor((load_g + _HAIR_G) / step) * step, 9)

    def nearest(self, load_g: Value) -> Value:
        """What the scale shows for a load."""
        step = self.at(load_g)
        return np.round(np.rint(load_g / step) * step, 9)


def checked_interval(d_g: IntervalGiven) -> Intervals:
    """The interval as it was given, checked.

    Raises:
        WeighingRefused: no number, zero, no 1, 2 or 5 × 10^k, or ranges that don't rise or don't end on their steps.
    """
    if is_number(d_g):
        return Intervals((), (float(_step(d_g, d_g)),))
    pairs = _pairs(d_g)
    ends = [_decimal(end, d_g) for end, _ in pairs]
    steps = [_step(step, d_g) for _, step in pairs]
    rises = all(a < b for a, b in pairwise(ends)) and steps == sorted(steps) and ends[0] > 0
    on_steps = rises and all(end % step == 0 for end, step in zip(ends, steps, strict=True))
    on_next = rises and all(end % step == 0 for end, step in zip(ends, steps[1:], strict=False))
    if not (rises and on_steps and on_next):
        raise WeighingRefused("use scale interval d", d_g, _EXPECTED)
    return Intervals(tuple(map(float, ends[:-1])), tuple(map(float, steps)))


def without_rounding(bag: ErrorModel, d_g: Value) -> ErrorModel:
    """The bag with the rounding d²/12 of one indication taken out of its variance."""
    rest: Any = bag.fixed_variance_g2 - d_g**2 / 12
    # Some slack: d/√12 typed with four digits is still the rounding.
    is_short = rest < -1e-3 * d_g**2 / 12
    if np.any(is_short):
        widest = float(np.max(np.where(is_short, d_g, 0.0)))
        raise WeighingRefused(
            "count the rounding of a scale with d",
            f"{widest:g} g",
            f"an indication uncertainty of at least d/√12 = {widest / 12**0.5:.3g} g",
        )
    return replace(bag, fixed_variance_g2=bag.arithmetic.maximum(rest, 0.0))


def _pairs(d_g: Any) -> list[tuple[Any, Any]]:
    try:
        pairs = [(end, step) for end, step in d_g]
    except (TypeError, ValueError):
        raise WeighingRefused("use scale interval d", d_g, _EXPECTED) from None
    if not pairs:
        raise WeighingRefused("use scale interval d", d_g, _EXPECTED)
    return pairs


def _step(step: Any, given: Any) -> Decimal:
    number = _decimal(step, given)
    if not is_scale_interval(number):
        raise WeighingRefused("use scale interval d", given, _EXPECTED)
    return number


def _decimal(mass: Any, given: Any) -> Decimal:
    try:
        # A float says what its shortest digits say: 0.1 is a tenth.
        number = mass if isinstance(mass, Decimal) else Decimal(repr(float(mass)))
    except (TypeError, ValueError, InvalidOperation):
        raise WeighingRefused("use scale interval d", given, _EXPECTED) from None
    if not number.is_finite():
        raise WeighingRefused("use scale interval d", given, _EXPECTED)
    return number
