"""Tables of the shop: each is a record with keys, indices and the checks that even raw SQL can't break.

The classes say *where* records are kept; rows are written and read through :class:`fulfil.store.books.Books`, which
speaks in plain records. A table class never validates (that is SQLModel's rule for ``table=True``), so the records
validate on their way in and CHECK, UNIQUE and FOREIGN KEY stand behind them.
"""

from sqlmodel import SQLModel

from fulfil.records.pieces import OwedEntry, StockEntry
from fulfil.store import (
    bench_tables,
    catalogue_tables,
    day_tables,
    order_tables,
    piece_tables,
    shipping_tables,
    weighing_tables,
)
from fulfil.store.day_tables import CounterRow
from fulfil.store.piece_tables import ErasureRow
from fulfil.store.row import Row

__all__ = ["APPEND_ONLY", "ROWS", "CounterRow", "ErasureRow", "Row"]

_DECLARED = (
    bench_tables,
    catalogue_tables,
    day_tables,
    order_tables,
    piece_tables,
    shipping_tables,
    weighing_tables,
)


def _rows() -> dict[type[SQLModel], type[Row]]:
    declared = [row for tables in _DECLARED for row in vars(tables).values() if isinstance(row, type)]
    rows = {row.record: row for row in declared if issubclass(row, Row) and row.record is not None}
    return rows | {OwedEntry: piece_tables.OwedMoveRow, StockEntry: piece_tables.StockMoveRow}


ROWS: dict[type[SQLModel], type[Row]] = _rows()
"""The table class of each record class; an entry is read from the table of its moves."""

APPEND_ONLY = (
    "bill_line",
    "billed_surcharge",
    "carrier_bill",
    "charge",
    "charged_surcharge",
    "closed_day",
    "erasure",
    "hazard_review",
    "identifier",
    "journal_entry",
    "manifest_copy",
    "manifest_void",
    "owed_move",
    "papers_printed",
    "returned_pieces",
    "seal_link",
    "settlement",
    "stock_move",
    "weighing",
)
"""Tables whose rows are never changed nor removed."""
