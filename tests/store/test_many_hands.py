"""Many hands on one shop: readers never wait for a writer, and what is confirmed is on the disk."""

import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner
from fulfil_cli.main import main

from fulfil.errors import StateRefused, StoreRefused
from fulfil.records.part import Part
from fulfil.records.revised import revised
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


@pytest.mark.parametrize("others", [0, 1, 99])
def test_what_takes_long_to_find_out_is_asked_before_anybody_waits(path: Path, others: int) -> None:
    """Asked without the lock, again where another saved something between, with it where others never rest.

    Kung & Robinson 1981, ACM TODS 6(2): read, validate, write.
    """
    with open_shop(path, create=True) as shop, open_shop(path, wait_s=0.2) as bench:
        asked = []

        def is_empty(books: Books) -> bool:
            found = books.count(Part) == 0
            asked.append(books._is_writing)
            if len(asked) <= others and not books._is_writing:
                with bench.writing() as another:  # refused after 0.2 s if the lock were held
                    another.replace([revised(PART, {"price_minor": len(asked)})])
            return found

        with shop.writing_with(is_empty) as (books, is_so):
            assert is_so is (others == 0)
            assert books.count(Part) == (others > 0)

    assert asked == {0: [False], 1: [False, False], 99: [*[False] * 10, True]}[others]


def test_a_step_that_was_asked_first_is_whole_or_not_at_all(path: Path) -> None:
    """As any writing transaction."""
    with open_shop(path, create=True) as shop:
        with pytest.raises(StateRefused), shop.writing_with(lambda books: True) as (books, _):
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
