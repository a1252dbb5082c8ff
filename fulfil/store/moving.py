"""Write moves into the two books, and with them every figure that is a sum over them.

This is the only place where a balance changes, and with it the level of a bin, the pieces of an order line and the
state of an order. Moves of one call count together: what comes in by one may go out by another.

Cost: a dozen statements a call, whatever the number of moves. The balances of the orders that move are read once, and
everything that follows is worked out from them; no row of another order is read.
"""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy.engine import Connection

from fulfil.errors import StateRefused
from fulfil.records.order import Order, OrderLine
from fulfil.records.pieces import OUTSIDE, Owed, OwedBalance, OwedMove, StockBalance, StockMove, There, order_state
from fulfil.records.place import Bin
from fulfil.store.keyed import delete_by_key, insert_into, put_into, rows_with, update_by_key
from fulfil.store.rows import values_of
from fulfil.store.tables import table_of

Key = tuple[Any, ...]
Balances = dict[Key, int]
"""Pieces by (order, line, part, place, reference)."""
Change = tuple[Key, Mapping[str, Any]]
"""The key of a row, and what is new of it."""


@dataclass(frozen=True)
class Worked:
    """Moves with all that follows from them: rows to be written, worked out from what the shop holds."""

    owed: Sequence[OwedMove]
    stock: Sequence[StockMove]
    levels: Sequence[Change]
    there: "_Change"
    places: "_Change"
    lines: Sequence[Change]
    states: Sequence[Change]


def work_out(connection: Connection, owed: Sequence[OwedMove], stock: Sequence[StockMove]) -> Worked:
    """Works out what moves come to; nothing is written.

    Raises:
        StateRefused: a place would be left with less than nothing, or a bin is unknown or holds another part.
    """
    numbers = sorted({move.order_number for move in owed})
    levels = _new_levels(connection, stock) if stock else []
    there = _new_stock(connection, stock) if stock else _Change([], [], [])
    balances = _balances(connection, numbers) if owed else {}
    places = _new_places(owed, balances)
    lines = _new_lines(connection, owed, balances) if owed else []
    states = _new_states(connection, numbers, balances) if owed else []
    return Worked(owed, stock, levels, there, places, lines, states)


def write_worked(connection: Connection, worked: Worked, *, at: datetime, person: str) -> None:
    """Writes what was worked out from the shop as it still is, inside the caller's transaction."""
    who = {"at": at, "person": person}
    update_by_key(connection, table_of(Bin), ("code",), worked.levels)
    insert_into(connection, table_of(StockMove), [values_of(move) | who for move in worked.stock])
    _write(connection, StockBalance, worked.there)
    insert_into(connection, table_of(OwedMove), [values_of(move) | who for move in worked.owed])
    _write(connection, OwedBalance, worked.places)
    update_by_key(connection, table_of(OrderLine), ("order_number", "line_no"), worked.lines)
    update_by_key(connection, table_of(Order), ("number",), worked.states)


def write_new_lines(connection: Connection, moves: Sequence[Mapping[str, Any]]) -> None:
    """Writes the first moves of new lines, each with its own time and person; all their pieces wait.

    The lines are new, so nothing is read but the states of their orders.
    """
    if not moves:
        return
    insert_into(connection, table_of(OwedMove), [dict(move) for move in moves])
    names = ("order_number", "line_no", "part_number", "pieces")
    rows = [{name: move[name] for name in names} | {"place": Owed.WAITING, "ref": ""} for move in moves]
    insert_into(connection, table_of(OwedBalance), rows)
    refresh_orders(connection, sorted({move["order_number"] for move in moves}))


def refresh_orders(connection: Connection, numbers: Sequence[str]) -> None:
    """Sets the states of orders to what their pieces say."""
    states = _new_states(connection, numbers, _balances(connection, numbers))
    update_by_key(connection, table_of(Order), ("number",), states)


def _balances(connection: Connection, numbers: Collection[str]) -> Balances:
    names = ("order_number", "line_no", "part_number", "place", "ref", "pieces")
    return {row[:-1]: row[-1] for row in rows_with(connection, table_of(OwedBalance), "order_number", numbers, names)}


