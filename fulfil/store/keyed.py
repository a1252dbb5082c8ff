"""Read, change and remove rows by their keys, with statements that are built once.

Building a statement costs several times what SQLite takes to answer it, and a bench moves pieces all day.
"""

from collections.abc import Collection, Mapping, Sequence
from functools import lru_cache
from typing import Any

from sqlalchemy import Table, and_, bindparam, delete, insert, select, update
from sqlalchemy.engine import Connection

Key = tuple[Any, ...]
_MOST_IN_LIST = 10_000
"""Values in one IN (...): SQLite takes at most 32766 parameters in a statement."""


def rows_with(
    connection: Connection, table: Table, column: str, values: Collection[Any], names: tuple[str, ...] = ()
) -> list[Any]:
    """The rows in whose column one of the values stands: these of their columns, or all."""
    listed = [*values]
    if len(listed) == 1:
        # A list is written out anew by each statement; one value is not.
        return [*connection.execute(_select_one(table, column, names), {"value": listed[0]}).all()]
    found: list[Any] = []
    for start in range(0, len(listed), _MOST_IN_LIST):
        some = {"values": listed[start : start + _MOST_IN_LIST]}
        found += connection.execute(_select(table, column, names), some).all()
    return found


def insert_into(connection: Connection, table: Table, rows: list[dict[str, Any]]) -> None:
    """Adds rows, in the order given."""
    if rows:
        connection.execute(_insert(table), rows)


def update_by_key(
    connection: Connection, table: Table, names: tuple[str, ...], changed: Sequence[tuple[Key, Mapping[str, Any]]]
) -> int:
    """Sets columns of the rows with these keys, and says how many there are; every change names the same columns."""
    found = 0
    if changed:
        rows = [dict(zip((f"of_{name}" for name in names), key, strict=True)) | dict(said) for key, said in changed]
        found = connection.execute(_update(table, names, tuple(changed[0][1])), rows).rowcount
    return found


def delete_by_key(connection: Connection, table: Table, keys: Sequence[Key]) -> None:
    """Removes the rows with these primary keys."""
    if keys:
        names = tuple(column.name for column in table.primary_key.columns)
        rows = [dict(zip((f"of_{name}" for name in names), key, strict=True)) for key in keys]
        connection.execute(_delete(table, names), rows)


@lru_cache
def _select(table: Table, column: str, names: tuple[str, ...]) -> Any:
    return _columns(table, names).where(table.c[column].in_(bindparam("values", expanding=True)))


@lru_cache
def _select_one(table: Table, column: str, names: tuple[str, ...]) -> Any:
    return _columns(table, names).where(table.c[column] == bindparam("value"))


def _columns(table: Table, names: tuple[str, ...]) -> Any:
    return select(*(table.c[name] for name in names)) if names else select(table)


@lru_cache
def _insert(table: Table) -> Any:
    return insert(table)


@lru_cache
def _update(table: Table, names: tuple[str, ...], set_: tuple[str, ...]) -> Any:
    return update(table).where(_is_key(table, names)).values({name: bindparam(name) for name in set_})


@lru_cache
def _delete(table: Table, names: tuple[str, ...]) -> Any:
    return delete(table).where(_is_key(table, names))


def _is_key(table: Table, names: tuple[str, ...]) -> Any:
    return and_(*(table.c[name] == bindparam(f"of_{name}", type_=table.c[name].type) for name in names))
