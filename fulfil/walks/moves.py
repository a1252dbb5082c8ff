"""Which few bins should change places, for what was walked in the last weeks; see :mod:`fulfil.room.moves`.

The walks of the released pick lists are walked again with the bins in their new places. What is saved is given a day;
the work of moving is the way the bins are carried, at the settings' speed, and twice for each bin, where it was and
where it goes, the settings' seconds to find its place and to reach its level. A move has *paid back* when it has saved
as much time of walking as its work took.

>>> payback_days(work_s=60.0, saved_mm=32_000, days=4, speed_mm_s=800)
6.0

Limits: writing signs and books anew is not counted, nor what another level saves or costs of reaching. A bin promised
to an open order stays where it is. Whether a bin fits the level and the place, and what is too heavy to be kept high or
too delicate to be moved, is for a person to judge.
"""

from dataclasses import dataclass
from datetime import date, timedelta

from fulfil.errors import PlanRefused, StateRefused
from fulfil.orders.places import promised_by_bin
from fulfil.records.place import Bin, RoomElement
from fulfil.records.plan import Bag, WalkRecord
from fulfil.room.moves import suggest_moves
from fulfil.room.walk import Stop
from fulfil.store.books import Books
from fulfil.walks.floor import Floor, floor_of
from fulfil.walks.room_check import weeks_before
from fulfil.walks.times import time_model_of


@dataclass(frozen=True)
class BinMove:
    """Two bins that should change places, what that would have saved, the way they are carried, and the work of it.

    ``payback_days``: after so many days like those looked at it has saved as much time as it took.
    """

    bin: Bin
    other: Bin
    saved_mm: int
    carried_mm: int
    work_s: float
    payback_days: float


@dataclass(frozen=True)
class Moves:
    """What to move: at most what was asked for, the most saving first.

    ``walked_mm`` is the way of all walks looked at, ``saved_mm`` what the moves together would have saved of it.
    """

    moves: tuple[BinMove, ...]
    since: date
    days: int
    walks: int
    walked_mm: int
    saved_mm: int
    carrying_s: float


def moves_of_bins(books: Books, *, day: date, weeks: int, most: int) -> Moves:
    """Looks at the released walks of the last weeks.

    Raises:
        PlanRefused: fewer than one week or move asked for.
        StateRefused: nothing was walked in these weeks.
    """
    for what, number in (("weeks", weeks), ("moves", most)):
        if number < 1:
            raise PlanRefused(f"suggest moves with {what}", number, "a whole number from 1")
    since = weeks_before(day, weeks)
    of_weeks = books.between(WalkRecord, "day", since, day + timedelta(days=1))
    walks = [walk for walk in of_weeks if walk.released_at is not None]
    if not walks:
        raise StateRefused("suggest moves from the walks since", since, "at least one released walk")
    floor = floor_of(books.find(RoomElement))
    bins = {place.code: place for place in books.find(Bin)}
    on_walk: dict[str, list[str]] = {walk.number: [] for walk in walks}
    for bag in books.find(Bag, walk_number=sorted(on_walk)):
        if bag.bin_code in bins:
            on_walk[bag.walk_number].append(bag.bin_code)
    codes = [sorted(set(on_walk[walk.number])) for walk in walks]
    days = len({walk.day for walk in walks})
    found = _suggested(books, floor, bins, codes, most, days)
    carried_mm = sum(move.carried_mm for move in found)
    return Moves(
        moves=found,
        since=since,
        days=days,
        walks=len(walks),
        walked_mm=sum(floor.room.walk_length_mm([floor.stop_of(bins[code]) for code in walk]) for walk in codes),
        saved_mm=sum(move.saved_mm for move in found),
        carrying_s=carried_mm / 1000 / books.settings().walk_m_per_s,
    )


def _suggested(
    books: Books, floor: Floor, bins: dict[str, Bin], walks: list[list[str]], most: int, days: int
) -> tuple[BinMove, ...]:
    promised = {code for code, pieces in promised_by_bin(books).items() if pieces}
    homes: dict[str, Stop] = {code: floor.stop_of(place) for code, place in bins.items()}

    def may_move(code: str, _: Stop) -> bool:
        return code not in promised

    suggested = suggest_moves(
        walks, homes, floor.room.walk_length_mm, floor.room.distance_mm, most_moves=most, may_move=may_move
    )
    model = time_model_of(books.settings())
    found = []
    for move in suggested:
        if move.other_part is None:
            continue
        bin_, other = bins[move.part], bins[move.other_part]
        # Signs count levels from 1 at the bottom, the model from 0.
        levels = [max(0, place.level - 1) for place in (bin_, other)] * 2
        times = model.times(move.carried_mm, levels, [0.0] * len(levels))
        work_s = times.walk_s + times.search_s + times.reach_s
        payback = payback_days(work_s=work_s, saved_mm=move.saved_mm, days=days, speed_mm_s=model.speed_mm_s)
        found.append(BinMove(bin_, other, move.saved_mm, move.carried_mm, work_s, payback))
    return tuple(found)


def payback_days(*, work_s: float, saved_mm: int, days: int, speed_mm_s: float) -> float:
    """Days until work has paid back that would have saved so much walking, above 0, on so many days."""
    return work_s * speed_mm_s * days / saved_mm
