"""Which few bins should change places, so that the last weeks' orders would have been walked shortest.

Walking is longest for parts asked for often and kept far away (the thought behind the cube-per-order index: J. L.
Heskett, Transp. Distrib. Manag. 3, 1963, 27-31; for walks of many stops it is a guide only, C. Kallina, J. Lynn,
Interfaces 7, 1976, 37-46, doi:10.1287/inte.7.1.37). So a part is a candidate by what its walks would have been shorter
without it, measured, and a place by how near the bench it is; and what a move saves is never estimated: every walk it
touches is measured again by the function handed in. Moves are chosen one by one, the most saving first; equal savings
by the smaller part.

>>> from fulfil.room.block import Block
>>> room = Block((0, 2500), 10000)
>>> homes = {"near": (0, 500), "far": (1, 9500)}
>>> best = suggest_moves([["far"], ["far"], ["near"]], homes, room.walk_length_mm, room.distance_mm, most_moves=1)
>>> [(move.part, move.to, move.other_part, move.saved_mm) for move in best]
[('far', (0, 500), 'near', 23000)]

Limits: the walks stay grouped as they were walked; a better grouping for the new places could save a little more.
Whether a bin fits its new place is for the shop to say (``may_move``).
"""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from fulfil.room.walk import Stop

PLACES_EACH = 5
"""At least so many places are tried for one part before each move."""

WalkLength: TypeAlias = Callable[[Sequence[Stop]], int]
Distance: TypeAlias = Callable[[Stop | None, Stop | None], int]


@dataclass(frozen=True)
class Move:
    """One move, or exchange if ``other_part`` lives where ``part`` should.

    Attributes:
        part: what should move.
        from_: where it lives.
        to: where it should live.
        other_part: what lives there and goes to ``from_``; None if the place is free.
        saved_mm: how much shorter the walks would have been, after the moves before this one.
        bins_handled: 1 or 2.
        carried_mm: the way the bins are carried, there and back counted for each bin.
    """

    part: str
    from_: Stop
    to: Stop
    other_part: str | None
    saved_mm: int
    bins_handled: int
    carried_mm: int


def suggest_moves(
    walks: Sequence[Sequence[str]],
    homes: Mapping[str, Stop],
    walk_length: WalkLength,
    distance_mm: Distance,
    *,
    most_moves: int,
    free: Sequence[Stop] = (),
    may_move: Callable[[str, Stop], bool] = lambda part, stop: True,
    measured: int = 200,
) -> tuple[Move, ...]:
    """At most ``most_moves`` moves that save walking, the most saving first; fewer if nothing more saves.

    Args:
        walks: the parts fetched on each walk of the past weeks.
        homes: where each part lives; parts that nobody fetched may be left out, then they don't move either.
        walk_length: measures the shortest walk through stops.
        distance_mm: between stops; None is the bench.
        most_moves: never more than these.
        free: empty places.
        may_move: whether a part may live at a place; both parts of an exchange are asked.
        measured: how many promising candidates are measured before each move.
    """
    home = dict(homes)
    touched_by: dict[str, list[int]] = {part: [] for part in home}
    for number, walk in enumerate(walks):
        for part in sorted(set(walk)):
            touched_by[part].append(number)
    lengths = [walk_length([home[part] for part in walk]) for walk in walks]
    lives: dict[Stop, list[str]] = {}
    for part in sorted(home):
        lives.setdefault(home[part], []).append(part)
    far = {stop: distance_mm(None, stop) + distance_mm(stop, None) for stop in sorted({*lives, *free})}
    empty = sorted(set(free) - set(lives))
    without: dict[int, dict[str, int]] = {}
    for number in range(len(walks)):
        without[number] = _without(walks[number], home, lengths[number], walk_length)
    chosen: list[Move] = []
    while len(chosen) < most_moves:
        best: tuple[int, str, str | None, Stop, dict[int, int]] | None = None
        for part, other, to in _promising(touched_by, without, home, far, empty, measured):
            if not may_move(part, to) or (other is not None and not may_move(other, home[part])):
                continue
            trial = {**home, part: to}
            if other is not None:
                trial[other] = home[part]
            touched = sorted({*touched_by[part], *(touched_by[other] if other is not None else ())})
            new = {number: walk_length([trial[one] for one in walks[number]]) for number in touched}
            saved = sum(lengths[number] - new[number] for number in touched)
            if saved > 0 and (best is None or saved > best[0]):
                best = (saved, part, other, to, new)
        if best is None:
            break
        saved, part, other, to, new = best
        from_ = home[part]
        bins = 1 if other is None else 2
        carried_mm = bins * (distance_mm(from_, to) + distance_mm(to, from_))
        chosen.append(Move(part, from_, to, other, saved, bins, carried_mm))
        home[part] = to
        if other is None:
            empty = sorted({*empty, from_} - {to} - ({from_} if from_ in set(home.values()) else set()))
        else:
            home[other] = from_
        for number, length_mm in new.items():
            lengths[number] = length_mm
            without[number] = _without(walks[number], home, length_mm, walk_length)
    return tuple(chosen)


def _without(walk: Sequence[str], home: Mapping[str, Stop], length_mm: int, walk_length: WalkLength) -> dict[str, int]:
    """How much shorter a walk would be without each of its parts; 0 where another part lives at the same stop."""
    at = Counter(home[part] for part in set(walk))
    shorter = {}
    for part in sorted(set(walk)):
        rest = [stop for stop in at if stop != home[part]]
        shorter[part] = length_mm - walk_length(rest) if at[home[part]] == 1 else 0
    return shorter


def _promising(
    touched_by: Mapping[str, Sequence[int]],
    without: Mapping[int, Mapping[str, int]],
    home: Mapping[str, Stop],
    far: Mapping[Stop, int],
    empty: Sequence[Stop],
    most: int,
) -> list[tuple[str, str | None, Stop]]:
    """Candidates (part, other part or None, place): for each of the costliest parts the nearest places, some of each.

    A place nobody comes past costs every visit the way there and back, so what remains of a part's cost is sure.
    """
    cost = {part: sum(without[number][part] for number in touched_by[part]) for part in home}
    costly = sorted((part for part in home if cost[part] > 0), key=lambda part: (-cost[part], part))
    nearby = sorted(home, key=lambda part: (far[home[part]] + cost[part], len(touched_by[part]), part))[:most]
    places = sorted(empty, key=lambda stop: (far[stop], stop))[:most]
    each = max(PLACES_EACH, most // max(1, len(costly)))
    scored: list[tuple[int, str, str, Stop]] = []
    for part in costly[:most]:
        visits, way = len(touched_by[part]), far[home[part]]
        targets = [("", place, cost[part] - visits * far[place]) for place in places]
        for other in nearby:
            if home[other] != home[part]:
                back = len(touched_by[other]) * way - cost[other]
                targets.append((other, home[other], cost[part] - visits * far[home[other]] - back))
        targets.sort(key=lambda one: (-one[2], one[0], one[1]))
        scored += [(-gain, part, other, to) for other, to, gain in targets[:each]]
    scored.sort()
    return [(part, other or None, to) for _, part, other, to in scored[:most]]
