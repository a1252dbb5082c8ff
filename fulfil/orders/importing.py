"""Orders come in: each whole or not at all, the same one twice only once.

An order that the shop has already is compared by what the customer said
(:func:`~fulfil.records.order.content_digest`): the same is *unchanged*, something else under its number is a
*conflict*, shown and not applied. A price that isn't given is the catalogue's on the day of the order.
"""

from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from fulfil.errors import Refusal
from fulfil.files.mapping.rejects import rejects_csv
from fulfil.files.orders import read_orders
from fulfil.files.orders_given import LINE, ORDER, OrderGiven, OrdersRead
from fulfil.files.orders_mapped import read_mapped_orders
from fulfil.files.reading import FileReading
from fulfil.files.rows.csv_rows import Row
from fulfil.files.written import write_whole
from fulfil.orders.extras import PartNumbers, explained_countries, extras_of, kept_mapping
from fulfil.orders.print_check import latin_values, script_faults
from fulfil.orders.refused_goods import refused_of
from fulfil.orders.return_notices import Matched, match_returns
from fulfil.progress import each
from fulfil.records.despatch.service import Service
from fulfil.records.finding import Finding
from fulfil.records.happening import Happening
from fulfil.records.imported import ImportedFile
from fulfil.records.order import Order, OrderLine, content_digest
from fulfil.records.part import Part
from fulfil.records.revised import revised
from fulfil.records.text import cut, tidy
from fulfil.standards import iso3166, iso4217
from fulfil.store.books import Books, Event
from fulfil.store.collector import collector_paused
from fulfil.store.shop import Shop

_COLUMN_OF = {column.field: column.name for column in (*ORDER, *LINE)} | {"unit_price_minor": "unit_price"}
_THE_SHOPS = {"state", "held_reason", "short_pieces", "cancelled_pieces", "short_reason"}
"""Fields that the shop fills, not the customer."""


@dataclass(frozen=True)
class OrdersImport:
    """What an import did: the numbers of new and of unchanged orders; conflicts; findings of orders not taken.

    With a mapping also: new charges, new notices of cancellations and returns, how many pieces of all notices found
    their order lines and how many wait, and notes on what was merged or passed over. ``rejects`` is the file of
    rows that were not taken, None where there are none. ``refused`` are goods of new orders that their service refuses.
    """

    new: tuple[str, ...]
    unchanged: tuple[str, ...]
    conflicts: tuple[Finding, ...]
    findings: tuple[Finding, ...]
    charges: int
    returns: int
    matched_pieces: int
    waiting_pieces: int
    notes: tuple[str, ...]
    refused: tuple[Finding, ...]
    rejects: Path | None = None


@collector_paused()
def import_orders(
    shop: Shop,
    path: Path,
    *,
    at: datetime,
    person: str,
    encoding: str = "",
    delimiter: str = "",
    decimal: str = "",
    source: str = "",
    in_latin: bool = False,
    is_dry_run: bool = False,
    rejects: Path | None = None,
) -> OrdersImport:
    """Imports a file of orders (:mod:`fulfil.files.orders`), or of a source by its kept mapping.

    A dry run says all the same and changes nothing. Rows that aren't taken are written to the file ``rejects``, where
    there are any. ``in_latin`` takes names and addresses that can't be printed in the Latin letters that are offered.

    Raises:
        FileRefused: the file can't be read or is of another kind, or ``encoding`` is no encoding.
        StoreRefused: the shop can't be written; no order was taken.
        UnknownRefused: the shop keeps no mapping for the source.
    """
    if source:
        with shop.reading() as books:
            mapping, countries = kept_mapping(books, source), explained_countries(books)
        read = read_mapped_orders(path, mapping, countries=countries, at=at)
    else:
        read = read_orders(path, encoding=encoding, delimiter=delimiter, decimal=decimal)
    done: OrdersImport | None = None
    with suppress(_DryRun), shop.writing() as books:
        done = take_orders(books, path, read, at=at, person=person, in_latin=in_latin)
        if is_dry_run:
            raise _DryRun
    assert done is not None  # noqa: S101 - the transaction ended
    rows = _rejected(read, done)
    if rejects is None or not rows:
        return done
    write_whole(rejects, rejects_csv(rows, done.findings, delimiter=read.delimiter))
    return replace(done, rejects=rejects)


