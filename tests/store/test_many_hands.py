"""Many hands on one shop: readers never wait for a writer, and what is confirmed is on the disk."""

import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner
from fulfil_cli.main import main

from fulfil.records.part import Part
from fulfil.store.shop import Shop, open_shop


@pytest.fixture
def long_writer(shop: Shop, path: Path) -> Iterator[None]:
    """Another program that holds the write lock and doesn't let go."""
    assert shop.where == str(path)
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    yield
    other.execute("ROLLBACK")
    other.close()


@pytest.mark.usefixtures("long_writer")
@pytest.mark.parametrize(
    "words",
    [
        ("orders", "list"),
        ("orders", "show", "A-1"),
        ("shop", "check"),
        ("shop", "verify"),
        ("stock", "levels"),
        ("journal", "show"),
        ("day", "report"),
    ],
)
def test_reading_commands_answer_while_another_writes(path: Path, tmp_path: Path, words: tuple[str, ...]) -> None:
    """None of them asks for the write lock: not on opening, not in between."""
    out = ["--out", str(tmp_path / "papers")] if words == ("day", "report") else []

    ran = CliRunner().invoke(main, [*words, *out, "--shop", str(path)])

    assert ran.exit_code in (0, 1), ran.output


def test_every_commit_waits_for_the_disk(path: Path) -> None:
    """Any writer's commits are synced, one that opened the shop beside a bench too.

    2 is FULL (SQLite documentation, "PRAGMA synchronous": with NORMAL a write-ahead log may lose a transaction that was
    committed when the current fails).
    """
    with open_shop(path, create=True) as bench, open_shop(path) as clerk:
        for opened in (bench, clerk):
            with opened.writing() as books:
                assert books.count(Part) == 0
                assert books._connection.exec_driver_sql("PRAGMA synchronous").scalar() == 2
                assert books._connection.exec_driver_sql("PRAGMA journal_mode").scalar() == "wal"
