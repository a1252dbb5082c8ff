"""A catalogue never sets stock: levels change by counts, receipts and adjustments only."""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from fulfil.orders.holding import cancel_order
from fulfil.orders.importing import add_order
from fulfil.orders.verify import verify_shop
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Part
from fulfil.records.pieces import StockEntry, There
from fulfil.records.place import Bin
from fulfil.stock.catalogue import CatalogueImport, import_catalogue
from fulfil.stock.catalogue_bins import Difference
from fulfil.stock.levels import adjust_bin, count_bin
from fulfil.store.shop import Shop, open_shop
from fulfil.walks.plan import plan_day
from tests.odd_shop import odd_catalogue

NOW = datetime(2026, 3, 2, 0, tzinfo=UTC)
LATER = datetime(2026, 3, 3, 0, tzinfo=UTC)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The odd shop's files."""
    return odd_catalogue(tmp_path / "catalogue")


@pytest.fixture
def shop(tmp_path: Path, folder: Path) -> Iterator[Shop]:
    """The odd shop, its catalogue imported once."""
    with open_shop(tmp_path / "odd.sqlite", create=True) as opened:
        assert import_catalogue(opened, folder, at=NOW, person="aki").findings == ()
        yield opened
        assert verify_shop(opened) == ()


def again(shop: Shop, folder: Path, *, with_stock: bool = False) -> CatalogueImport:
    """The folder comes in once more, a day later."""
    return import_catalogue(shop, folder, at=LATER, person="aki", with_stock=with_stock)


def change(path: Path, old: str, new: str) -> None:
    """Changes a file's text in one place."""
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")


def levels(shop: Shop) -> dict[str, int]:
    """The level of every bin."""
    with shop.reading() as books:
        return {place.code: place.pieces for place in books.find(Bin)}


def order(shop: Shop, number: str, *asked: tuple[str, int]) -> None:
    """Keys an order."""
    keyed = Order(number=number, source="phone", received_at=NOW, name="Invented Person", street="Street 1",
                  city="Town", country="JP", service_code="slow", currency="JPY")  # fmt: skip
    lines = [
        OrderLine(order_number=number, line_no=place, part_number=part, pieces=pieces, unit_price_minor=1)
        for place, (part, pieces) in enumerate(asked, start=1)
    ]
    assert add_order(shop, keyed, lines, at=NOW, person="aki") == []


def test_a_catalogue_with_one_part_more_leaves_every_level_alone(shop: Shop, folder: Path) -> None:
    """The case seen: one part and bin more in the folder set the stock of every bin back to the file's."""
    adjust_bin(shop, "K1", -120, "sold at the counter", at=NOW, person="aki")
    count_bin(shop, "K2", 33, at=NOW, person="aki")
    with (folder / "parts.csv").open("a", encoding="utf-8") as file:
        file.write("NEW,New part,gear,,,,,,,,90,8,make,,,,,,10,JPY\n")
    with (folder / "bins.csv").open("a", encoding="utf-8") as file:
        file.write("K5,back way,right,1,1,3000,NEW,,12\n")

    done = again(shop, folder)

    assert done.findings == ()
    assert levels(shop) == {"K1": 380, "K2": 33, "K3": 0, "K4": 80, "K5": 12}
    assert (done.counts["parts"], done.counts["bins"], done.counts["levels"]) == (
        Difference(new=1), Difference(new=1), Difference(new=1),
    )  # fmt: skip
    assert done.notes[-1] == (
        "the level of 2 bins stays as in the books (K1: 380 in the books, 500 in the file; K2: 33 in the books, 35 in "
        "the file); book a count with: fulfil bins count BIN --counted PIECES, or all of the file with: fulfil "
        "catalogue import FOLDER --with-stock"
    )
    with shop.reading() as books:
        (opened,) = books.find(StockEntry, to_ref="K5")
    assert (opened.from_place, opened.pieces, opened.reason, opened.source, opened.person) == (
        There.FOUND, 12, "counted", "bins.csv", "aki",
    )  # fmt: skip


def test_the_file_is_a_count_where_that_is_asked_for(shop: Shop, folder: Path) -> None:
    """With stock: differences are booked as counts, level by level; the same again books nothing."""
    adjust_bin(shop, "K1", -120, "sold at the counter", at=NOW, person="aki")
    change(folder / "bins.csv", "0012,,35", "0012,,40")

    done = again(shop, folder, with_stock=True)

    assert done.counts["levels"] == Difference(changed=2)
    assert levels(shop) == {"K1": 500, "K2": 40, "K3": 0, "K4": 80}
    with shop.reading() as books:
        assert [(entry.bin_code, entry.bin_change) for entry in books.find(StockEntry, at=LATER)] == [
            ("K1", 120), ("K2", 5),
        ]  # fmt: skip
    assert not again(shop, folder, with_stock=True).changed


