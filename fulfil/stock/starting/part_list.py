"""The first parts, from a spreadsheet or typed: rows of ``parts.csv``, and a bin for each.

A spreadsheet keeps its own words above the columns, its units and its signs (:mod:`fulfil.files.mapping.fitting`).
What the shop needs and no column says is asked for: another column's name, or one value for all parts. A column of
places keeps its codes where the room has them; else each part gets the next free bin, nearest to the bench first, in
the order of the list. A column of pieces is the opening count.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from fulfil.errors import FileRefused, QuantityRefused, Refusal
from fulfil.files.catalogue import read_bytes
from fulfil.files.columns import Column, amount, pieces_or_none
from fulfil.files.mapping.fitting import fitted
from fulfil.files.parts import PARTS, WEIGHTS, read_parts
from fulfil.files.reading import FileReading
from fulfil.files.rows.csv_rows import Row
from fulfil.files.rows.table import Table, read_table
from fulfil.orders.keying import answers
from fulfil.shop.conversation import Question, Script
from fulfil.stock.starting.measures import length_mm, sides_mm
from fulfil.stock.starting.room import Place

Cells = dict[str, str]
_STOCK = (Column("pieces", "pieces", pieces_or_none, is_needed=False), Column("bin", "code", is_needed=False))
_NEEDED = ("part", "description", "family", "longest_mm", "supply", "price")
_ASKS = {
    "part": "Which column is the part number?",
    "description": "Which column says what the part is?",
    "family": "Which column is its kind, such as 'cap screw'? Enter takes the first word of what it is.",
    "longest_mm": "Which column is its longest side? Or a length for all of them, such as 40 mm.",
    "supply": "Are they made here or bought: make, buy, or a column?",
    "price": "Which column is the price of one piece?",
}
_DEFAULTS = {"family": "first word", "supply": "buy"}
_MOST_SHOWN = 9


@dataclass(frozen=True)
class PartList:
    """Rows of ``parts.csv`` and ``bins.csv``; ``notes`` say how a sheet was read."""

    parts: tuple[Cells, ...] = ()
    bins: tuple[Cells, ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Sheet:
    """A spreadsheet of parts, fitted: its headers, its rows by header."""

    name: str
    headers: tuple[str, ...]
    rows: tuple[tuple[int, Cells], ...]
    notes: tuple[str, ...]


def part_list_script(currency: str, places: Sequence[Place]) -> Script[PartList]:
    """The questions; ``places`` are the bins of the room, nearest first."""
    sheet = yield Question(
        "parts table", "A spreadsheet with your parts (its path)? Enter to type them.", _sheet, "", stand_in=None
    )
    if sheet is None:
        return (yield from _typed(currency, places))
    parts = [dict(cells) for _, cells in sheet.rows]
    for name in _NEEDED:
        if name not in sheet.headers:
            value = yield Question(
                f"column {name}", _ASKS[name], partial(_of_all, sheet, parts, name), _DEFAULTS.get(name),
                shows=(f"the columns are {', '.join(sheet.headers)}",), stand_in=[""] * len(parts),
            )  # fmt: skip
            for cells, text in zip(parts, value, strict=True):
                cells[name] = text
    for cells in parts:
        cells.setdefault("currency", currency)
        cells["currency"] = cells["currency"] or currency
    yield Question(
        "parts are right", f"{len(parts)} parts. Enter goes on.", partial(_right, sheet, parts, places), "yes",
        shows=(*sheet.notes[:_MOST_SHOWN], *_first(parts), *_moved(parts, places)),
        offers=lambda _: _findings(sheet, parts)[:_MOST_SHOWN],
    )  # fmt: skip
    return PartList(tuple(map(_part_cells, parts)), tuple(_bins(parts, places)), sheet.notes)


def _typed(currency: str, places: Sequence[Place]) -> Script[PartList]:
    parts: list[Cells] = []
    while True:
        key = f"part {len(parts) + 1}"
        number = yield Question(
            key, f"Part {len(parts) + 1}, its number?{' Enter when there are no more.' if parts else ''}",
            partial(_new_number, [cells["part"] for cells in parts], places), "" if parts else None, stand_in="",
        )  # fmt: skip
        if not number:
            return PartList(tuple(map(_part_cells, parts)), tuple(_bins(parts, places)))
        cells = {"part": number, "currency": currency}
        cells["description"] = yield Question(f"{key} name", "What is it?", partial(answers.something, "description"))
        cells["family"] = _first_word(cells["description"])
        longest = yield Question(f"{key} longest", "Its longest side, such as 19 mm?", length_mm, stand_in=1)
        cells["longest_mm"] = str(longest)
        cells["supply"] = yield Question(f"{key} supply", "Made here or bought (make, buy)?", _supply, "buy")
        cells["price"] = yield Question(f"{key} price", f"Price of one piece in {currency}?", _price, stand_in="0")
        cells["pieces"] = yield Question(f"{key} pieces", "How many are there?", _pieces, "0")
        parts.append(cells)


def _sheet(said: str) -> Sheet | None:
    if not said:
        return None
    path = Path(said).expanduser()
    table = read_table(read_bytes(path), path.name)
    if not table.findings:
        table = fitted(table, (*PARTS, *WEIGHTS, *_STOCK), kind="parts")
    if table.findings:
        raise FileRefused("read the parts of", path, str(table.findings[0]))
    return _as_sheet(table)


def _as_sheet(table: Table) -> Sheet:
    width = len(table.header)
    for line, cells in table.rows:
        if len(cells) != width:
            raise FileRefused("read the parts of", table.source, f"{width} cells in line {line}, got {len(cells)}")
    rows = tuple((line, dict(zip(table.header, cells, strict=True))) for line, cells in table.rows)
    if not rows:
        raise FileRefused("read the parts of", table.source, "a header and at least one part below it")
    return Sheet(table.source, tuple(name for name in table.header if name), rows, table.notes)


def _of_all(sheet: Sheet, parts: Sequence[Cells], name: str, said: str) -> list[str]:
    """The cells of the column named, or a value for all; ``parts`` are their cells so far."""
    headers = {header.casefold(): header for header in sheet.headers}
    column = headers.get(said.casefold())
    if column is not None:
        return [_longest(cells[column]) if name == "longest_mm" else cells[column] for _, cells in sheet.rows]
    if name == "family" and said == _DEFAULTS["family"]:
        return [_first_word(cells.get("description", "")) for cells in parts]
    try:
        value = {"longest_mm": lambda text: str(length_mm(text)), "supply": _supply}[name](said)
    except KeyError:
        raise QuantityRefused("find the column", said, f"one of {', '.join(sheet.headers)}") from None
    return [value] * len(sheet.rows)


def _longest(cell: str) -> str:
    """The longest of the sides that a cell says, in millimetres; the cell itself where it says none.

    >>> _longest("60x40 mm"), _longest("3,8 cm"), _longest("24 teeth")
    ('60', '38', '24 teeth')
    """
    try:
        return str(max(sides_mm(cell, len(re.split("[x×*]", cell.casefold())))))
    except QuantityRefused:
        return cell


def _right(sheet: Sheet, parts: Sequence[Cells], places: Sequence[Place], said: str) -> bool:
    _must_have_room(len(parts), places)
    found = _findings(sheet, parts)
    if found:
        raise FileRefused(
            "take the parts of",
            sheet.name,
            f"rows without findings, got {len(found)}; correct them there, then Enter, or < for another column",
        )
    return bool(said)


def _findings(sheet: Sheet, parts: Sequence[Cells]) -> tuple[str, ...]:
    file = FileReading(sheet.name, [])
    rows = [Row(line, _part_cells(cells)) for (line, _), cells in zip(sheet.rows, parts, strict=True)]
    read_parts(rows, file)
    for row, cells in zip(rows, parts, strict=True):
        if cells.get("pieces"):
            try:
                pieces_or_none(cells["pieces"])
            except Refusal as refusal:
                file.find(Row(row.line, cells), "pieces", f"expected {refusal.expected}")
    return tuple(map(str, file.findings))


def _first(parts: Sequence[Cells]) -> list[str]:
    return [f"{one['part']}  {one['description']}, {one['price']} {one['currency']}" for one in parts[:3]]


def _moved(parts: Sequence[Cells], places: Sequence[Place]) -> list[str]:
    """A line where the sheet names places that the room doesn't have."""
    codes = {place.code.casefold() for place in places}
    other = [cells["bin"] for cells in parts if cells.get("bin") and cells["bin"].casefold() not in codes]
    if not other:
        return []
    are, whose = ("place isn't", "its part gets") if len(other) == 1 else ("places aren't", "their parts get")
    return [f"{len(other)} {are} in the room, such as '{other[0]}': {whose} the nearest bin that is free"]


