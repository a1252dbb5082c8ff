"""Personal data is taken out of recorded rows, and the chain over them still holds.

What is recorded stays, but a customer's name may not (Regulation (EU) 2016/679, article 17). Of a few tables a few
texts can be written anew: the row is named in an *erasure* first, with its digest as it was and as it is then, and the
erasure is sealed like any other record. Whoever verifies the chain follows a row's digest through its erasures; a row
that was changed without one, or a second time, is altered. Nobody can read from a digest what was there.

After the rows, their old text is still in pages of the file that nothing uses, and in its log: :func:`clear_pages`
writes the file anew (SQLite documentation, "VACUUM": deleted content may be recovered until then; PostgreSQL
documentation, "VACUUM FULL").

Limits: the disk may keep blocks that the file no longer has; a whole encrypted disk is the remedy. Backups and archives
made before are not reached.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import Table, select
from sqlalchemy.engine import Connection, Engine

from fulfil.store.keyed import insert_into, update_by_key
from fulfil.store.rows import slices, where
from fulfil.store.safe.chain import digest_if
from fulfil.store.tables import table_named

ERASABLE: dict[str, tuple[str, ...]] = {
    "journal_entry": ("particulars",),
    "owed_move": ("reason",),
    "stock_move": ("reason",),
    "manifest_copy": ("sheet", "advices"),
    "papers_printed": ("customs",),
    "manifest_void": ("reason",),
    "hazard_review": ("reason",),
    "returned_pieces": ("reason",),
}
"""Texts that may be written anew, by table; the triggers of migration 0022 allow no others."""

Change = Callable[[Mapping[str, Any]], Mapping[str, str]]
"""From a row's values to the texts that it shall have; those that stay may be left out."""


def erase(
    connection: Connection, table: Table, equals: Mapping[str, object], change: Change, *, at: datetime, person: str
) -> int:
    """Writes texts of recorded rows anew and notes it; how many rows were changed."""
    (key,) = table.primary_key.columns.keys()
    changed = [(row[key], now) for row in _rows(connection, table, equals) if (now := _now(table, row, change))]
    if not changed:
        return 0
    digests = digest_if(connection, table.name, changed)
    notes = [
        {"at": at, "person": person, "table_name": table.name, "row_key": str(row_key), "before": was, "after": then}
        for (row_key, _), (was, then) in zip(changed, digests, strict=True)
    ]
    insert_into(connection, table_named("erasure"), notes)
    for row_key, now in changed:
        update_by_key(connection, table, (key,), [((row_key,), now)])
    return len(changed)


def clear_pages(engine: Engine, tables: Sequence[str]) -> bool:
    """Leaves nothing of what was erased in unused pages and in the log; False where others are at work, do it again."""
    raw = engine.raw_connection()
    driver: Any = raw.driver_connection
    try:
        if engine.dialect.name == "sqlite":
            driver.execute("VACUUM")
            return bool(driver.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0] == 0)
        driver.autocommit = True
        for table in tables:
            driver.execute(f"VACUUM (FULL) {table}")
        return True
    except engine.dialect.loaded_dbapi.OperationalError:
        return False
    finally:
        raw.invalidate()


def _rows(connection: Connection, table: Table, equals: Mapping[str, object]) -> Iterator[Mapping[str, Any]]:
    for part in slices(equals):
        rows = connection.execute(select(table).where(where(table, part)).order_by(*table.primary_key.columns))
        yield from (dict(row) for row in rows.mappings().all())


def _now(table: Table, row: Mapping[str, Any], change: Change) -> dict[str, str]:
    now = {name: text for name, text in change(row).items() if text != row[name]}
    if not {*now} <= {*ERASABLE[table.name]}:
        raise ValueError(f"{table.name}: only {', '.join(ERASABLE[table.name])} can be erased, not {', '.join(now)}")
    # All texts of a table are written together, so that one statement does for all rows.
    return {name: now.get(name, row[name]) for name in ERASABLE[table.name]} if now else {}
