"""A scale: its class, intervals and errors, how sure one indication is, and the check that lets it be used.

Standard uncertainty of one indication, from what is known about the scale:

- the shop's own repeatability s_r (before rounding): u² = s_r² + d²/12;
- only its accuracy class: u² = MPE²/3 + d²/12, the maximum permissible error in service taken as a rectangular limit
  (JCGM 100:2008, 4.3.7). The MPE already covers repeatability and eccentric loading (OIML R 76-1, 3.6), so these are
  not added again; it excludes rounding, so d/√12 is (JCGM 100:2008, F.2.2.1).

Repeatability says nothing of an error that stays: non-linearity, eccentric loads, drift since the last adjustment. A
window has to hold for it. ``bias_share`` is the share of the error permitted in service that the shop allows for; it
enters windows as the standard uncertainty b = share × MPE, in squares (:meth:`Scale.window_u_g`). That is cautious for
any constant error up to b: of all errors within ± b, ± b itself has the largest variance, b², and a normal error of
that s.d. lets a wrong bag pass at least as often as the mean over + b and − b, since cosh x ≤ exp(x²/2) in the tail of
a normal. Where only the class is known, the MPE is in u already and the larger of the two counts.

A net weight that is the difference of two indications has two roundings (d²/6) and twice s_r²; an MPE applies to the
net value itself (R 76-1, 3.5.3.3) and enters once.

>>> bench = Scale("III", e_g=Decimal("0.1"), d_g=Decimal("0.1"), capacity_g=Decimal(600), repeatability_g=0.02)
>>> round(bench.indication_u_g(50.0), 4), round(bench.net_u_g(50.0), 4)
(0.0351, 0.0497)
>>> round(Scale("III", Decimal("0.1"), Decimal("0.1"), Decimal(600)).indication_u_g(50.0), 4)
0.0645

>>> allowing = Scale("III", Decimal("0.1"), Decimal("0.1"), Decimal(600), repeatability_g=0.02, bias_share=0.5)
>>> round(allowing.bias_g(50.0), 4), round(allowing.indication_u_g(50.0), 4), round(allowing.window_u_g(50.0), 4)
(0.05, 0.0351, 0.0611)

Limits: an error of span that is common to sample and bag cancels when both are weighed on one scale; the class route
makes no use of that and is cautious. Verification and use in trade are for the local weights-and-measures authority.
"""

import math
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal, TypeAlias

import numpy as np

from fulfil.errors import WeighingRefused
from fulfil.standards import nist_hb44, oiml_r76
from fulfil.standards.oiml_r76 import AccuracyClass
from fulfil.weighing.error_model import Value

ErrorRule: TypeAlias = Literal["OIML R 76", "NIST HB 44"]


