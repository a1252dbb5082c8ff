"""Tables of the shop: each is a record with keys, indices and the checks that even raw SQL can't break.

The classes say *where* records are kept; rows are written and read through :class:`fulfil.store.books.Books`, which
speaks in plain records. A table class never validates (that is SQLModel's rule for ``table=True``), so the records
validate on their way in and CHECK, UNIQUE and FOREIGN KEY stand behind them.
"""

from sqlalchemy import Table
from sqlmodel import SQLModel

from fulfil.records.pieces import OwedEntry, OwedMove, StockEntry, StockMove
from fulfil.store import (
    bench_tables,
    catalogue_tables,
    day_tables,
    order_tables,
    piece_tables,
    shipping_tables,
    weighing_tables,
)
from fulfil.store.row import Kept, Row

__all__ = ["APPEND_ONLY", "COUNTER", "ERASURE", "TABLES", "Row"]

_DECLARED = (
    bench_tables,
    catalogue_tables,
    day_tables,
    order_tables,
    piece_tables,
    shipping_tables,
    weighing_tables,
)


def _kept_in() -> dict[type[SQLModel], Table]:
    declared = [row for tables in _DECLARED for row in vars(tables).values() if isinstance(row, type)]
    kept = {row.record: row.__table__ for row in declared if issubclass(row, Kept) and row.record is not None}
    return kept | {OwedEntry: kept[OwedMove], StockEntry: kept[StockMove]}


TABLES: dict[type[SQLModel], Table] = _kept_in()
"""The table of each record class; an entry is read from the table of its moves."""
COUNTER = Row.metadata.tables["counter"]
ERASURE = Row.metadata.tables["erasure"]

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
