"""Alarms of parts and bag types stand until somebody acts on them, as :mod:`fulfil.counting.scale_alarms` do.

A part whose pieces weigh otherwise is out until its lot is sampled again, or until a person says what was done (the
coated variant taken out, another lot booked). A type of bag that weighs otherwise than its tare (a new delivery) is out
until its tare was set, or the bags were taken away. What was weighed from the first weighing that was off until then
teaches no unit weight, then or later, and a chart starts anew after it.
"""

from collections.abc import Sequence
from datetime import datetime

from fulfil.counting.passed_bags import KnownCount
from fulfil.errors import StateRefused
from fulfil.records.happening import Happening
from fulfil.records.part import UnitWeight
from fulfil.records.revised import revised
from fulfil.records.weighing import AlarmedGoods, GoodsAlarm
from fulfil.store.books import Books


def standing_goods(books: Books) -> tuple[GoodsAlarm, ...]:
    """The alarms that nobody has acted on; a part's that was sampled since has ended."""
    standing = [alarm for alarm in books.find(GoodsAlarm) if alarm.acted_at is None]
    numbers = sorted({alarm.subject for alarm in standing if alarm.kind is AlarmedGoods.PART})
    sampled = {(one.part_number, one.lot): one.sampled_at for one in books.find(UnitWeight, part_number=numbers)}
    return tuple(alarm for alarm in standing if not _is_sampled_since(alarm, sampled))


def _is_sampled_since(alarm: GoodsAlarm, sampled: dict[tuple[str, str], datetime | None]) -> bool:
    if alarm.kind is not AlarmedGoods.PART:
        return False
    at = sampled.get((alarm.subject, alarm.lot)) or sampled.get((alarm.subject, ""))
    return at is not None and at > alarm.since


def was_acted_on(alarms: Sequence[GoodsAlarm], one: KnownCount) -> bool:
    """Whether a weighing was made while an alarm of its part or bag stood that somebody has acted on since."""
    return any(alarm.acted_at is not None and _is_under(alarm, one) for alarm in alarms)


def is_out(alarms: Sequence[GoodsAlarm], one: KnownCount) -> bool:
    """Whether a weighing was made while an alarm of its part or bag stood; ``alarms`` acted on or not."""
    return any(_is_under(alarm, one) for alarm in alarms)


def _is_under(alarm: GoodsAlarm, one: KnownCount) -> bool:
    is_meant = (
        (alarm.subject, alarm.lot) == (one.part_number, one.lot)
        if alarm.kind is AlarmedGoods.PART
        else alarm.subject == one.bag_type
    )
    return is_meant and alarm.since <= one.at and (alarm.acted_at is None or one.at < alarm.acted_at)


def keep_goods_alarms(books: Books, found: Sequence[GoodsAlarm]) -> None:
    """Keeps alarms found; goods with one that stands get no second."""
    standing = {(one.kind, one.subject, one.lot) for one in standing_goods(books)}
    books.replace([one for one in found if (one.kind, one.subject, one.lot) not in standing])


def act_on_goods(
    books: Books, kind: AlarmedGoods, subject: str, reason: str, *, at: datetime, person: str, lot: str = ""
) -> GoodsAlarm:
    """Says what was done about a part's lot or a type of bag; learning from it begins anew.

    Raises:
        StateRefused: no alarm of it stands, or nothing is said of what was done.
    """
    attempted = f"act on the alarm of {kind}"
    named = f"{subject}, lot {lot}" if lot else subject
    if not reason.strip():
        raise StateRefused(attempted, named, "what was done, in words")
    standing = [one for one in standing_goods(books) if (one.kind, one.subject, one.lot) == (kind, subject, lot)]
    if not standing:
        lots = [one.lot for one in standing_goods(books) if (one.kind, one.subject) == (kind, subject)]
        one_of = f"; of it stands lot {', '.join(lots)}" if lots else ""
        raise StateRefused(attempted, named, f"one with an alarm that stands{one_of}")
    acted = revised(standing[0], {"acted_at": at, "acted_by": person, "reason": reason.strip()[:200]})
    books.replace([acted])
    books.journal(
        at=at,
        person=person,
        event=Happening.GOODS_ALARM_ACTED_ON,
        subject=subject,
        particulars={"kind": kind.value, "lot": lot, "since": acted.since.isoformat(), "reason": acted.reason},
    )
    return acted
