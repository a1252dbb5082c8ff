"""What the wall shows: orders by stage against their cut-offs, walks, shorts, and what the checks caught today.

Every figure is a sum over records that are listed behind it; no customer is named, and no checker.
"""

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from fulfil.orders.listed import recent_walks
from fulfil.orders.recounts import open_recounts
from fulfil.papers.elements.counted import counted
from fulfil.papers.elements.day_words import day_words
from fulfil.records.bench import Recount
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.despatch.service import Service
from fulfil.records.happening import Happening
from fulfil.records.order import OPEN, Order, OrderState
from fulfil.shop.clock import day_span, local, local_day, local_hour
from fulfil.stations.wall_slow import SlowFacts
from fulfil.store.books import Books
from fulfil.walks.times import whose_hands

STAGES = ("to plan", "to pick and check", "to pack", "packed", "held")
_STAGE = {
    OrderState.RECEIVED: STAGES[0],
    OrderState.ALLOCATED: STAGES[0],
    OrderState.RELEASED: STAGES[1],
    OrderState.PICKED: STAGES[1],
    OrderState.CHECKED: STAGES[2],
    OrderState.PACKED: STAGES[3],
    OrderState.HELD: STAGES[4],
}
SOON_MIN = 60
"""A cut-off is near from so many minutes before it on."""


@dataclass(frozen=True)
class ServiceRow:
    """A service's open orders by stage; ``left`` says how long until its cut-off, ``kind`` how near that is."""

    code: str
    name: str
    cut_off: str
    left: str
    kind: str
    counts: tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class WallFacts:
    """The wall at one moment; ``records`` lists what is behind each figure, by its name."""

    day: str
    hour: str
    services: tuple[ServiceRow, ...]
    figures: tuple[tuple[str, str, int], ...]
    records: dict[str, tuple[str, ...]]


def wall_facts(books: Books, *, at: datetime, slow: SlowFacts) -> WallFacts:
    """What stands on the wall at this moment; ``slow`` is what was worked out a while ago."""
    settings = books.settings()
    day = local_day(at, settings)
    start, end = day_span(day, settings)
    records: dict[str, tuple[str, ...]] = {}
    rows = _services(books, at, records)
    _walks(books, records)
    jobs = sorted(books.open_jobs(), key=lambda job: job.number)
    records["shorts"] = tuple(
        f"{job.number}: {job.supply.value} {job.pieces_open} of {job.part_number}{', late' if job.is_late(at) else ''}"
        for job in jobs
    )
    caught = sorted(books.between(Recount, "at", start, end), key=lambda slip: slip.number)
    records["sent back today"] = tuple(f"{one.bag_code}, {one.part_number}: {one.reason}" for one in caught)
    records["on the way back"] = tuple(
        f"{one.bag_code} to bin {one.bin_code}, slip {one.number}" for one in open_recounts(books)
    )
    checks = books.between(JournalEntry, "at", start, end, event=Happening.BAG_CHECKED)
    records["checks today"] = tuple(f"{local_hour(one.at, settings)} bag {one.subject}" for one in checks)
    names = (
        ("walks waiting", "Walks not begun"),
        ("walks out", "Walks out"),
        ("shorts", "Jobs open: make or buy"),
        ("checks today", "Checks today"),
        ("sent back today", "Mistakes caught today"),
        ("on the way back", "Bags on the way back"),
        ("drifting", "Scales and parts that drift"),
    )
    records["drifting"] = slow.drifts
    figures = tuple((name, says, len(records[name])) for name, says in names)
    for name, says, saved in (
        ("saved by walks", "Minutes saved by walks", slow.by_walks),
        ("saved by counting", "Minutes saved by weighing", slow.by_counting),
    ):
        records[name] = tuple(sentence for _, sentence in saved)
        figures += ((name, says, round(sum(seconds for seconds, _ in saved) / 60)),)
    return WallFacts(day_words(day), f"{local(at, settings):%H:%M}", rows, figures, records)


def _services(books: Books, at: datetime, records: dict[str, tuple[str, ...]]) -> tuple[ServiceRow, ...]:
    zone = ZoneInfo(books.settings().time_zone)
    orders: dict[tuple[str, str], list[str]] = defaultdict(list)
    for order in books.find(Order, state=OPEN):
        orders[order.service_code, _STAGE[order.state]].append(order.number)
    asked = {service for service, _ in orders}
    rows = []
    for service in sorted(books.find(Service), key=lambda one: (one.cut_off, one.code)):
        if service.code not in asked:
            continue
        ends = datetime.combine(at.astimezone(zone).date(), service.cut_off, zone)
        minutes = int((ends - at).total_seconds() // 60)
        left = f"{minutes // 60} h {minutes % 60:02} min left" if minutes >= 0 else "past its cut-off"
        kind = "late" if minutes < 0 else "soon" if minutes < SOON_MIN else ""
        counts = []
        for stage in STAGES:
            numbers = orders[service.code, stage]
            records[f"{service.code} {stage}"] = tuple(sorted(numbers))
            counts.append((stage, len(numbers)))
        rows.append(ServiceRow(service.code, service.name, f"{service.cut_off:%H:%M}", left, kind, tuple(counts)))
    return tuple(rows)


def _walks(books: Books, records: dict[str, tuple[str, ...]]) -> None:
    settings = books.settings()
    waiting, out = [], []
    walks = [walk for walk in recent_walks(books) if walk.released_at is not None]
    begun = {one.subject for one in books.find(
        JournalEntry, subject=[walk.number for walk in walks], event=Happening.WALK_BEGUN)}  # fmt: skip
    for walk in walks:
        hands = whose_hands(books, walk.number) if walk.number in begun else None
        if hands is not None:
            since = local_hour(hands.at, settings)
            out.append(f"{walk.number}: {hands.person} since {since}, {counted(walk.orders, 'order')}")
        elif walk.number not in begun:
            waiting.append(f"{walk.number}: {counted(walk.orders, 'order')}, {counted(walk.stops, 'stop')}")
    records["walks waiting"], records["walks out"] = tuple(waiting), tuple(out)
