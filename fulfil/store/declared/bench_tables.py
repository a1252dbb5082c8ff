"""Tables of the benches: what each has in hand, bags that went back; people, stations, what each was answered."""

from sqlalchemy import Index, text
from sqlmodel import Field

from fulfil.records.bench import BenchPlace, Person, Recount, SigningKey, Station, StationAnswer
from fulfil.store.columns import whole
from fulfil.store.row import MOST, Row, key


class BenchPlaceRow(Row, BenchPlace, table=True):
    """What is in hand, by bench; one order is in hand once for each kind of bench."""

    __tablename__ = "bench_place"
    __table_args__ = (
        whole("clear_run", 0, MOST),
        lambda table: Index(
            "ix_bench_place_order_in_hand",
            table.c.kind,
            table.c.order_number,
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


class PersonRow(Row, Person, table=True):
    """People, by the name on their badge."""

    __tablename__ = "person"
    __table_args__ = (whole("wrong_pins", 0, MOST),)
    name: str = key()


class StationRow(Row, Station, table=True):
    """Stations, by name."""

    __tablename__ = "station"
    __table_args__ = (Index(None, "token_digest"), Index(None, "pairing_digest"))
    name: str = key()
    serves: str = Field(default="", sa_column_kwargs={"server_default": ""})


class StationAnswerRow(Row, StationAnswer, table=True):
    """Answers, by station and key."""

    __tablename__ = "station_answer"
    __table_args__ = (Index(None, "at"),)
    station: str = key()
    key: str = key()


class SigningKeyRow(Row, SigningKey, table=True):
    """The shop's secret, by name."""

    __tablename__ = "signing_key"
    name: str = key()
