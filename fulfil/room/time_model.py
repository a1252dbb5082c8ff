"""How long a walk takes: set up, walk, then reach, search and count at every bin.

A bin's height costs time, not way. The usual speed of 48 m/min (0.8 m/s, with a cart) and three minutes to set up
are those of the batching literature (S. Henn, G. Wäscher, Eur. J. Oper. Res. 222, 2012, 484-494,
doi:10.1016/j.ejor.2012.05.049; quoted from memory), as is the total of ten seconds for each line; how the ten are
shared out here is common practice. Every shop should learn its own with :func:`learn_times`.

>>> model = TimeModel(speed_mm_s=800, reach_s=(1, 0, 2), search_s=4, count_s=5, set_up_s=180)
>>> model.times(length_mm=80000, levels=[0, 1, 2, 3]).total_s
321.0
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fulfil.errors import RoomRefused


@dataclass(frozen=True)
class WalkTimes:
    """Seconds of one walk, by what they are spent on."""

    set_up_s: float
    walk_s: float
    reach_s: float
    search_s: float
    count_s: float

    @property
    def total_s(self) -> float:
        """All of them."""
        return self.set_up_s + self.walk_s + self.reach_s + self.search_s + self.count_s


@dataclass(frozen=True)
class TimeModel:
    """Settings of a shop's times.

    Attributes:
        speed_mm_s: walking speed with the cart.
        reach_s: to reach a bin, by its level from below; levels above the last take as long as the last.
        search_s: to find the bin, each line.
        count_s: to count or weigh, each line.
        set_up_s: to fetch and return the cart, each walk.

    Raises:
        RoomRefused: a speed not above zero, a negative time, or no reach time at all.
    """

    speed_mm_s: float = 800.0
    reach_s: tuple[float, ...] = (2.0, 1.0, 2.0, 4.0)
    search_s: float = 3.0
    count_s: float = 5.0
    set_up_s: float = 180.0

    def __post_init__(self) -> None:
        if not self.speed_mm_s > 0:
            raise RoomRefused("set speed_mm_s", self.speed_mm_s, "a speed above 0 mm/s")
        if not self.reach_s:
            raise RoomRefused("set reach_s", self.reach_s, "a time for at least one level")
        for name, times in (
            ("reach_s", self.reach_s),
            ("search_s", (self.search_s,)),
            ("count_s", (self.count_s,)),
            ("set_up_s", (self.set_up_s,)),
        ):
            if any(not seconds >= 0 for seconds in times):
                raise RoomRefused(f"set {name}", min(times), "no time below 0 s")

    def times(self, length_mm: int, levels: Sequence[int], count_s: Sequence[float] | None = None) -> WalkTimes:
        """The times of one walk.

        Args:
            length_mm: of the walk.
            levels: of the bin of each line, from 0.
            count_s: for each line, if known better than the setting (many pieces by hand, say).
        """
        if count_s is not None and len(count_s) != len(levels):
            raise RoomRefused("take count_s", len(count_s), f"one time for each of {len(levels)} lines")
        highest = len(self.reach_s) - 1
        return WalkTimes(
            set_up_s=float(self.set_up_s),
            walk_s=length_mm / self.speed_mm_s,
            reach_s=float(sum(self.reach_s[min(level, highest)] for level in levels)),
            search_s=float(self.search_s * len(levels)),
            count_s=float(self.count_s * len(levels) if count_s is None else sum(count_s)),
        )


@dataclass(frozen=True)
class LearnedTimes:
    """What past walks say: speed, time a line, set-up time, the scatter of a walk's time, and from how many walks.

    ``speed_mm_s`` is infinite if longer walks didn't take longer: then don't use it.
    """

    speed_mm_s: float
    line_s: float
    set_up_s: float
    residual_sd_s: float
    n: int


def learn_times(walks: Sequence[tuple[int, int, float]]) -> LearnedTimes:
    """Learn from walks given as (length_mm, lines, seconds), by least squares with no negative time.

    Source: C. L. Lawson, R. J. Hanson, Solving Least Squares Problems, 1974, chapter 23 (NNLS), as in scipy.

    >>> learned = learn_times([(80000, 20, 480.0), (40000, 30, 530.0), (120000, 10, 430.0), (60000, 5, 305.0)])
    >>> round(learned.speed_mm_s), round(learned.line_s, 3), round(learned.set_up_s, 3)
    (800, 10.0, 180.0)

    Raises:
        RoomRefused: fewer than four walks, too few to know three numbers and their scatter.
    """
    from scipy.optimize import nnls

    if len(walks) < 4:
        raise RoomRefused("learn times from walks", len(walks), "at least 4 walks")
    table = np.array([(length_mm / 1000, lines, 1.0) for length_mm, lines, _ in walks])
    (per_m, per_line, set_up), misfit = nnls(table, np.array([seconds for _, _, seconds in walks]))
    return LearnedTimes(
        speed_mm_s=1000 / float(per_m) if per_m > 0 else float("inf"),
        line_s=float(per_line),
        set_up_s=float(set_up),
        residual_sd_s=float(misfit) / (len(walks) - 3) ** 0.5,
        n=len(walks),
    )
