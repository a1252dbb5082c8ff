"""Tables of the two books of pieces: moves, which only grow, and the balances that they leave."""

from datetime import datetime

from sqlalchemy import ForeignKeyConstraint, Index
from sqlmodel import Field

from fulfil.records.pieces import Owed, OwedBalance, OwedMove, StockBalance, StockMove, There
from fulfil.store.columns import Word, check, one_of, whole
from fulfil.store.row import MOST, Row, entry, key, moment, word


class OwedMoveRow(Row, OwedMove, table=True):
    """Moves of what is owed; append-only. A line that went over to another order leaves its moves behind."""

    __tablename__ = "owed_move"
    __table_args__ = (
        whole("pieces", 1, MOST),
        one_of("from_place", Owed),
        one_of("to_place", Owed),
        Index(None, "order_number", "line_no"),
        Index(None, "at"),
    )
    id: int | None = entry()
    at: datetime = moment()
    person: str
    from_place: Owed = word(Owed)
    to_place: Owed = word(Owed)


class OwedBalanceRow(Row, OwedBalance, table=True):
    """Where the pieces of order lines are."""

    __tablename__ = "owed_balance"
    __table_args__ = (
        whole("pieces", 1, MOST),
        one_of("place", Owed),
        check("inside", "place <> 'ordered'"),
        ForeignKeyConstraint(["order_number", "line_no"], ["order_line.order_number", "order_line.line_no"]),
        Index(None, "place", "ref"),
    )
    order_number: str = key()
    line_no: int = key()
    part_number: str = Field(primary_key=True, foreign_key="part.number")
    place: Owed = Field(primary_key=True, sa_type=Word(Owed))
    ref: str = key()


class StockMoveRow(Row, StockMove, table=True):
    """Moves of stock; append-only."""

    __tablename__ = "stock_move"
    __table_args__ = (
        whole("pieces", 1, MOST),
        one_of("from_place", There),
        one_of("to_place", There),
        Index(None, "part_number", "at"),
        Index(None, "reason", "at"),
        Index(None, "source"),
    )
    id: int | None = entry()
    at: datetime = moment()
    person: str
    part_number: str = Field(foreign_key="part.number")
    from_place: There = word(There)
    to_place: There = word(There)


class StockBalanceRow(Row, StockBalance, table=True):
    """Where stock is that left its bin: in bags, packages, handed over, scrapped."""

    __tablename__ = "stock_balance"
    __table_args__ = (
        whole("pieces", 1, MOST),
        one_of("place", There),
        check("counted_here", "place IN ('bag', 'package', 'handed over', 'scrapped')"),
    )
    place: There = Field(primary_key=True, sa_type=Word(There))
    ref: str = key()
    part_number: str = Field(primary_key=True, foreign_key="part.number")
