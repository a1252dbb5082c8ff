"""Customers that are forgotten are in no byte of the shop's file, and what erases them is no door for others."""

import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest

from fulfil.orders.verify import alterations
from fulfil.records.order import Order
from fulfil.store.shop import Shop
from tests.despatch.forgetting import ALL, KNOWN, forget, shop_of_the_past


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The shop of the past."""
    with shop_of_the_past(tmp_path / "shop.db") as opened:
        yield opened


def bytes_of(shop: Shop) -> bytes:
    """All that is in the shop's files."""
    path = Path(shop.where)
    return b"".join(one.read_bytes() for one in sorted(path.parent.glob(f"{path.name}*")))


def test_nothing_of_a_customer_is_left_in_any_page(shop: Shop) -> None:
    """Not in a record, a kept paper, the journal, a move, an unused page or the log (GDPR, article 17)."""
    assert all(text.encode() in bytes_of(shop) for text in KNOWN)

    done = forget(shop)

    assert done.orders == ALL
    assert done.is_cleared
    held = bytes_of(shop)
    assert [text for text in KNOWN if text.encode() in held] == []
    assert [text for text in KNOWN if text.encode("ascii", "xmlcharrefreplace") in held] == []


def test_what_was_erased_is_no_door_for_others(shop: Shop) -> None:
    """Only the texts may change, only of a named row; and what changes after is altered, as is what is added."""
    forget(shop)
    connection = sqlite3.connect(shop.where, isolation_level=None)
    stays = "recorded rows stay as they are"
    key = connection.execute("SELECT row_key FROM erasure WHERE table_name = 'journal_entry'").fetchone()[0]
    for statement in (
        f"UPDATE journal_entry SET person = 'eve' WHERE id = {key}",
        "UPDATE journal_entry SET particulars = '{}' WHERE event = 'manifest closed'",
        f"DELETE FROM journal_entry WHERE id = {key}",
        "UPDATE erasure SET after = ''",
        "DELETE FROM erasure",
        "INSERT OR REPLACE INTO erasure SELECT * FROM erasure",
        "UPDATE papers_printed SET names = ''",
        "DELETE FROM papers_printed",
    ):
        with pytest.raises(sqlite3.IntegrityError, match=stays):
            connection.execute(statement)
    connection.execute('UPDATE journal_entry SET particulars = \'{"reason": "never"}\' WHERE id = ?', (key,))
    connection.execute(
        "INSERT INTO erasure (at, person, table_name, row_key, before, after)"
        " SELECT at, person, 'weighing', '1', before, after FROM erasure WHERE id = 1"
    )
    connection.close()
    with shop.reading() as books:
        found = {(one.field, one.value, one.says) for one in alterations(books)}
    assert ("journal entry", key, "this record is altered") in found
    assert any(field == "erasure" and "added outside" in says for field, _, says in found)


def test_while_others_read_the_rest_waits_and_it_is_said(shop: Shop) -> None:
    """A page that somebody still reads can't be cleared; the rows are."""
    with shop.reading() as books:
        books.count(Order)
        done = forget(shop)
    assert not done.is_cleared
    assert done.orders
    assert forget(shop).is_cleared
    assert not any(text.encode() in bytes_of(shop) for text in KNOWN)
