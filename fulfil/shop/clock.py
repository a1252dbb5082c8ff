"""Moments as the shop's own clock shows them: stored in UTC, said in the shop's time zone.

>>> closed = datetime(2026, 3, 2, 13, 58, tzinfo=UTC)
>>> local_time(closed, Settings(time_zone="Europe/Luxembourg")), local_hour(closed, Settings())
('2026-03-02 14:58 CET', '13:58 UTC')
"""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from fulfil.records.settings import Settings


def local_time(at: datetime, settings: Settings) -> str:
    """Day, time and zone."""
    return f"{local(at, settings):%Y-%m-%d %H:%M %Z}"


def local_hour(at: datetime, settings: Settings) -> str:
    """Time and zone."""
    return f"{local(at, settings):%H:%M %Z}"


def local_day(at: datetime, settings: Settings) -> date:
    """The day in the shop."""
    return local(at, settings).date()


def day_span(day: date, settings: Settings) -> tuple[datetime, datetime]:
    """The shop's midnight before a day and the one after it.

    >>> day_span(date(2026, 3, 29), Settings(time_zone="Europe/Luxembourg"))[1].hour
    22
    """
    zone = ZoneInfo(settings.time_zone)
    start, end = (datetime.combine(one, time(), zone).astimezone(UTC) for one in (day, day + timedelta(days=1)))
    return start, end


def local(at: datetime, settings: Settings) -> datetime:
    """The same moment on the shop's clock."""
    return settings.on_the_clock(at)
