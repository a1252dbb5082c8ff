"""The two books of pieces: the stock ledger becomes moves with both sides, and every order line gets its places.

What is known of the past becomes moves at the times that the shop wrote down: an order's receipt, its walk's release,
the entry with which a bag's pieces left their bin, sealing, the manifest's closing. What an older release lost sight of
comes out as waiting, so that planning finds it again. A package that was made void stands with its replacement.
"""

from collections import defaultdict
from datetime import UTC, datetime
from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None

_OWED = (
    "'ordered', 'waiting', 'promised', 'short', 'held', 'in a bag', 'passed', 'in a package', 'sealed', 'shipped',"
    " 'cancelled'"
)
_THERE = "'supplier', 'make-room', 'count', 'bin', 'bag', 'package', 'handed over', 'scrapped'"
_UPGRADE = "upgrade"
_STATES = "'planned', 'stop', 'sealed', 'shipped', 'undone'"
_BAG = ("picked", "undone", "pulled", "put back")
_OTHER = {
    "received": "supplier",
    "bought": "supplier",
    "goods in": "supplier",
    "made": "make-room",
    "scrapped": "scrapped",
    "rejected": "scrapped",
}
Key = tuple[str, int, str]
At = tuple[str, str]


def upgrade() -> None:
    """Makes the tables, fills them from what is there, and drops what they take the place of."""
    _tables()
    connection = op.get_bind()
    stock = _Stock(connection)
    owed = _OwedBook(connection, stock)
    stock.write()
    owed.write()
    _packages_may_be_undone(connection)
    op.drop_table("allocation")
    op.drop_table("stock_entry")
    for table in ("owed_move", "stock_move"):
        for event in ("UPDATE", "DELETE"):
            _refuse(table, event)


