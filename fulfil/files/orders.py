"""Orders from a file in our own columns: a table with a row a line (CSV or a workbook), or JSON.

In JSON, a list of orders with their ``lines``. Files of other sources come in through
:mod:`fulfil.files.orders_mapped`.

In CSV the order's own columns repeat on each of its rows; they must agree with the first row or be empty. A file whose
shape is broken (a row too long, a row of no order) gives no order at all: nobody can say whose line is missing. A cell
that can't be read keeps its whole order out, and no other. An order twice in a JSON file keeps both out.
"""

import json
from collections.abc import Sequence
from hashlib import sha256
from pathlib import Path

from fulfil.files.catalogue import read_bytes
from fulfil.files.columns import Column, needed_names, optional_names
from fulfil.files.mapping.fitting import fitted
from fulfil.files.mapping.mapping import FINDING, is_json
from fulfil.files.orders_given import LINE, ORDER, LineGiven, OrderGiven, OrdersRead
from fulfil.files.reading import FileReading
from fulfil.files.rows.csv_rows import Row, Rows, decode, rows_of
from fulfil.files.rows.table import read_table
from fulfil.records.finding import Finding
from fulfil.records.text import tidy


def read_orders(path: Path, *, encoding: str = "", delimiter: str = "", decimal: str = "") -> OrdersRead:
    """Reads a file of orders; what it is, its bytes say.

    Raises:
        FileRefused: the file can't be read, or ``encoding`` is no encoding.
    """
    raw = read_bytes(path)
    file = FileReading(path.name, [])
    digest = sha256(raw).hexdigest()
    if is_json(raw, path.name):
        by_order = _from_json(decode(raw, path.name, encoding or "utf-8-sig"), file)
        given = tuple(row for rows in by_order.values() for row in rows)
        orders = [order_of(number, rows, file) for number, rows in by_order.items()]
        return OrdersRead(tuple(one for one in orders if one is not None), file, digest, given=given)
    columns = (*ORDER, *LINE)
    table = read_table(raw, path.name, encoding=encoding, delimiter=delimiter)
    if not table.findings:
        table = fitted(table, columns, decimal=decimal)
    read = rows_of(table, needed=needed_names(columns), optional=(*optional_names(columns), FINDING))
    by_order = _by_order(read, file)
    orders = [order_of(number, rows, file) for number, rows in by_order.items()]
    taken = tuple(one for one in orders if one is not None)
    return OrdersRead(taken, file, digest, notes=read.notes, given=read.rows, delimiter=read.delimiter)


def _by_order(rows: Rows, file: FileReading) -> dict[str, list[Row]]:
    file.findings += rows.findings
    by_order: dict[str, list[Row]] = {}
    for row in rows.rows:
        number = tidy(row.cells["order"])
        if not number:
            file.find(row, "order", "belongs to no order, so no order of this file is taken", "fill in its number")
        by_order.setdefault(number, []).append(row)
    return {} if file.findings else by_order


def order_of(
    number: str,
    rows: Sequence[Row],
    file: FileReading,
    *,
    order: tuple[Column, ...] = ORDER,
    line: tuple[Column, ...] = LINE,
    first_row_holds: Sequence[str] = (),
    notes: list[str] | None = None,
) -> OrderGiven | None:
    """The order that the rows with its number make, None with a finding or more.

    Cells are read by the columns given. Where the first row holds, a later one that differs is only noted.
    """
    before = len(file.findings)
    first = rows[0]
    values = file.values(order, first)
    for row in rows[1:]:
        for column in order[1:]:
            said, now = tidy(first.cells.get(column.name, "")), tidy(row.cells.get(column.name, ""))
            if now and now != said:
                where = first.place or f"line {first.line}"
                if column.name in first_row_holds:
                    if notes is not None:
                        notes.append(f"order {number}: {column.name} '{now}' in row {row.line} passed over")
                    continue
                file.find(row, column.name, f"differs from '{said}' in {where} of the same order", "let them agree")
    lines: dict[int, LineGiven] = {}
    for place, row in enumerate(rows, start=1):
        read = file.values(line, row)
        if read is not None:
            read.setdefault("line_no", place)
            if read["line_no"] in lines:
                file.find(row, "line", f"comes twice in order {number}", "number the lines 1, 2, 3 and so on")
            lines.setdefault(read["line_no"], LineGiven(row, read))
    if values is None or len(file.findings) > before:
        return None
    return OrderGiven(number, first, values, tuple(lines[line_no] for line_no in sorted(lines)))


