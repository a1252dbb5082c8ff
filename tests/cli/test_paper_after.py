"""Done, but its paper is not printed: a committed step says so by its own exit code, and how to print it again."""

from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from fulfil_cli.main import main

from fulfil.despatch.ship import close_manifest
from fulfil.errors import PaperRefused
from fulfil.records.despatch.dispatch import Manifest, ManifestState, Package, PackageState
from fulfil.records.order import Order, OrderState
from fulfil.records.revised import revised
from fulfil.store.shop import Shop
from tests.harbour_shop import DAY, NOW, WHO, check, key, open_harbour, pack, plan, release


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """One order is checked, its bags wait to be boxed."""
    shop = open_harbour(tmp_path)
    key(shop, "ONE", ("SPRING-2", 20))
    plan(shop)
    release(shop, tmp_path)
    check(shop, "ONE")
    return shop


def said(shop: Shop, *words: str) -> Result:
    """The command's result."""
    return CliRunner().invoke(main, [*words, "--shop", shop.where, "--at", NOW.isoformat()])


def test_a_manifest_is_closed_although_its_folder_is_none(shop: Shop, tmp_path: Path) -> None:
    """Exit code 5, the sentence; the command in it prints the paper."""
    pack(shop, "ONE")
    blocked = tmp_path / "papers-to-be"
    blocked.write_text("a file where a folder should be")

    ran = said(shop, "manifests", "close", "ROAD", "--out", str(blocked / "papers"))

    assert ran.exit_code == 5
    with shop.reading() as books:
        (manifest,) = books.find(Manifest)
    assert manifest.state is ManifestState.CLOSED
    again = f"fulfil manifests print {manifest.number} --out FOLDER"
    assert f"Done, but its paper is not printed: print it with: {again}. Cannot make the folder" in ran.output
    out = tmp_path / "elsewhere"
    assert said(shop, *again.replace("FOLDER", str(out)).split()[1:]).exit_code == 0
    assert [path.suffix for path in out.iterdir()] == [".pdf"]


def test_packages_are_made_although_their_folder_is_none(shop: Shop, tmp_path: Path) -> None:
    """As for a manifest."""
    blocked = tmp_path / "papers-to-be"
    blocked.write_text("")

    ran = said(shop, "packages", "pack", "ONE", "--out", str(blocked / "papers"))

    assert ran.exit_code == 5
    assert "print it with: fulfil packages papers ONE --out FOLDER" in ran.output
    with shop.reading() as books:
        assert books.count(Package, order_number="ONE") == 1


def rename(shop: Shop, name: str, field: str = "name") -> None:
    """Another name came in by some door."""
    with shop.writing() as books:
        books.replace([revised(books.need(Order, "ONE"), {field: name})])


@pytest.mark.parametrize("field", ["name", "company", "street"])
def test_a_name_that_no_font_prints_stops_before_the_box(shop: Shop, field: str) -> None:
    """The order stays checked; the words name the text and what to do."""
    rename(shop, "አበበ ናሙና", field)

    ran = said(shop, "packages", "pack", "ONE")

    assert ran.exit_code == 2
    assert "Cannot print 'አበበ ናሙና'" in ran.output
    assert "write this text in Latin, Greek or Cyrillic letters" in ran.output
    with shop.reading() as books:
        assert books.count(Package) == 0
        assert books.need(Order, "ONE").state is OrderState.CHECKED


def test_a_name_that_no_font_prints_leaves_the_manifest_open(shop: Shop) -> None:
    """It came after the package was sealed; nothing is closed, and with the name put right it closes."""
    (package,) = pack(shop, "ONE")
    rename(shop, "አበበ ናሙና")

    with pytest.raises(PaperRefused, match="አበበ"):
        close_manifest(shop, "ROAD", day=DAY, **WHO)

    with shop.reading() as books:
        assert books.find(Manifest) == []
        assert books.need(Package, package.number).state is PackageState.SEALED
    rename(shop, "Taro Mihon-Sample")
    assert close_manifest(shop, "ROAD", day=DAY, **WHO).manifest.state is ManifestState.CLOSED
