"""The journal in plain words, by the shop's clock, of everything that carried an order's pieces."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from fulfil.errors import QuantityRefused, UnknownRefused
from fulfil.orders.combining import combine_orders
from fulfil.orders.importing import add_order
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.happening import Happening
from fulfil.records.order import Order, OrderLine
from fulfil.records.plan import Bag, WalkRecord
from fulfil.records.settings import Settings
from fulfil.shop.journal import Asked, moment_of, read_journal
from fulfil.shop.journal_words import WORDS, in_words
from fulfil.stock.catalogue import import_catalogue
from fulfil.stock.empty_bins import bin_lacks
from fulfil.store.shop import Shop, open_shop
from fulfil.walks.hands import split_walk
from fulfil.walks.plan import plan_day
from fulfil.walks.releasing import release_walk
from tests.odd_shop import odd_catalogue
from tests.who import Who

NOW = datetime(2026, 3, 2, 1, tzinfo=UTC)
WHO = Who(at=NOW, person="aki")
VIENNA = Settings(time_zone="Europe/Vienna")


@pytest.fixture
def shop(tmp_path: Path):
    """The odd shop with two orders of one person."""
    with open_shop(tmp_path / "odd.sqlite", create=True) as opened:
        import_catalogue(opened, odd_catalogue(tmp_path / "catalogue"), **WHO)
        for number in ("T-1", "T-2"):
            order = Order(number=number, source="phone", received_at=NOW, name="Invented Person", street="Street 1",
                          city="Town", country="JP", service_code="slow", currency="JPY")  # fmt: skip
            line = OrderLine(order_number=number, line_no=1, part_number="0012", pieces=5, unit_price_minor=1)
            assert add_order(opened, order, [line], **WHO) == []
        yield opened


def _says(shop: Shop, **asked: str) -> list[str]:
    with shop.reading() as books:
        return [told.says for told in read_journal(books, Asked(**asked), now=NOW).entries]


@pytest.mark.parametrize(
    ("typed", "begins", "ends"),
    [
        ("2026-03-02", "2026-03-01T23:00", "2026-03-02T23:00"),
        ("2026-03-02T08:15", "2026-03-02T07:15", "2026-03-02T07:16"),
        ("2026-03-02 08:15:30", "2026-03-02T07:15:30", "2026-03-02T07:15:31"),
        ("2026-03-02T08:15+05:00", "2026-03-02T03:15", "2026-03-02T03:16"),
        ("2026-03-29", "2026-03-28T23:00", "2026-03-29T22:00"),
        ("2026-10-25T02:30", "2026-10-25T00:30", "2026-10-25T01:31"),
    ],
)
def test_a_time_is_the_shop_s(typed: str, begins: str, ends: str) -> None:
    """A whole day, a minute, a second; a day of 23 hours, an hour that the clock shows twice (Vienna, EU rules)."""
    read = [moment_of(typed, VIENNA, is_end=is_end) for is_end in (False, True)]
    assert read == [datetime.fromisoformat(text).replace(tzinfo=UTC) for text in (begins, ends)]


@pytest.mark.parametrize("typed", ["", "now", "9999-12-31", "2026-02-30", "2026-03-02T25:00", "0001-01-01T00:00"])
def test_no_time_is_refused(typed: str) -> None:
    """Words, days that aren't, days that no calendar has an end of."""
    with pytest.raises(QuantityRefused, match="expected a day or a time on the shop's clock"):
        moment_of(typed, Settings(time_zone="Asia/Tokyo"), is_end=not typed.startswith("0001"))


def test_orders_put_together_have_one_journal(shop: Shop) -> None:
    """The first order's journal has how the other one came in."""
    combine_orders(shop, "T-1", ["T-2"], **WHO)
    assert _says(shop, order="T-1") == [
        "took in order T-1 from phone: 1 line, 5 pieces",
        "took in order T-2 from phone: 1 line, 5 pieces",
        "put orders T-2 into order T-1",
    ]
    (imported,) = _says(shop, about="catalogue")
    assert imported.startswith("imported the catalogue catalogue: ")
    assert "levels (3 new), parts (3 new)" in imported
    assert len(_says(shop)) == 4


def test_what_a_walk_s_accidents_did_to_an_order_is_in_its_journal(shop: Shop) -> None:
    """A bag left empty has no row any more, and a walk was split: both stay in the order's journal."""
    order = Order(number="T-3", source="phone", received_at=NOW, name="Invented Person 3", street="Street 1",
                  city="Town", country="JP", service_code="slow", currency="JPY")  # fmt: skip
    lines = [OrderLine(order_number="T-3", line_no=no, part_number=part, pieces=5, unit_price_minor=1)
             for no, part in enumerate(("=M4", "0012"), start=1)]  # fmt: skip
    assert add_order(shop, order, lines, **WHO) == []
    plan_day(shop, day=NOW.date(), only=["T-3"], **WHO)
    with shop.writing() as books:
        (walk,) = books.find(WalkRecord)
        first, second = sorted(books.find(Bag), key=lambda bag: bag.stop_no)
        release_walk(books, walk, **WHO)
    split_walk(shop, walk.number, first.stop_no, **WHO)
    bin_lacks(shop, second.bin_code, 0, day=NOW.date(), **WHO)

    said = _says(shop, order="T-3")

    assert said[1] == f"released walk {walk.number} with orders T-3"
    assert said[2].startswith(
        f"split walk {walk.number} after stop {first.stop_no}; its bags {second.code} are on walk W"
    )
    assert said[3] == f"left bag {second.code} of order T-3 empty: bin {second.bin_code} lacks its 5 pieces"
    assert _says(shop, bag=second.code) == [said[3]]
    assert said[2] in _says(shop, walk=walk.number)


@pytest.mark.parametrize("asked", [{"order": "T-9"}, {"walk": "W9"}, {"package": "P9"}, {"bag": "B9"}, {"about": "x"}])
def test_what_the_shop_never_had_is_refused(shop: Shop, asked: dict[str, str]) -> None:
    """A misspelled number isn't an empty journal."""
    with pytest.raises(UnknownRefused):
        _says(shop, **asked)


def test_every_event_of_the_day_has_words() -> None:
    """Whatever can happen is told in a sentence that begins with a verb."""
    assert {one.value for one in Happening} - WORDS.keys() == set()


def test_an_event_takes_its_own_particulars_only(shop: Shop) -> None:
    """A figure that its kind doesn't know, or of another type, is a mistake of the program and is not written."""
    with shop.writing() as books:
        before = books.count(JournalEntry)
        with pytest.raises(TypeError, match="takes pieces as int, got '3'"):
            books.journal(**WHO, event=Happening.JOB_MADE, subject="J1", particulars={"part": "x", "pieces": "3"})
        with pytest.raises(TypeError, match="takes no particulars, got 'why'"):
            books.journal(**WHO, event=Happening.WALK_BEGUN, subject="W1", particulars={"why": "x"})
        assert books.count(JournalEntry) == before


def test_an_entry_that_lacks_what_its_words_name_is_told_as_it_stands() -> None:
    """Entries of an older release, or of none that we know, are never lost and never break the reading."""
    for event in (*WORDS, "something else"):
        for said in ("{}", '{"lines": 3, "causes": null, "pieces": "x"}', '{"lines": {"1": [2]}}'):
            entry = JournalEntry(at=NOW, person="aki", event=event, subject="A-1", particulars=said)
            assert "A-1" in in_words(entry) or event == "signed in"
