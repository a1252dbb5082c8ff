"""Backups are whole while others write, checked, thinned out by their own mark, and come back as the shop they were."""

import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner
from fulfil_cli.main import main

from fulfil.errors import StoreRefused
from fulfil.orders.verify import verify_shop
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.happening import Happening
from fulfil.records.part import Part
from fulfil.store.safe.copies import back_up, restore
from fulfil.store.shop import NEWEST_MIGRATION, Shop, open_shop, upgrade_shop

NOW = datetime(2026, 3, 2, 18, tzinfo=UTC)


def test_a_backup_holds_what_is_still_in_the_log(shop: Shop, path: Path, tmp_path: Path) -> None:
    """With the shop open the last step is only in the log beside it: a copied file lacks it, a backup has it."""
    with shop.writing() as books:
        books.journal(at=NOW, person="ann", event=Happening.BAG_BOXED, subject="B-1")
    assert path.with_name("shop.db-wal").stat().st_size > 0

    made = back_up(path, tmp_path / "backups", at=NOW)

    with open_shop(made.path) as copy, copy.reading() as books:
        assert books.find(JournalEntry)[-1].subject == "B-1"
        assert books.count(Part) == 1
    with open_shop(made.path) as copy:
        assert verify_shop(copy) == ()
    assert made.last_recorded == "2026-03-02 18:00"


def test_a_backup_waits_for_no_writer_and_takes_none_of_its_half(shop: Shop, path: Path, tmp_path: Path) -> None:
    """In the middle of somebody's transaction the copy is what was saved before."""
    with shop.writing() as books:
        books.journal(at=NOW, person="ann", event=Happening.BAG_BOXED, subject="HALF")
        made = back_up(path, tmp_path, at=NOW)

    with open_shop(made.path) as copy, copy.reading() as books:
        assert "HALF" not in {entry.subject for entry in books.find(JournalEntry)}


def test_old_backups_go_and_nothing_else(shop: Shop, path: Path, tmp_path: Path) -> None:
    """The newest three stay; a stranger's file of the same shape of name stays too."""
    folder = tmp_path / "backups"
    folder.mkdir()
    strange = folder / "shop-20200101T000000Z.sqlite"
    strange.write_bytes(b"mine")
    other = folder / "letter.txt"
    other.write_bytes(b"mine")
    assert shop.where

    made = [back_up(path, folder, at=NOW + timedelta(days=day), keep=3) for day in range(5)]

    assert [len(one.removed) for one in made] == [0, 0, 0, 1, 1]
    assert sorted(folder.iterdir()) == sorted([strange, other, *[one.path for one in made[2:]]])


def test_a_damaged_shop_makes_no_backup_and_removes_none(shop: Shop, path: Path, tmp_path: Path) -> None:
    """What can't be read whole replaces no copy that could."""
    good = back_up(path, tmp_path / "backups", at=NOW, keep=1)
    shop.close()
    with closing(sqlite3.connect(path)) as opened:
        opened.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    raw = bytearray(path.read_bytes())
    raw[8192:40960] = b"\x5a" * 32768
    path.write_bytes(raw)

    with pytest.raises(StoreRefused, match="undamaged"):
        back_up(path, tmp_path / "backups", at=NOW + timedelta(days=1), keep=1)

    assert [*(tmp_path / "backups").iterdir()] == [good.path]


def test_restore_never_writes_over_a_shop(shop: Shop, path: Path, tmp_path: Path) -> None:
    """Nor beside the log of an old one, which would be played into it."""
    made = back_up(path, tmp_path / "backups", at=NOW)
    assert shop.where
    before = path.read_bytes()
    with pytest.raises(StoreRefused, match="a place where no shop is"):
        restore(made.path, path)
    assert path.read_bytes() == before
    (tmp_path / "new.db-wal").write_bytes(b"old log")

    with pytest.raises(StoreRefused, match=r"new\.db-wal"):
        restore(made.path, tmp_path / "new.db")

    assert not (tmp_path / "new.db").exists()


def test_round_by_command(shop: Shop, path: Path, tmp_path: Path) -> None:
    """Backup, restore elsewhere, verify: the words say what there is and what to enter again."""
    with shop.writing() as books:
        books.journal(at=NOW, person="ann", event=Happening.BAG_BOXED, subject="B-1")

    def told(*words: object) -> str:
        ran = CliRunner().invoke(main, [*map(str, words)])
        assert ran.exit_code == 0, ran.output
        return ran.output

    said = told("shop", "backup", "--out", tmp_path / "copies", "--shop", path, "--at", NOW.isoformat())
    assert "shop-20260302T180000Z.sqlite, opened and checked" in said
    said = told("shop", "restore", tmp_path / "copies" / "shop-20260302T180000Z.sqlite", "--shop", tmp_path / "new.db")
    assert "enter again what was done after 2026-03-02 18:00 UTC" in said
    assert "Both books add up" in told("shop", "verify", "--shop", tmp_path / "new.db")


def test_an_upgrade_makes_a_backup_first(tmp_path: Path) -> None:
    """The older shop is beside the new one, as it was; a shop of this release gets none."""
    path = tmp_path / "old.db"
    connection = sqlite3.connect(path)
    connection.executescript((Path(__file__).parent / "older_shops" / "0008.sql").read_text(encoding="utf-8"))
    connection.close()

    upgrade_shop(path)
    upgrade_shop(path)

    (kept,) = (tmp_path / "backups").iterdir()
    assert kept.name == "old-before-upgrade-from-0008.sqlite"
    with closing(sqlite3.connect(kept)) as opened, opened:
        assert opened.execute("SELECT version_num FROM alembic_version").fetchone() == ("0008",)
    with closing(sqlite3.connect(path)) as opened, opened:
        assert opened.execute("SELECT version_num FROM alembic_version").fetchone() == (NEWEST_MIGRATION,)
    with open_shop(path) as shop:
        assert verify_shop(shop) is not None
