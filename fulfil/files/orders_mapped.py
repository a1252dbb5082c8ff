"""Orders of any source through its mapping: ordinary lines, charges, cancellations and returns told apart.

A row is a *charge* if its code is one of the mapping's charge codes; else a line of a *return* if its order number
begins as returns do, a *correction* if its pieces are negative, or else a line of an order. Repeated parts of an order
become one line where the mapping says so: at the price of the first row, and what that changes in money is a charge of
the code ``price difference``, so that the sum stays what the file said.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from decimal import Decimal
from hashlib import sha256
from pathlib import Path
from typing import Any

from fulfil.errors import QuantityRefused, Refusal
from fulfil.files.catalogue import read_bytes
from fulfil.files.columns import code
from fulfil.files.mapping.mapping import columns_by, mapped_rows, missing_columns
from fulfil.files.orders import order_of
from fulfil.files.orders_given import LINE, ORDER, ChargeGiven, LineGiven, OrderGiven, OrdersRead, ReturnGiven
from fulfil.files.reading import FileReading
from fulfil.files.rows.csv_rows import Row
from fulfil.quantities import parse_pieces
from fulfil.records.finding import Finding
from fulfil.records.order_mapping import AT_IMPORT, OrderMapping
from fulfil.records.revised import revised
from fulfil.records.text import tidy
from fulfil.standards.country_names import by_any_name

PRICE_DIFFERENCE = "price difference"


def read_mapped_orders(path: Path, mapping: OrderMapping, *, countries: dict[str, str], at: datetime) -> OrdersRead:
    """Reads a file of orders by a mapping; ``countries`` are names that a person has explained, case-folded.

    ``at`` is the time of what comes back in a file without times; its orders are left without ``received_at``, which
    is that of their first import.

    Raises:
        FileRefused: the file can't be read, or the mapping's encoding is none.
    """
    raw = read_bytes(path)
    file = FileReading(path.name, [])
    columns = (*ORDER, *LINE)
    missing = missing_columns(mapping, columns)
    do = f"fulfil orders map {mapping.source} --column NAME=COLUMN, or --fixed NAME=TEXT"
    file.findings += [
        Finding(path.name, None, name, "", f"the mapping {mapping.source} says nothing of it", do) for name in missing
    ]
    digest = sha256(raw + mapping.to_json().encode()).hexdigest()
    is_timed = mapping.fixed.get("received_at") != AT_IMPORT
    if not is_timed:
        fixed = mapping.fixed | {"received_at": at.isoformat()}
        mapping = revised(mapping, {"fixed": fixed, "time_format": ""})
    rows = mapped_rows(raw, path.name, mapping)
    file.names.update(rows.names)
    file.findings += rows.findings
    if file.findings:
        return OrdersRead((), file, digest, notes=rows.notes, given=rows.given, delimiter=rows.delimiter)
    known = revised(mapping, {"decimal_sign": rows.decimal_sign})
    read = _Reading(file, known, countries).of(rows.rows)
    if not is_timed:
        read = replace(read, orders=tuple(map(_untimed, read.orders)))
    return replace(read, digest=digest, notes=(*rows.notes, *read.notes), given=rows.given, delimiter=rows.delimiter)


def _untimed(order: OrderGiven) -> OrderGiven:
    return replace(order, values={name: value for name, value in order.values.items() if name != "received_at"})


class _Reading:
    """Sorts the rows of one file."""

    def __init__(self, file: FileReading, mapping: OrderMapping, countries: dict[str, str]) -> None:
        self.file = file
        self.mapping = mapping
        self.countries = dict(countries)
        self.charge_codes = {tidy(one).casefold() for one in mapping.charge_codes}
        reads = {"country": self._country} | dict.fromkeys(("name", "street", "city"), _something)
        order = tuple(replace(one, read=reads[one.name]) if one.name in reads else one for one in ORDER)
        self.order_columns = columns_by(mapping, order)
        self.line_columns = columns_by(mapping, LINE)
        self.notes: list[str] = []
        self.charges: list[ChargeGiven] = []
        self.returns: list[ReturnGiven] = []
        self._heads: dict[str, dict[str, Any] | None] = {}
        self._return_lines: dict[str, int] = defaultdict(int)

    def of(self, rows: Sequence[Row]) -> OrdersRead:
        """All orders, charges and returns of the rows."""
        by_order: dict[str, list[Row]] = {}
        for row in rows:
            number = tidy(row.cells.get("order", ""))
            part = tidy(row.cells.get("part", ""))
            pieces = row.cells.get("pieces", "").strip()
            is_return = bool(self.mapping.return_prefix) and number.startswith(self.mapping.return_prefix)
            if not number:
                self.file.find(row, "order", "belongs to no order", "fill in its number")
            elif part.casefold() in self.charge_codes:
                self._charge(row, number, part, pieces)
            elif is_return or pieces.startswith("-"):
                self._return(row, number, part, pieces.removeprefix("-"), is_correction=not is_return)
            else:
                by_order.setdefault(number, []).append(row)
        orders = []
        for number, its_rows in by_order.items():
            order = order_of(
                number,
                its_rows,
                self.file,
                order=self.order_columns,
                line=self.line_columns,
                first_row_holds=self.mapping.first_row_holds,
                notes=self.notes,
            )
            if order is not None:
                orders.append(self._merged(order) if self.mapping.merges_repeated else order)
        return OrdersRead(tuple(orders), self.file, "", tuple(self.returns), tuple(self.charges), tuple(self.notes))

    def _country(self, cell: str) -> str:
        folded = tidy(cell).casefold()
        if folded not in self.countries:
            try:
                self.countries[folded] = by_any_name(tidy(cell)).alpha_2
            except Refusal:
                expected = f"a country; say once which it is: fulfil orders country '{tidy(cell)}' CODE"
                raise QuantityRefused("read the country", cell, expected) from None
        return self.countries[folded]

    def _price(self, row: Row) -> Decimal | None:
        column = next(one for one in self.line_columns if one.name == "unit_price")
        cell = row.cells.get("unit_price", "").strip()
        if not cell:
            return Decimal(0)
        try:
            read = column.read(cell)
        except Refusal as refusal:
            self.file.find(row, "unit_price", f"expected {refusal.expected}")
            return None
        return read if isinstance(read, Decimal) else Decimal(0)

    def _pieces(self, row: Row, cell: str) -> int | None:
        try:
            return parse_pieces(cell)
        except Refusal as refusal:
            self.file.find(row, "pieces", f"expected {refusal.expected}")
            return None

    def _charge(self, row: Row, number: str, charge_code: str, cell: str) -> None:
        pieces, price = self._pieces(row, cell.removeprefix("-")), self._price(row)
        if pieces is not None and price is not None:
            signed = -pieces if cell.startswith("-") else pieces
            self.charges.append(ChargeGiven(row, number, charge_code, signed, price))

    def _return(self, row: Row, number: str, part: str, cell: str, *, is_correction: bool) -> None:
        if number not in self._heads:
            self._heads[number] = self.file.values(self.order_columns, row)
        self._return_lines[number] += 1
        head, pieces, price = self._heads[number], self._pieces(row, cell), self._price(row)
        if not part:
            self.file.find(row, "part", "must not be empty")
        elif head is not None and pieces is not None and price is not None:
            line_no = self._return_lines[number]
            self.returns.append(ReturnGiven(row, number, line_no, is_correction, head, code(part), pieces, price))

    def _merged(self, order: OrderGiven) -> OrderGiven:
        """One line for each part; what the first row's price changes in money becomes a charge."""
        kept: dict[str, list[LineGiven]] = {}
        for line in order.lines:
            kept.setdefault(str(line.values["part_number"]).casefold(), []).append(line)
        lines = []
        for same in kept.values():
            first = same[0]
            if len(same) == 1:
                lines.append(first)
                continue
            pieces = sum(line.values["pieces"] for line in same)
            part = first.values["part_number"]
            where = ", ".join(str(line.row.line or line.row.place) for line in same)
            self.notes.append(f"order {order.number}: {len(same)} rows of {part} made one line (rows {where})")
            lines.append(LineGiven(first.row, first.values | {"pieces": pieces}))
            if any("unit_price" in line.values for line in same):
                asked = sum((_amount(line) for line in same), Decimal(0))
                differs = asked - pieces * first.values.get("unit_price", Decimal(0))
                if differs:
                    self.charges.append(ChargeGiven(first.row, order.number, PRICE_DIFFERENCE, 1, differs))
        return replace(order, lines=tuple(lines))


_NOTHING = frozenset(("null", "nan", "none", "n/a", "#n/a", "undefined", "(null)"))
"""What programs write into a cell that has nothing in it."""


def _something(cell: str) -> str:
    """A text that says something: with a letter or a digit, and no program's word for an empty cell."""
    if not any(map(str.isalnum, cell)) or cell.strip(" ()").casefold() in _NOTHING:
        raise QuantityRefused("read an address", cell, "a name or an address, not a sign for an empty cell")
    return cell


def _amount(line: LineGiven) -> Decimal:
    price: Decimal = line.values.get("unit_price", Decimal(0))
    return price * int(line.values["pieces"])


def received_at(values: dict[str, Any]) -> datetime:
    """When a return came in."""
    at: datetime = values["received_at"]
    return at


def known_columns() -> tuple[str, ...]:
    """The names of our columns, for those who write a mapping; ``items`` is a list of parts in one cell."""
    return (*(column.name for column in (*ORDER, *LINE)), "items")
