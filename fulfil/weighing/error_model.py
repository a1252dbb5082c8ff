"""The error model of a counted bag: how far its net weight strays from the target, and the chance that it passes.

Call ``x`` the net weight of a bag that should hold N pieces of unit weight μ̂, and D = x − N μ̂ its deviation.
With N + j pieces in the bag, D is normal with mean j μ and variance::

    v_j² = (N + j) σ² + N² u²(μ̂) + u_s² + u_t²

where σ is the piece-to-piece standard deviation, u(μ̂) the standard uncertainty of the unit weight, u_s that of the
indication and u_t that of the tare: the law of propagation of uncertainty, JCGM 100:2008, 5.1.2, for the linear
model D = Σ m_i + e_s + e_t − N μ̂ with independent terms.

The worked bag: 50 pieces of 0.9 g (1 %), sample of 50, u_s 0.03 g, u_t 0.02 g:

>>> bag = error_model(50, unit_weight_g=0.9, unit_weight_u_g=0.009 / 50**0.5, piece_sd_g=0.009,
...                   indication_u_g=0.03, tare_u_g=0.02)
>>> round(bag.spread(0), 5)
0.09695
>>> f"{bag.pass_probability(-1, -0.45, 0.45):.3e}"
'1.569e-06'

Over what a probability is averaged: the unit weight's error is the same for every bag of a part, so "one bag in a
thousand" needs an "on average over". Two averages are offered.

- *Fresh samples*: the true unit weight is fixed, and every bag is judged with a sample of its own, inside limits that
  keep their distance from the target. This is the model above.
- *Own sample*: the limits are fixed as printed, and the true unit weight lies about this part's own estimate with its
  standard uncertainty (a flat prior; JCGM 106:2012, 6 and 7, judges conformity so). Then N² u² becomes (N + j)² u².
  It is the larger one for a piece over, the smaller one for a piece short, and matters for small samples: for 5 pieces
  of 5 % scatter and a sample of 5, the chance that one over passes is 0.07 % and 0.17 %; for 96 pieces of 1 % and a
  sample of 50, 0.095 % and 0.102 %.

Limits: normal errors; one piece s.d. for the whole bag.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any, NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from fulfil.errors import QuantityRefused, WeighingRefused
from fulfil.weighing.tails import ndtr

Value: TypeAlias = Any
"""A float when every input is a single number, else a float64 array of the broadcast shape."""

MOST_PIECES = 999_999_999
MOST_GRAMS = 1e12
_NEVER_ZERO = 1e-300
_ROOT_HALF = math.sqrt(0.5)


class Arithmetic(NamedTuple):
    """The five functions that single numbers and arrays do differently; the formulas are written once."""

    sqrt: Callable[[Value], Value]
    ndtr: Callable[[Value], Value]
    minimum: Callable[[Value, Value], Value]
    maximum: Callable[[Value, Value], Value]
    where: Callable[[Value, Value, Value], Value]


def _normal_cdf(z: float) -> float:
    return 0.5 * math.erfc(-z * _ROOT_HALF)


def _choose(condition: bool, yes: float, no: float) -> float:
    return yes if condition else no


SINGLE = Arithmetic(math.sqrt, _normal_cdf, min, max, _choose)
ARRAY = Arithmetic(np.sqrt, ndtr, np.minimum, np.maximum, np.where)


@dataclass(frozen=True, slots=True)
class ErrorModel:
    """The bag's pieces, its masses in g, and what doesn't depend on its pieces in g²."""

    arithmetic: Arithmetic
    pieces: Value
    loose_pieces: Value
    """Pieces whose scatter is independent of the unit weight: all of them, unless the sample itself is in the bag."""
    unit_weight_g: Value
    unit_weight_u_g: Value
    piece_sd_g: Value
    fixed_variance_g2: Value
    tare_g: Value
    is_own_sample: bool = False
    """True averages over what the true unit weight may be, False over fresh samples; see the head of this module."""

    @property
    def target_g(self) -> Value:
        """The expected gross weight, in g."""
        return self.pieces * self.unit_weight_g + self.tare_g

    def with_pieces(self, pieces: Value) -> "ErrorModel":
        """The same part in a bag of another number of pieces."""
        return replace(self, pieces=pieces, loose_pieces=pieces)

    def spread(self, offset: int) -> Value:
        """v_j, the standard deviation of D in g with ``offset`` pieces too many in the bag."""
        m = self.arithmetic
        loose = self.loose_pieces + offset
        if offset < 0:
            loose = m.maximum(loose, 0.0)
        uncertain = self.pieces + offset if self.is_own_sample else self.pieces
        shared = (uncertain * self.unit_weight_u_g) ** 2 + self.fixed_variance_g2
        return m.sqrt(loose * self.piece_sd_g**2 + shared + _NEVER_ZERO)

    def pass_probability(self, offset: int, low_g: Value, high_g: Value) -> Value:
        """The chance of ``low_g`` ≤ D ≤ ``high_g`` with ``offset`` pieces too many; 0 for fewer than none."""
        m = self.arithmetic
        spread = self.spread(offset)
        below = (low_g - offset * self.unit_weight_g) / spread
        above = (high_g - offset * self.unit_weight_g) / spread
        # The smaller tail keeps the digits of a small probability.
        mirrored = below + above > 0
        inside = m.ndtr(m.where(mirrored, -below, above)) - m.ndtr(m.where(mirrored, -above, below))
        inside = m.maximum(inside, 0.0)
        return inside if offset >= -1 else m.where(self.pieces + offset < 0, 0.0, inside)

    def reject_probability(self, low_g: Value, high_g: Value) -> Value:
        """The chance that the right bag falls outside ``low_g`` ≤ D ≤ ``high_g``."""
        m, spread = self.arithmetic, self.spread(0)
        return m.ndtr(low_g / spread) + m.ndtr(-high_g / spread)


def error_model(
    pieces: Value,
    *,
    unit_weight_g: Value,
    unit_weight_u_g: Value,
    piece_sd_g: Value,
    indication_u_g: Value,
    tare_g: Value = 0.0,
    tare_u_g: Value = 0.0,
) -> ErrorModel:
    """Check the numbers as they enter and return the model; all lengths of input broadcast.

    Raises:
        QuantityRefused: pieces below 1, above 999 999 999 or not whole.
        WeighingRefused: a mass that isn't a finite number, a unit weight not above 0 g, a negative s.d. or tare.
    """
    masses = (unit_weight_g, unit_weight_u_g, piece_sd_g, indication_u_g, tare_g, tare_u_g)
    is_single = is_number(pieces) and all(map(is_number, masses))
    if not is_single:
        must_broadcast({"pieces": pieces, **dict(zip(_EXPECTED, masses, strict=True))})
    whole = checked_pieces(pieces, is_single)
    unit, unit_u, piece_sd, indication_u, tare, tare_u = (
        checked_mass(mass, name, is_single) for mass, name in zip(masses, _EXPECTED, strict=True)
    )
    return ErrorModel(
        arithmetic=SINGLE if is_single else ARRAY,
        pieces=whole,
        loose_pieces=whole,
        unit_weight_g=unit,
        unit_weight_u_g=unit_u,
        piece_sd_g=piece_sd,
        fixed_variance_g2=indication_u**2 + tare_u**2,
        tare_g=tare,
    )


_EXPECTED = {
    "unit weight": "a mass above 0 g; count out a sample by hand and weigh it first",
    "unit weight uncertainty": "0 g or more; weigh the sample again if it isn't known",
    "piece s.d.": "0 g or more; weigh ten single pieces if it isn't known",
    "indication uncertainty": "0 g or more; take it from the scale's record",
    "tare": "0 g or more; weigh the empty bag, or zero the scale",
    "tare uncertainty": "0 g or more; weigh ten empty bags if it isn't known",
}


def is_number(value: object) -> bool:
    """True for one plain number (int, float, Decimal, or a NumPy scalar)."""
    return isinstance(value, int | float | Decimal | np.number)


def checked_mass(mass: Value, name: str, is_single: bool) -> Value:
    """``mass`` as a float or float64 array, finite and not negative (a unit weight: above 0 g)."""
    must_be_positive = name == "unit weight"
    if is_single:
        single = float(mass)
        if not (0.0 < single <= MOST_GRAMS or (single == 0.0 and not must_be_positive)):
            raise WeighingRefused(f"use {name}", f"{single} g", _EXPECTED[name])
        return single
    array = _as_array(mass, f"use {name}", _EXPECTED[name])
    bad = ~((array >= 0) & (array <= MOST_GRAMS)) | ((array == 0) & must_be_positive)
    if bad.any():
        raise WeighingRefused(_located(f"use {name}", mass, bad), f"{array[bad].flat[0]} g", _EXPECTED[name])
    return array


def checked_pieces(pieces: Value, is_single: bool) -> Value:
    """``pieces`` as a float or float64 array of whole numbers from 1 to 999 999 999."""
    expected = f"a whole number from 1 to {MOST_PIECES}"
    if is_single:
        single = float(pieces)
        if not (1 <= single <= MOST_PIECES and single == int(single)):
            raise QuantityRefused("count pieces", pieces, expected)
        return single
    array = _as_array(pieces, "count pieces", expected)
    with np.errstate(invalid="ignore"):
        bad = ~((array >= 1) & (array <= MOST_PIECES) & (array == np.floor(array)))
    if bad.any():
        raise QuantityRefused(_located("count pieces", pieces, bad), f"{array[bad].flat[0]:g}", expected)
    return array


def _located(attempted: str, given: object, bad: NDArray[np.bool_]) -> str:
    """What was tried, with the first place that is off: a series' own label, else the place counted from 0.

    >>> _located("use tare", [1.0, -1.0], np.array([False, True]))
    'use tare of element 1'
    """
    if not bad.ndim:
        return attempted
    place = np.unravel_index(int(np.argmax(bad)), bad.shape)
    labels = getattr(given, "index", None)
    if labels is None or callable(labels):
        return f"{attempted} of element {', '.join(map(str, place))}"
    return f"{attempted} of row {labels[int(place[0])]}"


def must_broadcast(named: Mapping[str, Value]) -> None:
    """Refuse arrays whose shapes don't go together, by their names.

    Raises:
        WeighingRefused: they don't broadcast.
    """
    shapes = {name: np.shape(value) for name, value in named.items() if np.ndim(value)}
    try:
        np.broadcast_shapes(*shapes.values())
    except ValueError:
        listed = ", ".join(f"{name} {shape}" for name, shape in shapes.items())
        raise WeighingRefused("use arrays of the shapes", listed, "single numbers, or shapes that broadcast") from None


def _as_array(value: Value, attempted: str, expected: str) -> Value:
    array = np.asarray(value)
    if array.dtype.kind not in "iufO":
        raise WeighingRefused(attempted, value, expected)
    try:
        return array.astype(np.float64)
    except (TypeError, ValueError) as error:
        raise WeighingRefused(attempted, value, expected) from error
