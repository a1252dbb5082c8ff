"""A scale's drift stays alarmed until somebody says what was done about it, and nothing is learned meanwhile.

A scale's chart covers one day. A shift that nobody heeds alarms on that day and, where it is learned from, goes into
the unit weights within weeks, until nothing alarms any more and every figure is wrong. So an alarm is kept: it stands
on each later day, whatever that day's chart says, until a person names what was done; and what the scale weighed from
the first weighing that was off until then teaches no unit weight, then or later.
"""

from collections.abc import Sequence
from datetime import datetime

from fulfil.errors import StateRefused
from fulfil.records.happening import Happening
from fulfil.records.revised import revised
from fulfil.records.text import cut
from fulfil.records.weighing import ScaleAlarm
from fulfil.store.books import Books


def standing_alarms(books: Books) -> tuple[ScaleAlarm, ...]:
    """The alarms that nobody has acted on, by scale."""
    return tuple(alarm for alarm in books.find(ScaleAlarm) if alarm.acted_at is None)


def is_under_alarm(alarms: Sequence[ScaleAlarm], scale_code: str, at: datetime) -> bool:
    """Whether a weighing was made on a scale while an alarm of it stood; ``alarms`` acted on or not."""
    return any(
        alarm.scale_code == scale_code and alarm.since <= at and (alarm.acted_at is None or at < alarm.acted_at)
        for alarm in alarms
    )


def keep_alarms(books: Books, found: Sequence[tuple[str, datetime, str, str]], *, at: datetime) -> None:
    """Keeps alarms found, as (scale, since, what is said, what to do); a scale with one that stands gets no second."""
    standing = {alarm.scale_code for alarm in standing_alarms(books)}
    books.replace(
        [
            ScaleAlarm(scale_code=code, since=since, said_at=at, says=cut(says), do=cut(do))
            for code, since, says, do in found
            if code not in standing
        ]
    )


def act_on_alarm(books: Books, scale_code: str, reason: str, *, at: datetime, person: str) -> ScaleAlarm:
    """Says what was done about a scale; learning from it begins anew.

    Raises:
        StateRefused: no alarm of the scale stands, or nothing is said of what was done.
    """
    if not reason.strip():
        raise StateRefused("act on the alarm of scale", scale_code, "what was done, in words")
    standing = [alarm for alarm in standing_alarms(books) if alarm.scale_code == scale_code]
    if not standing:
        raise StateRefused("act on the alarm of scale", scale_code, "a scale with an alarm that stands")
    (alarm,) = standing
    acted = revised(alarm, {"acted_at": at, "acted_by": person, "reason": cut(reason.strip())})
    books.replace([acted])
    books.journal(
        at=at,
        person=person,
        event=Happening.SCALE_ALARM_ACTED_ON,
        subject=scale_code,
        particulars={"since": alarm.since.isoformat(), "reason": acted.reason},
    )
    return acted
