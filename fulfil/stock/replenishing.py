"""What to bring from reserve bins to picking bins in the evening, so that tomorrow's walks find enough.

A part is filled up when what is free in its picking bins is less than its next day takes at most, by the last year's
picking (:mod:`fulfil.planning.usual_day`, with the shop's ``service_level`` as the chance), and a reserve bin holds
any. It is filled up for some days at once. Reserve bins give in the turn of :mod:`fulfil.planning.which_bin`, the
oldest pieces first; they go into the picking bin with the fewest pieces of those that are empty or hold their lot
(ties by code).

Whoever goes fetches first and fills after that, each on a shortest walk. What is fetched is counted as an order's bags
are (:mod:`fulfil.counting.count_lines`); a reserve bin that is wanted whole is carried as it is.

Limits: how much a bin has room for nobody tells; the order lines of today that are still to be planned are no part of
tomorrow's usual take.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from fulfil.errors import PlanRefused
from fulfil.orders.came_in import came_in
from fulfil.orders.places import free_bins
from fulfil.planning.usual_day import UsualDay, usual_day
from fulfil.planning.which_bin import ranks_of, taken_from
from fulfil.records.finding import Finding
from fulfil.records.pieces import StockEntry
from fulfil.records.place import Bin, BinUse, RoomElement
from fulfil.records.plan import WalkRecord
from fulfil.records.revised import revised
from fulfil.shop.clock import day_span, local_day
from fulfil.stock.bin_to_bin import takes_lot
from fulfil.stock.levels import USED
from fulfil.store.books import Books
from fulfil.walks.floor import floor_of, in_walking_order

DAYS = 365
"""How far picking is looked back on."""


@dataclass(frozen=True)
class Refill:
    """Pieces to bring from a reserve bin to a picking bin, and why: what is free there, what a usual day takes.

    ``is_all``: the reserve bin is empty then, so nobody needs to count.
    """

    from_bin: Bin
    to_bin: Bin
    pieces: int
    free: int
    usual: UsualDay
    is_all: bool


@dataclass(frozen=True)
class Refills:
    """What to bring, in the order of fetching; ``filling`` are the picking bins in the order of filling them."""

    rows: tuple[Refill, ...]
    filling: tuple[str, ...]
    findings: tuple[Finding, ...]
    fetch_mm: int
    fill_mm: int


def refills(books: Books, *, day: date, days: int) -> Refills:
    """What to bring in the evening of a day, enough for so many days.

    Raises:
        PlanRefused: fewer days than one.
    """
    if days < 1:
        raise PlanRefused("fill up picking bins for", f"{days} days", "1 or more")
    reserve = [place for place in books.find(Bin, use=BinUse.RESERVE) if place.pieces]
    parts = sorted({place.part_number for place in reserve})
    usual = _usual_days(books, parts, day)
    of_part: dict[str, list[Bin]] = defaultdict(list)
    bins = {place.code: place for place in books.find(Bin, part_number=parts)} if parts else {}
    free = free_bins(books, bins.values())
    for place in free:
        of_part[place.part_number].append(place)
    first = came_in(books, free, parts) if books.settings().first_in_first_out else {}
    rows: list[Refill] = []
    findings: list[Finding] = []
    for part in parts:
        if part in usual:
            found, odd = _of_part(part, of_part[part], bins, usual[part], days, first)
            rows += found
            findings += odd
    return _walked(books, rows, findings)


def _usual_days(books: Books, parts: Sequence[str], day: date) -> dict[str, UsualDay]:
    """The next day of each part of which any was picked, by the days on which the shop walked."""
    settings = books.settings()
    since = day - timedelta(days=DAYS)
    walks = books.between(WalkRecord, "day", since, day + timedelta(days=1))
    walked = {walk.day for walk in walks if walk.released_at is not None}
    if not walked or not parts:
        return {}
    start, end = day_span(since, settings)[0], day_span(day, settings)[1]
    taken: dict[str, dict[date, int]] = defaultdict(lambda: defaultdict(int))
    for entry in books.between(StockEntry, "at", start, end, part_number=[*parts], reason=[*USED]):
        taken[entry.part_number][local_day(entry.at, settings)] -= entry.bin_change
    found = {}
    for part, by_day in taken.items():
        pieces = [n for n in by_day.values() if n > 0]
        days = max(len(walked), len(pieces))
        found[part] = usual_day(pieces, days=days, chance=settings.service_level)
    return found


def _of_part(
    part: str, free: Iterable[Bin], bins: Mapping[str, Bin], usual: UsualDay, days: int, first: Mapping[str, date]
) -> tuple[list[Refill], list[Finding]]:
    picking = [place for place in free if place.use is BinUse.PICKING]
    reserve = {place.code: place for place in free if place.use is BinUse.RESERVE and place.pieces}
    have = sum(place.pieces for place in picking)
    if have >= usual.most or not reserve:
        return [], []
    if not picking:
        says = f"has no picking bin, and {sum(one.pieces for one in reserve.values())} pieces in reserve"
        do = f"give it one: fulfil bins change {min(reserve)} --use picking"
        return [], [Finding("bins", None, "part", part, says, do)]
    wanted = usual.over(days) - have
    now = {place.code: bins[place.code] for place in picking}
    rows, odd = [], []
    levels = {code: place.pieces for code, place in reserve.items()}
    for code, pieces in taken_from(levels, wanted, ranks_of(reserve.values(), first)):
        fits = [place for place in now.values() if takes_lot(place, bins[code].lot)]
        if not fits:
            says = f"of lot {bins[code].lot or 'unknown'} can't be poured on another lot in its picking bins"
            do = "let the walks empty one of them, or give the part a second picking bin"
            odd.append(Finding("bins", None, "bin", code, says, do))
            continue
        to_bin = min(fits, key=lambda place: (place.pieces, place.code))
        rows.append(Refill(bins[code], bins[to_bin.code], pieces, have, usual, pieces == bins[code].pieces))
        now[to_bin.code] = revised(to_bin, {"pieces": to_bin.pieces + pieces, "lot": bins[code].lot})
    return rows, odd


def _walked(books: Books, rows: Sequence[Refill], findings: Sequence[Finding]) -> Refills:
    if not rows:
        return Refills((), (), tuple(findings), 0, 0)
    floor = floor_of(books.find(RoomElement))

    def walk(places: Iterable[Bin]) -> tuple[list[str], int]:
        once = {place.code: place for place in places}
        tour = floor.room.shortest_walk([floor.stop_of(place) for place in once.values()])
        return [place.code for place in in_walking_order(floor, once.values(), tour)], tour.length_mm

    fetching, fetch_mm = walk(row.from_bin for row in rows)
    filling, fill_mm = walk(row.to_bin for row in rows)
    order = {code: place for place, code in enumerate(fetching)}
    turn = {code: place for place, code in enumerate(filling)}
    ordered = sorted(rows, key=lambda row: (order[row.from_bin.code], turn[row.to_bin.code]))
    return Refills(tuple(ordered), tuple(filling), tuple(findings), fetch_mm, fill_mm)
