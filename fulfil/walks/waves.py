"""Which walks to release when, and who goes them: the day's walks, the services' cut-offs, so many people.

A walk must have ended ``check_and_pack_minutes`` (a setting) before the earliest collection among its orders, on the
day or, where a service doesn't collect on it, after it (:mod:`fulfil.shop.collecting`). Walks that have ended are left
out; one that has begun still counts in full, since nobody knows how far it is.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from fulfil.planning.waves import DayOfWaves, TimedWalk, plan_waves
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.despatch.service import Service
from fulfil.records.order import Order
from fulfil.records.plan import Bag, WalkRecord
from fulfil.shop.collecting import cut_offs_of
from fulfil.store.books import Books
from fulfil.walks.times import ENDED, expected_seconds


@dataclass(frozen=True)
class Schedule:
    """The waves, the moment from which their seconds count, and for each walk whose collection it must reach when."""

    begins: datetime
    waves: DayOfWaves
    walks: dict[str, WalkRecord]
    services: dict[str, Service]
    cut_offs: dict[str, datetime]

    def at(self, seconds: int) -> datetime:
        """A moment of the day."""
        return self.begins + timedelta(seconds=seconds)


def schedule_walks(books: Books, *, day: date, pickers: int, begins: time) -> Schedule:
    """Shares the day's open walks out over people who all begin at ``begins``, local time of the shop.

    Raises:
        PlanRefused: fewer than one picker.
    """
    settings = books.settings()
    start = datetime.combine(day, begins, ZoneInfo(settings.time_zone))
    of_day = books.find(WalkRecord, day=day)
    ended = books.find(JournalEntry, subject=[walk.number for walk in of_day], event=ENDED)
    done = {entry.subject for entry in ended}
    walks = [walk for walk in of_day if walk.number not in done]
    seconds = expected_seconds(books, walks)
    cut_offs = cut_offs_of(books, day)
    service_of = first_services(books, walks, cut_offs)
    margin = timedelta(minutes=settings.check_and_pack_minutes)
    timed = []
    for walk in walks:
        must_end = cut_offs[service_of[walk.number].code] - margin
        timed.append(TimedWalk(walk.number, seconds[walk.number], int((must_end - start).total_seconds())))
    return Schedule(
        begins=start,
        waves=plan_waves(timed, pickers=pickers),
        walks={walk.number: walk for walk in walks},
        services=service_of,
        cut_offs={number: cut_offs[service.code] for number, service in service_of.items()},
    )


def first_services(books: Books, walks: list[WalkRecord], cut_offs: Mapping[str, datetime]) -> dict[str, Service]:
    """For each walk the service that collects first among its orders, ties by code."""
    bags = books.find(Bag, walk_number=[walk.number for walk in walks])
    orders = {order.number: order for order in books.find(Order, number=sorted({bag.order_number for bag in bags}))}
    services = {service.code: service for service in books.find(Service)}
    found: dict[str, Service] = {}
    for bag in bags:
        service = services[orders[bag.order_number].service_code]
        before = found.setdefault(bag.walk_number, service)
        if (cut_offs[service.code], service.code) < (cut_offs[before.code], before.code):
            found[bag.walk_number] = service
    return found
