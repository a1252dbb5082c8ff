"""The catalogue comes in whole or not at all; the second time changes only what is different."""

import shutil
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from fulfil.errors import StoreRefused
from fulfil.orders.importing import import_orders
from fulfil.orders.verify import verify_shop
from fulfil.progress import listened_to
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.despatch.service import Service
from fulfil.records.equipment import BagType, BoxType, ScaleRecord
from fulfil.records.imported import ImportedFile
from fulfil.records.part import Part, UnitWeight, WeightSource
from fulfil.records.pieces import StockEntry, bin_move
from fulfil.records.place import Bin, RoomElement
from fulfil.stock.catalogue import CatalogueImport, import_catalogue
from fulfil.stock.catalogue_bins import Difference
from fulfil.store.shop import Shop, open_shop
from tests.seeding import promise

NOW = datetime(2026, 3, 2, 7, tzinfo=UTC)
LATER = datetime(2026, 3, 3, 7, tzinfo=UTC)
TINY = Path(__file__).parents[1] / "files" / "tiny_catalogue"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The tiny catalogue's files in a folder of the test's own."""
    return Path(shutil.copytree(TINY, tmp_path / "catalogue"))


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """An empty shop."""
    with open_shop(tmp_path / "shop.db", create=True, wait_s=0.05) as opened:
        yield opened
        assert verify_shop(opened) == ()


def _import(shop: Shop, folder: Path, at: datetime = NOW) -> CatalogueImport:
    return import_catalogue(shop, folder, at=at, person="ann")


def _change(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def _everything(shop: Shop) -> list[object]:
    kinds = (Part, UnitWeight, RoomElement, Bin, StockEntry, ScaleRecord, BagType, BoxType, Service, JournalEntry,
             ImportedFile)  # fmt: skip
    with shop.reading() as books:
        return [books.settings(), *(books.find(kind) for kind in kinds)]


def _levels(shop: Shop) -> dict[str, int]:
    with shop.reading() as books:
        return {place.code: place.pieces for place in books.find(Bin)}


def _pick(shop: Shop, code: str, pieces: int) -> None:
    with shop.writing() as books:
        part = books.need(Bin, code).part_number
        picked = bin_move(part_number=part, bin_code=code, pieces=-pieces, reason="picked", source="W-1")
        books.move(stock=[picked], at=NOW, person="ann")


def _booked(shop: Shop) -> dict[str, int]:
    """Levels as the ledger's sums."""
    with shop.reading() as books:
        sums: dict[str, int] = {}
        for entry in books.find(StockEntry):
            sums[entry.bin_code] = sums.get(entry.bin_code, 0) + entry.bin_change
    return {code: pieces for code, pieces in sums.items() if pieces}


def test_first_import(shop: Shop, folder: Path) -> None:
    """Everything is new; levels are counted and the ledger explains them; the journal says what came."""
    result = _import(shop, folder)

    assert result.findings == ()
    assert result.changed
    assert result.counts["parts"] == Difference(new=3)
    assert result.counts["bins"] == Difference(new=4)
    assert _levels(shop) == {"01L-01-1": 40, "01R-01-1": 200, "02L-03-2": 12, "02R-09-1": 0}
    assert _booked(shop) == {code: pieces for code, pieces in _levels(shop).items() if pieces}
    with shop.reading() as books:
        assert books.settings().shop_name == "The invented shop"
        assert {entry.reason for entry in books.find(StockEntry)} == {"counted"}
        (entry,) = books.find(JournalEntry)
        assert (entry.event, entry.person, entry.at) == ("catalogue imported", "ann", NOW)


def test_same_folder_twice_changes_nothing(shop: Shop, folder: Path) -> None:
    """The second time nothing is written, no entry, no journal, no date."""
    _import(shop, folder)
    before = _everything(shop)
    result = _import(shop, folder, LATER)

    assert not result.changed
    assert _everything(shop) == before


def test_same_bins_file_does_not_undo_the_day(shop: Shop, folder: Path) -> None:
    """Pieces picked since the count aren't booked back when bins.csv comes again beside a changed price."""
    _import(shop, folder)
    _pick(shop, "01L-01-1", 30)
    _change(folder / "parts.csv", "0.02,EUR", "0.03,EUR")
    result = _import(shop, folder, LATER)

    assert result.counts["parts"] == Difference(changed=1)
    assert (result.counts["bins"], result.counts["levels"]) == (Difference(), Difference())
    assert _levels(shop)["01L-01-1"] == 10


