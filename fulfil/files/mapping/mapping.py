r"""Order files of any source, read by the mapping that the shop keeps for it (:mod:`fulfil.records.order_mapping`).

What the mapping doesn't say of the file's dialect, encoding and decimal sign is found out
(:mod:`fulfil.files.rows.table`).

>>> mapping = OrderMapping(source="s", columns={"order": "No", "part": "Item", "pieces": "Count"},
...                        fixed={"name": "Customer {Who}"})
>>> read = mapped_rows("No;Item;Count;Who\n7;0012;5;31.0\n".encode("cp1252"), "a.csv", mapping)
>>> [(row.line, row.cells["part"], row.cells["name"]) for row in read.rows]
[(2, '0012', 'Customer 31')]
>>> read.notes
('a.csv: read as cells apart by semicolons',)
"""

import json
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from fulfil.errors import QuantityRefused
from fulfil.files.columns import Column, moment
from fulfil.files.mapping.fitting import decimal_sign_of, sign_of
from fulfil.files.mapping.header_words import differs
from fulfil.files.mapping.mapped_cells import PLACE, filled, listed, whole
from fulfil.files.mapping.number_signs import amount_by, plain
from fulfil.files.rows.csv_rows import Row, Rows, rows_of
from fulfil.files.rows.encodings import detected
from fulfil.files.rows.table import Table, read_table
from fulfil.records.finding import Finding
from fulfil.records.order_mapping import Layout, OrderMapping
from fulfil.records.text import tidy

FINDING = "finding"
"""A column that rejected rows carry; it is passed over when they come in again."""
_IN_ITEMS = ("part", "pieces", "unit_price")


@dataclass(frozen=True)
class MappedRows:
    """Rows by our columns, the rows as the file has them (for the rejects), the file's header, and what is wrong.

    ``names`` gives the file's column for each of ours, for findings; ``notes`` say how the file was read.
    """

    rows: tuple[Row, ...]
    given: tuple[Row, ...]
    header: tuple[str, ...]
    names: dict[str, str]
    findings: tuple[Finding, ...]
    notes: tuple[str, ...] = ()
    decimal_sign: str = "."
    delimiter: str = ","


def table_by(raw: bytes, source: str, mapping: OrderMapping) -> Table:
    """A file's table; an encoding that the mapping names holds where the bytes don't tell theirs."""
    encoding = mapping.encoding if mapping.encoding and not detected(raw).is_told else ""
    return read_table(raw, source, encoding=encoding, delimiter=mapping.delimiter)


def is_json(raw: bytes, source: str) -> bool:
    """Whether a file is JSON rather than a table, by its bytes or its name."""
    return source.lower().endswith(".json") or raw.removeprefix(b"\xef\xbb\xbf").lstrip()[:1] in (b"[", b"{")


def mapped_rows(raw: bytes, source: str, mapping: OrderMapping) -> MappedRows:
    """The rows of a file's bytes; its kind is told by the bytes."""
    names = dict(mapping.columns)
    asked = {theirs.casefold() for theirs in names.values() if "#" not in theirs}
    asked |= {place[0].strip().casefold() for text in mapping.fixed.values() for place in PLACE.findall(text)}
    sign = mapping.decimal_sign or "."
    off: list[Finding] = []
    if is_json(raw, source):
        read = _json_rows(raw, source, asked)
    else:
        table = table_by(raw, source, mapping)
        header = [name.casefold() for name in table.header]
        optional = [name for name in header if mapping.ignores_other_columns or name == FINDING] + [
            name for name in header if "#" in _numbered(name) and _numbered(name) in _patterns(mapping)
        ]
        read = rows_of(table, needed=sorted(asked), optional=optional)
        price = names.get("unit_price", "").casefold()
        places = [place for place, name in enumerate(header) if price and price in (name, _numbered(name))]
        if mapping.layout is Layout.LIST:
            sign, said, off = sign_of(source, _listed_prices(read.rows, mapping), named=mapping.decimal_sign)
        else:
            sign, said, off = decimal_sign_of(table, places, named=mapping.decimal_sign)
        read = Rows(source, read.rows, read.findings, (*read.notes, *said), read.delimiter, read.numbers)
    findings = [*read.findings, *(off if not read.findings else ())]
    part = names.get("part", "").casefold()
    if not mapping.numbers_may_be_parts:
        findings += [
            Finding(
                source, row.line, names["part"], row.cells[part], "is a number, its zeros in front are lost", _AS_TEXT
            )
            for row in read.rows
            if row.line is not None and (row.line, part) in read.numbers
        ]
    header_names = tuple(dict.fromkeys(name for row in read.rows[:1] for name in row.cells))
    made, more = _ours(read.rows, mapping, sign, source) if not findings else ([], [])
    findings += more
    if findings:
        return MappedRows((), read.rows, header_names, names, tuple(findings), read.notes, sign, read.delimiter)
    return MappedRows(tuple(made), read.rows, header_names, names, (), read.notes, sign, read.delimiter)