@dataclass(frozen=True, slots=True)
class Scale:
    """What the plate and the record of a scale say; masses in g, exact.

    Raises:
        WeighingRefused: a class or interval that the standard doesn't know, d above e, or an impossible repeatability.
    """

    accuracy_class: AccuracyClass
    e_g: Decimal
    """Verification scale interval."""
    d_g: Decimal
    """Actual scale interval: the last step of the display."""
    capacity_g: Decimal
    """Max: the heaviest gross load."""
    min_load_g: Decimal | None = None
    """Min from the plate; the class's own where the plate says nothing."""
    repeatability_g: float | None = None
    """s.d. of repeated weighings of one load before rounding, see :func:`repeatability_g`; None: not measured."""
    error_rule: ErrorRule = "OIML R 76"
    bias_share: float = 0.0
    """Share of the error permitted in service that windows allow for as an error that stays."""
    _steps: tuple[tuple[float, ...], tuple[float, ...]] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        if self.accuracy_class not in oiml_r76.CLASS_LIMITS:
            raise WeighingRefused("use accuracy class", self.accuracy_class, "I, II, III or IIII, as on the plate")
        least_load = oiml_r76.minimum_load_g(self.accuracy_class, self.e_g)
        if not oiml_r76.is_scale_interval(self.d_g) or self.d_g > self.e_g:
            raise WeighingRefused(
                "use scale interval d", f"{self.d_g} g", f"1, 2 or 5 times a power of ten, at most e = {self.e_g} g"
            )
        if not (self.capacity_g.is_finite() and self.capacity_g > least_load):
            raise WeighingRefused("use capacity", f"{self.capacity_g} g", f"more than Min = {least_load} g")
        spread = self.repeatability_g
        if spread is not None and not 0 <= spread < float(self.capacity_g):
            raise WeighingRefused("use repeatability", f"{spread} g", "0 g or more; weigh one load ten times")
        if not 0.0 <= self.bias_share <= 1.0:
            raise WeighingRefused("allow for a bias of", self.bias_share, "a share of the permitted error from 0 to 1")
        if self.min_load_g is None:
            object.__setattr__(self, "min_load_g", least_load)
        object.__setattr__(self, "_steps", self._error_steps())

    def _error_steps(self) -> tuple[tuple[float, ...], tuple[float, ...]]:
        if self.error_rule == "OIML R 76":
            lasts = [
                (last, 2 * error)
                for last, error in zip(oiml_r76.LAST_LOAD_E[self.accuracy_class], oiml_r76.ERRORS_E, strict=True)
            ]
            unit = self.e_g
        else:
            lasts = [(last, Decimal(error)) for last, error in nist_hb44.LAST_LOAD_D[self.accuracy_class]]
            unit = self.d_g
        ends = tuple(float(last * unit) for last, _ in lasts[:-1] if last is not None)
        return ends, tuple(float(error * unit) for _, error in lasts)

    def permissible_error_g(self, load_g: Decimal) -> Decimal:
        """The largest error allowed in service at a load: twice the R 76 verification error, or HB 44 maintenance."""
        if self.error_rule == "OIML R 76":
            return oiml_r76.maximum_permissible_error_g(self.accuracy_class, load_g, e_g=self.e_g, in_service=True)
        return nist_hb44.tolerance_g(self.accuracy_class, load_g, d_g=self.d_g)

    def indication_u_g(self, load_g: Value) -> Value:
        """Standard uncertainty of one indication, in g, rounding included; a float for a number, else an array."""
        return self._u_g(load_g, indications=1)

    def net_u_g(self, net_g: Value) -> Value:
        """Standard uncertainty of a net weight that is the difference of two indications, in g."""
        return self._u_g(net_g, indications=2)

    def bias_g(self, load_g: Value) -> Value:
        """The constant error at a load that windows allow for, either way, in g."""
        return self.bias_share * self._permitted_g(load_g)

    def window_u_g(self, load_g: Value) -> Value:
        """Standard uncertainty of one indication in a window, in g: as :meth:`indication_u_g`, and the bias."""
        return self._with_bias(self._u_g(load_g, indications=1), load_g)

    def net_window_u_g(self, net_g: Value) -> Value:
        """Standard uncertainty of a net weight of two indications for what it is used on, in g, the bias once."""
        return self._with_bias(self._u_g(net_g, indications=2), net_g)

    def _with_bias(self, u_g: Value, load_g: Value) -> Value:
        if self.bias_share == 0.0:
            return u_g
        permitted = self._permitted_g(load_g)
        counted = 0.0 if self.repeatability_g is not None else 1.0 / 3.0
        return (u_g**2 + max(self.bias_share**2 - counted, 0.0) * permitted**2) ** 0.5

    def _permitted_g(self, load_g: Value) -> Value:
        ends, errors = self._steps
        if np.ndim(load_g) == 0:
            return errors[bisect_left(ends, float(load_g))]
        return np.asarray(errors)[np.searchsorted(ends, load_g)]

    def _u_g(self, load_g: Value, indications: int) -> Value:
        rounding = indications * float(self.d_g) ** 2 / 12
        if self.repeatability_g is not None:
            variance = indications * self.repeatability_g**2 + rounding
            return variance**0.5 if np.ndim(load_g) == 0 else np.full(np.shape(load_g), variance**0.5)
        return (self._permitted_g(load_g) ** 2 / 3 + rounding) ** 0.5

    def net_g(self, gross_g: Decimal, tare_g: Decimal = Decimal(0)) -> Decimal:
        """The exact net weight of a reading, or a refusal that says what to do at the bench.

        >>> Scale("III", Decimal("0.1"), Decimal("0.1"), Decimal(600)).net_g(Decimal("1.4"))
        Traceback (most recent call last):
            ...
        fulfil.errors.WeighingRefused: Cannot weigh net '1.4 g': expected at least the minimum load of 2.0 g; \
use a finer scale or count by hand.
        """
        for name, reading in (("gross", gross_g), ("tare", tare_g)):
            if not reading.is_finite():
                raise WeighingRefused(f"read {name}", f"{reading} g", "a number; wait for a steady reading")
        if tare_g < 0 or gross_g < 0:
            raise WeighingRefused(
                "weigh", f"{min(gross_g, tare_g)} g", "no negative reading; empty the pan and set the scale to zero"
            )
        if gross_g > self.capacity_g:
            raise WeighingRefused(
                "weigh gross", f"{gross_g} g", f"at most the capacity of {self.capacity_g} g; take a larger scale"
            )
        if gross_g % self.d_g:
            raise WeighingRefused(
                "weigh gross", f"{gross_g} g", f"a multiple of the scale interval {self.d_g} g; read the display again"
            )
        if tare_g > gross_g:
            raise WeighingRefused(
                "subtract tare", f"{tare_g} g", f"no more than the gross {gross_g} g; weigh the empty bag again"
            )
        net = gross_g - tare_g
        if self.min_load_g is not None and net < self.min_load_g:
            raise WeighingRefused(
                "weigh net",
                f"{net} g",
                f"at least the minimum load of {self.min_load_g} g; use a finer scale or count by hand",
            )
        return net


def repeatability_g(series: Sequence[Sequence[Decimal]], d_g: Decimal) -> float:
    """Pooled s.d. of repeated weighings, each inner sequence one load, with the rounding of the display taken out.

    s_r² = max(0, s² − d²/12): the indications already scatter by their rounding, which :class:`Scale` adds once.
    An answer of 0 says only that the scale is steadier than its display can show.

    >>> print(round(repeatability_g([[Decimal("50.1"), Decimal("50.0"), Decimal("50.2"), Decimal("50.1")]],
    ...                             Decimal("0.1")), 4))
    0.0764

    Raises:
        WeighingRefused: no series with at least two weighings.
    """
    squares, freedom = Decimal(0), 0
    for readings in series:
        if len(readings) > 1:
            mean = sum(readings, Decimal(0)) / len(readings)
            squares += sum(((reading - mean) ** 2 for reading in readings), Decimal(0))
            freedom += len(readings) - 1
    if freedom == 0:
        raise WeighingRefused("find repeatability from", f"{len(series)} series", "one load weighed at least twice")
    return math.sqrt(max(float(squares) / freedom - float(d_g) ** 2 / 12, 0.0))
