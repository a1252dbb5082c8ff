"""Many hands on one shop: readers never wait for a writer, and what is confirmed is on the disk."""

import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner
from fulfil_cli.main import main

from fulfil.errors import StateRefused, StoreRefused
from fulfil.records.part import Part
from fulfil.records.tiny import PART
from fulfil.store import engine
from fulfil.store.books import Books
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


@pytest.mark.parametrize("is_another", [False, True])
def test_what_takes_long_to_find_out_is_asked_before_anybody_waits(path: Path, is_another: bool) -> None:
    """Asked once, without the lock; once more with it where another saved something between, journalled or not.

    Kung & Robinson 1981, ACM TODS 6(2): read, validate, write.
    """
    with open_shop(path, create=True) as shop, open_shop(path, wait_s=0.2) as bench:
        asked = []

        def is_empty(books: Books) -> bool:
            found = books.count(Part) == 0
            asked.append(books._is_writing)
            if is_another and len(asked) == 1:
                with bench.writing() as others:  # refused after 0.2 s if the lock were held
                    others.add([PART])
            return found

        with shop.writing_if(is_empty) as (books, is_so):
            assert is_so is not is_another
            assert books.count(Part) == is_another

    assert asked == ([False, True] if is_another else [False])


def test_a_step_that_was_asked_first_is_whole_or_not_at_all(path: Path) -> None:
    """As any writing transaction."""
    with open_shop(path, create=True) as shop:
        with pytest.raises(StateRefused), shop.writing_if(lambda books: True) as (books, _):
            books.add([PART, PART])
        with shop.reading() as books:
            assert books.count(Part) == 0


def test_who_waits_gets_the_lock_when_it_is_free(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is let go in the third pause; a wait that was longer makes the pauses shorter, never longer."""
    pauses: list[float] = []
    with open_shop(path, create=True, wait_s=60) as shop:
        other = sqlite3.connect(path, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")

        def pause(seconds: float) -> None:
            pauses.append(seconds)
            if len(pauses) == 3:
                other.execute("ROLLBACK")

        monkeypatch.setattr(engine, "sleep", pause)
        with shop.writing() as books:
            books.add([PART])
        other.close()

    assert len(pauses) == 3
    assert pauses == sorted(pauses, reverse=True)


@pytest.mark.usefixtures("long_writer")
def test_a_wait_has_its_limit_and_the_next_one_its_own(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is said of a database, and who asks again waits anew."""
    clock = iter(range(10**6))
    monkeypatch.setattr(engine, "monotonic", lambda: next(clock))
    pauses: list[float] = []
    monkeypatch.setattr(engine, "sleep", pauses.append)
    with open_shop(path, wait_s=4) as shop:
        for _ in range(2):
            with pytest.raises(StoreRefused, match="a free moment"), shop.writing():
                pass

    assert pauses == [engine.pause_s(waited_s) for waited_s in (1, 2, 3)] * 2
