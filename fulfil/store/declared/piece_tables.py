"""Tables of the two books of pieces: moves, which only grow, and the balances that they leave."""

from datetime import datetime

from sqlalchemy import ForeignKeyConstraint, Index
from sqlmodel import Field

from fulfil.records.pieces import Owed, OwedBalance, OwedMove, StockBalance, StockMove, There
from fulfil.records.sealed import Erasure, SealLink
from fulfil.store.columns import Moment, Word, check, whole
from fulfil.store.row import MOST, Row, entry, key


class OwedMoveRow(Row, OwedMove, table=True):
    """Moves of what is owed; append-only. A line that went over to another order leaves its moves behind."""

    __tablename__ = "owed_move"
    __table_args__ = (
        whole("pieces", 1, MOST),
        Index(None, "order_number", "line_no"),
        Index(None, "at"),
    )
    id: int | None = entry()
    at: datetime = Field(sa_type=Moment)
    person: str


class OwedBalanceRow(Row, OwedBalance, table=True):
    """Where the pieces of order lines are."""

    __tablename__ = "owed_balance"
    __table_args__ = (
        whole("pieces", 1, MOST),
        check("inside", "place <> 'ordered'"),
        ForeignKeyConstraint(["order_number", "line_no"], ["order_line.order_number", "order_line.line_no"]),
        Index(None, "place", "ref"),
    )
    order_number: str = key()
    line_no: int = key()
    part_number: str = Field(primary_key=True, foreign_key="part.number")
    place: Owed = key(Word(Owed))
    ref: str = key()


class StockMoveRow(Row, StockMove, table=True):
    """Moves of stock; append-only."""

    __tablename__ = "stock_move"
    __table_args__ = (
        whole("pieces", 1, MOST),
        Index(None, "part_number", "at"),
        Index(None, "reason", "at"),
        Index(None, "source"),
        Index(None, "to_ref"),
    )
    id: int | None = entry()
    at: datetime = Field(sa_type=Moment)
    person: str
    part_number: str = Field(foreign_key="part.number")


class StockBalanceRow(Row, StockBalance, table=True):
    """Where stock is that left its bin: in bags, packages, handed over, scrapped."""

    __tablename__ = "stock_balance"
    __table_args__ = (
        whole("pieces", 1, MOST),
        check("counted_here", "place IN ('bag', 'package', 'handed over', 'scrapped')"),
    )
    place: There = key(Word(There))
    ref: str = key()
    part_number: str = Field(primary_key=True, foreign_key="part.number")


class SealLinkRow(Row, SealLink, table=True):
    """The links of the chain over what was recorded; append-only."""

    __tablename__ = "seal_link"
    no: int = key()
    digest: str = Field(index=True)


class ErasureRow(Row, Erasure, table=True):
    """From which recorded rows personal data was taken; append-only."""

    __tablename__ = "erasure"
    __table_args__ = (Index(None, "table_name", "row_key"),)
    id: int | None = entry()
