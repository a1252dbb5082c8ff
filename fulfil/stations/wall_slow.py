"""What the wall shows that takes a while to work out: what drifts, and the minutes that walks and counting have saved.

Looked at once a minute for all walls. Minutes are what the shop's own times say: walking one order after the other, at
the settings' speed, less the planned walks; a passed bag's pieces by hand, less the weighings it took
(:mod:`fulfil.weighing.count_times`). They are estimates of time, not of money.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from threading import Lock

from fulfil.counting.drift import drift_of_day
from fulfil.counting.scale_alarms import standing_alarms
from fulfil.counting.timed_checks import count_times
from fulfil.quantities import print_metres
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.happening import Happening
from fulfil.records.plan import Bag, BagState, CountMethod, PlanRecord
from fulfil.shop.clock import day_span, local_day
from fulfil.store.books import Books

EVERY = timedelta(minutes=1)


@dataclass(frozen=True)
class SlowFacts:
    """Sentences on what drifts; what was saved, in seconds, each with its sentence."""

    drifts: tuple[str, ...] = ()
    by_walks: tuple[tuple[float, str], ...] = ()
    by_counting: tuple[tuple[float, str], ...] = ()


@dataclass
class SlowLook:
    """Works them out anew once they are a minute old."""

    _at: datetime | None = None
    _facts: SlowFacts = field(default_factory=SlowFacts)
    _lock: Lock = field(default_factory=Lock)

    def of(self, books: Books, at: datetime) -> SlowFacts:
        """The facts; whoever comes while they are worked out gets the last ones."""
        if self._lock.acquire(blocking=self._at is None):
            try:
                if self._at is None or not timedelta(0) <= at - self._at < EVERY:
                    self._facts, self._at = slow_facts(books, at), at
            finally:
                self._lock.release()
        return self._facts


def slow_facts(books: Books, at: datetime) -> SlowFacts:
    """What drifts and what was saved on the day of this moment."""
    settings = books.settings()
    day = local_day(at, settings)
    speed_mm_s = 1000 * settings.walk_m_per_s
    plans = [
        (
            (plan.one_by_one_mm - plan.length_mm) / speed_mm_s,
            f"plan {plan.wave}: one walk an order would be {print_metres(plan.one_by_one_mm)}, "
            f"planned are {print_metres(plan.length_mm)}",
        )
        for plan in books.find(PlanRecord, day=day)
    ]
    standing = {
        alarm.scale_code: f"scale {alarm.scale_code}: {alarm.says}. {alarm.do}" for alarm in standing_alarms(books)
    }
    found = [
        f"{finding.source}: {finding.says}. {finding.do}"
        for finding in drift_of_day(books, day).findings
        if finding.source.partition(",")[0].removeprefix("scale ") not in standing
    ]
    return SlowFacts((*standing.values(), *found), tuple(plans), tuple(_counted(books, at)))


def _counted(books: Books, at: datetime) -> list[tuple[float, str]]:
    """Bags that were weighed and passed on the day, with what that saved."""
    settings = books.settings()
    day = local_day(at, settings)
    start, end = day_span(day, settings)
    codes = {one.subject for one in books.between(JournalEntry, "at", start, end, event=Happening.BAG_CHECKED)}
    times = count_times(books, day)
    ways: dict[CountMethod, Callable[[Bag], float]] = {
        CountMethod.WEIGH: lambda _: times.weighed_s(1),
        CountMethod.TARE: lambda _: times.poured_s(1),
        CountMethod.POUR: lambda bag: times.poured_s(bag.pours, odd_pieces=bag.odd_pieces),
    }
    found = []
    for bag in books.find(Bag, code=sorted(codes), state=[BagState.PASSED, BagState.PACKED]):
        if bag.method in ways:
            saved = times.by_hand_s(bag.pieces) - ways[bag.method](bag)
            found.append((saved, f"bag {bag.code}: {bag.pieces} pieces by weight, {saved:.0f} s saved"))
    return found
