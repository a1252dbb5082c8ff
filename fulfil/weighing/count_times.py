"""How long a count takes: seconds a piece by hand, seconds a weighing; and which way is quickest for a bag.

A bag tared by its type is one weighing. Tared itself it is two, in k pours k + 1, with the pieces that don't come out
even counted in by hand. Both who picks and who checks take that time, so that the quickest is the same for both.

The settings' own figures, a second a piece and ten seconds a weighing, are judgement. :func:`learned_times` takes them
from checks that were timed: the time from one check to the next is a + h (pieces counted by hand) + w (weighings), by
least squares without negative times (C. L. Lawson, R. J. Hanson, Solving Least Squares Problems, 1974, chapter 23).

>>> times = CountTimes(piece_s=1.0, weighing_s=10.0)
>>> times.by_hand_s(500), times.weighed_s(1), times.poured_s(5, odd_pieces=3)
(500.0, 10.0, 63.0)
>>> timed = [Timed(5 + 0.8 * n, n, 0) for n in range(20, 120, 5)] + [Timed(5 + 12.0 * k, 0, k) for k in [1, 2] * 10]
>>> learned = learned_times(timed)
>>> round(learned.piece_s, 3), round(learned.weighing_s, 3), learned.n
(0.8, 12.0, 40)

Limits: a bag's handling (label, closing) takes the same time whichever way it is counted, and is left out.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

FEWEST_TIMED = 20
"""Fewer timed checks of one kind, by hand or by weight, teach nothing."""
LONGEST_S = 1800.0
"""What took longer held a break."""


@dataclass(frozen=True, slots=True)
class CountTimes:
    """Seconds a piece by hand and seconds a weighing; ``n`` timed checks they were learned from, 0 for a setting."""

    piece_s: float
    weighing_s: float
    n: int = 0

    def by_hand_s(self, pieces: int) -> float:
        """Counting by hand."""
        return pieces * self.piece_s

    def weighed_s(self, bags: int) -> float:
        """Bags tared by their type."""
        return bags * self.weighing_s

    def poured_s(self, pours: int, *, odd_pieces: int = 0) -> float:
        """One bag that is tared itself, and tared again before each pour."""
        return (pours + 1) * self.weighing_s + odd_pieces * self.piece_s


@dataclass(frozen=True, slots=True)
class Timed:
    """One check that was timed: seconds since the one before, pieces counted by hand, weighings."""

    seconds: float
    by_hand: int
    weighings: int


def learned_times(timed: Sequence[Timed]) -> CountTimes | None:
    """What timed checks say, or None where there are too few of either kind or they say nothing."""
    from scipy.optimize import nnls

    kept = [one for one in timed if 0.0 < one.seconds <= LONGEST_S]
    by_hand = sum(one.by_hand > 0 for one in kept)
    if min(by_hand, sum(one.weighings > 0 for one in kept)) < FEWEST_TIMED:
        return None
    table = np.array([(1.0, one.by_hand, one.weighings) for one in kept])
    (_, piece_s, weighing_s), _ = nnls(table, np.array([one.seconds for one in kept]))
    if not (piece_s > 0.0 and weighing_s > 0.0):
        return None
    return CountTimes(float(piece_s), float(weighing_s), len(kept))


def in_words(seconds: float) -> str:
    """A time as a person says it.

    >>> in_words(8), in_words(59.9), in_words(95), in_words(500)
    ('8 s', '1 min', '1.5 min', '8 min')
    """
    if seconds < 55.0:
        return f"{seconds:.0f} s"
    minutes = seconds / 60.0
    # Half minutes are as fine as anybody plans.
    return f"{round(2 * minutes) / 2:g} min" if minutes < 3.0 else f"{minutes:.0f} min"
