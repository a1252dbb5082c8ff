"""Which walks to go when, who goes them, and which service may be late: from a moment on, with so many people.

A walk must have ended ``check_and_pack_minutes`` (a setting) before the collection of each service that its orders go
by, on the day or, where a service doesn't collect on it, after it (:mod:`fulfil.shop.collecting`). A walk is over when
somebody said so, when its cart is at a bench, or when a bag of it was checked; it is left out. A walk in somebody's
hands stays with them, for the time that it likely still takes (:mod:`fulfil.planning.paces`). The other walks are
shared out by :mod:`fulfil.planning.people`, and the chance that a service is late is seen by
:mod:`fulfil.planning.lateness`.
"""

from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from math import exp

import numpy as np

from fulfil.planning.lateness import Due, Foreseen, Help, UnderWay, foresee
from fulfil.planning.paces import left_s
from fulfil.planning.waves import DayOfWaves, TimedWalk, plan_waves
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.despatch.service import Service
from fulfil.records.happening import Happening
from fulfil.records.order import Order
from fulfil.records.plan import Bag, BagState, WalkRecord
from fulfil.records.settings import Settings
from fulfil.shop.clock import local
from fulfil.shop.collecting import cut_offs_of
from fulfil.store.books import Books
from fulfil.walks.times import ENDED, expected_seconds, pace_of, rush_share, walk_times, whose_hands
from fulfil.walks.under_way.rushed import rushed_orders

__all__ = ["Foreseen", "Help", "Schedule", "schedule_walks"]

NOTED = Happening.WALK_PICKED


@dataclass(frozen=True)
class Schedule:
    """Who goes which walk when, and what each service has to expect.

    Attributes:
        begins: the moment from which all seconds count.
        pickers: so many people, with those who are out.
        waves: the walks shared out.
        walks: open walks and those under way, by number.
        hands: for each walk under way who is on it since when.
        services: for each walk the service that collects first among its orders.
        cut_offs: for each walk when that service collects.
        names: for each service's code its name.
        must_end: for each service's code when its walks must have ended.
        foreseen: what each service has to expect, the first to collect first.
        not_said: walks still in the hands of somebody who has begun another since: their end was likely not said.
    """

    begins: datetime
    pickers: int
    waves: DayOfWaves
    walks: dict[str, WalkRecord]
    hands: dict[str, JournalEntry]
    services: dict[str, Service]
    cut_offs: dict[str, datetime]
    names: dict[str, str]
    must_end: dict[str, datetime]
    foreseen: list[Foreseen]
    not_said: tuple[JournalEntry, ...]

    def at(self, seconds: int) -> datetime:
        """A moment of the day."""
        return self.begins + timedelta(seconds=seconds)


