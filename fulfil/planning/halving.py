"""Which waiting walks to halve so that a service isn't late: full carts share out badly where only a few are due.

Four walks of an hour for three people end after two hours, though they are an hour and twenty minutes of work for each.
A walk that is halved costs its way out and set-up once more, so it is done only where a walk would be late otherwise.
Rule: of the walks that wait and are due no later than the latest one, the one whose halving makes the latest least
late, then all done soonest, then the first by name; again, until none is late or no halving helps.

>>> walks = [TimedWalk(name, 3600, 6000) for name in "abcd"]
>>> halve_late(walks, {name: 200 for name in "abcd"}, pickers=3)
('a',)

Limits: halves are taken as equally long; which orders go on which is for whoever batches them.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from fulfil.planning.people import SharedOut, TimedWalk, share_out

LOOKS = 100
"""How many ways to share out are looked at for each halving that is tried."""


def halve_late(
    walks: Sequence[TimedWalk],
    extra_s: Mapping[str, int],
    *,
    pickers: int,
    under_way: Sequence[TimedWalk] = (),
) -> tuple[str, ...]:
    """The names of walks to halve, in the order in which they were chosen.

    Args:
        walks: The walks that nobody has begun.
        extra_s: For each walk that can be halved the seconds that two walks take longer than the one.
        pickers: So many people, with those who are out.
        under_way: Walks that people are on, with the seconds they still take.
    """
    now = [*walks]
    shared = share_out(now, pickers=pickers, under_way=under_way, most_looks=LOOKS)
    halved: list[str] = []
    while shared.latest_s:
        tried: list[tuple[tuple[int, int, str], list[TimedWalk], SharedOut]] = []
        for name in _candidates(now, shared, extra_s, halved):
            with_halves = [half for walk in now for half in _halves(walk, name, extra_s)]
            then = share_out(with_halves, pickers=pickers, under_way=under_way, most_looks=LOOKS)
            tried.append(((then.latest_s, then.ends_s, name), with_halves, then))
        if not tried:
            break
        value, with_halves, then = min(tried, key=lambda one: one[0])
        if then.latest_s >= shared.latest_s:
            break
        now, shared = with_halves, then
        halved.append(value[2])
    return tuple(halved)


def _candidates(
    walks: Sequence[TimedWalk], shared: SharedOut, extra_s: Mapping[str, int], halved: Sequence[str]
) -> list[str]:
    due_s = {walk.name: walk.cut_off_s for walk in walks}
    late_s = [due for turn in shared.late if (due := due_s.get(turn.walk)) is not None]
    if not late_s:
        return []
    return [
        walk.name
        for walk in walks
        if walk.name in extra_s
        and walk.name not in halved
        and walk.cut_off_s is not None
        and walk.cut_off_s <= max(late_s)
    ]


def _halves(walk: TimedWalk, name: str, extra_s: Mapping[str, int]) -> list[TimedWalk]:
    if walk.name != name:
        return [walk]
    whole_s = walk.seconds + extra_s[name]
    first_s = whole_s // 2
    lasting = ((f"{name}/1", whole_s - first_s), (f"{name}/2", first_s))
    return [replace(walk, name=half, seconds=seconds) for half, seconds in lasting]
