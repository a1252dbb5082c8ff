"""The stock ledger: every change of a bin is an entry with its reason, and the level is their sum.

Reasons: ``counted`` (what a count found more or less), ``adjusted``, ``received``, ``made``, ``bought``, ``picked``,
``moved`` (from bin to bin), ``undone``, ``pulled``, ``put back``, ``returned``, ``scrapped``, ``rejected``.

*Reorder point* of a part, by the textbook for a steady demand (Silver, Pyke & Peterson, *Inventory Management and
Production Planning and Scheduling*, 3rd ed. 1998, section 7.4): s = m L + k σ √L, with mean m and s.d. σ of a
week's use, lead time L in weeks, and k the normal quantile of the service level, the probability that no piece is short
before new ones come.

>>> reorder_point([10, 14, 6, 10], lead_days=14, service_level=0.95)
28

Limits: use is taken as normal and independent from week to week; a part used once a year wants judgement, not a
formula.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from math import ceil, sqrt
from statistics import NormalDist, fmean, stdev
from typing import TYPE_CHECKING, NamedTuple

from fulfil.errors import StateRefused
from fulfil.orders.places import promised_by_bin, promised_to
from fulfil.records.finding import Finding
from fulfil.records.happening import Happening
from fulfil.records.part import Part, Supply
from fulfil.records.pieces import Owed, OwedBalance, StockEntry, There, bin_move
from fulfil.records.place import Bin
from fulfil.records.shorts import Job
from fulfil.records.text import cut
from fulfil.shop.clock import day_span
from fulfil.stock.jobs import add_job, open_jobs
from fulfil.store.books import Books
from fulfil.store.shop import Shop

if TYPE_CHECKING:
    import pandas as pd

USED = ("picked", "undone", "pulled", "put back")
"""Reasons that are use by orders, and what takes it back."""
WEEKS = 8
OTHER_SIDE = {"received": There.SUPPLIER, "rejected": There.SCRAPPED}
"""Where pieces come from or go to; without an entry, a count found them or missed them."""


@dataclass(frozen=True)
class StockChange:
    """A bin before and after; ``findings`` name orders that were promised more than there is."""

    bin_code: str
    part_number: str
    before: int
    after: int
    findings: tuple[Finding, ...] = ()
    job: Job | None = None


def count_bin(shop: Shop, code: str, pieces: int, *, at: datetime, person: str, note: str = "") -> StockChange:
    """A bin was counted by hand: the difference to the books is booked.

    Raises:
        UnknownRefused: no such bin.
        StateRefused: the count is below zero.
    """
    if pieces < 0:
        raise StateRefused(f"count the bin {code} as", pieces, "0 pieces or more")
    with shop.writing() as books:
        place = books.need(Bin, code)
        return _book(books, place, pieces - place.pieces, "counted", note or "count by hand", at, person)


def adjust_bin(shop: Shop, code: str, change: int, reason: str, *, at: datetime, person: str) -> StockChange:
    """Books pieces in or out of a bin for a reason that has no step of its own.

    Raises:
        UnknownRefused: no such bin.
        StateRefused: no reason, no change, or more than the bin holds.
    """
    if not reason.strip() or not change:
        raise StateRefused("adjust the bin", code, "a change and a reason, for the one who counts next")
    with shop.writing() as books:
        return _book(books, books.need(Bin, code), change, "adjusted", reason.strip(), at, person)


def receive(shop: Shop, code: str, pieces: int, source: str, *, at: datetime, person: str) -> StockChange:
    """Books delivered pieces into a bin; ``source`` is the delivery note.

    Raises:
        UnknownRefused: no such bin.
        StateRefused: nothing came, or nobody says with what.
    """
    if pieces < 1 or not source.strip():
        raise StateRefused("receive into the bin", code, "one piece or more, and the delivery they came with")
    with shop.writing() as books:
        return _book(books, books.need(Bin, code), pieces, "received", source.strip(), at, person)


def reject_pieces(
    shop: Shop, code: str, pieces: int, reason: str, *, day: date, at: datetime, person: str
) -> StockChange:
    """Books bad pieces out of their bin; made parts go onto the make list again.

    Raises:
        UnknownRefused: no such bin.
        StateRefused: no reason, or more than the bin holds.
    """
    if pieces < 1 or not reason.strip():
        raise StateRefused("reject pieces of the bin", code, "one piece or more and what is wrong with them")
    with shop.writing() as books:
        place = books.need(Bin, code)
        change = _book(books, place, -pieces, "rejected", reason.strip(), at, person)
        part = books.need(Part, place.part_number)
        if part.supply is not Supply.MAKE:
            return change
        why = cut(f"rejected: {reason.strip()}")
        job = add_job(books, part, pieces, why, due=None, day=day, at=at, person=person)
    return StockChange(change.bin_code, change.part_number, change.before, change.after, change.findings, job)


def ledger_levels(books: Books) -> dict[str, int]:
    """The level of every bin as the sum of its entries."""
    levels: dict[str, int] = {place.code: 0 for place in books.find(Bin)}
    for entry in books.find(StockEntry):
        for place, code in ((entry.from_place, entry.from_ref), (entry.to_place, entry.to_ref)):
            if place is There.BIN:
                levels[code] = levels.get(code, 0) + entry.change_of(code)
    return levels


class PartLevel(NamedTuple):
    """Of a part: pieces on hand, promised, free of these, short (owed to orders), to come (open jobs)."""

    part: str
    on_hand: int
    promised: int
    free: int
    short: int
    to_come: int


def level_frame(books: Books, parts: Sequence[str] | None = None) -> "pd.DataFrame":
    """:func:`part_levels` as a frame, one row a part."""
    import pandas as pd

    return pd.DataFrame(part_levels(books, parts), columns=[*PartLevel._fields])


def part_levels(books: Books, parts: Sequence[str] | None = None) -> list[PartLevel]:
    """The levels of these parts, or of all that are in a bin, promised, short or to come; by part number."""
    only = {} if parts is None else {"part_number": [*parts]}
    bins = books.find(Bin, **only)
    part_of = {place.code: place.part_number for place in bins}
    sums: dict[str, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for place in bins:
        sums[place.part_number]["on_hand"] += place.pieces
    for code, pieces in promised_by_bin(books).items():
        if code in part_of:
            sums[part_of[code]]["promised"] += pieces
    for one in books.find(OwedBalance, place=Owed.SHORT, **only):
        sums[one.part_number]["short"] += one.pieces
    for job in open_jobs(books):
        if parts is None or job.part_number in parts:
            sums[job.part_number]["to_come"] += job.pieces_open
    return [
        PartLevel(part, of["on_hand"], of["promised"], of["on_hand"] - of["promised"], of["short"], of["to_come"])
        for part, of in sorted(sums.items())
    ]


def use_frame(books: Books, *, until: date, weeks: int = WEEKS) -> "pd.DataFrame":
    """Pieces of each part used in each of the last weeks (columns 1 to ``weeks``, the last one ends on ``until``)."""
    import pandas as pd

    parts = [part.number for part in books.find(Part, is_retired=False)]
    first = until - timedelta(days=7 * weeks - 1)
    settings = books.settings()
    rows = []
    for week in range(1, weeks + 1):
        begins = first + timedelta(days=7 * (week - 1))
        start, end = day_span(begins, settings)[0], day_span(begins + timedelta(days=6), settings)[1]
        rows += [(part, week, -change) for part, change in books.bin_changes(USED, start, end).items()]
    used = pd.DataFrame(rows, columns=["part", "week", "pieces"])
    table = used.pivot_table(index="part", columns="week", values="pieces", aggfunc="sum", fill_value=0)
    return table.reindex(index=parts, columns=range(1, weeks + 1), fill_value=0).astype(int)


def reorder_point(weekly: Sequence[int], *, lead_days: int, service_level: float) -> int:
    """The level at which to order again: the mean use of the lead time and a safety stock, rounded up."""
    weeks = lead_days / 7
    spread = stdev(weekly) if len(weekly) > 1 else 0.0
    safety = NormalDist().inv_cdf(service_level) * spread * sqrt(weeks)
    return max(0, ceil(round(fmean(weekly) * weeks + safety, 9)))


def reorder_frame(books: Books, *, until: date, weeks: int = WEEKS) -> "pd.DataFrame":
    """Parts that were used: free pieces, to come, reorder point, and whether to order now; those to order first."""
    import pandas as pd

    settings = books.settings()
    supply = {part.number: part.supply for part in books.find(Part)}
    days = {Supply.MAKE: settings.make_days, Supply.BUY: settings.buy_days}
    used = use_frame(books, until=until, weeks=weeks)
    used = used[used.sum(axis=1) > 0]
    levels: dict[str, dict[str, int]] = level_frame(books).set_index("part").to_dict("index")  # type: ignore[assignment]
    rows = []
    for number, weekly in used.iterrows():
        part = str(number)
        point = reorder_point([*map(int, weekly)], lead_days=days[supply[part]], service_level=settings.service_level)
        free, to_come, short = (levels[part][name] for name in ("free", "to_come", "short"))
        have = free + to_come - short
        rows.append((part, supply[part].value, int(weekly.sum()), free, to_come, short, point, have <= point))
    columns = ["part", "supply", "used", "free", "to_come", "short", "reorder_point", "order_now"]
    frame = pd.DataFrame(rows, columns=columns)
    return frame.sort_values(["order_now", "used", "part"], ascending=[False, False, True], ignore_index=True)


def movement_frame(books: Books, *, until: date, weeks: int = WEEKS) -> "pd.DataFrame":
    """One row a part: use, level, weeks of cover, and its class, ``fast``, ``slow`` or ``dead``.

    *Fast* are the parts that make up the first 80 % of all pieces used, most used first (the A parts of an ABC
    analysis);
    *dead* are those with stock and no use at all in these weeks.
    """
    import pandas as pd

    used = use_frame(books, until=until, weeks=weeks).sum(axis=1).rename("used")
    levels = level_frame(books).set_index("part")["on_hand"]
    frame = pd.concat([used, levels], axis=1).fillna(0).astype(int).rename_axis("part").reset_index()
    frame = frame.sort_values(["used", "part"], ascending=[False, True], ignore_index=True)
    before = frame["used"].cumsum() - frame["used"]
    is_fast = (frame["used"] > 0) & (before < 0.8 * frame["used"].sum())
    frame["class"] = "slow"
    frame.loc[is_fast, "class"] = "fast"
    frame.loc[(frame["used"] == 0) & (frame["on_hand"] > 0), "class"] = "dead"
    a_week = (frame["used"] / weeks).where(frame["used"] > 0)
    frame["weeks_of_cover"] = (frame["on_hand"] / a_week).round(1)
    return frame


def _book(books: Books, place: Bin, change: int, reason: str, source: str, at: datetime, person: str) -> StockChange:
    if change:
        move = bin_move(
            part_number=place.part_number,
            bin_code=place.code,
            pieces=change,
            reason=reason,
            source=source,
            other=OTHER_SIDE.get(reason, There.FOUND),
        )
        books.move(stock=[move], at=at, person=person)
    after = place.pieces + change
    particulars = {"before": place.pieces, "after": after, "why": cut(source)}
    books.journal(at=at, person=person, event=Happening(f"stock {reason}"), subject=place.code, particulars=particulars)
    return StockChange(place.code, place.part_number, place.pieces, after, over_promised(books, place.code, after))


def over_promised(books: Books, code: str, level: int) -> tuple[Finding, ...]:
    """A bin that was promised more than it holds: who waits for it."""
    promises = promised_to(books, code)
    promised = sum(one.pieces for one in promises)
    if promised <= level:
        return ()
    orders = sorted({one.order_number for one in promises})
    says = f"{promised} pieces are promised to {', '.join(orders)}, the bin holds {level}"
    do = "plan again before release (fulfil walks plan)"
    if any(one.place is Owed.BAGGED for one in promises):
        do = f"bags on a walk wait for them: fulfil bins lacks {code} --holds {level} says what happens to them"
    return (Finding(f"bin {code}", None, "pieces", str(level), says, do),)
