"""Orders as a file gives them, whatever its form: orders with their lines, charges, returns, and what was found.

Fields carry the names of :class:`~fulfil.records.order.Order` and :class:`~fulfil.records.order.OrderLine`; prices stay
in major units until the order's currency is known.
"""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from fulfil.files.columns import Column, amount, code, moment, pieces, yes_or_no
from fulfil.files.reading import FileReading
from fulfil.files.rows.csv_rows import Row
from fulfil.standards import iso3166, iso4217

ORDER = (
    Column("order", "number"),
    Column("received_at", "received_at", moment),
    Column("source", "source"),
    Column("name", "name"),
    Column("company", "company", is_needed=False),
    Column("street", "street"),
    Column("city", "city"),
    Column("post_code", "post_code", is_needed=False),
    Column("region", "region", is_needed=False),
    Column("country", "country", iso3166.validate),
    Column("phone", "phone", is_needed=False),
    Column("email", "email", is_needed=False),
    Column("service", "service_code"),
    Column("ship_complete", "ship_complete", yes_or_no, is_needed=False),
    Column("note_picker", "note_picker", is_needed=False),
    Column("note_packer", "note_packer", is_needed=False),
    Column("currency", "currency", iso4217.validate, is_needed=False),
    Column("insured", "insured_minor", amount, is_needed=False),
)
LINE = (
    Column("line", "line_no", pieces, is_needed=False),
    Column("part", "part_number", code),
    Column("pieces", "pieces", pieces),
    Column("unit_price", "unit_price", amount, is_needed=False),
)


@dataclass(frozen=True)
class LineGiven:
    """A line as the file gives it: where, and its fields; ``unit_price`` in major units may be missing."""

    row: Row
    values: dict[str, Any]


@dataclass(frozen=True)
class OrderGiven:
    """An order as the file gives it: where it starts, its fields (``currency`` may be missing), its lines."""

    number: str
    row: Row
    values: dict[str, Any]
    lines: tuple[LineGiven, ...]


@dataclass(frozen=True)
class ChargeGiven:
    """A charge as the file gives it; ``unit_price`` in major units."""

    row: Row
    order_number: str
    code: str
    pieces: int
    unit_price: Decimal


@dataclass(frozen=True)
class ReturnGiven:
    """A line of a cancellation, return or correction; ``pieces`` counted positive."""

    row: Row
    number: str
    line_no: int
    is_correction: bool
    values: dict[str, Any]
    part_number: str
    pieces: int
    unit_price: Decimal


@dataclass(frozen=True)
class OrdersRead:
    """The orders that could be read, in the order of the file, and the reading that holds the findings.

    A mapping adds returns, charges and notes. ``given`` are the file's rows as they stand, for the rejects.
    """

    orders: tuple[OrderGiven, ...]
    file: FileReading
    digest: str
    returns: tuple[ReturnGiven, ...] = ()
    charges: tuple[ChargeGiven, ...] = ()
    notes: tuple[str, ...] = ()
    given: tuple[Row, ...] = ()
    delimiter: str = ","