def test_new_count_books_the_difference(shop: Shop, folder: Path) -> None:
    """Asked to be a count, bins.csv books the difference to the books: one entry with the reason 'counted'."""
    _import(shop, folder)
    _pick(shop, "01L-01-1", 30)
    _change(folder / "bins.csv", "BALL-3,,40", "BALL-3,,9")
    import_catalogue(shop, folder, at=LATER, person="ann", with_stock=True)

    assert _levels(shop)["01L-01-1"] == 9
    with shop.reading() as books:
        (entry,) = books.find(StockEntry, at=LATER)
        assert (entry.part_number, entry.bin_code, entry.bin_change) == ("BALL-3", "01L-01-1", -1)
        assert (entry.reason, entry.source) == ("counted", "bins.csv")
        assert len(books.find(ImportedFile, name="bins.csv")) == 1


def test_bins_that_go_move_and_take_another_part(shop: Shop, folder: Path) -> None:
    """Levels stay the sums of their entries when bins leave the file, move, or take another part; all were empty."""
    _import(shop, folder)
    _pick(shop, "01R-01-1", 200)
    _pick(shop, "02L-03-2", 12)
    _change(folder / "bins.csv", "01R-01-1,1,right,1,1,600,BALL-3,,200\n", "03-new,1,right,1,1,600,BALL-3,,150\n")
    _change(folder / "bins.csv", "GEAR-12,,12", "00123,,5")
    _change(folder / "bins.csv", "9,1,9000", "9,1,9100")
    result = _import(shop, folder, LATER)

    assert result.counts["bins"] == Difference(new=1, changed=2, retired=1)
    assert _levels(shop) == {"01L-01-1": 40, "02L-03-2": 0, "02R-09-1": 0, "03-new": 150}
    assert _booked(shop) == {"01L-01-1": 40, "03-new": 150}
    import_catalogue(shop, folder, at=LATER, person="ann", with_stock=True)
    with shop.reading() as books:
        assert [entry.bin_change for entry in books.find(StockEntry) if entry.bin_code == "02L-03-2"] == [12, -12, 5]


def test_missing_part_is_retired_and_may_come_back(shop: Shop, folder: Path) -> None:
    """A part that left the file is kept as retired; when it comes back it is a part again."""
    _import(shop, folder)
    parts, bins = (folder / "parts.csv").read_text(encoding="utf-8"), (folder / "bins.csv").read_text(encoding="utf-8")
    (folder / "parts.csv").write_text("".join(parts.splitlines(keepends=True)[:3]), encoding="utf-8")
    (folder / "bins.csv").write_text("".join(bins.splitlines(keepends=True)[:4]), encoding="utf-8")
    gone = _import(shop, folder, LATER)
    with shop.reading() as books:
        assert books.need(Part, "00123").is_retired

    (folder / "parts.csv").write_text(parts, encoding="utf-8")
    back = _import(shop, folder, LATER)
    with shop.reading() as books:
        assert not books.need(Part, "00123").is_retired
    assert (gone.counts["parts"], back.counts["parts"]) == (Difference(retired=1), Difference(changed=1))
    assert not _import(shop, folder, LATER).changed


def test_learned_unit_weight_is_kept(shop: Shop, folder: Path) -> None:
    """A unit weight that the shop weighed itself isn't overwritten by the file's, and that is said."""
    _import(shop, folder)
    learned = UnitWeight(part_number="BALL-3", mean_g=0.1112, u_g=1e-5, piece_sd_g=2e-4, sample_pieces=400,
                         source=WeightSource.SAMPLED, as_of=date(2026, 3, 2))  # fmt: skip
    with shop.writing() as books:
        books.replace([learned])
    _change(folder / "parts.csv", "0.02,EUR", "0.03,EUR")
    result = _import(shop, folder, LATER)

    assert "1 unit weights learned from the shop's own weighings were kept" in result.notes
    with shop.reading() as books:
        assert books.need(UnitWeight, "BALL-3", "") == learned


def test_unit_weight_that_left_the_file(shop: Shop, folder: Path) -> None:
    """A part whose unit weight is emptied in the file is never weighed again."""
    _import(shop, folder)
    _change(folder / "parts.csv", "2.4,,,geometry", ",,,")
    _import(shop, folder, LATER)

    with shop.reading() as books:
        assert [weight.part_number for weight in books.find(UnitWeight)] == ["BALL-3"]


