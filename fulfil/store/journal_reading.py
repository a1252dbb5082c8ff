"""Read the journal by what it is about, by who, by when; never the whole of it where one of these is given.

The journal only grows, and its indices are on the subject and on event and time. A subject is looked up by its index. A
stretch of time is looked up event by event: the words for events are few, and the next one is found in the index
without reading what lies between. Who did it narrows either of them.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import ColumnElement, Select, and_, func, select, true
from sqlalchemy.engine import Connection, Row

from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.store.books import Books
from fulfil.store.rows import record_of, slices, where
from fulfil.store.tables import table_of

_TABLE = table_of(JournalEntry)
_FIELDS = tuple(JournalEntry.model_fields)


@dataclass(frozen=True)
class JournalSearch:
    """What is asked for: any of some subjects, one person, from a moment on, before a moment; None for all."""

    subjects: tuple[str, ...] | None = None
    person: str | None = None
    since: datetime | None = None
    before: datetime | None = None

    @property
    def has_time(self) -> bool:
        """Whether a stretch of time is named."""
        return self.since is not None or self.before is not None


def latest_entries(books: Books, search: JournalSearch, *, most: int) -> list[JournalEntry]:
    """The latest entries that were asked for, at most so many, the earliest first; those of one moment as written."""
    rows: list[Row[tuple[object, ...]]] = []
    for statement in _statements(books._connection, search):
        by = (_TABLE.c.at.desc(), _TABLE.c.id.desc()) if search.has_time or search.subjects else (_TABLE.c.id.desc(),)
        rows += books._connection.execute(statement.order_by(*by).limit(most)).all()
    rows.sort(key=lambda row: (row.at, row.id))
    return [record_of(JournalEntry, {name: getattr(row, name) for name in _FIELDS}) for row in rows[-most:]]


def _statements(connection: Connection, search: JournalSearch) -> list[Select[tuple[object, ...]]]:
    narrowed = [
        _TABLE.c.person == search.person if search.person is not None else true(),
        _TABLE.c.at >= search.since if search.since is not None else true(),
        _TABLE.c.at < search.before if search.before is not None else true(),
    ]
    if search.subjects is not None:
        parts = slices({"subject": [*dict.fromkeys(search.subjects)]})
        return [_select(where(_TABLE, part), *narrowed) for part in parts]
    if search.has_time:
        return [_select(_TABLE.c.event.in_(events_of(connection)), *narrowed)]
    return [_select(*narrowed)]


def events_of(connection: Connection) -> Sequence[str]:
    """The words for events that the journal has, each found in the index after the one before it."""
    first = select(func.min(_TABLE.c.event).label("event")).cte("events", recursive=True)
    following = select(func.min(_TABLE.c.event)).where(_TABLE.c.event > first.c.event).scalar_subquery()
    events = first.union_all(select(following).where(first.c.event.is_not(None)))
    return connection.execute(select(events.c.event).where(events.c.event.is_not(None))).scalars().all()


def _select(*conditions: ColumnElement[bool]) -> Select[tuple[object, ...]]:
    return select(_TABLE).where(and_(true(), *conditions))