def _from_json(text: str | Finding, file: FileReading) -> dict[str, list[Row]]:
    """The same rows as CSV would give, one for each line of each order."""
    if isinstance(text, Finding):
        file.findings.append(text)
        return {}
    try:
        orders = json.loads(text, parse_int=str, parse_float=str, parse_constant=str, object_pairs_hook=_object)
    except (json.JSONDecodeError, RecursionError, _NamedTwice) as trouble:
        line = trouble.lineno if isinstance(trouble, json.JSONDecodeError) else None
        says = f"is no well-formed JSON ({trouble})"
        file.findings.append(Finding(file.source, line, "", "", says, "export the file again"))
        return {}
    if not isinstance(orders, list):
        file.findings.append(Finding(file.source, None, "", "", "is no list of orders", "write a list: [{...}, ...]"))
        return {}
    by_order: dict[str, list[Row]] = {}
    first_at: dict[str, str] = {}
    for index, order in enumerate(orders):
        before, place = len(file.findings), f"orders[{index}]"
        rows = _json_rows(order, place, file)
        if len(file.findings) > before:
            continue
        number = tidy(rows[0].cells["order"])
        if first_at.setdefault(number, place) != place:
            file.find(rows[0], "order", f"is there already, in {first_at[number]}", "keep one of the two")
            by_order.pop(number, None)
        else:
            by_order[number] = rows
    return by_order


def _json_rows(order: object, place: str, file: FileReading) -> list[Row]:
    lines = order.get("lines") if isinstance(order, dict) else None
    if not isinstance(order, dict) or not isinstance(lines, list) or not lines:
        says = "is no order with a list of lines"
        file.findings.append(Finding(file.source, None, place, "", says, 'write {"order": ..., "lines": [{...}]}'))
        return []
    own = _cells({key: value for key, value in order.items() if key != "lines"}, ORDER, place, file)
    if not own.get("order"):
        says = "must not be empty"
        file.findings.append(Finding(file.source, None, f"{place}.order", "", says, "fill in its number"))
        return []
    rows = []
    for index, line in enumerate(lines):
        where = f"{place}.lines[{index}]"
        if isinstance(line, dict):
            rows.append(Row(None, own | _cells(line, LINE, where, file), f"{where}."))
        else:
            says = "is no line with a part and pieces"
            file.findings.append(Finding(file.source, None, where, "", says, 'write {"part": ..., "pieces": ...}'))
    return rows


def _cells(given: dict[str, object], columns: Sequence[Column], place: str, file: FileReading) -> dict[str, str]:
    known = {column.name for column in columns}
    cells = {}
    for name, value in given.items():
        if name not in known:
            says = "is no name of this place"
            do = f"name it one of {', '.join(column.name for column in columns)}, or remove it"
            file.findings.append(Finding(file.source, None, f"{place}.{name}", "", says, do))
        elif isinstance(value, dict | list):
            says = "must be one value"
            file.findings.append(Finding(file.source, None, f"{place}.{name}", "", says, "write text or a number"))
        else:
            cells[name] = "" if value is None else str(value).strip()
    return cells


class _NamedTwice(ValueError):
    pass


def _object(pairs: list[tuple[str, object]]) -> dict[str, object]:
    named = dict(pairs)
    if len(named) != len(pairs):
        twice = sorted({name for name, _ in pairs if sum(1 for other, _ in pairs if other == name) > 1})
        raise _NamedTwice(f"one object names {', '.join(twice)} twice")
    return named
