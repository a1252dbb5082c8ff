"""The day against the twenty working days before it: hours by stage, walk saved, counts proven, mistakes, shorts, cost.

>>> round(busy_hours([0.0, 60.0, 100.0, 1000.0, 1030.0]) * 3600)
130

*Hours* are measured, not planned. A walk takes from the event with which it began to that with which it ended; of it,
the walking itself is its length by the speed in the settings, and the rest searching, reaching and counting. Checking
and packing take what lies between one weighing and the next of the same person, where that is no longer than five
minutes: a longer pause is something else (common practice). A stage of which nothing was written down has no hours.

*Counts proven* are bags that passed by their weight; the others were counted by hand. *Cost an order* is what the shop
expects to pay the services for the day's packages, by the orders sent; wages aren't in it. What is usual is the median
of the days before, so that one odd day doesn't move it.

Limits: simulated weighings count like real ones, so the demo's times are invented; a walk that was split counts once.
"""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import pairwise

from fulfil.records.bench import Recount, RecountState
from fulfil.records.despatch.dispatch import JournalEntry, Manifest, Package
from fulfil.records.despatch.tariff import Charge, ChargedSurcharge
from fulfil.records.happening import Happening
from fulfil.records.pieces import Owed, OwedEntry
from fulfil.records.plan import PlanRecord, WalkRecord
from fulfil.records.weighing import Verdict, WeighedKind, WeighingRecord
from fulfil.shop.clock import day_span, local_day
from fulfil.standards.iso4217 import minor_digits
from fulfil.store.books import Books
from fulfil.walks.times import time_model_of

DAYS_BEFORE = 20
_CALENDAR_DAYS = 30
"""Where the working days before are looked for: four weeks and a holiday or two."""
LONGEST_PAUSE_S = 300.0


@dataclass(frozen=True)
class Course:
    """One figure: of the day, and of the working days before it, oldest first; None where nothing was written down."""

    name: str
    unit: str
    today: float | None
    before: tuple[float | None, ...]


@dataclass(frozen=True)
class DayFigures:
    """The day's figures, and which parts were likely taken for which: (wanted, taken, bags), most first.

    ``days`` are how many working days stand before the day.
    """

    day: date
    days: int
    courses: tuple[Course, ...]
    pairs: tuple[tuple[str, str, int], ...]


def day_figures(books: Books, day: date) -> DayFigures:
    """Reads the day and the days before it; what is older is never looked at."""
    first = day - timedelta(days=_CALENDAR_DAYS)
    settings = books.settings()
    start, end = day_span(first, settings)[0], day_span(day, settings)[1]
    walks: dict[date, list[WalkRecord]] = defaultdict(list)
    for walk in books.between(WalkRecord, "day", first, day + timedelta(days=1)):
        walks[walk.day].append(walk)
    plans: dict[date, list[PlanRecord]] = defaultdict(list)
    for plan in books.between(PlanRecord, "day", first, day + timedelta(days=1)):
        plans[plan.day].append(plan)
    weighed: dict[date, list[WeighingRecord]] = defaultdict(list)
    for one in books.between(WeighingRecord, "at", start, end):
        weighed[local_day(one.at, settings)].append(one)
    earlier = sorted({*walks, *weighed} - {day})[-DAYS_BEFORE:]
    days = [*earlier, day]
    walked = _walk_hours(books, [one for each in days for one in walks[each]], start, end)
    speed_mm_h = 3600 * time_model_of(settings).speed_mm_s
    slips = [one for one in books.between(Recount, "at", start, end) if one.state is not RecountState.UNDONE]
    back = Counter(local_day(one.at, settings) for one in {one.bag_code: one for one in reversed(slips)}.values())
    moved = books.between(OwedEntry, "at", start, end, to_place=Owed.SHORT)
    short = {each: set[tuple[str, int]]() for each in days}
    for move in moved:
        short.setdefault(local_day(move.at, settings), set()).add((move.order_number, move.line_no))
    rows: dict[str, list[float | None]] = defaultdict(list)
    costs, currency = _costs(books, first, day)
    for each in days:
        timed = [(walk, walked[walk.number]) for walk in walks[each] if walk.number in walked]
        on_foot = sum(min(hours, walk.length_mm / speed_mm_h) for walk, hours in timed)
        bags = [one for one in weighed[each] if one.kind is WeighedKind.BAG]
        passed = [one for one in bags if one.verdict is Verdict.PASSED]
        rows["walking, hours"].append(on_foot if timed else None)
        rows["searching and counting, hours"].append(sum(hours for _, hours in timed) - on_foot if timed else None)
        rows["checking, hours"].append(_hours(bags))
        rows["packing, hours"].append(_hours([one for one in weighed[each] if one.kind is WeighedKind.PACKAGE]))
        alone_mm = sum(plan.one_by_one_mm for plan in plans[each])
        length_mm = sum(plan.length_mm for plan in plans[each])
        rows["walking saved against one walk per order, %"].append(
            100 * (1 - length_mm / alone_mm) if alone_mm else None
        )
        rows["counts proven by weight, %"].append(
            100 * sum(not one.was_counted for one in passed) / len(passed) if passed else None
        )
        rows["bags sent back, %"].append(100 * back[each] / len({one.subject for one in bags}) if bags else None)
        rows["lines short"].append(float(len(short[each])))
        rows[f"cost an order, {currency}"].append(costs.get(each))
    courses = tuple(
        Course(name.partition(", ")[0], name.partition(", ")[2], values[-1], tuple(values[:-1]))
        for name, values in rows.items()
    )
    taken = Counter(
        (one.part_number, one.other_part) for one in slips if one.other_part and local_day(one.at, settings) in {*days}
    )
    pairs = sorted(((*pair, bags) for pair, bags in taken.items()), key=lambda one: (-one[2], one))
    return DayFigures(day, len(earlier), courses, tuple(pairs))