@dataclass(frozen=True)
class _Change:
    """Balances to keep, as rows, the keys of those that are left with nothing, and rows that take over such a key's.

    Most moves empty one place into another, new one; the balance goes along, in one statement instead of two, which
    names only what is new of it, so that the database does not look up its order line again.
    """

    kept: list[dict[str, Any]]
    gone: list[Key]
    along: list[tuple[Key, dict[str, Any]]]


def _new_places(moves: Sequence[OwedMove], balances: Balances) -> _Change:
    """Changes the balances in ``balances``, and says what is to be written of them.

    Raises:
        StateRefused: one would be left with less than nothing.
    """
    changes: dict[Key, int] = defaultdict(int)
    for move in moves:
        line = (move.order_number, move.line_no, move.part_number)
        if move.from_place is not Owed.ORDERED:
            changes[*line, move.from_place, move.from_ref] -= move.pieces
        if move.to_place is not Owed.ORDERED:
            changes[*line, move.to_place, move.to_ref] += move.pieces
    return _changed(OwedBalance, changes, balances)


def _new_stock(connection: Connection, moves: Sequence[StockMove]) -> _Change:
    changes: dict[Key, int] = defaultdict(int)
    for move in moves:
        for place, ref, pieces in _sides(move):
            if place not in OUTSIDE and place is not There.BIN:
                changes[place, ref, move.part_number] += pieces
    names, refs = ("place", "ref", "part_number", "pieces"), sorted({ref for _, ref, _ in changes})
    found = rows_with(connection, table_of(StockBalance), "ref", refs, names)
    return _changed(StockBalance, changes, {row[:-1]: row[-1] for row in found})


def _sides(move: StockMove) -> tuple[tuple[There, str, int], tuple[There, str, int]]:
    return (move.from_place, move.from_ref, -move.pieces), (move.to_place, move.to_ref, move.pieces)


def _changed(kind: type[OwedBalance] | type[StockBalance], changes: Mapping[Key, int], balances: Balances) -> _Change:
    """Adds to balances; one that is left with nothing goes, one below is refused."""
    names = tuple(column.name for column in table_of(kind).primary_key.columns)
    change = _Change([], [], [])
    new: list[Key] = []
    for key, more in changes.items():
        if not more:
            continue
        pieces = balances.get(key, 0) + more
        if pieces < 0:
            raise _too_few(key, -more, balances.get(key, 0))
        if not pieces:
            del balances[key]
            change.gone.append(key)
            continue
        if key not in balances:
            new.append(key)
        else:
            change.kept.append(dict(zip(names, key, strict=True)) | {"pieces": pieces})
        balances[key] = pieces
    left: dict[Key, list[Key]] = defaultdict(list)
    for key in change.gone:
        left[_line(kind, key)].append(key)
    for key in new:
        row = dict(zip(names, key, strict=True)) | {"pieces": balances[key]}
        if left[_line(kind, key)]:
            was = left[_line(kind, key)].pop()
            change.along.append((was, {name: row[name] for name in ("place", "ref", "pieces")}))
        else:
            change.kept.append(row)
    change.gone[:] = [key for keys in left.values() for key in keys]
    return change


def _line(kind: type[OwedBalance] | type[StockBalance], key: Key) -> Key:
    """What stays of a balance wherever its pieces go: its order line and part, or its part."""
    return key[:3] if kind is OwedBalance else key[2:]


def _write(connection: Connection, kind: type[OwedBalance] | type[StockBalance], change: _Change) -> None:
    table = table_of(kind)
    put_into(connection, table, change.kept)
    delete_by_key(connection, table, change.gone)
    update_by_key(connection, table, tuple(column.name for column in table.primary_key.columns), change.along)


def _too_few(key: Key, pieces: int, has: int) -> StateRefused:
    if len(key) == 3:
        place, ref, part_number = key
        return StateRefused(
            f"take {pieces} pieces of {part_number} from", f"{place.value} {ref}".strip(), f"at most the {has} there"
        )
    order, line_no, part_number, place, ref = key
    where = f"'{place.value}'" + (f" ({ref})" if ref else "")
    tried = f"move {pieces} pieces of {part_number} from {where} of order {order}, line"
    return StateRefused(tried, line_no, f"at most the {has} there")


