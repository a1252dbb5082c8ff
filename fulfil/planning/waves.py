"""Cut-offs: which walks must be on their way when, what will be late, and what would make it on time.

Walks with one cut-off are a *wave*, released together when its first walk should begin. Where something is late, three
remedies are worked out, each by itself and each exact for the rule by which walks are shared out
(:mod:`fulfil.planning.people`): the fewest pickers with whom nothing is late; how much earlier all would have to
begin; and which walks no number of pickers can save, because one alone takes longer than there is time.

>>> walks = [TimedWalk("a", 50, 60), TimedWalk("b", 50, 60), TimedWalk("c", 30, 200)]
>>> day = plan_waves(walks, pickers=1)
>>> [(wave.cut_off_s, wave.walks, wave.release_by_s) for wave in day.waves]
[(60, ('a', 'b'), 0), (200, ('c',), 100)]
>>> [(turn.walk, turn.late_s) for turn in day.shared.late]
[('b', 40)]
>>> day.remedy
Remedy(pickers=2, begin_earlier_s=40, too_long=())

Limits: remedies that change the walks themselves (another batching, an order taken off) are for a person to decide.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from fulfil.planning.people import SharedOut, TimedWalk, by_cut_off, share_out

__all__ = ["DayOfWaves", "Remedy", "TimedWalk", "Wave", "plan_waves"]


@dataclass(frozen=True)
class Wave:
    """Walks with one cut-off (None: without), in the order in which they begin.

    ``release_by_s``: when the first of them begins. ``spare_s``: how long all of them could wait and still be in time;
    0 where one is late.
    """

    cut_off_s: int | None
    walks: tuple[str, ...]
    release_by_s: int
    spare_s: int | None
    late: int


@dataclass(frozen=True)
class Remedy:
    """What would make every walk on time.

    Attributes:
        pickers: so many people would do; None if no number does.
        begin_earlier_s: so much earlier everyone would have to begin.
        too_long: walks that take longer than there is time, whoever goes them.
    """

    pickers: int | None
    begin_earlier_s: int
    too_long: tuple[str, ...]


@dataclass(frozen=True)
class DayOfWaves:
    """The waves by cut-off, who goes which walk when, and the remedy if something is late."""

    waves: tuple[Wave, ...]
    shared: SharedOut
    remedy: Remedy | None


def plan_waves(walks: Sequence[TimedWalk], *, pickers: int, under_way: Sequence[TimedWalk] = ()) -> DayOfWaves:
    """Shares walks out over pickers and says for each cut-off when to release what.

    Walks under way, with the seconds they still take, stay with the people who are on them; they are in no wave.

    Raises:
        PlanRefused: fewer than one picker, or than people who are out; a walk that takes less than no time.
    """
    # The rule leaves those who must be first the most time to spare; it is left only where it makes something late.
    shared = share_out(walks, pickers=pickers, under_way=under_way, most_looks=0)
    if shared.latest_s:
        shared = share_out(walks, pickers=pickers, under_way=under_way)
    turn_of = {turn.walk: turn for turn in shared.turns}
    members: dict[int | None, list[str]] = {}
    for walk in by_cut_off(walks):
        members.setdefault(walk.cut_off_s, []).append(walk.name)
    waves = []
    for cut_off_s in sorted(members, key=lambda cut_off_s: (cut_off_s is None, cut_off_s or 0)):
        names = members[cut_off_s]
        turns = sorted((turn_of[name] for name in names), key=lambda turn: (turn.begins_s, turn.picker, turn.walk))
        spare = [turn.spare_s for turn in turns if turn.spare_s is not None]
        waves.append(
            Wave(
                cut_off_s=cut_off_s,
                walks=tuple(turn.walk for turn in turns),
                release_by_s=turns[0].begins_s,
                spare_s=min(spare) if spare else None,
                late=sum(turn.late_s > 0 for turn in turns),
            )
        )
    remedy = _remedy(walks, under_way, shared, pickers) if shared.latest_s else None
    return DayOfWaves(tuple(waves), shared, remedy)


def _remedy(walks: Sequence[TimedWalk], under_way: Sequence[TimedWalk], shared: SharedOut, pickers: int) -> Remedy:
    every = [*walks, *under_way]
    too_long = tuple(
        walk.name for walk in by_cut_off(every) if walk.cut_off_s is not None and walk.seconds > walk.cut_off_s
    )
    enough = None
    if not too_long:
        enough = next(
            more
            for more in range(pickers + 1, len(every) + 1)
            if not share_out(walks, pickers=more, under_way=under_way).latest_s
        )
    return Remedy(enough, shared.latest_s, too_long)
