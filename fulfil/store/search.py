"""Searches by equal fields, built once for each class and set of fields, for questions that add to them.

Building a statement costs several times what SQLite takes to answer it; those that add nothing are spelt by
:mod:`fulfil.store.spelling`.

>>> from fulfil.records.part import Part
>>> print(search(Part, (("family", Match.EQUAL),), "sqlite").whereclause)
part.family = :family
"""

from collections.abc import Mapping
from enum import StrEnum
from functools import lru_cache
from typing import Any

from sqlalchemy import Column, ColumnElement, Select, and_, bindparam, select, true
from sqlmodel import SQLModel

from fulfil.store.tables import table_of


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