def busy_hours(seconds: Sequence[float]) -> float:
    """Hours between moments in order, without the pauses."""
    return sum(gap for gap in (b - a for a, b in pairwise(seconds)) if gap <= LONGEST_PAUSE_S) / 3600


def _hours(weighed: Sequence[WeighingRecord]) -> float | None:
    """What each person's weighings took; None where nobody weighed twice."""
    by_person: dict[str, list[float]] = defaultdict(list)
    for one in weighed:
        by_person[one.person].append(one.at.timestamp())
    several = [sorted(moments) for moments in by_person.values() if len(moments) > 1]
    return sum(map(busy_hours, several)) if several else None


def _walk_hours(books: Books, walks: Sequence[WalkRecord], start: datetime, end: datetime) -> dict[str, float]:
    """How long the walks took whose beginning and end were said."""
    numbers = {walk.number for walk in walks}
    begun: dict[str, datetime] = {}
    took: dict[str, float] = {}
    said = books.between(JournalEntry, "at", start, end, event=[Happening.WALK_BEGUN, Happening.WALK_ENDED])
    for entry in sorted(said, key=lambda one: one.at):
        if entry.subject in numbers and entry.event == Happening.WALK_BEGUN:
            begun[entry.subject] = entry.at
        elif entry.subject in begun:
            took.setdefault(entry.subject, (entry.at - begun[entry.subject]).total_seconds() / 3600)
    return took


def _costs(books: Books, first: date, day: date) -> tuple[dict[date, float], str]:
    """What services are expected to take for each order sent on a day, in the one currency that they are paid in."""
    manifests = {one.number: one.day for one in books.between(Manifest, "day", first, day + timedelta(days=1))}
    sent = books.find(Package, manifest_number=sorted(manifests))
    numbers = sorted(one.number for one in sent)
    charges = books.find(Charge, package_number=numbers)
    if len({one.currency for one in charges}) != 1:
        return {}, ""
    more = Counter[str]()
    for surcharge in books.find(ChargedSurcharge, package_number=numbers):
        more[surcharge.package_number] += surcharge.amount_minor
    day_of = {one.number: manifests[one.manifest_number] for one in sent}
    spent = Counter[date]()
    for charge in charges:
        spent[day_of[charge.package_number]] += charge.price_minor + more[charge.package_number]
    orders: dict[date, set[str]] = defaultdict(set)
    for one in sent:
        orders[day_of[one.number]].add(one.order_number)
    unit = 10 ** minor_digits(charges[0].currency)
    return {each: spent[each] / unit / len(orders[each]) for each in spent}, charges[0].currency
