"""A closed day takes no new fact: what is written down after a day's closing can't claim to be from before it.

Every writing step ends here, whichever room it comes from. A step's time may be given (a bench that was cut off sends
its weighings later), so the time alone proves nothing: a record whose time lies on a closed day of the shop's own
calendar, before that day was closed, would change what was signed. What happens on the same date after the closing
(orders that come in at night) is new and may be written down. An order's pieces count from the time at which the
customer ordered, and may come in later.

Limits: a manifest's day is given by the clerk, not by the clock; its room asks :func:`must_be_open`.
"""

from collections.abc import Iterable
from datetime import date, datetime

from sqlalchemy.engine import Connection

from fulfil.errors import StateRefused
from fulfil.records.day_close import ClosedDay
from fulfil.store.reading import Reads

_HOW = "a time after the closing; say when it was written down, and write what is late into today's books"


def must_not_reach_back(connection: Connection, times: Iterable[datetime]) -> None:
    """Refuses a step that records something at a time before the closing of that time's day.

    Raises:
        StateRefused: with the time and who closed that day when.
    """
    reads = Reads(connection)
    last = reads.greatest(ClosedDay, "at")
    before = sorted({at for at in times if last is not None and at < last})
    if not before:
        return
    settings = reads.settings()
    for at in before:
        closed = reads.get(ClosedDay, settings.on_the_clock(at).date())
        if closed is not None and at < closed.at:
            when, closed_at = (f"{settings.on_the_clock(one):%Y-%m-%d %H:%M %Z}" for one in (at, closed.at))
            raise StateRefused("write down something of", when, f"{_HOW}; {closed.person} closed that day {closed_at}")


def must_be_open(books: Reads, day: date, tried: str, value: object) -> None:
    """Refuses to put something on a day that is closed.

    Raises:
        StateRefused: with who closed the day when.
    """
    closed = books.get(ClosedDay, day)
    if closed is not None:
        at = f"{books.settings().on_the_clock(closed.at):%H:%M %Z}"
        raise StateRefused(tried, value, f"a day still open; {closed.person} closed {day} at {at}")
