"""Between records and rows: which table, which values, which search.

>>> from fulfil.records.order import OrderLine
>>> noun(table_of(OrderLine))
'order line'
>>> as_json({"mass_g": Decimal("18.30"), "bag": "B-1"})
'{"bag": "B-1", "mass_g": "18.30"}'
"""

import json
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, time
from decimal import Decimal
from functools import lru_cache
from typing import Any, TypeVar

from sqlalchemy import ColumnElement, Table, and_, true
from sqlmodel import SQLModel

from fulfil.store.tables import table_of

R = TypeVar("R", bound=SQLModel)

_MOST_IN_LIST = 10_000
"""Values in one IN (...): SQLite takes at most 32766 parameters in a statement."""


def noun(table: Table) -> str:
    """What a row of the table is called: ``"order line"``."""
    return "order" if table.name == "customer_order" else table.name.replace("_", " ")


def by_kind(records: Iterable[SQLModel]) -> list[tuple[type[SQLModel], list[SQLModel]]]:
    """Records of one class together, in an order in which nothing comes before what it points to."""
    groups: dict[type[SQLModel], list[SQLModel]] = {}
    for record in records:
        groups.setdefault(type(record), []).append(record)
    return [(kind, groups[kind]) for kind in _parents_first(frozenset(groups))]


@lru_cache
def _parents_first(kinds: frozenset[type[SQLModel]]) -> list[type[SQLModel]]:
    """Classes whose tables others of them point to come before these; else by the name of the table and the class."""
    named = sorted(kinds, key=lambda kind: (table_of(kind).name, kind.__name__))
    waiting = {kind: {key.target_fullname.partition(".")[0] for key in table_of(kind).foreign_keys} for kind in named}
    order: list[type[SQLModel]] = []
    while waiting:
        names = {table_of(kind).name for kind in waiting}
        ready = next(kind for kind, above in waiting.items() if not above & (names - {table_of(kind).name}))
        order.append(ready)
        del waiting[ready]
    return order


def values_of(record: SQLModel) -> dict[str, Any]:
    """The record's fields as a row."""
    return dict(record.__dict__)


def key_of(record: SQLModel) -> tuple[Any, ...]:
    """The values of a record's key."""
    return tuple(getattr(record, column.name) for column in table_of(type(record)).primary_key.columns)


def record_of(kind: type[R], values: dict[str, Any]) -> R:
    """A row's values as a record."""
    # Validating 10,000 parts again on every reading would cost more than reading them. What is set is what pydantic's
    # model_construct sets, without its search for defaults and aliases.
    record: R = object.__new__(kind)
    set_ = object.__setattr__
    set_(record, "__dict__", values)
    set_(record, "__pydantic_fields_set__", set(values))
    set_(record, "__pydantic_extra__", None)
    set_(record, "__pydantic_private__", None)
    return record


def records_of(kind: type[R], rows: Iterable[Sequence[Any]]) -> list[R]:
    """Rows of all fields of a class as records, in the order given."""
    fields = list(kind.model_fields)
    return [record_of(kind, dict(zip(fields, row, strict=True))) for row in rows]


def where(table: Table, equals: Mapping[str, object]) -> ColumnElement[bool]:
    """The condition that columns equal the values; a list or tuple means any of them."""
    conditions = [
        table.c[name].in_(value) if isinstance(value, list | tuple) else table.c[name] == value
        for name, value in equals.items()
    ]
    return and_(true(), *conditions)


def slices(equals: Mapping[str, object]) -> list[dict[str, object]]:
    """The same search in parts whose lists are short enough for one statement; a list of one value is that value.

    >>> slices({"number": ["A-1"], "state": ["held", "shipped"]})
    [{'number': 'A-1', 'state': ['held', 'shipped']}]
    """
    one: dict[str, object] = {}
    for name, value in equals.items():
        if isinstance(value, (list, tuple)):
            if len(value) > _MOST_IN_LIST:
                distinct = list(dict.fromkeys(value))
                return [
                    part
                    for start in range(0, len(distinct), _MOST_IN_LIST)
                    for part in slices({**equals, name: distinct[start : start + _MOST_IN_LIST]})
                ]
            # One value is compared as it is; a list is written out anew by each statement.
            one[name] = value[0] if len(value) == 1 and value[0] is not None else value
        else:
            one[name] = value
    return [one]


def shown(key: Iterable[object]) -> str:
    """A key as people read it."""
    return ", ".join(str(value) for value in key)


def as_json(particulars: Mapping[str, object]) -> str:
    """Particulars of an event as JSON, exact numbers and dates as text, keys sorted."""
    return json.dumps(particulars, sort_keys=True, ensure_ascii=False, default=_json_text)


def _json_text(value: object) -> str:
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, Decimal):
        return f"{value:f}"
    raise TypeError(f"a journal entry can't hold {value!r}")