def _tables() -> None:
    op.create_table(
        "owed_move",
        sa.Column("order_number", sa.String(), nullable=False),
        sa.Column("line_no", sa.Integer(), nullable=False),
        sa.Column("part_number", sa.String(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.Column("from_place", sa.String(length=20), nullable=False),
        sa.Column("from_ref", sa.String(), nullable=False),
        sa.Column("to_place", sa.String(length=20), nullable=False),
        sa.Column("to_ref", sa.String(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.CheckConstraint("pieces BETWEEN 1 AND 999999999", name=op.f("ck_owed_move_pieces_range")),
        sa.CheckConstraint(f"from_place IN ({_OWED})", name=op.f("ck_owed_move_from_place_word")),
        sa.CheckConstraint(f"to_place IN ({_OWED})", name=op.f("ck_owed_move_to_place_word")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_owed_move")),
    )
    op.create_index(op.f("ix_owed_move_order_number_line_no"), "owed_move", ["order_number", "line_no"], unique=False)
    op.create_table(
        "owed_balance",
        sa.Column("order_number", sa.String(), nullable=False),
        sa.Column("line_no", sa.Integer(), nullable=False),
        sa.Column("part_number", sa.String(), nullable=False),
        sa.Column("place", sa.String(length=20), nullable=False),
        sa.Column("ref", sa.String(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.CheckConstraint("pieces BETWEEN 1 AND 999999999", name=op.f("ck_owed_balance_pieces_range")),
        sa.CheckConstraint(f"place IN ({_OWED})", name=op.f("ck_owed_balance_place_word")),
        sa.CheckConstraint("place <> 'ordered'", name=op.f("ck_owed_balance_inside")),
        sa.ForeignKeyConstraint(
            ["order_number", "line_no"],
            ["order_line.order_number", "order_line.line_no"],
            name=op.f("fk_owed_balance_order_number_line_no"),
        ),
        sa.ForeignKeyConstraint(["part_number"], ["part.number"], name=op.f("fk_owed_balance_part_number")),
        sa.PrimaryKeyConstraint("order_number", "line_no", "part_number", "place", "ref", name=op.f("pk_owed_balance")),
    )
    op.create_index(op.f("ix_owed_balance_place_ref"), "owed_balance", ["place", "ref"], unique=False)
    op.create_table(
        "stock_move",
        sa.Column("part_number", sa.String(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.Column("from_place", sa.String(length=20), nullable=False),
        sa.Column("from_ref", sa.String(), nullable=False),
        sa.Column("to_place", sa.String(length=20), nullable=False),
        sa.Column("to_ref", sa.String(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("source", sa.String(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.CheckConstraint("pieces BETWEEN 1 AND 999999999", name=op.f("ck_stock_move_pieces_range")),
        sa.CheckConstraint(f"from_place IN ({_THERE})", name=op.f("ck_stock_move_from_place_word")),
        sa.CheckConstraint(f"to_place IN ({_THERE})", name=op.f("ck_stock_move_to_place_word")),
        sa.ForeignKeyConstraint(["part_number"], ["part.number"], name=op.f("fk_stock_move_part_number")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stock_move")),
    )
    op.create_index(op.f("ix_stock_move_part_number_at"), "stock_move", ["part_number", "at"], unique=False)
    op.create_index(op.f("ix_stock_move_reason_at"), "stock_move", ["reason", "at"], unique=False)
    op.create_index(op.f("ix_stock_move_source"), "stock_move", ["source"], unique=False)
    op.create_table(
        "stock_balance",
        sa.Column("place", sa.String(length=20), nullable=False),
        sa.Column("ref", sa.String(), nullable=False),
        sa.Column("part_number", sa.String(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.CheckConstraint("pieces BETWEEN 1 AND 999999999", name=op.f("ck_stock_balance_pieces_range")),
        sa.CheckConstraint(f"place IN ({_THERE})", name=op.f("ck_stock_balance_place_word")),
        sa.CheckConstraint(
            "place IN ('bag', 'package', 'handed over', 'scrapped')", name=op.f("ck_stock_balance_counted_here")
        ),
        sa.ForeignKeyConstraint(["part_number"], ["part.number"], name=op.f("fk_stock_balance_part_number")),
        sa.PrimaryKeyConstraint("place", "ref", "part_number", name=op.f("pk_stock_balance")),
    )


def _packages_may_be_undone(connection: Any) -> None:
    """A package whose boxes are chosen anew stays, so that reviews and numbers that name it do."""
    if connection.dialect.name != "sqlite":
        op.drop_constraint(op.f("ck_package_state_word"), "package", type_="check")
        op.create_check_constraint(op.f("ck_package_state_word"), "package", f"state IN ({_STATES})")
        return
    # SQLite can't change a CHECK: the table is copied, and its triggers are made again.
    triggers = sa.text("SELECT sql FROM sqlite_master WHERE type = 'trigger' AND tbl_name = 'package'")
    kept = [str(row) for row in connection.execute(triggers).scalars()]
    with op.batch_alter_table("package") as batch:
        batch.drop_constraint(op.f("ck_package_state_word"), type_="check")
        batch.create_check_constraint(op.f("ck_package_state_word"), f"state IN ({_STATES})")
    for trigger in kept:
        op.execute(trigger)


def _rows(connection: Any, table: str, order: str = "") -> Any:
    names = {column["name"]: column["type"] for column in sa.inspect(connection).get_columns(table)}
    columns = [sa.column(name, type_) for name, type_ in names.items()]
    query = sa.select(*columns).select_from(sa.table(table))
    return connection.execute(query.order_by(sa.text(order)) if order else query).mappings().all()


class _Stock:
    """The stock book: entries as moves, then what lies in bags and packages."""

    def __init__(self, connection: Any) -> None:
        self.connection = connection
        self.moves: list[dict[str, Any]] = []
        self.packages = {row["number"]: row for row in _rows(connection, "package")}
        self.manifests = {row["number"]: row for row in _rows(connection, "manifest")}
        self.bags = _rows(connection, "bag", "code")
        returned = {row["number"]: row for row in _rows(connection, "returned_pieces")}
        sent = {
            (bag["order_number"], bag["part_number"]): bag["package_number"]
            for bag in self.bags
            if self.closed(bag["package_number"]) is not None
        }
        self.left_bin = {}
        for row in _rows(connection, "stock_entry", "id"):
            other, ref = _OTHER.get(row["reason"], "count"), ""
            if row["reason"] in _BAG:
                other, ref = "bag", row["source"]
                self.left_bin[ref] = row
            back = returned.get(row["source"]) if row["reason"] == "returned" else None
            if back is not None and (back["order_number"], back["part_number"]) in sent:
                other, ref = "handed over", sent[back["order_number"], back["part_number"]]
            here = ("bin", row["bin_code"])
            from_, to = ((other, ref), here) if row["pieces"] > 0 else (here, (other, ref))
            if row["pieces"]:
                self.add(
                    row["at"],
                    row["person"],
                    row["part_number"],
                    abs(row["pieces"]),
                    from_,
                    to,
                    row["reason"],
                    row["source"],
                )
        for bag in self.bags:
            if bag["state"] != "packed" or bag["package_number"] not in self.packages:
                continue
            number = bag["package_number"]
            at, person = self.boxed(bag)
            part, pieces = bag["part_number"], bag["pieces"]
            self.add(at, person, part, pieces, ("bag", bag["code"]), ("package", number), "boxed", bag["code"])
            closed = self.closed(number)
            if closed is not None:
                box, gone = ("package", number), ("handed over", number)
                self.add(closed[0], closed[1], part, pieces, box, gone, "handed over", number)

    def boxed(self, bag: Any) -> tuple[Any, str]:
        """When a bag was put into its package, as far as it is known, and by whom."""
        package, left = self.packages[bag["package_number"]], self.left_bin.get(bag["code"])
        least = left["at"] if left else package["sealed_at"] or datetime.now(UTC).replace(tzinfo=None)
        return bag["boxed_at"] or least, left["person"] if left else _UPGRADE

    def closed(self, number: str) -> tuple[Any, str] | None:
        package = self.packages.get(number)
        if package is None or package["state"] != "shipped":
            return None
        manifest = self.manifests.get(package["manifest_number"])
        if manifest is None or manifest["closed_at"] is None:
            return package["sealed_at"] or datetime.now(UTC).replace(tzinfo=None), _UPGRADE
        return manifest["closed_at"], manifest["closed_by"] or _UPGRADE

    def add(self, at: Any, person: str, part: str, pieces: int, from_: At, to: At, reason: str, source: str) -> None:
        self.moves.append(
            {
                "at": at, "person": person, "part_number": part, "pieces": pieces, "from_place": from_[0],
                "from_ref": from_[1], "to_place": to[0], "to_ref": to[1], "reason": reason, "source": source,
            }
        )  # fmt: skip

    def write(self) -> None:
        """Writes the moves in the order of time, what never added up as found by a count, and the balances."""
        now = datetime.now(UTC).replace(tzinfo=None)
        for (place, ref, part), pieces in sorted(self._balances().items()):
            if pieces < 0:
                self.add(now, _UPGRADE, part, -pieces, ("count", ""), (place, ref), "counted", "what older books lack")
        _write(self.connection, "stock_move", self.moves)
        rows = [
            {"place": place, "ref": ref, "part_number": part, "pieces": pieces}
            for (place, ref, part), pieces in sorted(self._balances().items())
            if pieces
        ]
        _write(self.connection, "stock_balance", rows, is_dated=False)

    def _balances(self) -> dict[tuple[str, str, str], int]:
        sums: dict[tuple[str, str, str], int] = defaultdict(int)
        for move in self.moves:
            for side, way in (("from", -1), ("to", 1)):
                place = move[f"{side}_place"]
                if place in ("bag", "package", "handed over", "scrapped"):
                    sums[place, move[f"{side}_ref"], move["part_number"]] += way * move["pieces"]
        return sums


class _OwedBook:
    """The book of what is owed: each line's pieces, from where they are now back to its order's receipt."""

    def __init__(self, connection: Any, stock: _Stock) -> None:
        self.connection = connection
        self.stock = stock
        self.moves: list[dict[str, Any]] = []
        self.places: dict[tuple[Any, ...], int] = defaultdict(int)
        self.figures: list[tuple[str, int, int, int]] = []
        self.walks = {row["number"]: row for row in _rows(connection, "walk")}
        self.orders = {row["number"]: row for row in _rows(connection, "customer_order")}
        kits = defaultdict(list)
        for row in _rows(connection, "kit_part"):
            kits[row["kit_number"]].append((row["part_number"], row["pieces"]))
        bags = defaultdict(list)
        for bag in stock.bags:
            bags[bag["order_number"], bag["line_no"], bag["part_number"]].append(bag)
        for line in _rows(connection, "order_line"):
            for part, per in kits.get(line["part_number"], [(line["part_number"], 1)]):
                key = (line["order_number"], line["line_no"], part)
                self._line(line, key, per, bags[key])

    def _line(self, line: Any, key: Key, per: int, bags: list[Any]) -> None:
        order = self.orders[line["order_number"]]
        left, at = per * line["pieces"], order["received_at"]
        self._move(at, order["source"], key, left, ("ordered", ""), ("waiting", ""), "ordered")
        for bag in bags:
            pieces = min(left, bag["pieces"])
            left -= pieces
            if pieces:
                self._bag(key, pieces, bag)
        dropped = left if order["state"] == "cancelled" else min(left, per * line["cancelled_pieces"])
        short = min(left - dropped, per * line["short_pieces"])
        rest = left - dropped - short
        if dropped // per != line["cancelled_pieces"] or short // per != line["short_pieces"]:
            self.figures.append((line["order_number"], line["line_no"], dropped // per, short // per))
        self._move(at, _UPGRADE, key, dropped, ("waiting", ""), ("cancelled", ""), "cancelled")
        self._move(at, _UPGRADE, key, short, ("waiting", ""), ("short", ""), line["short_reason"] or "short")
        if order["state"] == "held":
            self._move(at, _UPGRADE, key, rest, ("waiting", ""), ("held", ""), order["held_reason"] or "held")

    def _bag(self, key: Key, pieces: int, bag: Any) -> None:
        walk = self.walks[bag["walk_number"]]
        if walk["released_at"] is None:
            at = self.orders[key[0]]["received_at"]
            self._move(at, _UPGRADE, key, pieces, ("waiting", ""), ("promised", bag["bin_code"]), "planned")
            return
        code = bag["code"]
        self._move(walk["released_at"], _UPGRADE, key, pieces, ("waiting", ""), ("in a bag", code), "released")
        if bag["state"] not in ("passed", "packed"):
            return
        left = self.stock.left_bin.get(code)
        at, person = (left["at"], left["person"]) if left else (walk["released_at"], _UPGRADE)
        self._move(at, person, key, pieces, ("in a bag", code), ("passed", code), "passed")
        number = bag["package_number"]
        package = self.stock.packages.get(number)
        if bag["state"] != "packed" or package is None:
            return
        boxed_at, by = self.stock.boxed(bag)
        self._move(boxed_at, by, key, pieces, ("passed", code), ("in a package", number), "boxed")
        if package["state"] in ("sealed", "shipped"):
            at = package["sealed_at"] or at
            self._move(at, _UPGRADE, key, pieces, ("in a package", number), ("sealed", number), "sealed")
        closed = self.stock.closed(number)
        if closed is not None:
            self._move(closed[0], closed[1], key, pieces, ("sealed", number), ("shipped", number), "handed over")

    def _move(self, at: Any, person: str, key: Key, pieces: int, from_: At, to: At, reason: str) -> None:
        if not pieces:
            return
        order, line_no, part = key
        self.moves.append(
            {
                "at": at, "person": person, "order_number": order, "line_no": line_no, "part_number": part,
                "pieces": pieces, "from_place": from_[0], "from_ref": from_[1], "to_place": to[0], "to_ref": to[1],
                "reason": reason,
            }
        )  # fmt: skip
        self.places[(*key, *from_)] -= pieces
        self.places[(*key, *to)] += pieces

    def write(self) -> None:
        """Writes the moves, the balances, and the states that follow from them."""
        _write(self.connection, "owed_move", self.moves)
        rows = [
            {"order_number": o, "line_no": n, "part_number": part, "place": place, "ref": ref, "pieces": pieces}
            for (o, n, part, place, ref), pieces in sorted(self.places.items())
            if pieces > 0 and place != "ordered"
        ]
        _write(self.connection, "owed_balance", rows, is_dated=False)
        at = defaultdict(set)
        for row in rows:
            at[row["order_number"]].add(row["place"])
        # An order that was cancelled whole did not say so of its lines.
        lines = sa.table("order_line", *map(sa.column, ("order_number", "line_no", "cancelled_pieces", "short_pieces")))
        for order, line_no, cancelled, short in self.figures:
            here = sa.and_(lines.c.order_number == order, lines.c.line_no == line_no)
            said = {"cancelled_pieces": cancelled, "short_pieces": short}
            self.connection.execute(sa.update(lines).where(here).values(said))
        orders = sa.table("customer_order", sa.column("number"), sa.column("state"))
        for number, row in self.orders.items():
            state = _state(at[number], is_held=row["state"] == "held")
            if state != row["state"]:
                self.connection.execute(sa.update(orders).where(orders.c.number == number).values(state=state))


def _state(at: set[str], *, is_held: bool) -> str:
    open_at = at - {"shipped", "cancelled"}
    if not open_at:
        return "shipped" if "shipped" in at else "cancelled"
    if is_held:
        return "held"
    bench = open_at - {"waiting", "promised", "short", "held"}
    if bench == {"in a bag"}:
        return "released"
    if bench:
        if "in a bag" in bench or open_at & {"waiting", "promised", "held"}:
            return "picked"
        return "packed" if bench == {"sealed"} else "checked"
    if "promised" in open_at:
        return "allocated"
    return "shipped" if "shipped" in at else "received"


def _write(connection: Any, table: str, rows: list[dict[str, Any]], *, is_dated: bool = True) -> None:
    if not rows:
        return
    ordered = sorted(rows, key=lambda row: row["at"]) if is_dated else rows
    types = {column["name"]: column["type"] for column in sa.inspect(connection).get_columns(table)}
    connection.execute(sa.insert(sa.table(table, *(sa.column(name, types[name]) for name in ordered[0]))), ordered)


def _refuse(table: str, event: str) -> None:
    name = f"{table}_stays_{event.lower()}"
    does = "BEGIN SELECT RAISE(ABORT, 'recorded rows stay as they are'); END"
    if op.get_bind().dialect.name == "postgresql":
        does = "EXECUTE FUNCTION recorded_rows_stay()"
    op.execute(f"CREATE TRIGGER {name} BEFORE {event} ON {table} FOR EACH ROW {does}")