def test_equipment_follows_the_file(shop: Shop, folder: Path) -> None:
    """Scales, bags, boxes, services and the room are what the files say, no more; a scale that left is retired."""
    _import(shop, folder)
    _change(folder / "scales.csv", "packing,III,1,1,30000,20,,packages\n", "second,II,0.1,0.1,3000,2,,bags\n")
    _change(folder / "bags.csv", "0.90,0.02", "0.95,0.02")
    _change(folder / "room.csv", "aisle,2,2400", "aisle,2,2500")
    result = _import(shop, folder, LATER)

    assert result.counts["scales"] == Difference(new=1, retired=1)
    assert result.counts["bag types"] == Difference(changed=1)
    assert result.counts["room"] == Difference(changed=1)
    with shop.reading() as books:
        assert [scale.code for scale in books.find(ScaleRecord, is_retired=False)] == ["bench-1", "second"]
        assert [scale.code for scale in books.find(ScaleRecord, is_retired=True)] == ["packing"]


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("parts.csv", "GEAR-12,", "BALL-3,"),
        ("parts.csv", "0.1109", "-0.1109"),
        ("bins.csv", "02L-03-2,2", "02L-03-2,none"),
        ("bins.csv", "part,lot", "lot"),
    ],
)
def test_one_finding_and_nothing_is_imported(shop: Shop, folder: Path, file: str, old: str, new: str) -> None:
    """A duplicate part, a negative weight, a bin in no aisle, a missing column: the shop stays as it was."""
    _import(shop, folder)
    before = _everything(shop)
    _change(folder / "parts.csv", "4.90", "5.90")
    _change(folder / file, old, new)
    result = _import(shop, folder, LATER)

    assert result.findings
    assert not result.changed
    assert _everything(shop) == before


def test_promised_bins_and_used_services_stay(shop: Shop, folder: Path) -> None:
    """A bin with promised pieces can't leave, nor a service that open orders go with; both are findings."""
    _import(shop, folder)
    import_orders(shop, folder / "orders.csv", at=NOW, person="ann")
    with shop.writing() as books:
        promise(books, ("A-1", 1, "BALL-3"), "01R-01-1", 50, at=NOW)
    before = _everything(shop)
    _change(folder / "bins.csv", "01R-01-1,1,right,1,1,600,BALL-3,,200\n", "")
    (folder / "services.csv").write_text(
        "service,name,kind,countries,cut_off,max_weight_g\npost,Invented Small Packet,postal,*,16:30,2000\n",
        encoding="utf-8",
    )
    result = _import(shop, folder, LATER)

    assert [str(finding) for finding in result.findings] == [
        "bins.csv, bin '01R-01-1': holds 200 pieces by the books, so it must stay with its part BALL-3. "
        "Do: move its pieces; then fulfil bins count 01R-01-1 --counted 0 books it empty.",
        "bins.csv, bin '01R-01-1': 50 pieces are promised from it to A-1, so it must stay with its part BALL-3. "
        "Do: ship or cancel them; or move its pieces, then fulfil bins lacks 01R-01-1 --holds 0 plans them anew.",
        "services.csv, service 'van': open orders go by it (A-2), so it must stay. "
        "Do: send them by another first: fulfil orders send-by ORDER SERVICE.",
    ]
    assert _everything(shop) == before


def test_locked_shop_is_not_half_imported(shop: Shop, folder: Path) -> None:
    """While another station writes for too long, the import gives up whole."""
    with shop.writing() as books:
        with pytest.raises(StoreRefused, match="another station is writing"):
            _import(shop, folder)
        assert books.count(Part) == 0


def test_whoever_watches_sees_how_far_the_writing_is(shop: Shop, folder: Path) -> None:
    """From nothing to all of its steps; ten thousand parts and bins are written for seconds."""
    heard: list[tuple[str, int, int]] = []
    with listened_to(lambda *said: heard.append(said)):
        import_catalogue(shop, folder, at=NOW, person="anna")

    written = [(done, of) for what, done, of in heard if what == "writing the catalogue"]
    assert written == [(done, len(written) - 1) for done in range(len(written))]
    assert len(written) > 2