class _DryRun(Exception):
    """Takes everything back."""


def _rejected(read: OrdersRead, done: OrdersImport) -> list[Row]:
    """The file's rows whose order was not taken, and single rows with a finding."""
    taken = {*done.new, *done.unchanged, *(one.value for one in done.conflicts)}
    off = {(one.line, one.field.rpartition(".")[0]) for one in done.findings}
    column = read.file.names.get("order", "order").casefold()
    refused = {number for number in (tidy(row.cells.get(column, "")) for row in read.given) if number not in taken}
    refused -= {one.number for one in read.returns} | {one.order_number for one in read.charges}
    refused |= {tidy(row.cells.get(column, "")) for row in read.given if _at(row) in off} - taken
    return [row for row in read.given if tidy(row.cells.get(column, "")) in refused or _at(row) in off]


def _at(row: Row) -> tuple[int | None, str]:
    return row.line, row.place.rstrip(".")


def take_orders(
    books: Books, path: Path, read: OrdersRead, *, at: datetime, person: str, in_latin: bool = False
) -> OrdersImport:
    """Takes what the file holds into the books."""
    notes = [*read.notes]
    new: list[tuple[Order, list[OrderLine]]] = []
    unchanged: list[str] = []
    conflicts: list[Finding] = []
    known = _Known(books, [one.number for one in read.orders], _parts_of(read.orders))
    for said in each("reading orders", read.orders):
        given = _printed(said, notes) if in_latin else said
        built = _build(given, known, read.file, at)
        if built is None:
            continue
        order, lines = built
        if order.number not in known.orders:
            new.append((order, lines))
        elif known.digest(order.number) == content_digest(order, lines):
            unchanged.append(order.number)
        else:
            says = _says_conflict(order, lines, known)
            conflicts.append(_conflict(path.name, given.row.line, order.number, says))
    books.add_orders(new)
    books.journal_all(_received(order, lines, at=at, person=person) for order, lines in new)
    currencies = {order.number: order.currency for order, _ in new}
    extras = extras_of(books, read, currencies, known.numbers)
    books.add([*extras.charges, *extras.notices])
    matched = match_returns(books, at=at, person=person) if read.returns or new else Matched((), {})
    if new or extras.charges or extras.notices:
        books.replace([ImportedFile(digest=read.digest, name=cut(path.name), at=at, person=person)])
    return OrdersImport(
        tuple(one.number for one, _ in new),
        tuple(unchanged),
        tuple(conflicts),
        tuple(sorted(read.file.findings, key=lambda one: one.line or 0)),
        charges=len(extras.charges),
        returns=len(extras.notices),
        matched_pieces=sum(match.pieces for match in matched.matches),
        waiting_pieces=sum(matched.waiting.values()),
        notes=tuple(notes),
        refused=tuple(refused_of(books, [order.number for order, _ in new])),
    )


def _printed(given: OrderGiven, notes: list[str]) -> OrderGiven:
    values, changed = latin_values(given.values)
    notes += [f"order {given.number}: {one}" for one in changed]
    return replace(given, values=values)


