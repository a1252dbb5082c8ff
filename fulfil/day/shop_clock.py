"""Moments as the shop's own clock shows them: stored in UTC, said in the shop's time zone.

>>> from datetime import UTC
>>> closed = datetime(2026, 3, 2, 13, 58, tzinfo=UTC)
>>> local_time(closed, Settings(time_zone="Europe/Luxembourg")), local_hour(closed, Settings())
('2026-03-02 14:58 CET', '13:58 UTC')
"""

from datetime import date, datetime
from zoneinfo import ZoneInfo

from fulfil.records.settings import Settings


def local_time(at: datetime, settings: Settings) -> str:
    """Day, time and zone."""
    return f"{_local(at, settings):%Y-%m-%d %H:%M %Z}"


def local_hour(at: datetime, settings: Settings) -> str:
    """Time and zone."""
    return f"{_local(at, settings):%H:%M %Z}"


def local_day(at: datetime, settings: Settings) -> date:
    """The day in the shop."""
    return _local(at, settings).date()


def _local(at: datetime, settings: Settings) -> datetime:
    return at.astimezone(ZoneInfo(settings.time_zone))