_AS_TEXT = "make the column text and type the part numbers again, or let the mapping take numbers"


def columns_by(mapping: OrderMapping, columns: tuple[Column, ...]) -> tuple[Column, ...]:
    """Our columns with times and prices read as the mapping says."""
    read: dict[str, Callable[[str], object]] = {
        "received_at": partial(_moment, time_format=mapping.time_format, zone=mapping.time_zone),
        "unit_price": partial(amount_by, sign=mapping.decimal_sign or "."),
    }
    return tuple(
        Column(one.name, one.field, read[one.name], one.is_needed, one.do) if one.name in read else one
        for one in columns
    )


def missing_columns(mapping: OrderMapping, columns: tuple[Column, ...]) -> list[str]:
    """Our needed columns that the mapping gives neither a column nor a text; ``source`` is the mapping's own."""
    known = {*mapping.columns, *mapping.fixed, "source"}
    if "items" in known:
        known |= {name for name in _IN_ITEMS if f"{{{name}}}" in mapping.items}
    return [one.name for one in columns if one.is_needed and one.name not in known]


def _moment(cell: str, *, time_format: str, zone: str) -> datetime:
    expected = f"a time such as {time_format or '2026-03-02T08:15:00'}"
    try:
        read = datetime.strptime(cell, time_format) if time_format else datetime.fromisoformat(cell)  # noqa: DTZ007
        return read if read.tzinfo else read.replace(tzinfo=ZoneInfo(zone))
    except (ValueError, ZoneInfoNotFoundError):
        if not time_format and not zone:
            return moment(cell)
        raise QuantityRefused("read a time", cell, expected) from None


def _listed_prices(rows: Sequence[Row], mapping: OrderMapping) -> list[str]:
    """The prices in the lists of items."""
    cells = (row.cells.get(mapping.columns.get("items", "").casefold(), "") for row in rows)
    return [item.get("unit_price", "") for cell in cells for item in listed(cell, mapping.items, mapping.between)[0]]


def _numbered(name: str) -> str:
    return re.sub(r"[0-9]+(?!.*[0-9])", "#", name)


def _patterns(mapping: OrderMapping) -> set[str]:
    return {theirs.casefold() for theirs in mapping.columns.values() if "#" in theirs}


