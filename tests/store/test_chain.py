"""History can't be altered unseen: recorded rows stay, and whoever passes the triggers is named by the chain."""

import sqlite3
from collections.abc import Iterator
from datetime import UTC, datetime
from decimal import Decimal
from hashlib import sha256
from pathlib import Path

import pytest

from fulfil.orders.verify import alterations, verify_shop
from fulfil.records.happening import Happening
from fulfil.records.weighing import Verdict, WeighedKind, WeighingRecord
from fulfil.store.safe import chain
from fulfil.store.shop import Shop, open_shop

NOW = datetime(2026, 3, 2, 9, tzinfo=UTC)
COLUMNS = (
    "at, person, scale_code, kind, subject, part_number, lot, pieces, indication_g, tare_g, verdict, reason, "
    "was_counted, is_simulated"
)
FORGED = f"INSERT INTO weighing (id, {COLUMNS}) SELECT 4, {COLUMNS} FROM weighing WHERE id = 1"


@pytest.fixture
def past(shop: Shop, path: Path) -> Iterator[sqlite3.Connection]:
    """Three steps were recorded; somebody has the file and SQL."""
    for grams in ("18.30", "18.31", "18.32"):
        weighed = WeighingRecord(
            at=NOW, person="ann", scale_code="S", kind=WeighedKind.BAG, subject="B-1", part_number="BALL-3", pieces=9,
            indication_g=Decimal(grams), verdict=Verdict.PASSED,
        )  # fmt: skip
        with shop.writing() as books:
            books.add([weighed])
            books.journal(at=NOW, person="ann", event=Happening.BAG_BOXED, subject="B-1")
    connection = sqlite3.connect(path, isolation_level=None)
    yield connection
    connection.close()


def broken(shop: Shop) -> list[tuple[str, str, str]]:
    """Table, key and words of each break."""
    with shop.reading() as books:
        return [(one.field, one.value, one.says) for one in alterations(books)]


def without_triggers(connection: sqlite3.Connection) -> None:
    """Somebody who knows how takes the guards away first."""
    for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
        connection.execute(f"DROP TRIGGER {name}")


@pytest.mark.parametrize(
    "statement",
    [
        f"REPLACE INTO weighing (id, {COLUMNS}) SELECT id, {COLUMNS} FROM weighing WHERE id = 2",
        "INSERT OR REPLACE INTO weighing SELECT * FROM weighing",
        "INSERT OR REPLACE INTO journal_entry SELECT * FROM journal_entry WHERE id = 1",
        "INSERT OR REPLACE INTO owed_move SELECT * FROM owed_move",
        "INSERT OR REPLACE INTO seal_link SELECT * FROM seal_link WHERE no = 1",
        "UPDATE seal_link SET digest = 'x'",
        "DELETE FROM seal_link",
    ],
)
def test_a_row_can_not_be_replaced_in_one_step(past: sqlite3.Connection, statement: str) -> None:
    """REPLACE fires no delete trigger unless it is asked to (SQLite documentation, "ON CONFLICT clause")."""
    with pytest.raises(sqlite3.IntegrityError, match="recorded rows stay as they are"):
        past.execute(statement)


def test_an_honest_record_holds(shop: Shop, past: sqlite3.Connection) -> None:
    """No break, and the head of each step is found again, by its beginning too."""
    assert past.in_transaction is False
    assert broken(shop) == []
    with shop.reading() as books:
        steps, digest = books.head()
        assert steps == past.execute("SELECT count(*) FROM seal_link").fetchone()[0] >= 4
        assert books.has_head(digest[:16])
        assert not books.has_head("0" * 16)