def schedule_walks(
    books: Books, *, day: date, begins: datetime, rng: np.random.Generator, pickers: int | None = None
) -> Schedule:
    """Shares the day's walks that are not over out over people who begin at ``begins``, or when their walk has ended.

    Without ``pickers`` it is as many as are out, at least one.

    Raises:
        PlanRefused: fewer pickers than one, or than people who are out.
    """
    settings = books.settings()
    start = local(begins, settings)
    walks = _not_over(books, day)
    hands, not_said = _in_hands(books, walks)
    walks = [walk for walk in walks if walk.number not in {entry.subject for entry in not_said}]
    done = walk_times(books)
    expected_s, pace, rushed = expected_seconds(books, walks), pace_of(books, done), rush_share(books, done)
    cut_offs = cut_offs_of(books, day)
    packages = _packages(books, walks)
    margin = timedelta(minutes=settings.check_and_pack_minutes)
    must_end = {code: cut_off - margin for code, cut_off in cut_offs.items()}
    rushes = _go_now(books, walks)
    first = {number: min(codes, key=lambda code: (cut_offs[code], code)) for number, codes in packages.items()}

    def seconds_to(code: str) -> int:
        return int((must_end[code] - start).total_seconds())

    out = [
        UnderWay(number, expected_s[number], max(0.0, (start - entry.at).total_seconds()))
        for number, entry in hands.items()
    ]
    under_way = [
        TimedWalk(one.name, left_s(one.expected_s, one.elapsed_s, pace), seconds_to(first[one.name])) for one in out
    ]
    waiting = {walk.number: expected_s[walk.number] for walk in walks if walk.number not in hands}
    likely = [
        TimedWalk(number, -int(-seconds * exp(pace.bias) // 1), seconds_to(first[number]), number in rushes)
        for number, seconds in waiting.items()
    ]
    people = max(1, len(out)) if pickers is None else pickers
    waves = plan_waves(likely, pickers=people, under_way=under_way)
    order = [TimedWalk(turn.walk, waiting[turn.walk]) for turn in waves.shared.turns if turn.walk in waiting]
    dues = [
        Due(code, number, seconds_to(code), count)
        for number, counts in packages.items()
        for code, count in counts.items()
    ]
    services = {service.code: service for service in books.find(Service)}
    return Schedule(
        begins=start,
        pickers=people,
        waves=waves,
        walks={walk.number: walk for walk in walks},
        hands=hands,
        services={number: services[code] for number, code in first.items()},
        cut_offs={number: cut_offs[code] for number, code in first.items()},
        names={code: service.name for code, service in services.items()},
        must_end={due.service: must_end[due.service] for due in dues},
        foreseen=foresee(
            order,
            dues,
            pickers=people,
            pace=pace,
            rng=rng,
            under_way=out,
            rush_share=rushed,
            halving_s=_halving_s(walks, waiting, settings),
        ),
        not_said=not_said,
    )


def _halving_s(walks: Sequence[WalkRecord], waiting: Container[str], settings: Settings) -> dict[str, float]:
    """What a walk of several orders takes longer as two: set-up once more and, with room to spare, half its way."""
    return {
        walk.number: settings.setup_seconds_per_walk + walk.length_mm / 2 / (1000 * settings.walk_m_per_s)
        for walk in walks
        if walk.number in waiting and walk.orders > 1
    }


def _not_over(books: Books, day: date) -> list[WalkRecord]:
    """The day's walks that have neither ended nor come to a bench."""
    of_day = books.find(WalkRecord, day=day)
    numbers = [walk.number for walk in of_day]
    checked = {bag.walk_number for bag in books.find(Bag, walk_number=numbers) if bag.state is not BagState.PLANNED}
    back: dict[str, JournalEntry] = {}
    for entry in books.find(JournalEntry, subject=numbers, event=[ENDED, Happening.WALK_AT_BENCH, NOTED]):
        back[entry.subject] = max(back.get(entry.subject, entry), entry, key=lambda one: one.at)

    def is_over(number: str) -> bool:
        hands, came = whose_hands(books, number), back.get(number)
        if hands is None or came is None:
            return number in checked or came is not None
        # Begun again after its end, a walk is out again; who picked it may be noted while it is out.
        return number in checked or (came.event == Happening.WALK_AT_BENCH and came.at > hands.at)

    return [walk for walk in of_day if not is_over(walk.number)]


def _in_hands(books: Books, walks: list[WalkRecord]) -> tuple[dict[str, JournalEntry], tuple[JournalEntry, ...]]:
    """Who is on which walk, the first to begin first; and walks that the same person was on before."""
    held = [hands for walk in walks if (hands := whose_hands(books, walk.number)) is not None]
    held.sort(key=lambda entry: (entry.at, entry.subject))
    last = {entry.person: entry for entry in held}
    now = {entry.subject: entry for entry in held if last[entry.person] is entry}
    return now, tuple(entry for entry in held if entry.subject not in now)


def _go_now(books: Books, walks: list[WalkRecord]) -> set[str]:
    """The walks with a rush order on them."""
    bags = books.find(Bag, walk_number=[walk.number for walk in walks])
    rushed = rushed_orders(books, (bag.order_number for bag in bags))
    return {bag.walk_number for bag in bags if bag.order_number in rushed}


def _packages(books: Books, walks: list[WalkRecord]) -> Mapping[str, Mapping[str, int]]:
    """For each walk how many orders go by which service."""
    bags = books.find(Bag, walk_number=[walk.number for walk in walks])
    service_of = {
        order.number: order.service_code
        for order in books.find(Order, number=sorted({bag.order_number for bag in bags}))
    }
    found: dict[str, dict[str, int]] = {}
    for walk_number, order_number in sorted({(bag.walk_number, bag.order_number) for bag in bags}):
        counts = found.setdefault(walk_number, {})
        code = service_of[order_number]
        counts[code] = counts.get(code, 0) + 1
    return found