def _ours(rows: Sequence[Row], mapping: OrderMapping, sign: str, source: str) -> tuple[list[Row], list[Finding]]:
    single = [(ours, theirs.casefold()) for ours, theirs in mapping.columns.items() if "#" not in theirs]
    numbered = [(ours, theirs.casefold()) for ours, theirs in mapping.columns.items() if "#" in theirs]
    fixed = {ours: text for ours, text in mapping.fixed.items() if "{" not in text}
    fixed.setdefault("source", mapping.source)
    templates = [(ours, text) for ours, text in mapping.fixed.items() if "{" in text]
    made: list[Row] = []
    findings = []
    above = ""
    for row in rows:
        cells = dict(fixed)
        for ours, theirs in single:
            cells[ours] = row.cells.get(theirs, "")
        for ours, text in templates:
            cells[ours] = filled(text, row.cells)
        if mapping.fills_down:
            above = cells["order"] = cells.get("order") or above
        lines, off = _lines(row, cells, numbered, mapping)
        if off:
            says, do = f"isn't written as {mapping.items}", "correct the cell, or the mapping's --items and --between"
            findings.append(Finding(source, row.line, mapping.columns["items"], off[:60], says, do))
        for one in lines:
            told = _said(cells | one, mapping, sign)
            if other := differs(told.get("unit_price", ""), told.get("currency", "")):
                if told.get("currency"):
                    says = f"is in {other}, the order in {told['currency']}"
                    what = (mapping.columns.get("unit_price", "unit_price"), told["unit_price"][:60], says)
                    findings.append(Finding(source, row.line, *what, "correct the price, or the mapping's currency"))
                told["currency"] = told.get("currency") or other
            made.append(Row(row.line, told, row.place))
    return made, findings


def _lines(
    row: Row, cells: dict[str, str], numbered: list[tuple[str, str]], mapping: OrderMapping
) -> tuple[list[dict[str, str]], str]:
    """What each line of the row adds to its cells, and an item that can't be read."""
    if mapping.layout is Layout.LINE:
        return [{}], ""
    if mapping.layout is Layout.LIST:
        return listed(cells.pop("items", ""), mapping.items, mapping.between)
    lines, place = [], 1
    while any(theirs.replace("#", str(place)) in row.cells for _, theirs in numbered):
        one = {ours: row.cells.get(theirs.replace("#", str(place)), "") for ours, theirs in numbered}
        if any(one.values()):
            lines.append(one)
        place += 1
    return lines, ""


def _said(cells: dict[str, str], mapping: OrderMapping, sign: str) -> dict[str, str]:
    """The cells in the shop's words, pieces as whole numbers."""
    for ours, words in mapping.words.items():
        cell = cells.get(ours, "")
        cells[ours] = words.get(tidy(cell).casefold(), cell)
    number = whole(plain(cells.get("pieces", ""), sign))
    if number.removeprefix("-").isascii() and number.removeprefix("-").isdigit():
        cells["pieces"] = number
    return cells


def _json_rows(raw: bytes, source: str, asked: set[str]) -> Rows:
    """A list of objects, flat ones or orders with a list of ``lines``."""

    def off(says: str, do: str) -> Rows:
        return Rows(source, (), (Finding(source, None, "", "", says, do),))

    try:
        listed = json.loads(raw.decode("utf-8-sig"), parse_int=str, parse_float=str, parse_constant=str)
    except (ValueError, RecursionError) as trouble:
        return off(f"is no well-formed JSON ({trouble})", "export the file again")
    if not isinstance(listed, list):
        return off("is no list of orders", "write a list: [{...}, ...]")
    rows = []
    for index, one in enumerate(listed):
        place = f"orders[{index}]."
        lines = one.get("lines", [{}]) if isinstance(one, dict) else None
        if (
            not isinstance(one, dict)
            or not isinstance(lines, list)
            or not all(isinstance(line, dict) for line in lines)
        ):
            return off(f"{place[:-1]} is no order", "write objects with names and values")
        for line in lines:
            cells = {name.casefold(): value for name, value in {**one, **line}.items() if name != "lines"}
            told = {name: "" if value is None else str(value).strip() for name, value in cells.items()}
            rows.append(Row(None, told, place))
    known = {name for row in rows for name in row.cells}
    do = "correct the mapping, or name it in the file"
    lost = [Finding(source, None, name, "", "is missing as a name", do) for name in sorted(asked - known)]
    return Rows(source, tuple(rows), tuple(lost))