@pytest.mark.parametrize(
    ("statement", "first"),
    [
        ("UPDATE weighing SET indication_g = indication_g + 1 WHERE id = 2", ("weighing", "2", "altered")),
        ("UPDATE weighing SET person = 'eve' WHERE id = 3", ("weighing", "3", "altered")),
        ("DELETE FROM weighing WHERE id = 2", ("weighing", "2", "missing")),
        ("DELETE FROM journal_entry WHERE id = 3", ("journal entry", "3", "missing")),
        ("INSERT INTO journal_entry (id, at, person, event, subject, particulars, is_simulated)"
         " SELECT 99, at, person, event, subject, particulars, is_simulated FROM journal_entry WHERE id = 1",
         ("journal entry", "99", "added outside")),
        ("UPDATE owed_move SET reason = 'other'", ("owed move", "1", "altered")),
        ("UPDATE stock_move SET pieces = pieces + 1", ("stock move", "1", "altered")),
        ("DELETE FROM seal_link WHERE no = 2", ("link", "2", "missing")),
        ("UPDATE seal_link SET covers = replace(covers, '2', '3') WHERE no = 3", ("link", "3", "altered")),
    ],
)  # fmt: skip
def test_whoever_passes_the_triggers_is_seen(
    shop: Shop, past: sqlite3.Connection, statement: str, first: tuple[str, str, str]
) -> None:
    """The first altered, missing or added record is named."""
    without_triggers(past)
    past.execute(statement)

    field, value, says = broken(shop)[0]

    assert (field, value) == first[:2]
    assert first[2] in says


def test_a_row_added_outside_is_not_sealed_by_the_next_step(shop: Shop, past: sqlite3.Connection) -> None:
    """A forged weighing between two honest ones stays a forged one."""
    past.execute(FORGED)
    with shop.writing() as books:
        books.journal(at=NOW, person="ann", event=Happening.BAG_BOXED, subject="B-1")

    assert [(field, value) for field, value, _ in broken(shop)] == [("weighing", "4")]


def test_a_last_row_taken_away_before_the_next_is_missed(shop: Shop, past: sqlite3.Connection) -> None:
    """SQLite gives its number to the next one, which must not hide it."""
    without_triggers(past)
    past.execute("DELETE FROM journal_entry WHERE id = 3")
    with shop.writing() as books:
        books.journal(at=NOW, person="ann", event=Happening.BAG_BOXED, subject="B-2")

    assert ("journal entry", "3") in [(field, value) for field, value, _ in broken(shop)]


def test_a_chain_made_anew_lacks_the_printed_seal(shop: Shop, past: sqlite3.Connection) -> None:
    """Whoever alters a row and makes all links again has another head than the paper."""
    with shop.reading() as books:
        printed = books.head()[1][:16]
    without_triggers(past)
    past.execute("UPDATE weighing SET person = 'eve' WHERE id = 1")
    past.execute("DELETE FROM seal_link")
    with shop._writer.begin() as connection:
        chain.seal_older(connection)

    assert broken(shop) == []
    assert verify_shop(shop, printed)[-1].field == "seal"


def test_a_link_is_what_the_description_says(shop: Shop, past: sqlite3.Connection) -> None:
    """Worked out here from the text alone: canonical JSON, SHA-256 over number, shape, rows and the link before."""
    assert broken(shop) == []
    (before,) = past.execute("SELECT digest FROM seal_link WHERE no = 2").fetchone()
    covers, digest = past.execute("SELECT covers, digest FROM seal_link WHERE no = 3").fetchone()
    quoted = covers.replace("\\", "\\\\").replace('"', '\\"')

    assert digest == sha256(f'[3,1,"{quoted}","{before}"]'.encode()).hexdigest()


def test_a_preview_and_a_reading_step_seal_nothing(shop: Shop, past: sqlite3.Connection) -> None:
    """Only what was recorded adds a step."""
    steps = past.execute("SELECT count(*) FROM seal_link").fetchone()
    with shop.writing(is_preview=True) as books:
        books.journal(at=NOW, person="ann", event=Happening.BAG_BOXED, subject="B-2")
    with shop.writing():
        pass

    assert past.execute("SELECT count(*) FROM seal_link").fetchone() == steps


def test_an_empty_shop_has_nothing_to_seal(tmp_path: Path) -> None:
    """No step, no break."""
    with open_shop(tmp_path / "empty.db", create=True) as shop:
        assert broken(shop) == []
