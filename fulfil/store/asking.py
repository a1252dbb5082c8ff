"""Ask the database straight through its driver: a statement's text and what turns its values are found out once.

A bench asks the same few questions all day, and between two of them others wait for the shop; building a statement
and a result around it costs several times what the database takes to answer.

>>> from pathlib import Path
>>> from tempfile import TemporaryDirectory
>>> from fulfil.records.tiny import BIN, PART
>>> from fulfil.store.shop import open_shop
>>> with TemporaryDirectory() as folder, open_shop(Path(folder) / "shop.db", create=True).writing() as books:
...     books.add([PART])
...     found_rows(books._connection, type(PART), {"number": ["BALL-3", "CAM-9"]})[0][0]
'BALL-3'

Limits: searches by equality only; a list is written into the text value by value, so it must not be too long
(:func:`fulfil.store.rows.slices`).
"""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy.engine import Connection, Dialect
from sqlalchemy.exc import DBAPIError
from sqlalchemy.types import TypeEngine
from sqlmodel import SQLModel

from fulfil.store.search import Match, counting, matches, search
from fulfil.store.tables import table_of

Turn = Callable[[Any], Any]
"""What makes of a field's value the driver's, or of the driver's the field's."""


@dataclass(frozen=True)
class _Question:
    """A search's text with a gap for each value, whose values go where, and what turns them there and back.

    ``parts`` are the text between the gaps; ``gaps`` are the fields whose values go into them.
    """

    parts: tuple[str, ...]
    gaps: tuple[tuple[str, Turn | None], ...]
    turns: tuple[tuple[int, Turn], ...]


_DOUBLE = 701
"""What PostgreSQL calls the type of our floats (its catalogue pg_type, "float8"); other types don't ask."""
_KNOWN: dict[tuple[type[SQLModel], tuple[tuple[str, Match], ...], str, bool], _Question] = {}
_GAP = re.compile(r"\?|%\((?P<one>\w+)\)s|__\[POSTCOMPILE_(?P<any>\w+)\]")


def found_rows(connection: Connection, kind: type[SQLModel], equals: Mapping[str, object]) -> Sequence[Sequence[Any]]:
    """All fields of the rows whose fields equal the values, in the order of their key; a list means any of them."""
    question, rows = _answered(connection, kind, equals, is_count=False)
    return [_turned(row, question.turns) for row in rows] if question.turns else rows


def counted_rows(connection: Connection, kind: type[SQLModel], equals: Mapping[str, object]) -> int:
    """How many rows :func:`found_rows` would give."""
    _, rows = _answered(connection, kind, equals, is_count=True)
    return int(rows[0][0]) if rows else 0


def _answered(
    connection: Connection, kind: type[SQLModel], equals: Mapping[str, object], *, is_count: bool
) -> tuple[_Question, Sequence[Sequence[Any]]]:
    compared, dialect = matches(equals), connection.dialect
    which = kind, compared, dialect.name, is_count
    question = _KNOWN.get(which) or _KNOWN.setdefault(which, _question(kind, compared, dialect, is_count=is_count))
    sign = "?" if dialect.name == "sqlite" else "%s"
    text = [question.parts[0]]
    values: list[Any] = []
    for (name, turn), after in zip(question.gaps, question.parts[1:], strict=True):
        value = equals[name]
        some = value if isinstance(value, list | tuple) else (value,)
        if not some:
            return question, ()
        values += some if turn is None else map(turn, some)
        text += (", ".join([sign] * len(some)), after)
    return question, straight(connection, "".join(text), values)


def straight(connection: Connection, statement: str, values: Sequence[object] = ()) -> list[Any]:
    """A statement's rows, or none, as the driver gives them; its errors are those of other statements."""
    errors = connection.dialect.loaded_dbapi.Error
    cursor = connection.connection.cursor()
    try:
        cursor.execute(statement, values)
        return [*cursor.fetchall()] if cursor.description else []
    except errors as trouble:
        raise DBAPIError.instance(statement, None, trouble, errors) from trouble
    finally:
        cursor.close()


def _turned(row: Sequence[Any], turns: tuple[tuple[int, Turn], ...]) -> list[Any]:
    fields = [*row]
    for place, turn in turns:
        fields[place] = turn(fields[place])
    return fields


def _question(
    kind: type[SQLModel], compared: tuple[tuple[str, Match], ...], dialect: Dialect, *, is_count: bool
) -> _Question:
    asked = counting(kind, compared) if is_count else search(kind, compared, dialect.name)
    compiled: Any = asked.compile(dialect=dialect)
    text, columns = compiled.string, table_of(kind).c
    in_order = iter(compiled.positiontup or ())
    parts: list[str] = []
    gaps: list[tuple[str, Turn | None]] = []
    end = 0
    for gap in _GAP.finditer(text):
        name = next(in_order) if compiled.positiontup is not None else gap["one"] or gap["any"]
        parts.append(text[end : gap.start()])
        gaps.append((name, _type(columns[name].type, dialect).bind_processor(dialect)))
        end = gap.end()
    turns = (
        (place, _type(columns[name].type, dialect).result_processor(dialect, _DOUBLE))
        for place, name in enumerate(kind.model_fields)
    )
    return _Question((*parts, text[end:]), tuple(gaps), tuple((place, turn) for place, turn in turns if turn))


def _type(declared: TypeEngine[Any], dialect: Dialect) -> TypeEngine[Any]:
    return declared.dialect_impl(dialect)
