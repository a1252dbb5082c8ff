"""The statements behind ``books.find`` and ``books.replace``, built once for each class and set of fields.

Building a statement costs several times what SQLite takes to answer it, and a bench asks the same few
questions all day.

>>> from fulfil.records.part import Part
>>> print(search(Part, (("family", Match.EQUAL),), "sqlite").whereclause)
part.family = :family
"""

from collections.abc import Mapping
from enum import StrEnum
from functools import lru_cache
from typing import Any

from sqlalchemy import Column, ColumnElement, Select, Table, and_, bindparam, func, select, true
from sqlalchemy.dialects import sqlite
from sqlmodel import SQLModel

from fulfil.store.tables import table_named, table_of


class Match(StrEnum):
    """How a field is compared: with one value, with any of a list, or with no value at all."""

    EQUAL = "equal"
    ANY = "any"
    MISSING = "missing"


def matches(equals: Mapping[str, object]) -> tuple[tuple[str, Match], ...]:
    """The fields of a search and how each is compared, for :func:`search`."""
    return tuple([(name, _match(value)) for name, value in equals.items()])


@lru_cache(maxsize=1024)
def search(kind: type[SQLModel], compared: tuple[tuple[str, Match], ...], dialect: str) -> Select[Any]:
    """All fields of a class's rows, in the order of their key; values are bound under the fields' names."""
    table = table_of(kind)
    columns = [table.c[name] for name in kind.model_fields]
    conditions = [_condition(table.c[name], match) for name, match in compared]
    key = [_by_code_point(column, dialect) for column in table.primary_key.columns]
    return select(*columns).where(and_(true(), *conditions)).order_by(*key)


def counting(kind: type[SQLModel], compared: tuple[tuple[str, Match], ...]) -> Select[Any]:
    """How many rows :func:`search` would find."""
    table = table_of(kind)
    conditions = [_condition(table.c[name], match) for name, match in compared]
    return select(func.count()).select_from(table).where(and_(true(), *conditions))


@lru_cache(maxsize=1024)
def upsert(table: Table, fields: tuple[str, ...], dialect: str) -> Any:
    """Adds a row with these fields, or puts them in the place of those of the row with the same key."""
    key = [column.name for column in table.primary_key.columns]
    statement = insert_or(table, dialect)
    kept = {name: statement.excluded[name] for name in fields if name not in key}
    if kept:
        return statement.on_conflict_do_update(index_elements=key, set_=kept)
    return statement.on_conflict_do_nothing(index_elements=key)


@lru_cache
def count_up(dialect: str) -> Any:
    """Adds so many to the counter of a series, or begins it with them, and returns what it is now."""
    counter = table_named("counter")
    statement = insert_or(counter, dialect).values(series=bindparam("series"), last=bindparam("many"))
    counted = statement.on_conflict_do_update(
        index_elements=["series"], set_={"last": counter.c.last + bindparam("many")}
    )
    return counted.returning(counter.c.last)


def insert_or(table: Table, dialect: str) -> Any:
    """An INSERT that may be given an ON CONFLICT; the two dialects spell it alike, but SQLAlchemy has it for each."""
    if dialect == "postgresql":
        from sqlalchemy.dialects import postgresql  # loads all of its drivers

        return postgresql.insert(table)
    return sqlite.insert(table)


def _match(value: object) -> Match:
    if value is None:
        return Match.MISSING
    return Match.ANY if isinstance(value, (list, tuple)) else Match.EQUAL


def _condition(column: Column[Any], match: Match) -> ColumnElement[bool]:
    if match is Match.MISSING:
        return column.is_(None)
    if match is Match.ANY:
        return column.in_(bindparam(column.name, expanding=True))
    return column == bindparam(column.name)


def _by_code_point(column: Column[Any], dialect: str) -> ColumnElement[Any]:
    if dialect == "postgresql" and column.type.python_type is str:
        return column.collate("C")
    return column
