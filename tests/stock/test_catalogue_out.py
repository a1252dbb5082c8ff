"""What goes out comes in again: into an empty shop the same records, into the same shop nothing."""

import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from fulfil.errors import FileRefused
from fulfil.files.catalogue import Catalogue
from fulfil.files.catalogue_written import catalogue_files
from fulfil.orders.kits import import_kits, set_kit
from fulfil.records.finding import Finding
from fulfil.records.kit import KitPart
from fulfil.stock.catalogue import import_catalogue
from fulfil.stock.catalogue_out import catalogue_of, export_catalogue, export_stock
from fulfil.stock.levels import adjust_bin
from fulfil.store.shop import Shop, open_shop
from tests.any_catalogue import catalogues
from tests.odd_shop import odd_catalogue

NOW = datetime(2026, 3, 2, 7, tzinfo=UTC)
LATER = datetime(2026, 3, 4, 7, tzinfo=UTC)


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An empty shop, made once and copied."""
    path = tmp_path_factory.mktemp("empty") / "empty.sqlite"
    open_shop(path, create=True).close()
    return path


def _catalogue(shop: Shop) -> Catalogue:
    with shop.reading() as books:
        return catalogue_of(books)


@pytest.mark.slow
@settings(max_examples=25, suppress_health_check=list(HealthCheck), deadline=None)
@given(catalogue=catalogues())
def test_any_catalogue_goes_round(catalogue: Catalogue, empty: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    """In, out, in elsewhere, out: the same records and the same bytes; in again at home: nothing changes."""
    folder = tmp_path_factory.mktemp("round")
    for name, content in catalogue_files(catalogue).items():
        (folder / name).write_bytes(content)
    shops = [Path(shutil.copy(empty, folder / f"{name}.sqlite")) for name in ("here", "there")]
    with open_shop(shops[0]) as here, open_shop(shops[1]) as there:
        assert import_catalogue(here, folder, at=NOW, person="ann").findings == ()
        assert _catalogue(here) == catalogue
        out = folder / "out"
        export_catalogue(here, out)
        again = import_catalogue(here, out, at=LATER, person="ann")
        assert (again.findings, again.changed, again.notes) == ((), False, ())
        assert not import_catalogue(here, out, at=LATER, person="ann", with_stock=True).changed
        assert import_catalogue(there, out, at=NOW, person="ben").findings == ()
        assert _catalogue(there) == catalogue
        export_catalogue(there, out)  # The same bytes: nothing needs to be replaced.


@pytest.fixture
def shop(tmp_path: Path):
    """The odd shop, with a kit, after a day on which pieces were sold."""
    with open_shop(tmp_path / "odd.sqlite", create=True) as opened:
        folder = odd_catalogue(tmp_path / "catalogue")
        assert import_catalogue(opened, folder, at=NOW, person="aki").findings == ()
        set_kit(opened, "1E05", [("=M4", 4), ("0012", 1)], at=NOW, person="aki")
        adjust_bin(opened, "K1", -77, "sold", at=NOW, person="aki")
        yield opened


def test_todays_levels_and_kits_go_with_it(shop: Shop, tmp_path: Path) -> None:
    """bins.csv has the level of today; kits.csv comes in by its own verb."""
    done = export_catalogue(shop, tmp_path / "out")

    assert done.records["bins.csv"] == 4
    assert done.records["kits.csv"] == 2
    assert b"K1,long way,left,1,1,1000,=M4,L1,423,,\r\n" in (tmp_path / "out" / "bins.csv").read_bytes()
    with open_shop(tmp_path / "other.sqlite", create=True) as other:
        import_catalogue(other, tmp_path / "out", at=LATER, person="ben")
        assert import_kits(other, tmp_path / "out" / "kits.csv", at=LATER, person="ben").findings == ()
        with shop.reading() as ours, other.reading() as theirs:
            assert theirs.find(KitPart) == ours.find(KitPart) != []
    assert _catalogue(shop).bins[0].pieces == 423


def test_stock_alone_is_the_catalogue_s_file_of_bins(shop: Shop, tmp_path: Path) -> None:
    """The same bytes as in the whole export, and the catalogue import reads them as a count."""
    export_catalogue(shop, tmp_path / "out")
    export_stock(shop, tmp_path / "stock" / "bins.csv")

    raw = (tmp_path / "stock" / "bins.csv").read_bytes()
    assert raw == (tmp_path / "out" / "bins.csv").read_bytes()
    (tmp_path / "catalogue" / "bins.csv").write_bytes(raw.replace(b"=M4,L1,423", b"=M4,L1,420"))
    counted = import_catalogue(shop, tmp_path / "catalogue", at=LATER, person="aki", with_stock=True)
    assert counted.counts["levels"].changed == 1
    assert _catalogue(shop).bins[0].pieces == 420


def test_somebody_s_file_isn_t_written_over(shop: Shop, tmp_path: Path) -> None:
    """A file with other content is refused before any is written; asked for by name it is replaced."""
    mine = tmp_path / "mine"
    mine.mkdir()
    (mine / "settings.csv").write_text("setting,value\n")

    with pytest.raises(FileRefused, match=r"settings.csv': expected a file that isn't there yet, or --replace"):
        export_catalogue(shop, mine)
    assert [path.name for path in mine.iterdir()] == ["settings.csv"]
    export_catalogue(shop, mine, replace=True)
    assert "Asia/Tokyo" in (mine / "settings.csv").read_text(encoding="utf-8")
    with pytest.raises(FileRefused, match="Cannot make the folder"):
        export_catalogue(shop, mine / "settings.csv")


def test_an_empty_shop_goes_out_as_headers(empty: Path, tmp_path: Path) -> None:
    """Every file is there; coming in, all that is missed is a room to walk in."""
    with open_shop(empty) as shop:
        done = export_catalogue(shop, tmp_path / "out")
        assert {name for name, rows in done.records.items() if rows} == {"settings.csv"}
        findings = import_catalogue(shop, tmp_path / "out", at=NOW, person="ann").findings
    assert {(one.source, type(one)) for one in findings} == {("room.csv", Finding)}
