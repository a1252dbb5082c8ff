"""A shop that the last release filled comes into the two books with its history, and nothing of it is lost.

``older_shops/0008.sql`` was written by the release with schema 0008 from invented orders: sent, sent short, a kit whose
package was made void, returned, cancelled, halved, held, checked, boxed, sealed, new, and one of which that release had
lost sight of 18 pieces (a line made larger after release, planned twice).
"""

import sqlite3
from datetime import UTC, datetime
from pathlib import Path

import pytest

from fulfil.orders.places import places_of
from fulfil.orders.verify import verify_shop
from fulfil.records.order import Order, OrderLine
from fulfil.records.pieces import Owed, OwedEntry, StockEntry
from fulfil.records.place import Bin
from fulfil.store.shop import open_shop, upgrade_shop
from fulfil.walks.plan import plan_day

OLD = Path(__file__).parent / "older_shops" / "0008.sql"
AT = datetime(2026, 3, 3, 8, tzinfo=UTC)


@pytest.fixture
def old(tmp_path: Path) -> Path:
    """The older shop's file, as that release left it."""
    path = tmp_path / "shop.db"
    connection = sqlite3.connect(path)
    connection.executescript(OLD.read_text(encoding="utf-8"))
    connection.close()
    return path


def test_an_older_shop_comes_into_both_books(old: Path) -> None:
    """Both books add up; every line's places hold what was ordered; levels are what they were."""
    connection = sqlite3.connect(old)
    levels = dict(connection.execute("SELECT code, pieces FROM bin"))
    ordered = {(number, no): pieces for number, no, pieces in connection.execute(
        "SELECT order_number, line_no, pieces FROM order_line")}  # fmt: skip
    entries = connection.execute("SELECT count(*) FROM stock_entry WHERE pieces <> 0").fetchone()[0]
    connection.close()

    upgrade_shop(old)

    with open_shop(old) as shop:
        assert verify_shop(shop) == ()
        with shop.reading() as books:
            assert {place.code: place.pieces for place in books.find(Bin)} == levels
            assert {(one.order_number, one.line_no): one.pieces for one in books.find(OrderLine)} == ordered
            assert sum(bool(entry.bin_code) for entry in books.find(StockEntry)) == entries


def test_history_keeps_its_times_and_people(old: Path) -> None:
    """A sent line was ordered, released, passed, boxed, sealed and handed over, in this order of time."""
    upgrade_shop(old)
    with open_shop(old) as shop, shop.reading() as books:
        moves = books.find(OwedEntry, order_number="A-SENT", line_no=1)

    assert [move.to_place.value for move in moves] == [
        "waiting", "in a bag", "passed", "in a package", "sealed", "shipped",
    ]  # fmt: skip
    assert [move.at for move in moves] == sorted(move.at for move in moves)
    assert {move.person for move in moves[2:3]} == {"ann"}


def test_what_the_older_release_lost_is_found_again(old: Path) -> None:
    """The 18 pieces that two plans forgot wait; the next plan promises them, and so does every other order's rest."""
    upgrade_shop(old)
    with open_shop(old) as shop:
        with shop.reading() as books:
            lost = places_of(books, ["B-CHECKED"])["B-CHECKED", 1]
            states = {order.number: order.state.value for order in books.find(Order)}
        assert (lost.pieces(Owed.PASSED), lost.pieces(Owed.WAITING)) == (12, 18)
        assert states == {
            "A-SENT": "shipped", "A-KIT": "checked", "A-SHORT": "released", "B-CANCEL": "cancelled",
            "B-HALF": "allocated", "B-HELD": "held", "B-CHECKED": "picked", "B-BOXED": "checked",
            "B-SEALED": "packed", "C-NEW": "allocated", "C-DONE": "held",
        }  # fmt: skip
        plan_day(shop, day=AT.date(), at=AT, person="ann", effort="none")
        with shop.reading() as books:
            assert places_of(books, ["B-CHECKED"])["B-CHECKED", 1].pieces(Owed.PROMISED) == 18
        assert verify_shop(shop) == ()
