"""Spell the few statements of the books: find by equal fields; add, put, change and remove rows by key.

They look alike but for their names. Built by the statement library each takes about a millisecond the first time, some
forty of them in a command's first weighing, and others wait for the shop meanwhile.

>>> from sqlalchemy.dialects.sqlite import dialect
>>> from fulfil.records.pieces import StockBalance
>>> balances = table_of(StockBalance)
>>> print(changing(balances, ("place", "ref"), ("pieces",), dialect()).text)
UPDATE stock_balance SET pieces = ? WHERE place = ? AND ref = ?
>>> question = finding(StockBalance, (("ref", Match.ANY), ("pieces", Match.EQUAL)), dialect(), is_count=True)
>>> question.parts
('SELECT count(*) FROM stock_balance WHERE ref IN (', ') AND pieces = ', '')

Limits: no joins, no sums, no conditions but equality: those are the library's (:mod:`fulfil.store.search`).
"""

from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass
from itertools import repeat
from typing import Any, TypeVar

from sqlalchemy import Column, Table
from sqlalchemy.engine import Dialect
from sqlalchemy.sql.schema import ScalarElementColumnDefault
from sqlalchemy.types import TypeEngine
from sqlmodel import SQLModel

from fulfil.store.columns import Micrograms, Word
from fulfil.store.search import Match
from fulfil.store.tables import table_of

T = TypeVar("T")
Turn = Callable[[Any], Any]
"""What makes of a field's value the driver's, or of the driver's the field's."""
_DOUBLE = 701
"""What PostgreSQL calls the type of our floats (its catalogue pg_type, "float8"); other types don't ask."""


@dataclass(frozen=True)
class Question:
    """A search's text with a gap for each value, whose values go where, and what turns them there and back.

    ``parts`` are the text between the gaps; ``gaps`` are the fields whose values go into them.
    """

    parts: tuple[str, ...]
    gaps: tuple[tuple[str, Turn | None], ...]
    turns: tuple[tuple[int, Turn], ...]


@dataclass(frozen=True)
class Statement:
    """A statement that writes rows, what turns the value for each of its gaps, and values that rows don't name."""

    text: str
    turns: tuple[Turn | None, ...]
    others: tuple[Any, ...] = ()

    def rows(self, values: Iterable[Sequence[Any]]) -> list[tuple[Any, ...]]:
        """Rows as the driver takes them, from values in the order of the gaps."""
        columns = (
            column if turn is None else turning(turn, column)
            for column, turn in zip(zip(*values, strict=True), self.turns, strict=True)
        )
        return [*zip(*columns, *map(repeat, self.others), strict=False)]


class _Once(dict[Any, Any]):
    """Turns what is equal once: a column holds the same few words and masses again and again.

    Not for times: those of an hour that comes twice are equal and not the same.
    """

    def __init__(self, turn: Turn) -> None:
        self._turn = turn

    def __missing__(self, value: Any) -> Any:
        turned = self[value] = self._turn(value)
        return turned


def turning(turn: Turn, column: Iterable[Any]) -> Iterable[Any]:
    """Each value of a column turned."""
    return map(_Once(turn.of).__getitem__ if isinstance(turn, Repeating) else turn, column)


@dataclass(frozen=True)
class Repeating:
    """A turn that gives the same for all that is equal."""

    of: Turn

    def __call__(self, value: Any) -> Any:
        """The value turned."""
        return self.of(value)


def _turn(column: Column[Any], made: Turn | None) -> Turn | None:
    return Repeating(made) if made is not None and isinstance(column.type, Micrograms | Word) else made


def finding(
    kind: type[SQLModel], compared: tuple[tuple[str, Match], ...], dialect: Dialect, *, is_count: bool
) -> Question:
    """All fields of a class's rows in the order of their key, text by code point; or how many rows there are."""
    return _known(("find", kind, compared, is_count, dialect.name), lambda: _found(kind, compared, dialect, is_count))


def adding(table: Table, names: tuple[str, ...], dialect: Dialect) -> Statement:
    """Adds a row with these columns, others at their defaults."""
    return _known(("add", table, names, dialect.name), lambda: _added(table, names, dialect))


def putting(table: Table, names: tuple[str, ...], dialect: Dialect) -> Statement:
    """Adds a row with these columns, or puts them in the place of those of the row with the same key."""

    def made() -> Statement:
        add, quoted = _added(table, names, dialect), dialect.identifier_preparer.quote
        key = [column.name for column in table.primary_key.columns]
        kept = ", ".join(f"{quoted(name)} = excluded.{quoted(name)}" for name in names if name not in key)
        then = f"UPDATE SET {kept}" if kept else "NOTHING"
        return Statement(f"{add.text} ON CONFLICT ({', '.join(map(quoted, key))}) DO {then}", add.turns, add.others)

    return _known(("put", table, names, dialect.name), made)


