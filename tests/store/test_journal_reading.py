"""The journal is read by its indices: what is asked for, the latest of it, in order."""

import sqlite3
from contextlib import closing, suppress
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import event

from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.happening import Happening
from fulfil.store.books import Event
from fulfil.store.journal_reading import JournalSearch, events_of, latest_entries
from fulfil.store.shop import Shop, open_shop

START = datetime(2026, 3, 2, 8, tzinfo=UTC)
EVENTS = (Happening.BAG_CHECKED, Happening.DAY_CLOSED, Happening.PART_CHANGED, Happening.BIN_CHANGED)
SUBJECTS = ("A-1", "A-2", "B-1", "B-2")
PEOPLE = ("ann", "ben")


def _minute(minutes: int) -> datetime:
    return START + timedelta(minutes=minutes)


EVENT = st.builds(
    lambda minute, person, name, subject: Event(_minute(minute), person, name, subject, {}),
    st.integers(0, 9), st.sampled_from(PEOPLE), st.sampled_from(EVENTS), st.sampled_from(SUBJECTS),
)  # fmt: skip
SEARCH = st.builds(
    JournalSearch,
    subjects=st.none() | st.lists(st.sampled_from(SUBJECTS), max_size=4).map(tuple),
    person=st.none() | st.sampled_from((*PEOPLE, "nobody")),
    since=st.none() | st.integers(0, 9).map(_minute),
    before=st.none() | st.integers(0, 9).map(_minute),
)


@pytest.fixture(scope="module")
def shop(tmp_path_factory) -> Shop:
    """A shop that never keeps what a test writes."""
    return open_shop(tmp_path_factory.mktemp("journal") / "shop.db", create=True)


def _asked(entry: JournalEntry, search: JournalSearch) -> bool:
    return (
        (search.subjects is None or entry.subject in search.subjects)
        and (search.person is None or entry.person == search.person)
        and (search.since is None or entry.at >= search.since)
        and (search.before is None or entry.at < search.before)
    )


class _Undo(Exception):
    pass


@settings(max_examples=200, deadline=None)
@given(st.lists(EVENT, max_size=25), SEARCH, st.integers(1, 30))
def test_it_finds_what_reading_everything_would(
    shop: Shop, written: list[Event], search: JournalSearch, most: int
) -> None:
    """The same entries as a look at each of them, the latest, by time and then as they were written."""
    with suppress(_Undo), shop.writing() as books:
        books.journal_all(written)
        everything = books.find(JournalEntry)
        found = [entry for entry in everything if _asked(entry, search)]
        if search.subjects is None and not search.has_time:
            found = found[-most:]  # Asked for nothing that has an index, the latest are those written last.
        found = sorted(found, key=lambda entry: entry.at)[-most:]

        assert latest_entries(books, search, most=most) == found
        assert events_of(books._connection) == sorted({one.event for one in written})
        raise _Undo


@pytest.mark.parametrize(
    "search",
    [
        JournalSearch(subjects=("A-1", "B-1")),
        JournalSearch(subjects=("A-1",), person="ann", since=START),
        JournalSearch(since=START, before=START + timedelta(hours=1)),
        JournalSearch(since=START),
        JournalSearch(person="ann", since=START, before=START + timedelta(days=31)),
        JournalSearch(),
    ],
)
def test_no_search_reads_the_whole_journal(tmp_path, search: JournalSearch) -> None:
    """The database's own plan: every table of entries is searched by an index, or read backwards up to the limit."""
    path = tmp_path / "shop.db"
    said: list[tuple[str, Any]] = []
    with open_shop(path, create=True) as shop:
        with shop.writing() as books:
            books.journal_all(Event(_minute(n), "ann", EVENTS[n % 4], SUBJECTS[n % 4]) for n in range(50))
        with shop.reading() as books:
            engine = books._connection.engine
            listener = lambda *given: said.append((given[2], given[3]))  # noqa: E731 - a name to remove it by
            event.listen(engine, "before_cursor_execute", listener)
            latest_entries(books, search, most=5)
            event.remove(engine, "before_cursor_execute", listener)
    assert said
    with closing(sqlite3.connect(path)) as raw, raw:
        for statement, values in said:
            plan = [row[3] for row in raw.execute(f"EXPLAIN QUERY PLAN {statement}", values)]
            scans = [line for line in plan if line.startswith("SCAN journal_entry")]
            assert scans == (["SCAN journal_entry"] if search == JournalSearch() else []), plan
            assert search != JournalSearch() or not any("TEMP B-TREE" in line for line in plan)
    raw.close()
