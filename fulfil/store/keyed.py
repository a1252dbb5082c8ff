"""Read, add, change and remove rows by their keys, straight through the driver.

Building a statement costs several times what SQLite takes to answer it, and a bench moves pieces all day; with hundreds
of rows at once, as when a day is planned, others wait for each row's way through a library, too.

What is refused may leave the transaction as it was before (``is_apart``): on SQLite a single statement does that by
itself (SQLite documentation, "ON CONFLICT clause": ABORT); else a savepoint stands around it, on PostgreSQL sent
along in one go (PostgreSQL documentation, "Pipeline Mode"), since all wait for each answer that is waited for.
"""

from collections.abc import Collection, Mapping, Sequence
from contextlib import closing, nullcontext, suppress
from typing import Any

from sqlalchemy import Table
from sqlalchemy.engine import Connection

from fulfil.store.asking import as_of_others, straight, turned
from fulfil.store.spelling import Statement, adding, changing, putting, removing, results

Key = tuple[Any, ...]
_MOST_IN_LIST = 10_000
"""Values in one IN (...): SQLite takes at most 32766 parameters in a statement."""


def rows_with(
    connection: Connection, table: Table, column: str, values: Collection[Any], names: tuple[str, ...]
) -> list[Any]:
    """These columns of the rows in whose column one of the values stands, texts that are kept as they are."""
    listed = [*values]
    sign = "?" if connection.dialect.name == "sqlite" else "%s"
    quoted = connection.dialect.identifier_preparer.quote
    asked = f"SELECT {', '.join(map(quoted, names))} FROM {quoted(table.name)} WHERE {quoted(column)}"  # noqa: S608
    found: list[Any] = []
    for start in range(0, len(listed), _MOST_IN_LIST):
        some = listed[start : start + _MOST_IN_LIST]
        found += straight(connection, f"{asked} IN ({', '.join([sign] * len(some))})", some)
    return [*turned(found, results(table, names, connection.dialect))]


def insert_into(
    connection: Connection, table: Table, rows: Sequence[Mapping[str, Any]], *, is_apart: bool = False
) -> None:
    """Adds rows, in the order given; all name the same columns."""
    if rows:
        names = tuple(rows[0])
        _tell(connection, adding(table, names, connection.dialect), _values(rows, names), is_apart=is_apart)


def put_into(
    connection: Connection, table: Table, rows: Sequence[Mapping[str, Any]], *, is_apart: bool = False
) -> None:
    """Adds rows, or puts them in the place of those with the same key; all name the same columns."""
    if rows:
        names = tuple(rows[0])
        _tell(connection, putting(table, names, connection.dialect), _values(rows, names), is_apart=is_apart)


def update_by_key(
    connection: Connection,
    table: Table,
    names: tuple[str, ...],
    changed: Sequence[tuple[Key, Mapping[str, Any]]],
    *,
    is_apart: bool = False,
) -> int:
    """Sets columns of the rows with these keys, and says how many there are; every change names the same columns.

    Where it ``is_apart`` and one of them isn't there, none is changed.
    """
    if not changed:
        return 0
    columns = tuple(changed[0][1])
    statement = changing(table, names, columns, connection.dialect)
    rows = [(*map(said.__getitem__, columns), *key) for key, said in changed]
    return _tell(connection, statement, rows, is_apart=is_apart, is_all=True)


def delete_by_key(connection: Connection, table: Table, keys: Sequence[Key]) -> None:
    """Removes the rows with these primary keys."""
    if keys:
        names = tuple(column.name for column in table.primary_key.columns)
        _tell(connection, removing(table, names, connection.dialect), keys)


def count_up(connection: Connection, counters: Table, series: str, many: int) -> int:
    """Adds so many to the counter of a series, or begins it with them, and returns what it is now."""
    statement = adding(counters, ("series", "last"), connection.dialect)
    last = f"{counters.name}.last + excluded.last"
    text = f"{statement.text} ON CONFLICT (series) DO UPDATE SET last = {last} RETURNING last"
    return int(straight(connection, text, statement.rows([(series, many)])[0])[0][0])


# Within


def _values(rows: Sequence[Mapping[str, Any]], names: tuple[str, ...]) -> list[tuple[Any, ...]]:
    return [tuple(map(row.__getitem__, names)) for row in rows]


_SAVE, _UNDO, _LET_GO = ("SAVEPOINT before_rows", "ROLLBACK TO SAVEPOINT before_rows", "RELEASE SAVEPOINT before_rows")


def _tell(
    connection: Connection,
    statement: Statement,
    values: Sequence[Sequence[Any]],
    *,
    is_apart: bool = False,
    is_all: bool = False,
) -> int:
    """Has rows written and says how many were; where ``is_all`` goes with ``is_apart``, none if one is missing."""
    rows, is_sqlite = statement.rows(values), connection.dialect.name == "sqlite"
    with as_of_others(connection, statement.text), closing(connection.connection.cursor()) as cursor:
        if not is_apart or (is_sqlite and len(rows) == 1):
            _run(cursor, statement.text, rows)
        else:
            _run_apart(connection, cursor, statement.text, rows, is_all=is_all)
        return int(cursor.rowcount)


def _run(cursor: Any, text: str, rows: Sequence[Sequence[Any]]) -> None:
    if len(rows) == 1:
        cursor.execute(text, rows[0])
    else:
        cursor.executemany(text, rows)


def _run_apart(connection: Connection, cursor: Any, text: str, rows: Sequence[Sequence[Any]], *, is_all: bool) -> None:
    driver: Any = connection.connection.driver_connection
    must_look = is_all and len(rows) > 1  # one row that isn't there leaves nothing to be undone
    try:
        with nullcontext() if connection.dialect.name == "sqlite" else driver.pipeline():
            driver.execute(_SAVE)
            _run(cursor, text, rows)
            if not must_look:
                driver.execute(_LET_GO)
    except connection.dialect.loaded_dbapi.Error:
        with suppress(connection.dialect.loaded_dbapi.Error):  # where the disk is full, SQLite has undone everything
            driver.execute(_UNDO)
            driver.execute(_LET_GO)
        raise
    if must_look:
        if cursor.rowcount != len(rows):
            driver.execute(_UNDO)
        driver.execute(_LET_GO)
