r"""Order files of any source, read by the mapping that the shop keeps for it (:mod:`fulfil.records.order_mapping`).

Encoding: a byte order mark decides; else what is valid UTF-8 is UTF-8 (a text in another code page with letters beyond
ASCII almost never is); else the code page that the mapping names. Nothing else is guessed.

>>> mapping = OrderMapping(source="s", delimiter=";", columns={"order": "No", "part": "Item", "pieces": "Count"},
...                        fixed={"name": "Customer {Who}"})
>>> read = mapped_rows("No;Item;Count;Who\n7;0012;5;31.0\n".encode("cp1252"), "a.csv", mapping)
>>> [(row.line, row.cells["part"], row.cells["name"]) for row in read.rows]
[(2, '0012', 'Customer 31')]

In a fixed text, a number that a spreadsheet wrote as ``31.0`` is said as ``31``; where a named cell is empty the whole
text is ``(not given)``.
"""

import csv
import io
import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from fulfil.errors import QuantityRefused
from fulfil.files.columns import Column, moment
from fulfil.files.csv_rows import Row, Rows, read_rows
from fulfil.files.xlsx_rows import read_xlsx
from fulfil.quantities import parse_decimal
from fulfil.records.finding import Finding
from fulfil.records.order_mapping import Layout, OrderMapping

NOT_GIVEN = "(not given)"
FINDING = "finding"
"""A column that rejected rows carry; it is passed over when they come in again."""
_PLACE = re.compile(r"\{([^{}]+)\}")
_WHOLE_AS_DECIMAL = re.compile(r"([0-9]+)\.0")


@dataclass(frozen=True)
class MappedRows:
    """Rows by our columns, the rows as the file has them (for the rejects), the file's header, and what is wrong.

    ``names`` gives the file's column for each of ours, for findings.
    """

    rows: tuple[Row, ...]
    given: tuple[Row, ...]
    header: tuple[str, ...]
    names: dict[str, str]
    findings: tuple[Finding, ...]


def encoding_of(raw: bytes, fallback: str) -> str:
    """The encoding of a file's bytes by the rule above; UTF-8 where nothing fits, so that the fault is named."""
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "utf-16"
    try:
        raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return fallback or "utf-8-sig"
    return "utf-8-sig"


def mapped_rows(raw: bytes, source: str, mapping: OrderMapping) -> MappedRows:
    """The rows of a file's bytes; its kind is told by the end of ``source``."""
    names = dict(mapping.columns)
    asked = {theirs.casefold() for theirs in names.values() if "#" not in theirs}
    asked |= {name.strip().casefold() for text in mapping.fixed.values() for name in _PLACE.findall(text)}
    numbers: frozenset[tuple[int, str]] = frozenset()
    findings: list[Finding] = []
    if source.lower().endswith(".json"):
        read = _json_rows(raw, source, asked)
    else:
        delimiter, encoding = mapping.delimiter, encoding_of(raw, mapping.encoding)
        if source.lower().endswith(".xlsx"):
            book = read_xlsx(raw, source)
            raw, delimiter, encoding, numbers = book.csv, ",", "utf-8", book.numbers
            findings += book.findings
        header = _header(raw, encoding, delimiter)
        optional = [name for name in header if mapping.ignores_other_columns or name == FINDING] + [
            name for name in header if "#" in _numbered(name) and _numbered(name) in _patterns(mapping)
        ]
        if not findings:
            read = read_rows(
                raw, source, needed=sorted(asked), optional=optional, encoding=encoding, delimiter=delimiter
            )
        else:
            read = Rows(source, (), ())
    findings += read.findings
    part = names.get("part", "").casefold()
    if not mapping.numbers_may_be_parts:
        findings += [
            Finding(
                source, row.line, names["part"], row.cells[part], "is a number, its zeros in front are lost", _AS_TEXT
            )
            for row in read.rows
            if row.line is not None and (row.line, part) in numbers
        ]
    header_names = tuple(dict.fromkeys(name for row in read.rows[:1] for name in row.cells))
    if findings:
        return MappedRows((), read.rows, header_names, names, tuple(findings))
    return MappedRows(tuple(_ours(read.rows, mapping)), read.rows, header_names, names, ())


_AS_TEXT = "make the column text and type the part numbers again, or let the mapping take numbers"


def columns_by(mapping: OrderMapping, columns: tuple[Column, ...]) -> tuple[Column, ...]:
    """Our columns with times and prices read as the mapping says."""
    read: dict[str, Callable[[str], object]] = {
        "received_at": partial(_moment, time_format=mapping.time_format, zone=mapping.time_zone),
        "unit_price": partial(parse_decimal, what="an amount of money", decimal_sign=mapping.decimal_sign),
    }
    return tuple(
        Column(one.name, one.field, read[one.name], one.is_needed, one.do) if one.name in read else one
        for one in columns
    )


def missing_columns(mapping: OrderMapping, columns: tuple[Column, ...]) -> list[str]:
    """Our needed columns that the mapping gives neither a column nor a text; ``source`` is the mapping's own."""
    known = {*mapping.columns, *mapping.fixed, "source"}
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


def _header(raw: bytes, encoding: str, delimiter: str) -> list[str]:
    """The names in the first line that isn't empty; none where the file can't be read, which is said later."""
    try:
        text = raw[:1_000_000].decode(encoding, errors="ignore")
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
        return next(([cell.strip().casefold() for cell in cells] for cells in reader if any(map(str.strip, cells))), [])
    except (LookupError, csv.Error):
        return []


def _numbered(name: str) -> str:
    return re.sub(r"[0-9]+(?!.*[0-9])", "#", name)


def _patterns(mapping: OrderMapping) -> set[str]:
    return {theirs.casefold() for theirs in mapping.columns.values() if "#" in theirs}


def _ours(rows: tuple[Row, ...], mapping: OrderMapping) -> list[Row]:
    single = [(ours, theirs.casefold()) for ours, theirs in mapping.columns.items() if "#" not in theirs]
    numbered = [(ours, theirs.casefold()) for ours, theirs in mapping.columns.items() if "#" in theirs]
    fixed = {ours: text for ours, text in mapping.fixed.items() if "{" not in text}
    fixed.setdefault("source", mapping.source)
    templates = [(ours, text) for ours, text in mapping.fixed.items() if "{" in text]
    made = []
    for row in rows:
        cells = dict(fixed)
        for ours, theirs in single:
            cells[ours] = row.cells.get(theirs, "")
        for ours, text in templates:
            cells[ours] = _filled(text, row.cells)
        if mapping.layout is Layout.LINE:
            made.append(Row(row.line, cells, row.place))
            continue
        place = 1
        while any(theirs.replace("#", str(place)) in row.cells for _, theirs in numbered):
            one = {ours: row.cells.get(theirs.replace("#", str(place)), "") for ours, theirs in numbered}
            if any(one.values()):
                made.append(Row(row.line, cells | one, row.place))
            place += 1
    return made


def _filled(text: str, cells: Mapping[str, str]) -> str:
    """The fixed text with its cells in place."""
    named = [cells.get(name.strip().casefold(), "") for name in _PLACE.findall(text)]
    if not all(named):
        return NOT_GIVEN
    said = iter([_WHOLE_AS_DECIMAL.sub(r"\1", cell) if _WHOLE_AS_DECIMAL.fullmatch(cell) else cell for cell in named])
    return _PLACE.sub(lambda _: next(said), text)


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
