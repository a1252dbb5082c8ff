"""What was read before, held against the same rows now: records that didn't change are the very ones of before.

A plan is searched for seconds and written only if all that it rests on is still so. Asked again are the same questions,
while everybody waits; making records of thousands of equal rows again would take most of that time.

>>> from pathlib import Path
>>> from tempfile import TemporaryDirectory
>>> from fulfil.records.tiny import PART
>>> from fulfil.store.shop import open_shop
>>> known = Known()
>>> with TemporaryDirectory() as folder, open_shop(Path(folder) / "shop.db", create=True).writing() as books:
...     books.add([PART])
...     with books.knowing(known):
...         before, again = books.find(type(PART)), books.find(type(PART))
>>> before is again
True

Limits: for reading only; whoever uses it must not change the records, nor the list, that it is given.
"""

from collections.abc import Mapping, Sequence
from typing import Any, TypeVar

from sqlalchemy.engine import Connection
from sqlmodel import SQLModel

from fulfil.store.asking import answered, turned
from fulfil.store.rows import records_of

R = TypeVar("R", bound=SQLModel)


class Known:
    """The answers to questions by equal fields, as the driver gave them and as records."""

    def __init__(self) -> None:
        self._answers: dict[tuple[Any, ...], tuple[Sequence[Sequence[Any]], list[Any]]] = {}
        self._asked: set[tuple[Any, ...]] = set()

    def ask_again(self) -> None:
        """From now on the shop may be in another state: each question is asked once more."""
        self._asked.clear()

    def find(self, connection: Connection, kind: type[R], equals: Mapping[str, object]) -> list[R]:
        """The records whose fields equal the values, in the order of their key."""
        asked = (kind, *((name, tuple(one) if isinstance(one, list) else one) for name, one in equals.items()))
        if asked in self._asked:
            return self._answers[asked][1]
        question, rows = answered(connection, kind, equals)
        self._asked.add(asked)
        before = self._answers.get(asked)
        if before is not None and before[0] == rows:
            return before[1]
        records = records_of(kind, turned(rows, question.turns))
        self._answers[asked] = rows, records
        return records
