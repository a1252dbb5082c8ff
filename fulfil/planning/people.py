"""Which picker goes which walk when: whole walks, each by one picker, in the order of their cut-offs.

One picker is never later at worst than by taking the earliest cut-off first (Jackson's rule; K. R. Baker, D. Trietsch,
Principles of Sequencing and Scheduling, 2009, theorem 2.2, quoted from memory), so only who gets what is open. Rule
*earliest cut-off first*: walks that go now before all others; then by cut-off, the longest first among equals, then by
name; each goes to whoever is free first, the lowest number among equals. For few walks every way to share them out is
looked at, in that order, and the best kept: least latest, then done soonest, then the first found.

Two bounds hold for any way to share the walks out. Nobody is done before the longest walk, nor before all of the work
divided by the pickers (R. McNaughton, Management Science 6(1), 1959, 1-12, doi:10.1287/mnsc.6.1.1); and the same
for the walks up to each cut-off says how late the latest must be.

>>> walks = [TimedWalk("a", 50, 100), TimedWalk("b", 60, 100), TimedWalk("c", 30, 60)]
>>> shared = share_out(walks, pickers=2)
>>> [(turn.walk, turn.picker, turn.begins_s, turn.ends_s, turn.late_s) for turn in shared.turns]
[('c', 1, 0, 30, 0), ('b', 2, 0, 60, 0), ('a', 1, 30, 80, 0)]
>>> shared.ends_s, shared.bound_s, shared.latest_s, shared.is_proven
(80, 70, 0, True)

Somebody may be out on a walk at the start. The first so many pickers are those people: each ends that walk, in the
seconds it still takes, before another.

>>> share_out([TimedWalk("b", 60)], pickers=2, under_way=[TimedWalk("a", 20), TimedWalk("c", 50)]).turns[-1]
Turn(walk='b', picker=1, begins_s=20, ends_s=80, late_s=0, spare_s=None)

Limits: times in whole seconds from the common start; a walk isn't handed over on the way.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from fulfil.errors import PlanRefused

MOST_LOOKS = 200_000
"""After so many looks at partly shared walks the best found so far counts."""


@dataclass(frozen=True)
class TimedWalk:
    """A walk, how long it takes, and when it must be done; ``cut_off_s`` None has no cut-off.

    One that ``goes_now`` is gone before all others that wait.
    """

    name: str
    seconds: int
    cut_off_s: int | None = None
    goes_now: bool = False


@dataclass(frozen=True)
class Turn:
    """One walk of one picker; ``late_s`` is how long after its cut-off it ends, ``spare_s`` how long it could wait.

    ``spare_s`` keeps this walk and all later ones of the picker in time; None where none of them has a cut-off.
    """

    walk: str
    picker: int
    begins_s: int
    ends_s: int
    late_s: int
    spare_s: int | None


@dataclass(frozen=True)
class SharedOut:
    """Who goes which walk when.

    Attributes:
        turns: by their beginning, then by picker.
        ends_s: when the last picker is done.
        bound_s: nobody can share these walks out so that all is done before.
        latest_s: how late the latest walk is, 0 if none is late.
        latest_bound_s: the latest is at least this late however the walks are shared out.
        is_proven: whether no other way is less late, or as late and done sooner; where walks go now, no other way that
            begins with them.
    """

    turns: tuple[Turn, ...]
    ends_s: int
    bound_s: int
    latest_s: int
    latest_bound_s: int
    is_proven: bool

    @property
    def late(self) -> tuple[Turn, ...]:
        """The walks that end after their cut-off, the latest first."""
        return tuple(sorted((turn for turn in self.turns if turn.late_s), key=lambda turn: (-turn.late_s, turn.walk)))


def share_out(
    walks: Sequence[TimedWalk],
    *,
    pickers: int,
    under_way: Sequence[TimedWalk] = (),
    most_looks: int = MOST_LOOKS,
) -> SharedOut:
    """Shares walks out over pickers who begin at 0, or once the walk they are on has ended.

    Args:
        walks: The walks that nobody has begun.
        pickers: So many people, with those who are out.
        under_way: Walks that people are on, with the seconds they still take.
        most_looks: After so many looks the best found so far counts.

    Raises:
        PlanRefused: fewer than one picker, more walks under way than pickers, or a walk that takes less than no time.
    """
    if pickers < 1:
        raise PlanRefused("share walks out over pickers", pickers, "at least one picker")
    if len(under_way) > pickers:
        raise PlanRefused("share walks out over pickers", pickers, f"at least the {len(under_way)} who are out")
    for walk in (*walks, *under_way):
        if walk.seconds < 0:
            raise PlanRefused(f"time walk {walk.name}", walk.seconds, "0 s or more")
    ordered = by_cut_off(walks)
    free_s = (*(walk.seconds for walk in under_way), *(0,) * (pickers - len(under_way)))
    late_now_s = max((walk.seconds - walk.cut_off_s for walk in under_way if walk.cut_off_s is not None), default=0)
    bound_s = least_s(walks, pickers, free_s)
    latest_bound_s = max(late_now_s, least_late_s(walks, pickers, free_s))
    search = _Search(ordered, (latest_bound_s, bound_s), most_looks)
    search.down(0, free_s, max(0, late_now_s), ())
    mine = [[*under_way[picker : picker + 1]] for picker in range(pickers)]
    for walk, picker in zip(ordered, search.best, strict=True):
        mine[picker].append(walk)
    turns = _turns(mine)
    latest_s, ends_s = search.best_value
    return SharedOut(
        turns=turns,
        ends_s=ends_s,
        bound_s=bound_s,
        latest_s=latest_s,
        latest_bound_s=latest_bound_s,
        is_proven=search.looks <= most_looks or (latest_s, ends_s) == (latest_bound_s, bound_s),
    )


def by_cut_off(walks: Sequence[TimedWalk]) -> list[TimedWalk]:
    """Rule *earliest cut-off first*, after those that go now."""
    return sorted(
        walks,
        key=lambda walk: (not walk.goes_now, walk.cut_off_s is None, walk.cut_off_s or 0, -walk.seconds, walk.name),
    )


def least_s(walks: Sequence[TimedWalk], pickers: int, free_s: Sequence[int] = ()) -> int:
    """Before this nobody can have gone all walks: all of them shared evenly, or the longest by whoever is free first.

    ``free_s`` says when each picker is free, by default all at 0. Who is free late may be left out: the least over the
    first 1, 2, 3 … to be free is when their time together is enough for the work.
    """
    free = sorted(free_s) or [0] * pickers
    if not walks:
        return free[-1]
    work_s = sum(walk.seconds for walk in walks)
    even_s = min(-(-(work_s + sum(free[:count])) // count) for count in range(1, len(free) + 1))
    return max(free[-1], even_s, free[0] + max(walk.seconds for walk in walks))


def least_late_s(walks: Sequence[TimedWalk], pickers: int, free_s: Sequence[int] = ()) -> int:
    """At least so late is the latest walk, however they are shared out; ``free_s`` as in :func:`least_s`."""
    free = sorted(free_s) or [0] * pickers
    latest_s = 0
    for cut_off_s in {walk.cut_off_s for walk in walks if walk.cut_off_s is not None}:
        due = [walk for walk in walks if walk.cut_off_s is not None and walk.cut_off_s <= cut_off_s]
        # Somebody who is out beyond all of this needn't be waited for.
        latest_s = max(latest_s, min(least_s(due, n, free[:n]) for n in range(1, len(free) + 1)) - cut_off_s)
    return latest_s


class _Search:
    """Depth first over who gets the next walk, whoever is free first tried first."""

    def __init__(self, walks: Sequence[TimedWalk], least: tuple[int, int], most_looks: int) -> None:
        self.walks = walks
        self.most_looks = most_looks
        self.looks = 0
        self.least = least
        self.best: tuple[int, ...] = ()
        self.best_value = (-1, -1)

    def down(self, number: int, busy_s: tuple[int, ...], latest_s: int, chosen: tuple[int, ...]) -> None:
        if self.best_value[0] >= 0:
            self.looks += 1
            if self.looks > self.most_looks or self.best_value <= max((latest_s, max(busy_s)), self.least):
                return
        if number == len(self.walks):
            self.best, self.best_value = chosen, (latest_s, max(busy_s))
            return
        walk = self.walks[number]
        # Pickers who are free at the same time are alike: only the first of them is tried.
        first_free = {free_s: picker for picker, free_s in reversed(list(enumerate(busy_s)))}
        for free_s in sorted(first_free):
            picker = first_free[free_s]
            ends_s = free_s + walk.seconds
            late_s = max(latest_s, ends_s - walk.cut_off_s) if walk.cut_off_s is not None else latest_s
            busy = (*busy_s[:picker], ends_s, *busy_s[picker + 1 :])
            self.down(number + 1, busy, max(0, late_s), (*chosen, picker))


def _turns(walks_of: Sequence[Sequence[TimedWalk]]) -> tuple[Turn, ...]:
    """The turns of pickers who go these walks one after the other."""
    turns: list[Turn] = []
    for picker, mine in enumerate(walks_of):
        begins_s = 0
        spare_s: int | None = None
        ends = []
        for walk in mine:
            ends.append(begins_s := begins_s + walk.seconds)
        found: list[Turn] = []
        for walk, ends_s in zip(reversed(mine), reversed(ends), strict=True):
            if walk.cut_off_s is not None:
                spare_s = min(walk.cut_off_s - ends_s, spare_s if spare_s is not None else walk.cut_off_s - ends_s)
            late_s = max(0, ends_s - walk.cut_off_s) if walk.cut_off_s is not None else 0
            waits_s = None if spare_s is None else max(0, spare_s)
            found.append(Turn(walk.name, picker + 1, ends_s - walk.seconds, ends_s, late_s, waits_s))
        turns += found
    return tuple(sorted(turns, key=lambda turn: (turn.begins_s, turn.picker, turn.ends_s, turn.walk)))
