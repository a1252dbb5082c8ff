"""What the gates hold against each other, read lean: lines, places, bags, packages of some orders, as plain tuples."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from sqlalchemy import bindparam, select
from sqlalchemy.engine import Connection

from fulfil.records.despatch.dispatch import Package, PackageState
from fulfil.records.order import OrderLine
from fulfil.records.pieces import Owed, OwedBalance
from fulfil.records.plan import Bag, BagState, WalkRecord
from fulfil.store.tables import table_of


@dataclass(frozen=True)
class OrderContents:
    """Of some orders: lines as (order, line, part, pieces), places as (order, line, part, place, ref, pieces).

    Bags are (order, line, part, code, pieces, state, package, is on paper), packages (order, number, state).
    """

    lines: Sequence[tuple[str, int, str, int]]
    places: Sequence[tuple[str, int, str, Owed, str, int]]
    bags: Sequence[tuple[str, int, str, str, int, BagState, str, bool]]
    packages: Sequence[tuple[str, str, PackageState]]


def contents_of(connection: Connection, numbers: Sequence[str]) -> OrderContents:
    """What stands in the books of these orders, each part in the order of its keys."""
    # One order is compared as it is: a list is written out anew by each statement.
    is_one = len(numbers) == 1
    given = {"numbers": numbers[0] if is_one else [*numbers]}

    def rows(which: str) -> Any:
        return [tuple(row) for row in connection.execute(_statement(which, is_one=is_one), given)]

    return OrderContents(rows("lines"), rows("places"), rows("bags"), rows("packages"))


@lru_cache
def _statement(which: str, *, is_one: bool) -> Any:
    lines, places = table_of(OrderLine).c, table_of(OwedBalance).c
    bags, packages, walks = table_of(Bag).c, table_of(Package).c, table_of(WalkRecord).c
    asked = {
        "lines": (lines.order_number, lines.line_no, lines.part_number, lines.pieces),
        "places": (
            places.order_number, places.line_no, places.part_number, places.place, places.ref, places.pieces,
        ),
        "bags": (
            bags.order_number, bags.line_no, bags.part_number, bags.code, bags.pieces, bags.state,
            bags.package_number, walks.released_at.is_not(None),
        ),
        "packages": (packages.order_number, packages.number, packages.state),
    }  # fmt: skip
    columns = asked[which]
    order = columns[0]
    asked_for = order == bindparam("numbers") if is_one else order.in_(bindparam("numbers", expanding=True))
    query = select(*columns).where(asked_for)
    if which == "bags":
        query = query.where(bags.walk_number == walks.number)
    return query.order_by(*columns[:4])
