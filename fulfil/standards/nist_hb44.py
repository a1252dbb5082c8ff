"""NIST Handbook 44, section 2.20 Scales: tolerances in scale divisions, recommended minimum loads, counting rules.

Maintenance tolerances (2.20, Table 6), the load m counted in scale divisions d; acceptance tolerances are half of them
(T.N.2, T.N.3). Class III acceptance, ±1.0 d at 1 000 d, ±1.5 d at 3 000 d and ±2.5 d above 4 000 d, agrees with two
secondary sources; the other columns and the clause numbers of the counting rules are quoted from memory.

=========  ===========  ===========  ==========  ==========
tolerance  class I      class II     class III   class IIII
=========  ===========  ===========  ==========  ==========
1 d        to 50 000    to 5 000     to 500      to 50
2 d        to 200 000   to 20 000    to 2 000    to 200
3 d        above        above        to 4 000    to 400
5 d                                  above       above
=========  ===========  ===========  ==========  ==========

Class III L: 1 d to 500 d, 2 d to 1 000 d, then 1 d more for each further 500 d or part of it.

>>> from decimal import Decimal
>>> tolerance_g("III", Decimal(500), d_g=Decimal("0.1"))
Decimal('0.5')
>>> tolerance_g("III", Decimal(500), d_g=Decimal("0.1"), acceptance=True)
Decimal('0.25')

A scale with a counting feature for use at a counter is marked "The counting feature is not legal for trade"; only the
prescription scales of class I and II are excepted (quoted from memory). Local weights-and-measures law governs.
"""

from decimal import ROUND_CEILING, Decimal
from typing import Literal, TypeAlias

from fulfil.errors import QuantityRefused, WeighingRefused

AccuracyClass: TypeAlias = Literal["I", "II", "III", "III L", "IIII"]

LAST_LOAD_D: dict[AccuracyClass, tuple[tuple[int | None, int], ...]] = {
    "I": ((50_000, 1), (200_000, 2), (None, 3)),
    "II": ((5_000, 1), (20_000, 2), (None, 3)),
    "III": ((500, 1), (2_000, 2), (4_000, 3), (None, 5)),
    "IIII": ((50, 1), (200, 2), (400, 3), (None, 5)),
}
"""Upper end of the load in d (inclusive) and maintenance tolerance in d; class III L has a rule in place of a row."""

MINIMUM_LOAD_D: dict[AccuracyClass, int] = {"I": 100, "II": 20, "III": 20, "III L": 50, "IIII": 10}
"""Recommended minimum load in d (2.20, Table 8; quoted from memory); class II with d of 0.1 g or more has 50 d."""

LEAST_PIECE_E = 3
"""A prescription scale takes no unit weight of a piece lighter than 3 e (S.1.2.3, quoted from memory)."""

LEAST_SAMPLE_PIECES = 10
"""A prescription scale takes no unit weight from fewer than 10 pieces (S.1.2.3, quoted from memory)."""


def tolerance_g(accuracy_class: AccuracyClass, load_g: Decimal, *, d_g: Decimal, acceptance: bool = False) -> Decimal:
    """The maintenance (or acceptance) tolerance at a load, in g, either way; exact.

    Raises:
        WeighingRefused: a negative load.
    """
    if not (load_g.is_finite() and load_g >= 0):
        raise WeighingRefused("state a tolerance at a load of", f"{load_g} g", "0 g or more")
    divisions = load_g / d_g
    if accuracy_class == "III L":
        tolerance_d = max(1, int((divisions / 500).to_integral_value(ROUND_CEILING)))
    else:
        rows = LAST_LOAD_D[accuracy_class]
        tolerance_d = next(tolerance for last, tolerance in rows if last is None or divisions <= last)
    tolerance = tolerance_d * d_g
    return tolerance / 2 if acceptance else tolerance


def minimum_load_g(accuracy_class: AccuracyClass, d_g: Decimal) -> Decimal:
    """The recommended minimum load in g.

    >>> minimum_load_g("III", Decimal("0.1"))
    Decimal('2.0')
    """
    if accuracy_class == "II" and d_g >= Decimal("0.1"):
        return 50 * d_g
    return MINIMUM_LOAD_D[accuracy_class] * d_g


def count_tolerance(pieces: int) -> int:
    """Pieces by which an indicated count of a prescription scale may be off (T.N.3.10, quoted from memory).

    None to 100 pieces, 1 to 200, then 0.5 %; a part of a piece is no piece.

    >>> count_tolerance(100), count_tolerance(101), count_tolerance(1000)
    (0, 1, 5)
    """
    if pieces < 0:
        raise QuantityRefused("state a tolerance for pieces", pieces, "0 or more")
    if pieces <= 100:
        return 0
    return 1 if pieces <= 200 else pieces * 5 // 1000