def add_order(shop: Shop, order: Order, lines: Sequence[OrderLine], *, at: datetime, person: str) -> list[Finding]:
    """Takes an order from the phone or the post; with a finding it isn't taken.

    The same order again changes nothing; another one under its number is a finding.

    Raises:
        StoreRefused: the shop can't be written; the order wasn't taken.
    """
    source = f"order {order.number}"
    order = revised(order, {"received_at": order.received_at.astimezone(UTC)})
    with shop.writing() as books:
        known = _Known(books, [order.number], {line.part_number for line in lines})
        if order.number in known.orders:
            if known.digest(order.number) == content_digest(order, [*lines]):
                return []
            return [_conflict(source, None, order.number, _says_conflict(order, lines, known))]
        faults = [*_faults(order, known), *(fault for line in lines for fault in _line_faults(order, line, known))]
        if not lines:
            faults.append(("part", "", "has no line", "give a part and its pieces"))
        if len({line.line_no for line in lines}) < len(lines):
            faults.append(("line", "", "comes twice in the order", "number the lines 1, 2, 3 and so on"))
        if faults:
            return [Finding(source, None, *fault) for fault in faults]
        books.add_orders([(order, lines)])
        books.journal_all([_received(order, lines, at=at, person=person)])
    return []


class _Known:
    """What the shop knows of the orders at hand, read at once."""

    def __init__(self, books: Books, numbers: Sequence[str], parts: Iterable[str]) -> None:
        self.settings = books.settings()
        self.numbers = PartNumbers(books)
        self.orders = {one.number: one for one in books.find(Order, number=[*numbers])}
        self.lines: dict[str, list[OrderLine]] = {number: [] for number in self.orders}
        for line in books.find(OrderLine, order_number=[*self.orders]):
            self.lines[line.order_number].append(line)
        self.parts = {one.number: one for one in books.find(Part, number=sorted(set(parts)))}
        unknown = [number for number in parts if number not in self.parts]
        written = {number: self.numbers.find(number) for number in unknown}
        for one in books.find(Part, number=sorted({found for said, found in written.items() if found != said})):
            self.parts |= {said: one for said, found in written.items() if found == one.number}
            self.parts[one.number] = one
        self.services = {one.code: one for one in books.find(Service)}
        self._digests = books.order_digests([*self.orders])

    def digest(self, number: str) -> str:
        """The digest of what the customer said first."""
        return self._digests[number] or content_digest(self.orders[number], self.lines[number])

    def line(self, number: str, line_no: int) -> OrderLine | None:
        """The line of an order that the shop has already."""
        return next((line for line in self.lines.get(number, ()) if line.line_no == line_no), None)


Fault = tuple[str, str, str, str]
"""Column, value, what is wrong, what to do."""


def _faults(order: Order, known: _Known) -> list[Fault]:
    """What the shop can't do with the order: (column, value, says, do)."""
    faults: list[Fault] = []
    service = known.services.get(order.service_code)
    before = known.orders.get(order.number)
    goes_by_it = before is not None and before.service_code == order.service_code
    if service is None or (service.is_retired and not goes_by_it):
        in_use = sorted(code for code, one in known.services.items() if not one.is_retired)
        says = "is no service of the shop" if service is None else "is retired"
        do = f"use one of {', '.join(in_use) or '(none yet)'}"
        faults.append(("service", order.service_code, says, do))
    for column, value, check in (
        ("country", order.country, iso3166.validate),
        ("currency", order.currency, iso4217.validate),
    ):
        try:
            check(value)
        except Refusal as refusal:
            faults.append((column, value, f"expected {refusal.expected}", "correct it"))
    return faults + script_faults(order)


def _line_faults(order: Order, line: OrderLine, known: _Known) -> list[Fault]:
    part = known.parts.get(line.part_number)
    if part is None:
        return [("part", line.part_number, "is no part of the shop", "correct the number, or ask the customer")]
    if part.is_retired:
        return [("part", line.part_number, "is retired", "offer the customer another part")]
    return []


def _parts_of(orders: Iterable[OrderGiven]) -> set[str]:
    return {line.values["part_number"] for order in orders for line in order.lines}


