"""A shop grown old: the days that a shop's file holds, copied back in time, with everything that hung on them.

Each copy is a round of whole days earlier: its numbers, days and moments are moved back together, so that orders,
walks, bags, packages, manifests, weighings, the journal and both books of pieces of the past are as full as they would
be. Copied are orders that are done, and what is theirs; the bins got as many pieces as the copies took, so that the
books still add up.

    python -m tests.benchmarks.age.aged_shop SHOP.sqlite OLD.sqlite --rounds 125
"""

import argparse
import re
import sqlite3
from collections.abc import Sequence
from contextlib import closing
from datetime import date, timedelta
from pathlib import Path

OF_ORDERS = {
    "customer_order": "number", "order_line": "order_number", "order_charge": "order_number",
    "owed_move": "order_number", "owed_balance": "order_number", "bag": "order_number", "package": "order_number",
    "pulled_bag": "order_number", "recount": "order_number", "claim": "order_number",
    "return_match": "order_number", "returned_pieces": "order_number",
}  # fmt: skip
"""Growing tables, and the column that says whose a row is."""
OF_PACKAGES = {
    "charge": "package_number", "charged_surcharge": "package_number", "identifier": "package_number",
    "hazard_review": "package_number", "bill_line": "package_number",
}  # fmt: skip
WHOLE = (
    "plan", "walk", "manifest", "manifest_copy", "journal_entry", "weighing", "job", "carrier_bill", "return_notice",
    "settlement", "closed_day",
)  # fmt: skip
"""Growing tables that are copied whole."""
DONE = "('shipped', 'cancelled')"
OPEN = "SELECT order_number FROM owed_balance WHERE place NOT IN ('shipped', 'cancelled')"
"""Orders of which something is to follow."""
_FIRST = ("customer_order", "order_line", "walk", "bag", "manifest", "package", "carrier_bill")


def age(shop: Path, old: Path, *, rounds: int) -> Path:
    """Writes the shop's file with ``rounds`` copies of its days before them; the file's path."""
    with closing(sqlite3.connect(shop)) as known, known, closing(sqlite3.connect(old)) as books, books:
        known.backup(books)  # what is still in a write-ahead log, too
    with closing(sqlite3.connect(old)) as books, books:
        books.execute("PRAGMA foreign_keys = OFF")
        books.execute("PRAGMA synchronous = OFF")
        books.execute("PRAGMA cache_size = -200000")
        for name, body in books.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall():
            books.execute(f"DROP TRIGGER {name}")
            assert body
        days = [date.fromisoformat(one) for (one,) in books.execute("SELECT DISTINCT day FROM walk ORDER BY day")]
        span = max((days[-1] - days[0]).days + 1, 1)
        span += -span % 7
        growing = _growing(books)
        for table in growing:
            books.execute(f"CREATE TEMP TABLE round_{table} AS SELECT * FROM {table} WHERE {_whose(table)}")
        for number in range(1, rounds + 1):
            for table in growing:
                _copy(books, table, days, number * span)
            _fill(books, number * span)
    with closing(sqlite3.connect(shop)) as known, known, closing(sqlite3.connect(old)) as books, books:
        for (body,) in known.execute("SELECT sql FROM sqlite_master WHERE type = 'trigger'").fetchall():
            books.execute(body)
    return old


def _growing(books: sqlite3.Connection) -> list[str]:
    """Tables to copy, those first that others point to."""
    known = {name for (name,) in books.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    wanted = [*_FIRST, *sorted({*OF_ORDERS, *OF_PACKAGES, *WHOLE, "stock_move", "stock_balance"} - {*_FIRST})]
    return [name for name in wanted if name in known]


def _whose(table: str) -> str:
    """Which rows are copied."""
    done = f"SELECT number FROM customer_order WHERE state IN {DONE} AND number NOT IN ({OPEN})"
    packages = f"SELECT number FROM package WHERE order_number IN ({done})"
    bags = f"SELECT code FROM bag WHERE order_number IN ({done}) UNION SELECT bag_code FROM pulled_bag"
    if table in OF_ORDERS:
        return f"{OF_ORDERS[table]} IN ({done})"
    if table in OF_PACKAGES:
        return f"{OF_PACKAGES[table]} IN ({packages})"
    if table == "stock_balance":
        return f"ref IN ({packages})"
    if table == "stock_move":
        theirs = f"({bags} UNION {packages})"
        return f"from_ref IN {theirs} OR to_ref IN {theirs}"
    return "1"


def _copy(books: sqlite3.Connection, table: str, days: Sequence[date], back: int) -> None:
    """One round of a table, so many days back."""
    selected = []
    names = []
    for _, name, kind, *_ in books.execute(f"PRAGMA table_info({table})"):
        if name == "id":
            continue
        names.append(name)
        selected.append(_moved(table, name, kind, days, back))
    columns = ", ".join(names)
    books.execute(f"INSERT INTO {table} ({columns}) SELECT {', '.join(selected)} FROM temp.round_{table}")


def _moved(table: str, name: str, kind: str, days: Sequence[date], back: int) -> str:
    """A column's value in the copy."""
    if kind == "DATETIME":
        return f"strftime('%Y-%m-%d %H:%M:%f', {name}, '-{back} days') || '000'"
    if kind == "DATE":
        return name if name == "valid_from" else f"date({name}, '-{back} days')"
    if table == "job" and name == "is_closed":
        return "1"
    if name == "digest":
        return f"digest || '-{back}'"
    if not re.match("VARCHAR", kind):
        return name
    said = name
    for number, day in enumerate(days):  # all are marked first: an earlier day may look like a later one
        said = f"replace(replace({said}, '{day:%y%m%d}', '<{number}>'), '{day:%Y-%m-%d}', '<-{number}>')"
    for number, day in enumerate(days):
        earlier = day - timedelta(days=back)
        said = f"replace(replace({said}, '<{number}>', '{earlier:%y%m%d}'), '<-{number}>', '{earlier:%Y-%m-%d}')"
    return said


def _fill(books: sqlite3.Connection, back: int) -> None:
    """What the copies took from the bins more than they gave back came in before."""
    at = f"strftime('%Y-%m-%d 00:00:00.000000', at, '-{back} days') AS at"
    books.execute(
        f"""
        INSERT INTO stock_move (part_number, pieces, from_place, from_ref, to_place, to_ref, reason, source, at, person)
        SELECT part_number, sum(out), 'count', '', 'bin', bin, 'counted', '', min(at), 'clerk-1' FROM (
            SELECT part_number, pieces AS out, from_ref AS bin, {at}
            FROM temp.round_stock_move WHERE from_place = 'bin'
            UNION ALL SELECT part_number, -pieces, to_ref, {at}
            FROM temp.round_stock_move WHERE to_place = 'bin')
        GROUP BY part_number, bin HAVING sum(out) > 0
        """
    )


def main() -> None:
    """Writes the old shop."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("shop", type=Path)
    parser.add_argument("old", type=Path)
    parser.add_argument("--rounds", type=int, default=125)
    given = parser.parse_args()
    age(given.shop, given.old, rounds=given.rounds)
    print(f"{given.old}: {given.old.stat().st_size / 1e6:.0f} MB")


if __name__ == "__main__":
    main()