def test_a_lot_is_what_lies_in_the_bin(shop: Shop, folder: Path) -> None:
    """Goods of another lot came into a bin: an older file doesn't give it the old lot's windows back."""
    with shop.writing() as books:
        books.replace([books.need(Bin, "K1").model_copy(update={"lot": "L7"})])
    change(folder / "bins.csv", "1E05,,0", "1E05,L9,0")

    done = again(shop, folder)

    with shop.reading() as books:
        assert books.need(Bin, "K1").lot == "L7"
        assert books.need(Bin, "K3").lot == "L9"
    assert done.notes[-1].startswith("the lot of 1 bin stays as in the books (K1: L7 in the books, L1 in the file)")
    again(shop, folder, with_stock=True)
    with shop.reading() as books:
        assert books.need(Bin, "K1").lot == "L1"


def test_a_bin_with_pieces_can_t_leave_or_take_another_part(shop: Shop, folder: Path) -> None:
    """Each is a finding with the next action, which can be carried out; nothing is silently emptied."""
    change(folder / "bins.csv", "K2,long way,right,2,3,4000,0012,,35\n", "")
    change(folder / "bins.csv", "=M4,L2,80", "1E05,,80")
    for with_stock in (False, True):
        done = again(shop, folder, with_stock=with_stock)

        assert [str(finding) for finding in done.findings] == [
            "bins.csv, bin 'K2': holds 35 pieces by the books, so it must stay with its part 0012. "
            "Do: move its pieces; then fulfil bins count K2 --counted 0 books it empty.",
            "bins.csv, bin 'K4': holds 80 pieces by the books, so it must stay with its part =M4. "
            "Do: move its pieces; then fulfil bins count K4 --counted 0 books it empty.",
        ]
        assert levels(shop) == {"K1": 500, "K2": 35, "K3": 0, "K4": 80}

    for code in ("K2", "K4"):
        count_bin(shop, code, 0, at=LATER, person="aki")
    done = again(shop, folder)

    assert done.findings == ()
    assert done.counts["bins"] == Difference(changed=1, retired=1)
    assert levels(shop) == {"K1": 500, "K3": 0, "K4": 0}
    with shop.reading() as books:
        assert books.need(Bin, "K4").part_number == "1E05"


def test_a_promised_bin_can_t_leave_nor_be_counted_below(shop: Shop, folder: Path) -> None:
    """A count below what is promised must be booked bin by bin, where whoever waits is named."""
    order(shop, "T-1", ("0012", 30))
    plan_day(shop, day=NOW.date(), at=NOW, person="aki")
    change(folder / "bins.csv", "0012,,35", "0012,,20")

    done = again(shop, folder, with_stock=True)

    assert [str(finding) for finding in done.findings] == [
        "bins.csv, pieces '20': of bin K2 are fewer than the 30 promised to T-1. "
        "Do: book this count alone: fulfil bins count K2 --counted 20."
    ]
    change(folder / "bins.csv", "K2,long way,right,2,3,4000,0012,,20\n", "")
    says = [finding.says for finding in again(shop, folder).findings]
    assert says[-1] == "30 pieces are promised from it to T-1, so it must stay with its part 0012"
    cancel_order(shop, "T-1", "asked", at=NOW, person="aki")
    assert len(again(shop, folder).findings) == 1


def test_a_rate_that_is_new_is_a_change_like_others(shop: Shop, folder: Path) -> None:
    """A folder of which only an SDR rate is new isn't called unchanged."""
    with (folder / "sdr_rates.csv").open("a", encoding="utf-8") as file:
        file.write("JPY,2026-03-02,203.10,invented\n")
    done = again(shop, folder)

    assert done.changed
    assert done.counts["SDR rates"] == Difference(new=1)
    assert not again(shop, folder).changed


def test_a_part_that_left_is_named_and_who_wants_it(shop: Shop, folder: Path) -> None:
    """A retired part is said, with the orders that still wait for it; so is one that comes back."""
    order(shop, "T-2", ("1E05", 5))
    parts, bins = ((folder / name).read_text(encoding="utf-8") for name in ("parts.csv", "bins.csv"))
    (folder / "parts.csv").write_text("".join(parts.splitlines(keepends=True)[:3]), encoding="utf-8")
    change(folder / "bins.csv", "K3,back way,left,1,1,2000,1E05,,0\n", "")

    gone = again(shop, folder)

    assert gone.notes == (
        "parts that left the folder are retired: 1E05", "part 1E05 is retired and still wanted: by orders T-2",
    )  # fmt: skip
    with shop.reading() as books:
        assert books.need(Part, "1E05").is_retired
    (folder / "parts.csv").write_text(parts, encoding="utf-8")
    (folder / "bins.csv").write_text(bins, encoding="utf-8")
    assert again(shop, folder).notes[-1] == "retired parts that the folder has are parts again: 1E05"