def changing(table: Table, key: tuple[str, ...], names: tuple[str, ...], dialect: Dialect) -> Statement:
    """Sets these columns of the rows with this key: first the values of the columns, then those of the key."""

    def made() -> Statement:
        quoted = dialect.identifier_preparer.quote
        said = ", ".join(f"{quoted(name)} = {_sign(dialect)}" for name in names)
        text = f"UPDATE {quoted(table.name)} SET {said} WHERE {_is_key(key, dialect)}"  # noqa: S608 - our own names
        return Statement(text, _binds(table, (*names, *key), dialect))

    return _known(("change", table, key, names, dialect.name), made)


def removing(table: Table, key: tuple[str, ...], dialect: Dialect) -> Statement:
    """Removes the rows with this key."""

    def made() -> Statement:
        name = dialect.identifier_preparer.quote(table.name)
        return Statement(f"DELETE FROM {name} WHERE {_is_key(key, dialect)}", _binds(table, key, dialect))  # noqa: S608

    return _known(("remove", table, key, dialect.name), made)


def results(table: Table, names: tuple[str, ...], dialect: Dialect) -> tuple[tuple[int, Turn], ...]:
    """Which of these columns the driver gives otherwise than the fields are, by their place, and what turns them."""

    def made() -> tuple[tuple[int, Turn], ...]:
        turns = (
            (place, _turn(table.c[name], _impl(table, name, dialect).result_processor(dialect, _DOUBLE)))
            for place, name in enumerate(names)
        )
        return tuple((place, turn) for place, turn in turns if turn is not None)

    return _known(("results", table, names, dialect.name), made)


# Within

_KNOWN: dict[Hashable, Any] = {}


def _known(which: Hashable, made: Callable[[], T]) -> T:
    """What was made before, by the store's kind: all connections to one kind of store speak alike."""
    found: T | None = _KNOWN.get(which)
    return found if found is not None else _KNOWN.setdefault(which, made())


def _found(kind: type[SQLModel], compared: tuple[tuple[str, Match], ...], dialect: Dialect, is_count: bool) -> Question:
    table, quoted = table_of(kind), dialect.identifier_preparer.quote
    fields = tuple(kind.model_fields)
    parts: list[str] = []
    asked = "count(*)" if is_count else ", ".join(map(quoted, fields))
    text = f"SELECT {asked} FROM {quoted(table.name)}"  # noqa: S608 - our own names
    gaps = []
    for place, (name, match) in enumerate(compared):
        text += f" {'AND' if place else 'WHERE'} {quoted(name)}"
        if match is Match.MISSING:
            text += " IS NULL"
            continue
        parts.append(text + (" IN (" if match is Match.ANY else " = "))
        gaps.append((name, _binds(table, (name,), dialect)[0]))
        text = ")" if match is Match.ANY else ""
    if not is_count:
        text += f" ORDER BY {', '.join(_by_code_point(one, dialect) for one in table.primary_key.columns)}"
    return Question((*parts, text), tuple(gaps), results(table, fields, dialect))


def _by_code_point(column: Column[Any], dialect: Dialect) -> str:
    is_text = dialect.name == "postgresql" and column.type.python_type is str
    return dialect.identifier_preparer.quote(column.name) + (' COLLATE "C"' if is_text else "")


def _added(table: Table, names: tuple[str, ...], dialect: Dialect) -> Statement:
    quoted = dialect.identifier_preparer.quote
    others = [
        (column, column.default.arg)
        for column in table.c
        if column.name not in names and isinstance(column.default, ScalarElementColumnDefault)
    ]
    columns = [*names, *(column.name for column, _ in others)]
    signs = ", ".join([_sign(dialect)] * len(columns))
    text = f"INSERT INTO {quoted(table.name)} ({', '.join(map(quoted, columns))}) VALUES ({signs})"  # noqa: S608
    turned = (
        (value, turn) for (_, value), turn in zip(others, _binds(table, columns[len(names) :], dialect), strict=True)
    )
    return Statement(
        text, _binds(table, names, dialect), tuple(value if turn is None else turn(value) for value, turn in turned)
    )


def _binds(table: Table, names: Iterable[str], dialect: Dialect) -> tuple[Turn | None, ...]:
    return tuple(_turn(table.c[name], _impl(table, name, dialect).bind_processor(dialect)) for name in names)


def _impl(table: Table, name: str, dialect: Dialect) -> TypeEngine[Any]:
    return table.c[name].type.dialect_impl(dialect)


def _is_key(key: tuple[str, ...], dialect: Dialect) -> str:
    return " AND ".join(f"{dialect.identifier_preparer.quote(name)} = {_sign(dialect)}" for name in key)


def _sign(dialect: Dialect) -> str:
    return "?" if dialect.name == "sqlite" else "%s"
