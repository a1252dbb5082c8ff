"""Books that somebody wrote wrong past the shop's doors: each mistake is named once by the day's reconciliation.

Planted by the database's own language, so that nothing of the code under test writes them. Together with the mistakes
in carriers' bills (:mod:`tests.despatch.test_bills_as_written`) more than thirty kinds.
"""

import json
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest

from fulfil.despatch.reconcile import reconcile_day
from fulfil.despatch.ship import close_manifest
from fulfil.store.shop import open_shop
from tests.despatch.test_bills_as_written import MISTAKES
from tests.despatch.test_bills_wrong_lines import ON_LINES
from tests.shipping_shop import DAY, NOW, sealed_shop

Plant = Callable[[sqlite3.Connection], None]


@pytest.fixture(scope="module")
def right(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small shop, its four packages shipped on two manifests."""
    path = tmp_path_factory.mktemp("right") / "shop.db"
    with sealed_shop(path) as shop:
        for service in ("POST", "ROAD"):
            close_manifest(shop, service, day=DAY, at=NOW, person="huia")
    return path


@pytest.fixture
def path(right: Path, tmp_path: Path) -> Path:
    """A copy of it, to be spoiled."""
    return Path(shutil.copy(right, tmp_path / "shop.db"))


def sql(*statements: str) -> Plant:
    """Statements, one after the other; each must change something."""

    def plant(books: sqlite3.Connection) -> None:
        for statement in statements:
            assert books.execute(statement).rowcount > 0, statement

    return plant


def on_paper(change: Callable[[list[dict[str, object]]], object], *, manifest: str = "M2603020002") -> Plant:
    """The rows of a manifest as it was printed, changed."""

    def plant(books: sqlite3.Connection) -> None:
        (text,) = books.execute("select sheet from manifest_copy where manifest_number = ?", (manifest,)).fetchone()
        sheet = json.loads(text)
        rows = next(found for found in _lists(sheet) if found and "package_number" in found[0])
        change(rows)
        books.execute("update manifest_copy set sheet = ? where manifest_number = ?", (json.dumps(sheet), manifest))

    return plant


def _lists(value: object) -> Iterator[list[dict[str, object]]]:
    if isinstance(value, dict):
        for one in value.values():
            yield from _lists(one)
    if isinstance(value, list):
        if value and all(isinstance(one, dict) for one in value):
            yield value
        for one in value:
            yield from _lists(one)


def both(*plants: Plant) -> Plant:
    """One mistake that shows in two tables."""

    def plant(books: sqlite3.Connection) -> None:
        for one in plants:
            one(books)

    return plant


def renamed(rows: list[dict[str, object]]) -> None:
    """A row too many, of a package that nobody has."""
    rows.append({**rows[0], "package_number": "P2603029999"})


ROAD = "manifest M2603020002"
ONE_MORE = sql(
    "update manifest set packages = packages + 1, weight_g = weight_g + (select gross_g from package where number = "
    "'P2603020001') where number = 'M2603020002'"
)
BOOKS: dict[str, tuple[Plant, tuple[str, str]]] = {
    "a bag in another order's package": (
        sql("update bag set package_number = 'P2603020001' where code = 'B41'"),
        ("bag in another order's package", "package P2603020001"),
    ),
    "a stock entry is missing": (
        sql("delete from stock_move where reason = 'handed over' and source = 'P2603020004'"),
        ("no stock entry", "package P2603020004"),
    ),
    "an order cancelled after it left": (
        sql("update customer_order set state = 'cancelled' where number = 'A-1'"),
        ("cancelled, but shipped", "package P2603020001"),
    ),
    "a service that isn't its manifest's": (
        sql("update package set service_code = 'POST' where number = 'P2603020001'"),
        ("another service than its manifest", "package P2603020001"),
    ),
    "a package that was never weighed": (
        sql("delete from weighing where subject = 'P2603020004'"),
        ("never weighed", "package P2603020004"),
    ),
    "a mass that the scale never said": (
        sql(
            "update package set gross_g = gross_g || '' where number = 'P2603020004'",
            "update weighing set indication_g = '33' where subject = 'P2603020004'",
        ),
        ("declared mass", "package P2603020004"),
    ),
    "a manifest that says a package too many": (
        sql("update manifest set packages = packages + 1 where number = 'M2603020002'"),
        ("manifest total", ROAD),
    ),
    "a package that its manifest's paper doesn't name": (
        both(
            on_paper(lambda rows: rows.pop()),
            sql("update manifest set packages = 2, weight_g = (select sum(gross_g) from package where number in "
                "('P2603020001', 'P2603020003')) where number = 'M2603020002'"),
        ),
        ("manifest total", ROAD),
    ),
    "a package on two manifests": (
        both(on_paper(lambda rows: rows.append(dict(rows[0]))), ONE_MORE),
        ("shipped twice", "package P2603020001"),
    ),
    "a package on paper that nobody has": (both(on_paper(renamed), ONE_MORE), ("unknown on manifest", ROAD)),
    "a customs paper that was never printed": (
        sql("delete from papers_printed where package_number = 'P2603020002'"),
        ("no customs paper", "package P2603020002"),
    ),
    "a package that stayed, sealed": (
        sql("update package set state = 'sealed', manifest_number = '' where number = 'P2603020004'"),
        ("not shipped", "package P2603020004"),
    ),
    "pieces that left twice by the order's book": (
        sql("update owed_balance set pieces = pieces + 25 where ref = 'P2603020004'"),
        ("no stock entry", "package P2603020004"),
    ),
    "pieces that are nowhere": (
        sql("update owed_balance set place = 'passed' where ref = 'P2603020004'"),
        ("pieces in hand", "order A-4, line 1"),
    ),
}  # fmt: skip


def spoiled(path: Path, plant: Plant) -> list[tuple[str, str]]:
    """What is named after a mistake was planted."""
    with closing(sqlite3.connect(path)) as books, books:
        for (name,) in books.execute("select name from sqlite_master where type = 'trigger'").fetchall():
            books.execute(f'drop trigger "{name}"')
        plant(books)
    with open_shop(path) as shop:
        return [(one.cause.value, one.subject) for one in reconcile_day(shop, day=DAY).differences]


def test_right_books_differ_in_nothing(path: Path) -> None:
    """Before anything is planted."""
    assert spoiled(path, lambda books: None) == []


@pytest.mark.parametrize("name", BOOKS)
def test_a_mistake_in_the_books_is_named(path: Path, name: str) -> None:
    """Once, about what is wrong, and nothing besides."""
    plant, expected = BOOKS[name]
    assert spoiled(path, plant) == [expected]


def test_thirty_kinds_of_mistakes_are_planted() -> None:
    """In bills, on their lines and in the books."""
    assert len({*MISTAKES, *ON_LINES, *BOOKS}) >= 30
