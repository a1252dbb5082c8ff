"""Tables of the shop: each is a record with keys, indices and the checks that even raw SQL can't break.

The classes say *where* records are kept; rows are written and read through :class:`fulfil.store.books.Books`, which
speaks in plain records. A table class never validates (that is SQLModel's rule for ``table=True``), so the records
validate on their way in and CHECK, UNIQUE and FOREIGN KEY stand behind them.
"""

from collections.abc import Iterator
from functools import cache
from importlib import import_module

from sqlalchemy import MetaData, Table
from sqlmodel import SQLModel

from fulfil.store.row import Kept, Row

_DECLARED = {
    "day_tables": ("order", "plan", "weighing", "despatch.dispatch"),
    "piece_tables": ("pieces", "sealed"),
    "catalogue_tables": ("part", "place", "equipment", "despatch.service", "settings", "imported"),
    "bench_tables": ("bench",),
    "order_tables": (
        "draft", "order_mapping", "order_charge", "shorts", "kit", "pulled", "despatch.bill_mapping",
        "despatch.goods_back", "despatch.claim",
    ),
    "shipping_tables": (
        "identifier", "day_close", "despatch.tariff", "despatch.service", "despatch.customs", "despatch.papers",
        "despatch.handover", "despatch.carrier_bill",
    ),
    "weighing_tables": ("weighing",),
}  # fmt: skip
"""Which file declares the tables for the records of which files: a command opens those that it needs."""
_ENTRY_OF = {"OwedEntry": "OwedMove", "StockEntry": "StockMove"}
"""An entry is read from the table of its moves."""


@cache
def table_of(kind: type[SQLModel]) -> Table:
    """The table in which records of this class are kept.

    Raises:
        KeyError: there is none.
    """
    return _tables_for(kind.__module__)[_ENTRY_OF.get(kind.__name__, kind.__name__)].__table__


@cache
def table_named(name: str) -> Table:
    """A table by its name; the files that declare others stay closed until it is found."""
    for file in _DECLARED:
        for row in _declared_in(file):
            if row.name == name:
                return row.__table__
    raise KeyError(name)


def all_tables() -> MetaData:
    """Every table that a shop has, with all that its schema needs."""
    for file in _DECLARED:
        for row in _declared_in(file):
            row.complete()
    return Row.metadata


def kinds() -> list[type[SQLModel]]:
    """Every class of records that has a table of its own, in the order of the files."""
    return [row.record for file in _DECLARED for row in _declared_in(file) if row.record is not None]


def _declared_in(file: str) -> Iterator[type[Kept]]:
    for row in vars(import_module(f"fulfil.store.declared.{file}")).values():
        if isinstance(row, type) and issubclass(row, Kept):
            yield row


@cache
def _tables_for(records: str) -> dict[str, type[Kept]]:
    """The declared tables for a file of records, by the class of the record."""
    of = records.removeprefix("fulfil.records.")
    files = [file for file, names in _DECLARED.items() if of in names]
    return {
        row.record.__name__: row
        for file in files
        for row in _declared_in(file)
        if row.record is not None and row.record.__module__ == records
    }


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
