"""A shop that the last release filled comes into the two books with its history, and nothing of it is lost.

``older_shops/0008.sql`` was written by the release with schema 0008 from invented orders: sent, sent short, a kit whose
package was made void, returned, cancelled, halved, held, checked, boxed, sealed, new, and one of which that release had
lost sight of 18 pieces (a line made larger after release, planned twice).
"""

import json
import sqlite3
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path

import pytest

from fulfil.despatch.manifest_paper import printed_manifest, sheet_of_json
from fulfil.errors import PaperRefused, StoreRefused
from fulfil.orders.places import places_of
from fulfil.orders.verify import verify_shop
from fulfil.papers.despatch.manifest import ManifestSheet
from fulfil.papers.kept import KeptShape, as_it_was
from fulfil.records.order import Order, OrderLine
from fulfil.records.pieces import Owed, OwedEntry, StockEntry
from fulfil.records.place import Bin
from fulfil.shop.printing import print_papers
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


@pytest.mark.parametrize(
    ("number", "digest"),
    [
        ("M2603020001", "df687f1359b959a62c373d842b38f128cac4a43bfabaec0f36184bfb2848089b"),
        ("M2603020002", "25d1b7ec8c1b2c0ad588c15301a993fa115a60a01e2d93650df98ff2dda5ffbe"),
        ("M2603020003", "934d1d4b4e4813ede7e7de8f5871e8256705c375ae1dceb60759d361023d8208"),
    ],
)
def test_a_manifest_of_an_older_release_prints_byte_for_byte(old: Path, number: str, digest: str) -> None:
    """What the release with schema 0008 printed, this one prints again (SHA-256 of that release's PDF)."""
    upgrade_shop(old)
    with open_shop(old) as shop:
        (paper,) = print_papers(shop, old.parent, lambda books: printed_manifest(books, number))

    assert sha256(paper.read_bytes()).hexdigest() == digest


def test_a_kept_sheet_whose_class_changed_since_is_still_read() -> None:
    """A field that a later release renames is brought up by one step; a newer release's sheet is refused in words."""
    sheet = sheet_of_json('{"version": 1, "content": ' + _content("M2603020001") + "}")
    renamed = KeptShape(ManifestSheet, steps=(as_it_was, _renamed))
    older = json.loads(_content("M2603020001"))
    older["service_words"] = older.pop("service")

    assert renamed.sheet(json.dumps({"version": 1, "content": older})) == sheet
    with pytest.raises(PaperRefused, match="version 3 or older"):
        sheet_of_json('{"version": 9, "content": {}}')


def _renamed(told: dict[str, object]) -> dict[str, object]:
    as_it_is_now = {("service" if name == "service_words" else name): value for name, value in told.items()}
    return {**as_it_is_now, "edition": 1}


def _content(number: str) -> str:
    """The sheet of a manifest as the older release kept it."""
    connection = sqlite3.connect(":memory:")
    connection.executescript(OLD.read_text(encoding="utf-8"))
    (text,) = connection.execute("SELECT sheet FROM manifest_copy WHERE manifest_number = ?", [number]).fetchone()
    connection.close()
    return str(text)


def test_a_shop_of_no_release_is_refused_in_words(old: Path) -> None:
    """A schema from before the first release is named, and nothing is changed."""
    connection = sqlite3.connect(old)
    connection.execute("UPDATE alembic_version SET version_num = '0005'")
    connection.commit()
    before = [*connection.iterdump()]

    with pytest.raises(StoreRefused, match="migration 0008 or newer, got 0005"):
        upgrade_shop(old)
    assert [*connection.iterdump()] == before
    connection.close()
