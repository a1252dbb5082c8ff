"""The short list: pieces ordered that can't be had today, and from where they come.

>>> row = ShortRow(part_number="GEA-0012", description="Gear, 24 teeth", pieces=12, supply=Supply.MAKE,
...                waiting=(WaitingOrder(order_number="O-1001", pieces=12),))
>>> row.supplier
''
"""

from dataclasses import dataclass

from fulfil.records.part import Supply
from fulfil.records.sheets.document import DocumentSheet


@dataclass(frozen=True, kw_only=True)
class WaitingOrder:
    """An order that waits for pieces of a part."""

    order_number: str
    pieces: int
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class ShortRow:
    """One part that is short: ``pieces`` are missing, made next door or bought from ``supplier``."""

    part_number: str
    description: str
    size: str = ""
    finish: str = ""
    pieces: int
    supply: Supply
    supplier: str = ""
    waiting: tuple[WaitingOrder, ...]
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class ShortListSheet(DocumentSheet):
    """All shorts of a day, grouped by the order given: a new heading wherever supply or supplier changes."""

    rows: tuple[ShortRow, ...]
    cautions: tuple[str, ...] = ()

    @property
    def pieces_to_make(self) -> int:
        """Pieces for the make-room."""
        return sum(row.pieces for row in self.rows if row.supply is Supply.MAKE)

    @property
    def pieces_to_buy(self) -> int:
        """Pieces to be ordered from suppliers."""
        return sum(row.pieces for row in self.rows if row.supply is Supply.BUY)
