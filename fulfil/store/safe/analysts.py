"""Views for analysts in the shop's own database: grams, the shop's own time, no personal data.

>>> print(view_name("bags"), *shown_fields(Bag)[:4])
analyst_bags code order_number line_no part_number

For whoever reads the database with a program of their own (a spreadsheet, R, DuckDB, psql): one view for each frame
of ``fulfil.read_shop``, with the same columns. Grams are numbers (the tables keep whole micrograms), times stand on the
shop's clock, without an offset (the tables keep UTC), and what names a customer or was typed freely is left out. Both
stores have them; they are made anew with each upgrade, and where SQLite keeps the shop, whenever its time zone
changes: SQLite knows no time zones (its documentation, "Date And Time Functions"), so the view ``analyst_clock`` holds
the shop's offsets from UTC as the IANA time zone database has them, 2020 to 2050.

Limits: the hour that is repeated when clocks go back looks the same twice; moments before 2020 are shown in UTC.
"""

from collections.abc import Iterator, Mapping
from datetime import UTC, datetime, timedelta
from functools import cache
from zoneinfo import ZoneInfo

from sqlalchemy import Boolean, inspect
from sqlalchemy.engine import Connection
from sqlalchemy.schema import Column
from sqlmodel import SQLModel

from fulfil.records.despatch.dispatch import Manifest, Package
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Part, UnitWeight
from fulfil.records.pieces import StockEntry
from fulfil.records.place import Bin
from fulfil.records.plan import Bag, WalkRecord
from fulfil.records.settings import Settings
from fulfil.records.weighing import WeighingRecord
from fulfil.store.columns import Micrograms, Moment
from fulfil.store.tables import table_of

FIRST_YEAR, LAST_YEAR = 2020, 2050

KINDS: Mapping[str, tuple[type[SQLModel], tuple[str, ...]]] = {
    "parts": (Part, ("number",)),
    "unit_weights": (UnitWeight, ("part_number", "lot")),
    "bins": (Bin, ("code",)),
    "orders": (Order, ("number",)),
    "lines": (OrderLine, ("order_number", "line_no")),
    "walks": (WalkRecord, ("number",)),
    "bags": (Bag, ("code",)),
    "weighings": (WeighingRecord, ()),
    "packages": (Package, ("number",)),
    "manifests": (Manifest, ("number",)),
    "stock_moves": (StockEntry, ()),
}
_PERSONAL: Mapping[type[SQLModel], frozenset[str]] = {
    Order: frozenset({
        "name", "company", "street", "city", "post_code", "region", "phone", "email", "note_picker", "note_packer",
        "held_reason",
    }),
    WeighingRecord: frozenset({"reason"}),
    Package: frozenset({"photo_path"}),
}  # fmt: skip
"""Fields that can name a customer, or hold what somebody typed freely."""
CLOCK = "analyst_clock"


def view_name(frame: str) -> str:
    """The view that shows a frame of ``read_shop``."""
    return f"analyst_{frame}"


def shown_fields(kind: type[SQLModel]) -> list[str]:
    """The fields of a record that an analyst sees, in their order."""
    return [name for name in kind.model_fields if name not in _PERSONAL.get(kind, frozenset())]


def drop_views(connection: Connection) -> None:
    """Takes the views away, so that the tables below them can change."""
    there = set(inspect(connection).get_view_names())
    for name in [*map(view_name, KINDS), CLOCK]:
        if name in there:
            connection.exec_driver_sql(f"DROP VIEW {name}")


def write_views(connection: Connection) -> None:
    """Makes the views anew, by the time zone in the shop's settings."""
    drop_views(connection)
    is_sqlite = connection.dialect.name == "sqlite"
    if is_sqlite:
        connection.exec_driver_sql(_clock(_zone(connection)))
    for name, (kind, _) in KINDS.items():
        table = table_of(kind)
        columns = ", ".join(_shown(table.columns[field], is_sqlite) for field in shown_fields(kind))
        connection.exec_driver_sql(f"CREATE VIEW {view_name(name)} AS SELECT {columns} FROM {table.name}")  # noqa: S608


def follow_clock(connection: Connection, kind: type[SQLModel]) -> None:
    """Where SQLite keeps the shop and its settings were written: the views show times on the clock that they say.

    The other views ask the one of the clock by its name, and every connection reads the schema anew that has changed:
    it alone is made again, and only if it says something else.
    """
    if kind is not Settings or connection.dialect.name != "sqlite":
        return
    wanted = _clock(_zone(connection))
    said = connection.exec_driver_sql("SELECT sql FROM sqlite_master WHERE name = ?", (CLOCK,)).scalar_one_or_none()
    if said != wanted:
        connection.exec_driver_sql(f"DROP VIEW IF EXISTS {CLOCK}")
        connection.exec_driver_sql(wanted)


def _shown(column: "Column[object]", is_sqlite: bool) -> str:
    name = column.name
    if isinstance(column.type, Micrograms):
        return f"CAST({name} AS DOUBLE PRECISION) / 1000000 AS {name}"
    if isinstance(column.type, Moment) and is_sqlite:
        seconds = f"SELECT seconds FROM {CLOCK} WHERE from_utc <= {name} ORDER BY from_utc DESC LIMIT 1"  # noqa: S608
        return f"strftime('%Y-%m-%d %H:%M:%f', {name}, coalesce(({seconds}), 0) || ' seconds') AS {name}"
    if isinstance(column.type, Moment):
        zone = f"coalesce((SELECT max(time_zone) FROM settings), '{Settings().time_zone}')"  # noqa: S608
        return f"({name} AT TIME ZONE 'UTC') AT TIME ZONE {zone} AS {name}"
    if isinstance(column.type, Boolean) and is_sqlite:
        return f"CASE {name} WHEN 1 THEN 'yes' WHEN 0 THEN 'no' END AS {name}"
    if isinstance(column.type, Boolean):
        return f"CASE {name} WHEN true THEN 'yes' WHEN false THEN 'no' END AS {name}"
    return name


def _zone(connection: Connection) -> str:
    said = connection.exec_driver_sql("SELECT max(time_zone) FROM settings").scalar_one()
    return str(said or Settings().time_zone)


@cache
def _clock(zone: str) -> str:
    rows = [f"('{at:%Y-%m-%d %H:%M:%S}.000000', {seconds})" for at, seconds in _offsets(ZoneInfo(zone))]
    return f"CREATE VIEW {CLOCK} AS SELECT column1 AS from_utc, column2 AS seconds FROM (VALUES {', '.join(rows)})"  # noqa: S608


def _offsets(zone: ZoneInfo) -> Iterator[tuple[datetime, int]]:
    """From which moment in UTC the shop's clock is how many seconds ahead."""

    def seconds(at: datetime) -> int:
        return int((at.astimezone(zone).utcoffset() or timedelta()).total_seconds())

    at, end, day = datetime(FIRST_YEAR, 1, 1, tzinfo=UTC), datetime(LAST_YEAR + 1, 1, 1, tzinfo=UTC), timedelta(days=1)
    now = seconds(at)
    yield at, now
    while at < end:
        if (then := seconds(at + day)) != now:
            quarters = (at + timedelta(minutes=15 * one) for one in range(97))
            yield next(one for one in quarters if seconds(one) == then), then
            now = then
        at += day
