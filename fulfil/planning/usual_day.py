"""What a part's next day is likely to take: a mean with its uncertainty, and a figure that few days exceed.

Most parts of a small shop are wanted on some days and on others not at all, now and then by the hundred: no bell curve
fits. So the figure is one of the days themselves. Of n days that are alike, the k-th smallest take is not exceeded by
the next day with a chance of k/(n + 1), whatever the distribution (a distribution-free prediction bound; Hahn & Meeker,
*Statistical Intervals*, 1991, chapter 5, from memory; the tests prove it by counting). The smallest k is taken whose
chance is the one asked for.

>>> usual = usual_day([40, 40, 100], days=19, chance=0.9)
>>> usual.most, round(usual.chance, 2), round(usual.mean, 2), round(usual.u, 2)
(40, 0.9, 9.47, 5.8)
>>> usual_day([5], days=4, chance=0.9).chance
0.8

Limits: days are taken as alike and independent: no season, no trend, and an order for ten times the usual is foreseen
by nobody. Too few days for the chance asked for give the most that any of them took, with the chance of that.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, sqrt
from statistics import fmean, stdev

from fulfil.errors import PlanRefused


@dataclass(frozen=True)
class UsualDay:
    """Pieces a day: the mean and its standard uncertainty; the next day takes at most ``most``, with ``chance``."""

    days: int
    mean: float
    u: float
    most: int
    chance: float

    def over(self, days: int) -> int:
        """Pieces for so many days: the most of one, the mean of the others, rounded up."""
        return self.most + ceil(round((days - 1) * self.mean, 9))


def usual_day(taken: Sequence[int], *, days: int, chance: float) -> UsualDay:
    """What the next day takes, by the days looked at.

    Args:
        taken: pieces of each day on which any were wanted.
        days: all days looked at; on the others nothing was wanted.
        chance: with which the next day shall take no more than the figure.

    Raises:
        PlanRefused: fewer days than days with a take, none at all, or a chance that is none.
    """
    if days < max(1, len(taken)):
        raise PlanRefused("foresee a day from", f"{days} days", f"at least {max(1, len(taken))}")
    if not 0 < chance < 1:
        raise PlanRefused("foresee a day with the chance", chance, "a chance between 0 and 1")
    ordered = sorted([*taken, *[0] * (days - len(taken))])
    place = min(days, ceil(round(chance * (days + 1), 9)))
    u = stdev(ordered) / sqrt(days) if days > 1 else float(ordered[0])
    return UsualDay(days, fmean(ordered), u, ordered[place - 1], place / (days + 1))
