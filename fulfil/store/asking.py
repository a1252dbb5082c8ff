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

from collections.abc import Iterator, Mapping, Sequence
from contextlib import closing, contextmanager
from typing import Any

from sqlalchemy.engine import Connection
from sqlalchemy.exc import DBAPIError
from sqlmodel import SQLModel

from fulfil.store.search import matches
from fulfil.store.spelling import Question, Turn, finding, turning


def found_rows(connection: Connection, kind: type[SQLModel], equals: Mapping[str, object]) -> Sequence[Sequence[Any]]:
    """All fields of the rows whose fields equal the values, in the order of their key; a list means any of them."""
    question, rows = answered(connection, kind, equals)
    return turned(rows, question.turns)


def counted_rows(connection: Connection, kind: type[SQLModel], equals: Mapping[str, object]) -> int:
    """How many rows :func:`found_rows` would give."""
    _, rows = answered(connection, kind, equals, is_count=True)
    return int(rows[0][0]) if rows else 0


def answered(
    connection: Connection, kind: type[SQLModel], equals: Mapping[str, object], *, is_count: bool = False
) -> tuple[Question, Sequence[Sequence[Any]]]:
    """The question, and its rows as the driver gives them."""
    dialect = connection.dialect
    question = finding(kind, matches(equals), dialect, is_count=is_count)
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
    with as_of_others(connection, statement), closing(connection.connection.cursor()) as cursor:
        cursor.execute(statement, values)
        return [*cursor.fetchall()] if cursor.description else []


def together(connection: Connection, asked: Sequence[tuple[str, Sequence[object]]]) -> list[list[Any]]:
    """The rows of each of several statements that don't need one another's answers.

    To PostgreSQL they go in one (its documentation, "Pipeline Mode"): each answer that is waited for is a wait for all.
    """
    if connection.dialect.name == "sqlite" or len(asked) < 2:
        return [straight(connection, statement, values) for statement, values in asked]
    driver: Any = connection.connection.driver_connection
    with as_of_others(connection, "; ".join(statement for statement, _ in asked)), driver.pipeline():
        cursors = [driver.execute(statement, values) for statement, values in asked]
    return [[*cursor.fetchall()] if cursor.description else [] for cursor in cursors]


@contextmanager
def as_of_others(connection: Connection, statement: str) -> Iterator[None]:
    """Gives the driver's errors inside as those of statements that did not go straight to it."""
    errors = connection.dialect.loaded_dbapi.Error
    try:
        yield
    except errors as trouble:
        raise DBAPIError.instance(statement, None, trouble, errors) from trouble


def turned(rows: Sequence[Sequence[Any]], turns: tuple[tuple[int, Turn], ...]) -> Sequence[Sequence[Any]]:
    """The driver's rows with their values as fields have them."""
    if not turns or not rows:
        return rows
    columns: list[Any] = [*zip(*rows, strict=True)]
    for place, turn in turns:
        columns[place] = turning(turn, columns[place])
    return [*zip(*columns, strict=True)]
