"""Add up every move of the two books, by the database itself: what the balances must be."""

from functools import lru_cache
from typing import Any

from sqlalchemy import Select, Table, func, select, union_all
from sqlalchemy.engine import Connection

from fulfil.records.pieces import OwedMove, StockMove
from fulfil.store.tables import table_of

Sums = dict[tuple[Any, ...], int]


def owed_sums(connection: Connection) -> Sums:
    """Pieces by (order, line, part, place, reference)."""
    return _sums(connection, table_of(OwedMove), ("order_number", "line_no", "part_number"), place_first=False)


def stock_sums(connection: Connection) -> Sums:
    """Pieces by (place, reference, part)."""
    return _sums(connection, table_of(StockMove), ("part_number",), place_first=True)


def _sums(connection: Connection, table: Table, names: tuple[str, ...], *, place_first: bool) -> Sums:
    rows = connection.execute(_asked(table, names, place_first))
    return {tuple(row[:-1]): int(row[-1]) for row in rows if row[-1]}


@lru_cache
def _asked(table: Table, names: tuple[str, ...], place_first: bool) -> Select[Any]:
    """Building the statement takes longer than a small shop's answer."""
    sides = []
    for side, way in (("from", -1), ("to", 1)):
        place: list[Any] = [table.c[f"{side}_place"].label("place"), table.c[f"{side}_ref"].label("ref")]
        key: list[Any] = [table.c[name] for name in names]
        sides.append(select(*(place + key if place_first else key + place), (way * table.c.pieces).label("pieces")))
    both = union_all(*sides).subquery()
    *by, pieces = both.c
    return select(*by, func.sum(pieces)).group_by(*by).order_by(*by)