def _part_cells(cells: Mapping[str, str]) -> Cells:
    known = [column.name for column in (*PARTS, *WEIGHTS)]
    return {name: cells[name] for name in known if cells.get(name)}


def _bins(parts: Sequence[Cells], places: Sequence[Place]) -> list[Cells]:
    """A bin for each part: the one that its row names where the room has it, else the next free one."""
    by_code = {place.code.casefold(): place for place in places}
    named = [by_code.get(cells.get("bin", "").casefold()) for cells in parts]
    taken = {place.code for place in named if place is not None}
    free = iter([place for place in places if place.code not in taken])
    given: set[str] = set()
    rows = []
    for cells, place in zip(parts, named, strict=True):
        chosen = place if place is not None and place.code not in given else next(free, None)
        assert chosen is not None  # noqa: S101 - there is room for all of them
        given.add(chosen.code)
        rows.append({**chosen.cells(), "part": cells["part"], "pieces": cells.get("pieces") or "0"})
    return rows


def _must_have_room(count: int, places: Sequence[Place]) -> None:
    if count > len(places):
        raise QuantityRefused("give a bin to each of", f"{count} parts", f"at most {len(places)}, or a larger room")


def _new_number(taken: Sequence[str], places: Sequence[Place], said: str) -> str:
    if said:
        _must_have_room(len(taken) + 1, places)
    if said and not (said.isascii() and said.isprintable() and len(said) <= 40):
        raise QuantityRefused("use the part number", said, "at most 40 letters and digits without accents")
    if said.casefold() in map(str.casefold, taken):
        raise QuantityRefused("use the part number", said, "one that no other part has")
    return said


def _first_word(text: str) -> str:
    return text.replace(",", " ").split()[0].casefold() if text.split() else ""


def _supply(said: str) -> str:
    for word, means in (("make", "make"), ("made", "make"), ("buy", "buy"), ("bought", "buy")):
        if said.casefold() == word:
            return means
    raise QuantityRefused("read where it comes from", said, "make or buy")


def _price(said: str) -> str:
    return f"{amount(said.replace(',', '.')):f}"


def _pieces(said: str) -> Any:
    return str(pieces_or_none(said))