def _build(given: OrderGiven, known: _Known, file: FileReading, at: datetime) -> tuple[Order, list[OrderLine]] | None:
    """The order as records, None with a finding or more; one whose file tells no time came in at its first import."""
    before = len(file.findings)
    stored = known.orders.get(given.number)
    currency = given.values.get("currency") or (stored.currency if stored else known.settings.currency)
    values = {"received_at": stored.received_at if stored else at} | given.values | {"currency": currency}
    if "insured_minor" in values:
        try:
            values["insured_minor"] = iso4217.to_minor(values["insured_minor"], currency)
        except Refusal as refusal:
            file.find(given.row, "insured", f"expected {refusal.expected} in {currency}")
            return None
    order = file.build(Order, ORDER, given.row, values)
    if order is None:
        return None
    if stored is None:
        _note(_faults(order, known), given.row, file)
    lines = []
    for one in given.lines:
        price = _price_minor(one.values, order, known, one.row, file)
        part = known.parts.get(one.values["part_number"])
        number = one.values["part_number"] if part is None else part.number
        fields = {"line_no": one.values["line_no"], "part_number": number}
        fields |= {"pieces": one.values["pieces"], "order_number": order.number, "unit_price_minor": price or 0}
        line = file.build(OrderLine, LINE, one.row, fields)
        if line is not None:
            if stored is None:
                _note(_line_faults(order, line, known), one.row, file)
            lines.append(line)
    return (order, lines) if len(file.findings) == before else None


def _price_minor(values: dict[str, Any], order: Order, known: _Known, row: Row, file: FileReading) -> int | None:
    if "unit_price" in values:
        try:
            return iso4217.to_minor(values["unit_price"], order.currency)
        except Refusal as refusal:
            file.find(row, "unit_price", f"expected {refusal.expected} in {order.currency}")
            return None
    stored = known.line(order.number, values["line_no"])
    if stored is not None:
        return stored.unit_price_minor
    part = known.parts.get(values["part_number"])
    if part is None:
        return None
    if part.currency != order.currency:
        do = "give the price"
        if file.names and "unit_price" not in file.names:
            do += f", or the orders' currency: fulfil orders map SOURCE --fixed currency={part.currency}"
        file.find(row, "unit_price", f"is needed in {order.currency}, the part has a price in {part.currency}", do)
        return None
    return part.price_minor


def _note(faults: Iterable[Fault], row: Row, file: FileReading) -> None:
    for column, value, says, do in faults:
        if column == "service" and file.names:
            do += f", or say once what it means: fulfil orders map SOURCE --word 'service:{value}=CODE'"
        file.find(row, column, says, do)


def _conflict(source: str, line: int | None, number: str, says: str) -> Finding:
    return Finding(source, line, "order", number, says, "ask the customer, then change the order in the shop")


def _says_conflict(order: Order, lines: Sequence[OrderLine], known: _Known) -> str:
    """Names every difference between the order and the one that the shop has."""
    differences = _differences(known.orders[order.number], order)
    now = {line.line_no: line for line in lines}
    before = {line.line_no: line for line in known.lines[order.number]}
    for line_no in sorted(before.keys() | now.keys()):
        if line_no not in now or line_no not in before:
            differences.append(f"line {line_no} is {'new' if line_no in now else 'gone'}")
        else:
            differences += [f"line {line_no} {one}" for one in _differences(before[line_no], now[line_no])]
    return "was received before with other content: " + ("; ".join(differences) or "it was changed since")


def _differences(before: Order | OrderLine, now: Order | OrderLine) -> list[str]:
    return [
        f"{_COLUMN_OF.get(name, name)} '{getattr(before, name)}' is now '{getattr(now, name)}'"
        for name in type(before).model_fields
        if name not in _THE_SHOPS and getattr(before, name) != getattr(now, name)
    ]


def _received(order: Order, lines: Sequence[OrderLine], *, at: datetime, person: str) -> Event:
    particulars = {"lines": len(lines), "pieces": sum(line.pieces for line in lines), "source": order.source}
    return Event(at, person, Happening.ORDER_RECEIVED, order.number, particulars)
