"""Tables of the benches: what each has in hand, and the bags that went back."""

from sqlalchemy import Index, text

from fulfil.records.bench import BenchPlace, Recount
from fulfil.store.columns import whole
from fulfil.store.row import MOST, Row, key


class BenchPlaceRow(Row, BenchPlace, table=True):
    """What is in hand, by bench; one order is in hand once for each kind of bench."""

    __tablename__ = "bench_place"
    __table_args__ = (
        whole("clear_run", 0, MOST),
        Index(
            "ix_bench_place_order_in_hand",
            "kind",
            "order_number",
            unique=True,
            sqlite_where=text("order_number <> ''"),
            postgresql_where=text("order_number <> ''"),
        ),
    )
    bench: str = key()


class RecountRow(Row, Recount, table=True):
    """Bags sent back, by slip number."""

    __tablename__ = "recount"
    __table_args__ = (
        whole("which", 1, MOST),
        whole("pieces_off", -MOST, MOST),
        Index(None, "at"),
        Index(None, "bag_code"),
        Index(None, "walk_number"),
        Index(None, "part_number"),
        Index(None, "bin_code"),
        Index(None, "state"),
    )
    number: str = key()
