"""With which chance a service's last walk ends too late, and what would help.

Walks are gone in a given order: whoever is free first takes the next. Their times are drawn by the pace
(:mod:`fulfil.planning.paces`) many times over; the share of draws in which a walk of a service ends after that
service's limit is the chance. Every remedy is tried on the same draws, so a difference between two of them is theirs.

>>> walks = [TimedWalk("a", 1800), TimedWalk("b", 1800)]
>>> dues = [Due("post", "a", 2400), Due("post", "b", 2400)]
>>> seen = foresee(walks, dues, pickers=1, pace=Pace(), rng=np.random.default_rng(1))
>>> [(one.service, one.chance_late > 0.95, [help.kind for help in one.helps]) for one in seen]
[('post', True, ['one picker more'])]
>>> seen[0].helps[0].chance_late < 0.3
True

A chance is that of walks that stay as they are. What another picker, another order of the walks, or a walk gone as two
would make of it, stands beside it as a help.

Rush orders that are yet to come take people's time too: all that is to be gone is slowed by their usual share.

Limits: a picker more is one from the start; nobody waits for anybody in an aisle; chances of a hundredth or less are
not well known from 4,000 draws.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from fulfil.planning.paces import Pace, drawn_left_s
from fulfil.planning.people import TimedWalk

Floats = npt.NDArray[np.float64]
DRAWS = 4000
IN_TWO = "this walk in two"
AT_RISK = 0.05
"""A service with this chance or more is at risk (own choice): once a month of working days."""


@dataclass(frozen=True)
class Due:
    """A walk that a service waits for, and when it must have ended; ``packages`` of that service are on it."""

    service: str
    walk: str
    must_end_s: int
    packages: int = 1


@dataclass(frozen=True)
class Help:
    """A change and the chance that the service is late with it; ``walk`` is the one that goes first, last or in two."""

    kind: str
    walk: str
    chance_late: float


@dataclass(frozen=True)
class Foreseen:
    """A service's last walk: the seconds by which it has ended as likely as not, and nine times in ten.

    ``helps``: only for a service at risk, only what lowers its chance by a hundredth or more, best first.
    """

    service: str
    chance_late: float
    likely_s: int
    nine_in_ten_s: int
    helps: tuple[Help, ...] = field(default=())

    @property
    def is_at_risk(self) -> bool:
        """Whether somebody should do something."""
        return self.chance_late >= AT_RISK


@dataclass(frozen=True)
class UnderWay:
    """A walk that somebody is on: what it takes as a whole, and how long ago it began."""

    name: str
    expected_s: float
    elapsed_s: float


class Draws:
    """Times drawn once, for every order and number of pickers that is tried."""

    def __init__(
        self, walks: Sequence[TimedWalk], under_way: Sequence[UnderWay], pickers: int, pace: Pace,
        draws: int, rng: np.random.Generator, rush_share: float,
    ) -> None:  # fmt: skip
        self.slowed = 1 + rush_share
        shared = pace.bias + pace.shared_sd * rng.standard_normal(draws)
        self.of_picker = np.exp(pace.picker_sd * rng.standard_normal((pickers + 1, draws)))
        self.of_walk = {
            walk.name: walk.seconds * np.exp(shared + pace.walk_sd * rng.standard_normal(draws)) for walk in walks
        }
        self.out = {
            one.name: drawn_left_s(one.expected_s, one.elapsed_s, pace, rng.uniform(size=draws)) for one in under_way
        }

    def ends(self, order: Sequence[str], pickers: int) -> dict[str, Floats]:
        """For each walk when it ends, draw by draw."""
        busy = np.zeros((pickers, self.of_picker.shape[1]))
        for picker, left in enumerate(self.out.values()):
            busy[picker] = left
        every = np.arange(busy.shape[1])
        ends = dict(self.out)
        for name in order:
            first = busy.argmin(axis=0)
            ends[name] = busy[first, every] + self.of_walk[name] * self.of_picker[first, every] * self.slowed
            busy[first, every] = ends[name]
        return ends

    def ends_in_two(self, order: Sequence[str], name: str, extra_s: float, pickers: int) -> dict[str, Floats]:
        """The same where one walk is gone as two, one after the other in the order; it ends when both have ended."""
        first, second = f"{name}/1", f"{name}/2"
        self.of_walk[first] = self.of_walk[second] = (self.of_walk[name] + extra_s) / 2
        ends = self.ends([half for one in order for half in ((first, second) if one == name else (one,))], pickers)
        del self.of_walk[first], self.of_walk[second]
        return ends | {name: np.maximum(ends[first], ends[second])}


def foresee(
    walks: Sequence[TimedWalk],
    dues: Sequence[Due],
    *,
    pickers: int,
    pace: Pace,
    rng: np.random.Generator,
    under_way: Sequence[UnderWay] = (),
    draws: int = DRAWS,
    rush_share: float = 0.0,
    halving_s: Mapping[str, float] = {},
) -> list[Foreseen]:
    """What each service has to expect, services by their first limit, then by name.

    Args:
        walks: Walks that nobody has begun, in the order in which they are to be gone; times as the settings expect
            them, without the pace's bias.
        dues: Which service waits for which walk, of ``walks`` and ``under_way``.
        pickers: So many people, at least those who are out.
        pace: How times scatter.
        rng: Chance.
        under_way: Walks that people are on.
        draws: How often the day is drawn.
        rush_share: Time that goes to rush orders yet to come, for each second of the others' walks.
        halving_s: For each waiting walk that can be halved the seconds that two walks take longer than the one.
    """
    drawn = Draws(walks, under_way, pickers, pace, draws, rng, rush_share)
    order = [walk.name for walk in walks]
    ends = drawn.ends(order, pickers)
    found = []
    for service in sorted({due.service for due in dues}, key=lambda code: (_first(dues, code), code)):
        mine = [due for due in dues if due.service == service]
        last = np.max([ends[due.walk] for due in mine], axis=0)
        likely_s, nine_s = (round(float(one)) for one in np.quantile(last, (0.5, 0.9)))
        chance = _chance(mine, ends)
        helps = _helps(drawn, order, mine, dues, pickers, ends, halving_s) if chance >= AT_RISK else ()
        found.append(Foreseen(service, chance, likely_s, nine_s, helps))
    return found


def _first(dues: Sequence[Due], service: str) -> int:
    return min(due.must_end_s for due in dues if due.service == service)


def _late(dues: Sequence[Due], ends: dict[str, Floats]) -> npt.NDArray[np.bool_]:
    """For each draw whether one of them is late."""
    late: npt.NDArray[np.bool_] = np.any([ends[due.walk] > due.must_end_s for due in dues], axis=0)
    return late


def _chance(dues: Sequence[Due], ends: dict[str, Floats]) -> float:
    return float(_late(dues, ends).mean())


def late_packages(dues: Sequence[Due], ends: dict[str, Floats]) -> float:
    """How many packages are late on average."""
    return float(sum(due.packages * (ends[due.walk] > due.must_end_s).mean() for due in dues))


def _helps(
    drawn: Draws, order: list[str], mine: Sequence[Due], dues: Sequence[Due], pickers: int, ends: dict[str, Floats],
    halving_s: Mapping[str, float],
) -> tuple[Help, ...]:  # fmt: skip
    """A picker more; the walk to put first, last or in two that helps most and makes no more packages late in all."""
    found = [Help("one picker more", "", _chance(mine, drawn.ends(order, pickers + 1)))]
    now, chance = late_packages(dues, ends), _chance(mine, ends)
    for kind in ("this walk first", "this walk last", IN_TWO):
        tried = []
        for name in order if kind != IN_TWO else [one for one in order if one in halving_s]:
            rest = [one for one in order if one != name]
            if kind == IN_TWO:
                changed = drawn.ends_in_two(order, name, halving_s[name], pickers)
            else:
                changed = drawn.ends([name, *rest] if kind == "this walk first" else [*rest, name], pickers)
            if late_packages(dues, changed) <= now:
                tried.append(Help(kind, name, _chance(mine, changed)))
        found += sorted(tried, key=lambda one: (one.chance_late, order.index(one.walk)))[:1]
    return tuple(sorted((one for one in found if one.chance_late <= chance - 0.01), key=lambda one: one.chance_late))
