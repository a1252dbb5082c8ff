"""A shop's records as pandas frames: for analysts, in grams, pieces and the shop's own time, without personal data.

>>> from pathlib import Path
>>> from tempfile import TemporaryDirectory
>>> from fulfil.records.tiny import PART
>>> with TemporaryDirectory() as folder:
...     with open_shop(Path(folder) / "shop.db", create=True) as shop, shop.writing() as books:
...         books.add([PART])
...     frames = read_shop(Path(folder) / "shop.db")
>>> frames.parts.loc["BALL-3", "description"], int(frames.parts.loc["BALL-3", "price_minor"])
('Bearing ball 3 mm', 2)
>>> print(columns_of("bins"))  # doctest: +ELLIPSIS
code  text, index
...
pieces  whole number...

Each frame is one table as it is at one moment; its index is the record's key. Columns carry the names of the records'
own fields (``help(fulfil.records.part.Part)`` says what each means): ``_g`` are floats in grams, ``_minor`` whole minor
units of ``currency``, ``pieces`` whole numbers, times aware moments on the shop's clock, days dates.

The database itself has the same tables as views for any program that speaks SQL (:mod:`fulfil.store.safe.analysts`).

Left out are names, addresses, telephone numbers, e-mails, notes and whatever a person typed freely; of an order only
its country stays. The people of the shop stand by the code that they work under.

Limits: whole tables, so a year of a busy shop takes some hundred megabytes; give ``since`` to leave older ones out.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any, get_args

import pandas as pd
from sqlmodel import SQLModel

from fulfil.errors import UnknownRefused
from fulfil.records.settings import Settings
from fulfil.shop.clock import day_span
from fulfil.store.books import Books
from fulfil.store.safe.analysts import KINDS, shown_fields
from fulfil.store.shop import open_shop

_TIMES: Mapping[str, str] = {
    "orders": "received_at",
    "weighings": "at",
    "manifests": "day",
    "stock_moves": "at",
}
"""By which column ``since`` leaves older records out."""


@dataclass(frozen=True)
class ShopFrames:
    """The tables of a shop at one moment; what each column is: :func:`columns_of`."""

    parts: pd.DataFrame
    unit_weights: pd.DataFrame
    bins: pd.DataFrame
    orders: pd.DataFrame
    lines: pd.DataFrame
    walks: pd.DataFrame
    bags: pd.DataFrame
    weighings: pd.DataFrame
    packages: pd.DataFrame
    manifests: pd.DataFrame
    stock_moves: pd.DataFrame


def read_shop(where: str | Path, *, since: date | None = None) -> ShopFrames:
    """Reads a shop's tables at one moment; others go on working with it, nothing is changed.

    Args:
        where: the shop's file, or a database URL.
        since: leaves out orders, weighings, manifests and stock moves of earlier days.

    Raises:
        StoreRefused: no shop, or one of another release.
    """
    with open_shop(where) as shop, shop.reading() as books:
        return read_frames(books, since=since)


def read_frames(books: Books, *, since: date | None = None) -> ShopFrames:
    """The same of a shop that is open."""
    return ShopFrames(**{name: _frame(books, name, since, books.settings()) for name in KINDS})


def columns_of(name: str) -> str:
    """What a frame's columns hold, a line each.

    Raises:
        UnknownRefused: no frame has the name.
    """
    if name not in KINDS:
        raise UnknownRefused("describe the frame", name, f"one of {', '.join(KINDS)}")
    kind, key = KINDS[name]
    described = []
    for field in shown_fields(kind):
        says = _WORDS.get(_type_of(kind, field), "text")
        says = "grams" if field.endswith("_g") else says
        described.append(f"{field}  {says}{', index' if field in key else ''}")
    return "\n".join(described)


_WORDS: Mapping[type, str] = {
    bool: "yes or no", int: "whole number", float: "number", Decimal: "number", datetime: "time", date: "day",
}  # fmt: skip


def _type_of(kind: type[SQLModel], field: str) -> type:
    annotation: Any = kind.model_fields[field].annotation
    of = [one for one in (*get_args(annotation), annotation) if one is not type(None)]
    found = next((word for word in _WORDS if word in of), None)
    return found or (datetime if any("AwareDatetime" in str(one) for one in of) else str)


def _frame(books: Books, name: str, since: date | None, settings: Settings) -> pd.DataFrame:
    kind, key = KINDS[name]
    fields = shown_fields(kind)
    if since is not None and name in _TIMES:
        begin = since if _type_of(kind, _TIMES[name]) is date else day_span(since, settings)[0]
        rows = [tuple(getattr(one, field) for field in fields) for one in books.between(kind, _TIMES[name], begin)]
    else:
        rows = books.fields(kind, fields)
    frame = pd.DataFrame(rows, columns=fields)
    for field in fields:
        type_ = _type_of(kind, field)
        if type_ is Decimal or type_ is float:
            frame[field] = pd.to_numeric(frame[field].astype("float64"))
        elif type_ is datetime:
            frame[field] = pd.to_datetime(frame[field], utc=True).dt.tz_convert(settings.time_zone)
        elif type_ is str:
            frame[field] = frame[field].astype("str")
    return frame.set_index([*key]).sort_index() if key else frame.sort_values(_TIMES[name], kind="stable")
