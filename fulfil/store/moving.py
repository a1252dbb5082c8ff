"""Write moves into the two books, and with them every figure that is a sum over them.

This is the only place where a balance changes, and with it the level of a bin, the pieces of an order line and the
state of an order. Moves of one call count together: what comes in by one may go out by another.

Cost: a few statements a call, whatever the number of moves; only rows of the keys that are named are read.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from typing import Any, TypeVar

from sqlalchemy import ColumnElement, Table, and_, bindparam, delete, insert, or_, select, update
from sqlalchemy.engine import Connection

from fulfil.errors import StateRefused
from fulfil.records.order import Order, OrderLine, OrderState
from fulfil.records.pieces import (
    OUTSIDE,
    Owed,
    OwedBalance,
    OwedMove,
    StockBalance,
    StockMove,
    There,
    order_state,
)
from fulfil.records.place import Bin
from fulfil.store.rows import table_of, values_of
from fulfil.store.search import upsert

T = TypeVar("T")
Key = tuple[Any, ...]
_MANY = 150
"""Keys in one WHERE: SQLite takes at most 1000 terms in an expression."""


def write_moves(
    connection: Connection,
    owed: Sequence[OwedMove],
    stock: Sequence[StockMove],
    *,
    at: datetime,
    person: str,
) -> None:
    """Writes the moves and all that follows from them, inside the caller's transaction.

    Raises:
        StateRefused: a place would be left with less than nothing, or a bin is unknown or holds another part.
    """
    _move_levels(connection, stock)
    who = {"at": at, "person": person}
    for kind, moves in ((OwedMove, owed), (StockMove, stock)):
        rows = [values_of(move) | who for move in moves]
        if rows:
            connection.execute(insert(table_of(kind)), rows)
    if stock:
        _change(connection, table_of(StockBalance), _stock_changes(stock), _says_stock)
    if owed:
        _change(connection, table_of(OwedBalance), _owed_changes(owed), _says_owed)
        _refresh_lines(connection, owed)
        refresh_orders(connection, sorted({move.order_number for move in owed}))


def _refresh_lines(connection: Connection, moves: Sequence[OwedMove]) -> None:
    """Sets what was ordered, is short and is cancelled of the lines that moved to what their balances say."""
    lines = table_of(OrderLine)
    keys = sorted({(move.order_number, move.line_no) for move in moves})
    came: dict[Key, int] = defaultdict(int)
    for move in moves:
        way = (move.from_place is Owed.ORDERED) - (move.to_place is Owed.ORDERED)
        came[move.order_number, move.line_no, move.part_number] += way * move.pieces
    totals: dict[Key, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    sums: dict[Key, dict[tuple[Owed, str], int]] = defaultdict(lambda: defaultdict(int))
    for row in _rows(connection, table_of(OwedBalance), ("order_number", "line_no"), keys):
        totals[row.order_number, row.line_no][row.part_number] += row.pieces
        sums[row.order_number, row.line_no][row.place, row.part_number] += row.pieces
    changed = []
    for row in _rows(connection, lines, ("order_number", "line_no"), keys):
        key = (row.order_number, row.line_no)
        if not totals[key]:
            continue  # All of it went over to another order; the line is about to go.
        before = {part: n - came[*key, part] for part, n in totals[key].items()}
        per = parts_of_one(row.pieces, before if all(before.values()) else totals[key])
        part = min(per)
        said = {
            "pieces": totals[key][part] // per[part],
            "short_pieces": max(-(-sums[key][Owed.SHORT, one] // per[one]) for one in per),
            "cancelled_pieces": min(sums[key][Owed.CANCELLED, one] // per[one] for one in per),
        }
        if any(getattr(row, name) != value for name, value in said.items()):
            changed.append({"of_order": key[0], "of_line": key[1]} | said)
    if changed:
        here = and_(lines.c.order_number == bindparam("of_order"), lines.c.line_no == bindparam("of_line"))
        names = ("pieces", "short_pieces", "cancelled_pieces")
        connection.execute(update(lines).where(here).values({name: bindparam(name) for name in names}), changed)


def parts_of_one(pieces: int, totals: Mapping[str, int]) -> dict[str, int]:
    """How many of each part are in one of a line of which ``pieces`` were ordered: a kit's parts, or the part itself.

    >>> parts_of_one(2, {"WHEEL": 8, "SPRING": 2})
    {'WHEEL': 4, 'SPRING': 1}
    """
    return {part: n // pieces for part, n in totals.items()}


def refresh_orders(connection: Connection, numbers: Sequence[str]) -> None:
    """Sets the states of orders to what their pieces say."""
    orders, lines = table_of(Order), table_of(OwedBalance)
    places: dict[str, dict[Owed, int]] = defaultdict(lambda: defaultdict(int))
    for row in _rows(connection, lines, ("order_number",), [(number,) for number in numbers]):
        places[row.order_number][row.place] += row.pieces
    changed: dict[OrderState, list[str]] = defaultdict(list)
    for row in _rows(connection, orders, ("number",), [(number,) for number in numbers]):
        state = order_state(places[row.number], is_held=bool(row.held_reason))
        if state is not row.state:
            changed[state].append(row.number)
    for state, named in changed.items():
        for some in _some(named):
            connection.execute(update(orders).where(orders.c.number.in_(some)).values(state=state))


def _owed_changes(moves: Sequence[OwedMove]) -> dict[Key, int]:
    changes: dict[Key, int] = defaultdict(int)
    for move in moves:
        line = (move.order_number, move.line_no, move.part_number)
        if move.from_place is not Owed.ORDERED:
            changes[*line, move.from_place, move.from_ref] -= move.pieces
        if move.to_place is not Owed.ORDERED:
            changes[*line, move.to_place, move.to_ref] += move.pieces
    return changes


def _stock_changes(moves: Sequence[StockMove]) -> dict[Key, int]:
    changes: dict[Key, int] = defaultdict(int)
    for move in moves:
        for place, ref, pieces in (
            (move.from_place, move.from_ref, -move.pieces),
            (move.to_place, move.to_ref, move.pieces),
        ):
            if place not in OUTSIDE and place is not There.BIN:
                changes[place, ref, move.part_number] += pieces
    return changes


def _change(connection: Connection, table: Table, changes: Mapping[Key, int], says: Any) -> None:
    """Adds to balances; one that is left with nothing goes, one below is refused."""
    names = tuple(column.name for column in table.primary_key.columns)
    keys = [key for key, change in changes.items() if change]
    now = {tuple(getattr(row, name) for name in names): row.pieces for row in _rows(connection, table, names, keys)}
    set_, gone = [], []
    for key in keys:
        pieces = now.get(key, 0) + changes[key]
        if pieces < 0:
            raise says(key, -changes[key], now.get(key, 0))
        if pieces:
            set_.append(dict(zip(names, key, strict=True)) | {"pieces": pieces})
        else:
            gone.append(dict(zip((f"of_{name}" for name in names), key, strict=True)))
    if set_:
        connection.execute(upsert(table, tuple(set_[0]), connection.dialect.name), set_)
    if gone:
        here = and_(*(table.c[name] == bindparam(f"of_{name}", type_=table.c[name].type) for name in names))
        connection.execute(delete(table).where(here), gone)


def _says_owed(key: Key, pieces: int, has: int) -> StateRefused:
    order, line_no, part_number, place, ref = key
    where = f"'{place.value}'" + (f" ({ref})" if ref else "")
    return StateRefused(
        f"move {pieces} pieces of {part_number} from {where} of order {order}, line",
        line_no,
        f"at most the {has} there",
    )


def _says_stock(key: Key, pieces: int, has: int) -> StateRefused:
    place, ref, part_number = key
    where = f"{place.value} {ref}".strip()
    return StateRefused(f"take {pieces} pieces of {part_number} from", where, f"at most the {has} there")


def _move_levels(connection: Connection, moves: Sequence[StockMove]) -> None:
    """Changes the levels of the bins that moves name.

    Raises:
        StateRefused: a bin is unknown or holds another part, or its level would go below zero.
    """
    change: dict[str, int] = defaultdict(int)
    part_of: dict[str, set[str]] = defaultdict(set)
    for move in moves:
        for place, ref, pieces in (
            (move.from_place, move.from_ref, -move.pieces),
            (move.to_place, move.to_ref, move.pieces),
        ):
            if place is There.BIN:
                change[ref] += pieces
                part_of[ref].add(move.part_number)
    bins = table_of(Bin)
    known = {row.code: row for row in _rows(connection, bins, ("code",), [(code,) for code in sorted(change)])}
    for code in sorted(change):
        place_ = known.get(code)
        for part_number in sorted(part_of[code]):
            if place_ is None or place_.part_number != part_number:
                holds = "an unknown bin" if place_ is None else f"a bin of {place_.part_number}"
                raise StateRefused(f"book {part_number} in the bin", code, f"a bin that holds this part, got {holds}")
        if known[code].pieces + change[code] < 0:
            raise StateRefused(
                f"take {-change[code]} pieces from the bin", code, f"at most its {known[code].pieces} pieces"
            )
    moved = [{"of": code, "to": known[code].pieces + change[code]} for code in sorted(change) if change[code]]
    if moved:
        connection.execute(update(bins).where(bins.c.code == bindparam("of")).values(pieces=bindparam("to")), moved)


def _some(values: Sequence[T]) -> Iterator[Sequence[T]]:
    return (values[start : start + _MANY] for start in range(0, len(values), _MANY))


def _rows(connection: Connection, table: Table, names: Sequence[str], keys: Sequence[Key]) -> list[Any]:
    """The rows with these keys, in slices that every database takes."""
    found: list[Any] = []
    for some in _some(keys):
        condition: ColumnElement[bool] = table.c[names[0]].in_([key[0] for key in some])
        if len(names) > 1:
            condition = or_(
                *(and_(*(table.c[name] == value for name, value in zip(names, key, strict=True))) for key in some)
            )
        found += connection.execute(select(table).where(condition)).all()
    return found


def _is_key(table: Table, names: Sequence[str], key: Key) -> ColumnElement[bool]:
    return and_(*(table.c[name] == value for name, value in zip(names, key, strict=True)))
