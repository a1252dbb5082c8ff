"""When the shop's services collect: the calendar of its settings, services and closures, asked by every room.

:func:`collections_of` is the calendar, :func:`cut_offs_of` the first collection of each service from a day on, by which
walks, jobs and stacks of papers are ranked, :func:`days_ahead` what a person reads.
"""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from fulfil.records.despatch.service import Closure, Service
from fulfil.shipping.collections import Collections
from fulfil.shop.clock import day_span
from fulfil.store.books import Books

NEVER = datetime(9999, 1, 1, tzinfo=UTC)
"""Stands for the cut-off of a service that collects on no day of the year; it comes last."""


def collections_of(books: Books) -> Collections:
    """The calendar as the shop has it now."""
    return Collections(books.settings(), books.find(Closure))


def cut_offs_of(books: Books, day: date) -> dict[str, datetime]:
    """The first collection of every service on a day or after it, by the service's code."""
    calendar, begins = collections_of(books), day_span(day, books.settings())[0]
    found = {one.code: calendar.next_leaving(one, begins) for one in books.find(Service)}
    return {code: NEVER if leaving is None else leaving.at for code, leaving in found.items()}


@dataclass(frozen=True)
class CollectionDay:
    """A service on one day: when it collects, or why it doesn't."""

    service_code: str
    day: date
    at: datetime | None
    why_none: str


def days_ahead(books: Books, day: date, days: int, service_code: str = "") -> list[CollectionDay]:
    """What the calendar says of so many days from one on, day by day, services by code.

    Raises:
        UnknownRefused: when the shop has no such service.
    """
    calendar = collections_of(books)
    services = [books.need(Service, service_code)] if service_code else books.find(Service, is_retired=False)
    return [
        CollectionDay(service.code, one, calendar.collection(service, one), calendar.why_none(service, one))
        for one in (day + timedelta(days=later) for later in range(days))
        for service in services
    ]
