"""When a service collects next, and why not earlier: weekdays, cut-offs, public holidays, closures. Shop's own time.

A service collects on its weekdays, at the cut-off of that weekday, in the time zone of the shop. Nobody collects on a
public holiday that the carrier keeps or the shop does, nor while either is closed.

>>> from fulfil.records.tiny import SERVICE
>>> weekdays = SERVICE.model_copy(update={"collection_days": "Mon Tue Wed Thu Fri", "cut_offs": "Fri 15:00"})
>>> shop = Collections(Settings(time_zone="Europe/Luxembourg", public_holidays="LU"), [])
>>> friday = datetime(2026, 6, 19, 13, 1, tzinfo=UTC)  # 15:01 in Luxembourg, one minute late
>>> print(shop.leaving(weekdays, friday).says)
too late for today's collection at 15:00: leaves Monday 2026-06-22 at 16:30 CEST
>>> print(shop.leaving(weekdays, datetime(2026, 6, 22, 14, 31, tzinfo=UTC)).says)
too late for today's collection at 16:30: leaves Wednesday 2026-06-24 at 16:30 CEST, after National Day (LU)
>>> shop.leaving(weekdays, datetime(2026, 6, 22, 14, 30, tzinfo=UTC)).is_today
True

Limits: one collection a day. Where a clock change skips a cut-off, the collection is as much later as the clock jumps.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from fulfil.errors import StateRefused
from fulfil.records.despatch.service import WEEK, Closure, Service
from fulfil.records.settings import Settings
from fulfil.standards import public_holidays

_MOST_DAYS = 366
_DAY_NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


@dataclass(frozen=True)
class Leaving:
    """When a package that is ready at a moment is collected, in the shop's time zone.

    ``skipped`` are the days from the moment's own on without a collection for it, each with its reason.
    """

    at: datetime
    skipped: tuple[tuple[date, str], ...]

    @property
    def is_today(self) -> bool:
        """Whether it leaves on the day of the moment."""
        return not self.skipped

    @property
    def says(self) -> str:
        """When it leaves; where that isn't today, first why, and last what lies between."""
        leaves = f"leaves {_DAY_NAMES[self.at.weekday()]} {self.at:%Y-%m-%d} at {self.at:%H:%M %Z}"
        if not self.skipped:
            return leaves
        (_, today), *between = self.skipped
        named = list(dict.fromkeys(why for _, why in between if not why.startswith(_NO_WEEKDAY)))
        return f"{today}: {leaves}" + (f", after {', '.join(named)}" if named else "")


_NO_WEEKDAY = "no collection on a "


class Collections:
    """The calendar of a shop and its carriers."""

    def __init__(self, settings: Settings, closures: Iterable[Closure]) -> None:
        self._zone = ZoneInfo(settings.time_zone)
        self._shops_holidays = settings.public_holidays
        self._closures = sorted(closures, key=lambda one: (one.service_code, one.first_day))

    def why_none(self, service: Service, day: date) -> str:
        """Why a service doesn't collect on a day; empty where it does."""
        weekday = WEEK[day.weekday()]
        if service.collection_days and weekday not in service.collection_days.split():
            return f"{_NO_WEEKDAY}{_DAY_NAMES[day.weekday()]}"
        for code in dict.fromkeys((service.holidays or self._shops_holidays, self._shops_holidays)):
            if name := public_holidays.name_of(code, day):
                return f"{name} ({code})"
        for one in self._closures:
            if one.service_code in ("", service.code) and one.first_day <= day <= one.last_day:
                who = f"{one.service_code} does not collect" if one.service_code else "the shop is closed"
                return f"{who} ({one.why})" if one.why else who
        return ""

    def collection(self, service: Service, day: date) -> datetime | None:
        """When a service collects on a day of the shop; None where it doesn't."""
        if self.why_none(service, day):
            return None
        said = datetime.combine(day, service.cut_off_on(day), self._zone)
        return said.astimezone(UTC).astimezone(self._zone)

    def next_leaving(self, service: Service, at: datetime) -> Leaving | None:
        """As :meth:`leaving`; None where the service doesn't collect within a year."""
        try:
            return self.leaving(service, at)
        except StateRefused:
            return None

    def leaving(self, service: Service, at: datetime) -> Leaving:
        """When a package that is ready at a moment leaves; one that is ready at the cut-off itself is in time.

        Raises:
            StateRefused: when the service doesn't collect within a year.
        """
        today = at.astimezone(self._zone).date()
        skipped: list[tuple[date, str]] = []
        for day in (today + timedelta(days=later) for later in range(_MOST_DAYS)):
            collected = self.collection(service, day)
            # In UTC: two moments of one zone are else compared by their clocks, also over a change of these.
            if collected is not None and collected.astimezone(UTC) >= at.astimezone(UTC):
                return Leaving(collected, tuple(skipped))
            why = self.why_none(service, day)
            if collected is not None:
                why = f"too late for today's collection at {collected:%H:%M}"
            skipped.append((day, why))
        expected = f"a collection within a year; {today}: {skipped[0][1]}; see services.csv and closures.csv"
        raise StateRefused("find the next collection of", service.code, expected)
