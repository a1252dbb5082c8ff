"""A shop goes out whole and comes in as the same shop, on either store; an archive that was touched doesn't."""

import re
from collections.abc import Callable
from pathlib import Path
from zipfile import ZipFile

import pytest
from click.testing import CliRunner
from fulfil_cli.main import main

from fulfil.errors import StoreRefused
from fulfil.orders.verify import verify_shop
from fulfil.store.safe.archive import export_shop, import_shop
from fulfil.store.shop import open_shop
from tests.harbour_shop import check, key, open_harbour, pack, plan, release, send, state_of
from tests.on_postgresql import databases


@pytest.fixture(scope="module")
def harbour(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The harbour shop: one order shipped, one with a bag on a walk, one short."""
    folder = tmp_path_factory.mktemp("harbour")
    with open_harbour(folder) as shop:
        key(shop, "H-1", ("REED-A", 25), ("CAM-7", 2))
        plan(shop)
        release(shop, folder)
        check(shop, "H-1")
        pack(shop, "H-1")
        send(shop, "H-1")
        key(shop, "H-2", ("REED-A", 7), minutes=5)
        plan(shop)
        release(shop, folder)
        key(shop, "H-3", ("CAM-7", 90_000), minutes=9)
        plan(shop)
    return folder / "harbour.db"


def on_postgresql(name: str) -> str:
    """The address of a new database without a table."""
    databases().make(name, like="template0")
    return databases().url(name).render_as_string(hide_password=False)


def test_there_and_back_byte_for_byte(harbour: Path, tmp_path: Path) -> None:
    """From SQLite to PostgreSQL and back: the third archive is the first one, and the record's seals hold on both."""
    first = export_shop(str(harbour), tmp_path / "1.zip")
    address = on_postgresql("there")
    assert import_shop(first.path, address).rows == first.rows > 100
    export_shop(address, tmp_path / "2.zip")
    import_shop(tmp_path / "2.zip", str(tmp_path / "back.sqlite"))
    export_shop(str(tmp_path / "back.sqlite"), tmp_path / "3.zip")

    assert first.path.read_bytes() == (tmp_path / "2.zip").read_bytes() == (tmp_path / "3.zip").read_bytes()
    for where in (address, str(tmp_path / "back.sqlite")):
        with open_shop(where) as shop:
            assert verify_shop(shop) == ()


@pytest.mark.parametrize("store", ["sqlite", "postgresql"])
def test_work_goes_on_where_it_stood(harbour: Path, tmp_path: Path, store: str) -> None:
    """The bag on its walk is checked, packed and sent in the new shop; new records get new numbers."""
    where = on_postgresql("goes_on") if store == "postgresql" else str(tmp_path / "new.sqlite")
    import_shop(export_shop(str(harbour), tmp_path / "shop.zip").path, where)
    with open_shop(where) as shop:
        check(shop, "H-2")
        pack(shop, "H-2")
        send(shop, "H-2")
        key(shop, "H-4", ("REED-A", 1), minutes=20)
        assert (state_of(shop, "H-1"), state_of(shop, "H-2"), state_of(shop, "H-4")) == (
            "shipped",
            "shipped",
            "received",
        )
        assert verify_shop(shop) == ()


def changed(path: Path, name: str, change: Callable[[bytes], bytes]) -> Path:
    """The archive with one of its files changed."""
    out = path.with_name("changed.zip")
    with ZipFile(path) as old, ZipFile(out, "w") as new:
        for one in old.namelist():
            new.writestr(one, change(old.read(one)) if one == name else old.read(one))
    return out


@pytest.mark.parametrize(
    ("name", "change", "says"),
    [
        ("tables/part.jsonl", lambda body: body.replace(b"REED", b"READ"), "it was altered since"),
        ("tables/journal_entry.jsonl", lambda body: body[: body.index(b"\n") + 1], "it was altered since"),
        ("contents.json", lambda _: b"{}", "an archive that fulfil shop export made"),
        ("contents.json", lambda _: b"\xff", "an archive that fulfil shop export made"),
        ("contents.json", lambda body: body.replace(b'"migration": "00', b'"migration": "99'), "a newer release"),
        ("contents.json", lambda body: body.replace(b'"bag"', b'"bug"'), "these differ: bag, bug"),
    ],
)
def test_an_archive_that_was_touched_is_refused_whole(
    harbour: Path, tmp_path: Path, name: str, change: Callable[[bytes], bytes], says: str
) -> None:
    """Nothing of it comes in, and no file stays behind."""
    touched = changed(export_shop(str(harbour), tmp_path / "shop.zip").path, name, change)
    with pytest.raises(StoreRefused, match=says):
        import_shop(touched, str(tmp_path / "new.sqlite"))
    assert sorted(path.name for path in tmp_path.iterdir()) == ["changed.zip", "shop.zip"]


def test_a_cut_or_strange_file_is_refused(harbour: Path, tmp_path: Path) -> None:
    """Half an archive, a text, a folder, and none at all."""
    whole = export_shop(str(harbour), tmp_path / "shop.zip").path.read_bytes()
    (tmp_path / "half.zip").write_bytes(whole[: len(whole) // 2])
    (tmp_path / "text.zip").write_text("hello")
    for name in ("half.zip", "text.zip", "none.zip", "."):
        with pytest.raises(StoreRefused, match="an archive that fulfil shop export made"):
            import_shop(tmp_path / name, str(tmp_path / "new.sqlite"))
    assert not (tmp_path / "new.sqlite").exists()


def test_nothing_is_written_over(harbour: Path, tmp_path: Path) -> None:
    """Neither a file in the archive's place nor a shop in the new one's; on PostgreSQL neither."""
    path = export_shop(str(harbour), tmp_path / "shop.zip").path
    with pytest.raises(StoreRefused, match="a name that no file has"):
        export_shop(str(harbour), path)
    with pytest.raises(StoreRefused, match="a place where no shop is"):
        import_shop(path, str(harbour))
    address = on_postgresql("there_already")
    import_shop(path, address)
    with pytest.raises(StoreRefused, match="a database without tables"):
        import_shop(path, address)


@pytest.mark.parametrize(("migration", "says"), [("0016", ""), ("0008", "the tables of its migration"), ("0007", "an")])
def test_an_older_archive_comes_in_at_its_own_migration(
    harbour: Path, tmp_path: Path, migration: str, says: str
) -> None:
    """0016 has today's tables and is brought up from there; 0008 had others; 0007 was never released."""
    path = changed(
        export_shop(str(harbour), tmp_path / "shop.zip").path,
        "contents.json",
        lambda body: re.sub(rb'"migration": "\d+"', f'"migration": "{migration}"'.encode(), body),
    )
    if says:
        with pytest.raises(StoreRefused, match=says):
            import_shop(path, str(tmp_path / "new.sqlite"))
        return
    assert import_shop(path, str(tmp_path / "new.sqlite")).migration == migration
    with open_shop(tmp_path / "new.sqlite") as shop:
        assert verify_shop(shop) == ()


def test_by_command(harbour: Path, tmp_path: Path) -> None:
    """As its keeper would move a shop to another machine."""
    run = CliRunner().invoke
    out = run(main, ["shop", "export", str(tmp_path / "a.zip"), "--shop", str(harbour)])
    assert out.exit_code == 0, out.output
    assert "names and addresses" in out.output
    out = run(main, ["shop", "import", str(tmp_path / "a.zip"), "--shop", str(tmp_path / "b.sqlite")])
    assert out.exit_code == 0, out.output
    assert "Both books add up; nothing recorded was altered." in out.output
    out = run(main, ["shop", "import", str(tmp_path / "a.zip"), "--shop", str(tmp_path / "b.sqlite")])
    assert out.exit_code == 3
    assert "nothing was changed" in out.output
