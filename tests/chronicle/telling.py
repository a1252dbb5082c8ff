"""What a step said and what it changed in the books, in lines that can be read and compared.

A *chronicle* tells a day of the harbour shop step by step: what each step answered, refused or printed, field by field,
and every record that it wrote. The lines are kept in ``records/NAME.txt``. A changed record is a changed shop: read
what differs like code, then write it anew with ``FULFIL_WRITE_GOLDEN=1 pytest tests/chronicle``.
"""

import os
import sqlite3
from collections.abc import Callable, Iterable, Mapping
from contextlib import closing
from dataclasses import fields, is_dataclass
from datetime import date, datetime, time
from decimal import Decimal
from enum import Enum
from pathlib import Path
from typing import Any

import pandas as pd
from pydantic import BaseModel

from fulfil.errors import Refusal
from fulfil.records.finding import Finding
from fulfil.store.shop import Shop

RECORDS = Path(__file__).with_name("records")
WIDTH = 110
EMPTY: tuple[Any, ...] = ("", None, (), [], {}, set(), False)
LEAST = 1e-9
"""Chances below this are told as next to nothing: their digits are those of a library."""
BY_CONTENT = ("owed_balance", "stock_balance")
"""Tables of which a row is known by all but its pieces."""
NOT_TOLD = ("seal", "chain", "alembic_version", "sqlite_sequence")
"""Tables of the store itself: what they hold follows from all others."""


def lines_of(value: Any) -> list[str]:
    """Anything in lines; empty fields left out, floats to six digits, files by their names."""
    if isinstance(value, pd.DataFrame):
        rows = [", ".join(f"{name}={_flat(row[name])}" for name in value.columns) for row in value.to_dict("records")]
        return [f"table of {', '.join(map(str, value.columns))}", *(f"  {row}" for row in rows)]
    flat = _flat(value)
    if len(flat) <= WIDTH or isinstance(value, Finding):
        return [flat]
    parts: Iterable[tuple[str, Any]]
    if isinstance(value, Mapping):
        head, parts = "by", [(_flat(key), one) for key, one in value.items()]
    elif isinstance(value, list | tuple):
        head, parts = "each", [("", one) for one in value]
    elif isinstance(value, BaseModel) or is_dataclass(value):
        head, parts = type(value).__name__, _fields(value)
    else:
        return [flat]
    lines = [head]
    for name, one in parts:
        first, *rest = lines_of(one)
        lines += [f"  {name}={first}" if name else f"  {first}", *(f"  {line}" for line in rest)]
    return lines


def _fields(value: Any) -> list[tuple[str, Any]]:
    names = [*type(value).model_fields] if isinstance(value, BaseModel) else [one.name for one in fields(value)]
    if hasattr(type(value), "frames") and "frames" not in names:
        names.append("frames")  # made when they are asked for
    found = [(name, getattr(value, name)) for name in names if not name.startswith("_")]
    return [(name, one) for name, one in found if not any(one is empty or _same(one, empty) for empty in EMPTY)]


def _same(one: Any, other: Any) -> bool:
    return type(one) is type(other) and bool(one == other)


def _flat(value: Any) -> str:
    if isinstance(value, Enum):
        return str(value.value)
    if isinstance(value, float):
        return "~0" if 0 < abs(value) < LEAST else f"{value:.6g}"
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    if isinstance(value, Finding):
        return str(value)
    if isinstance(value, Path):
        return value.name
    if isinstance(value, Decimal | int | str | None.__class__):
        return str(value)
    if isinstance(value, pd.DataFrame):
        return f"table of {len(value)} rows"
    if isinstance(value, BaseModel) or is_dataclass(value):
        return f"{type(value).__name__}({', '.join(f'{name}={_flat(one)}' for name, one in _fields(value))})"
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{_flat(key)}: {_flat(one)}" for key, one in value.items()) + "}"
    if isinstance(value, set | frozenset):
        return "{" + ", ".join(sorted(map(_flat, value))) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(_flat, value)) + "]"
    return type(value).__name__


def as_recorded(name: str, lines: Iterable[str]) -> None:
    """Holds lines against a record, or writes it where that is asked for."""
    path, told = RECORDS / f"{name}.txt", "\n".join([*lines, ""]).lstrip("\n")
    if os.environ.get("FULFIL_WRITE_GOLDEN"):
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(told, encoding="utf-8")
    assert told.splitlines() == path.read_text(encoding="utf-8").splitlines()


class Chronicle:
    """The steps of one shop; :meth:`is_as_recorded` holds them against the record at the end."""

    def __init__(self, shop: Shop, name: str) -> None:
        self.shop, self.name = shop, name
        self.lines: list[str] = []
        self._rows = self._read()

    def tell(self, what: str, value: Any = None) -> None:
        """A step, what it answered, and what is otherwise in the books now."""
        self.lines += ["", f"== {what}", *([] if value is None else lines_of(value)), *self._changes()]

    def each(self, what: str, values: Iterable[Any]) -> None:
        """A step with several answers."""
        self.lines += ["", f"== {what}", *(line for one in values for line in lines_of(one)), *self._changes()]

    def refused(self, what: str, *steps: Callable[[], Any]) -> None:
        """Steps that are refused, with what they say; nothing of them stays."""
        self.lines += ["", f"== refused: {what}"]
        for step in steps:
            try:
                step()
            except Refusal as refusal:
                self.lines.append(f"{type(refusal).__name__}: {refusal}".replace(self._folder(), "FOLDER"))
            else:
                self.lines.append("not refused")
            self.lines += self._changes()

    def _folder(self) -> str:
        return str(Path(self.shop.where).parent)

    def is_as_recorded(self) -> None:
        """Compares with the record, or writes it where that is asked for."""
        as_recorded(self.name, self.lines)

    def _read(self) -> dict[tuple[str, str], dict[str, Any]]:
        with closing(sqlite3.connect(f"file:{self.shop.where}?mode=ro", uri=True)) as books, books:
            books.row_factory = sqlite3.Row
            tables = books.execute("select name from sqlite_master where type = 'table' order by name").fetchall()
            found = {}
            for (name,) in tables:
                if name.startswith(NOT_TOLD):
                    continue
                for row in books.execute(f'select rowid as rowid_, * from "{name}"'):
                    cells = {key: row[key] for key in row.keys() if key != "rowid_"}  # noqa: SIM118
                    known = [one for key, one in cells.items() if key != "pieces"]
                    found[name, _flat(known) if name in BY_CONTENT else f"{row['rowid_']:09d}"] = cells
            return found

    def _changes(self) -> list[str]:
        before, self._rows = self._rows, self._read()
        lines = []
        for key in sorted(before.keys() | self._rows.keys()):
            was, now = before.get(key), self._rows.get(key)
            if was == now:
                continue
            if was is None or now is None:
                row = {
                    name: one for name, one in (now or was or {}).items() if one not in ("", None, 0) and name != "id"
                }
                sign = "-" if now is None else "+"
                if now is None:
                    row = dict([*row.items()][:3])
                lines.append(f"{sign} {key[0]}: {', '.join(f'{name}={_flat(one)}' for name, one in row.items())}")
                continue
            differs = [f"{name} {_flat(was[name])} → {_flat(now[name])}" for name in now if was[name] != now[name]]
            lines.append(f"~ {key[0]} {_flat(next(iter(now.values())))}: {', '.join(differs)}")
        return sorted(lines, key=lambda line: line[2:])
