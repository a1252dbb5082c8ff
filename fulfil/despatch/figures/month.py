"""A month day by day: what came in, what left, and which days are closed.

Every figure is counted from the books; a day on which nothing happened is left out.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from fulfil.records.day_close import ClosedDay
from fulfil.records.despatch.dispatch import Manifest, ManifestState
from fulfil.records.order import Order
from fulfil.shop.clock import day_span, local_day
from fulfil.store.shop import Shop


@dataclass(frozen=True)
class MonthDay:
    """A day: orders received, manifests closed with their packages and gross mass in g, its closing if it has one."""

    day: date
    orders: int
    manifests: int
    packages: int
    weight_g: Decimal
    closed: ClosedDay | None


def month_days(shop: Shop, month: date) -> tuple[MonthDay, ...]:
    """The days of the month of ``month``, on the shop's clock."""
    first = month.replace(day=1)
    after = (first + timedelta(days=31)).replace(day=1)
    with shop.reading() as books:
        settings = books.settings()
        start, end = day_span(first, settings)[0], day_span(after - timedelta(days=1), settings)[1]
        received = books.between(Order, "received_at", start, end)
        manifests = books.between(Manifest, "day", first, after, state=ManifestState.CLOSED)
        closings = {one.day: one for one in books.between(ClosedDay, "day", first, after)}
    came = Counter(local_day(order.received_at, settings) for order in received)
    return tuple(
        _day(day, came[day], [one for one in manifests if one.day == day], closings.get(day))
        for day in sorted({*came, *closings, *(one.day for one in manifests)})
    )


def _day(day: date, orders: int, manifests: Sequence[Manifest], closed: ClosedDay | None) -> MonthDay:
    weight_g = sum((one.weight_g for one in manifests), Decimal(0))
    return MonthDay(day, orders, len(manifests), sum(one.packages for one in manifests), weight_g, closed)