def _new_lines(connection: Connection, moves: Sequence[OwedMove], balances: Balances) -> list[Change]:
    """What was ordered, is short and is cancelled of the lines that moved, where their balances say otherwise now."""
    figures = {Owed.ORDERED, Owed.SHORT, Owed.SHIPPED, Owed.CANCELLED}
    moved = {
        (move.order_number, move.line_no) for move in moves if move.from_place in figures or move.to_place in figures
    }
    if not moved:
        return []
    came: dict[Key, int] = defaultdict(int)
    for move in moves:
        way = (move.from_place is Owed.ORDERED) - (move.to_place is Owed.ORDERED)
        came[move.order_number, move.line_no, move.part_number] += way * move.pieces
    totals: dict[Key, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    sums: dict[Key, dict[tuple[Owed, str], int]] = defaultdict(lambda: defaultdict(int))
    for (order, line_no, part, place, _), pieces in balances.items():
        if (order, line_no) in moved:
            totals[order, line_no][part] += pieces
            sums[order, line_no][place, part] += pieces
    names = ("order_number", "line_no", "pieces", "short_pieces", "cancelled_pieces")
    numbers = sorted({order for order, _ in moved})
    changed: list[Change] = []
    for order, line_no, *now in rows_with(connection, table_of(OrderLine), "order_number", numbers, names):
        key = (order, line_no)
        if key not in moved or not totals[key]:
            continue  # Where all of it went over to another order, the line is about to go.
        before = {part: n - came[*key, part] for part, n in totals[key].items()}
        per = parts_of_one(now[0], before if all(before.values()) else totals[key])
        part = min(per)
        sent = {one: sums[key][Owed.SHIPPED, one] for one in per}
        said = {
            "pieces": totals[key][part] // per[part],
            "short_pieces": max(-(-sums[key][Owed.SHORT, one] // per[one]) for one in per),
            # Of a kit, what is settled and was not sent whole: its parts may end in different places.
            "cancelled_pieces": min((sent[one] + sums[key][Owed.CANCELLED, one]) // per[one] for one in per)
            - min(sent[one] // per[one] for one in per),
        }
        if [*said.values()] != now:
            changed.append((key, said))
    return changed


def parts_of_one(pieces: int, totals: Mapping[str, int]) -> dict[str, int]:
    """How many of each part are in one of a line of which ``pieces`` were ordered: a kit's parts, or the part itself.

    >>> parts_of_one(2, {"WHEEL": 8, "SPRING": 2})
    {'WHEEL': 4, 'SPRING': 1}
    """
    return {part: n // pieces for part, n in totals.items()}


def _new_states(connection: Connection, numbers: Sequence[str], balances: Balances) -> list[Change]:
    places: dict[str, dict[Owed, int]] = defaultdict(lambda: defaultdict(int))
    for (order, _, _, place, _), pieces in balances.items():
        places[order][place] += pieces
    changed: list[Change] = []
    found = rows_with(connection, table_of(Order), "number", numbers, ("number", "state", "held_reason"))
    for number, before, held_reason in found:
        state = order_state(places[number], is_held=bool(held_reason))
        if state is not before:
            changed.append(((number,), {"state": state}))
    return changed


def _new_levels(connection: Connection, moves: Sequence[StockMove]) -> list[Change]:
    """The levels that moves leave in the bins that they name, as changes by key.

    Raises:
        StateRefused: a bin is unknown or holds another part, or its level would go below zero.
    """
    change: dict[str, int] = defaultdict(int)
    part_of: dict[str, set[str]] = defaultdict(set)
    for move in moves:
        for place, ref, pieces in _sides(move):
            if place is There.BIN:
                change[ref] += pieces
                part_of[ref].add(move.part_number)
    names = ("code", "part_number", "pieces")
    known = {
        code: (part_number, pieces)
        for code, part_number, pieces in rows_with(connection, table_of(Bin), "code", sorted(change), names)
    }
    for code in sorted(change):
        holding, level = known.get(code, ("", 0))
        for part_number in sorted(part_of[code]):
            if holding != part_number:
                holds = f"a bin of {holding}" if code in known else "an unknown bin"
                raise StateRefused(f"book {part_number} in the bin", code, f"a bin that holds this part, got {holds}")
        if level + change[code] < 0:
            raise StateRefused(f"take {-change[code]} pieces from the bin", code, f"at most its {level} pieces")
    return [((code,), {"pieces": known[code][1] + change[code]}) for code in sorted(change) if change[code]]
