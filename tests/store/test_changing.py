"""A record that is there is changed in the fields that are named, in no other; what is refused leaves all as it was."""

from datetime import UTC, date, datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest
from pydantic import ValidationError

from fulfil.errors import StateRefused
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.happening import Happening
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Part
from fulfil.records.pieces import OwedBalance
from fulfil.records.place import Bin
from fulfil.records.plan import Bag, BagState, CountMethod, WalkRecord
from fulfil.records.tiny import BIN, ORDER, PART
from fulfil.store.books import Event
from fulfil.store.shop import Shop

NOW = datetime(2026, 3, 2, 8, 30, tzinfo=UTC)
WALK = WalkRecord(number="W-1", day=date(2026, 3, 2), length_mm=40_000, orders=1, stops=1, released_at=NOW)


def bag(code: str) -> Bag:
    """A bag of the tiny order."""
    return Bag(
        code=code, order_number="A-1", line_no=1, part_number="BALL-3", bin_code=BIN.code, pieces=20, bag_type="bag-S",
        walk_number="W-1", cart_position=1, stop_no=1, method=CountMethod.HAND, tare_g=Decimal("0.9"),
        reason="too light",
    )  # fmt: skip


def test_only_the_fields_that_are_named_are_written(shop: Shop) -> None:
    """Two bags get their state and check count; what a record in hand says otherwise is not written by the way."""
    with shop.writing() as books:
        books.add([WALK, bag("B-1"), bag("B-2"), bag("B-3")])
        in_hand = [one.model_copy(update={"stop_no": 9}) for one in books.find(Bag, code=["B-1", "B-2"])]
        changed = books.change(in_hand, {"state": BagState.PASSED, "checks": 1, "gross_g": Decimal("3.10")})
        assert [(one.code, one.state, one.stop_no) for one in changed] == [
            ("B-1", BagState.PASSED, 9),
            ("B-2", BagState.PASSED, 9),
        ]
    with shop.reading() as books:
        kept = [(one.code, one.state, one.checks, one.gross_g, one.stop_no) for one in books.find(Bag)]
    assert kept == [
        ("B-1", BagState.PASSED, 1, Decimal("3.1"), 1),
        ("B-2", BagState.PASSED, 1, Decimal("3.1"), 1),
        ("B-3", BagState.PLANNED, 0, None, 1),
    ]


def test_many_records_get_each_its_own_value(shop: Shop) -> None:
    """In one step, all of them or none; a record whose other fields are told otherwise keeps those."""
    with shop.writing() as books:
        books.add([WALK, bag("B-1"), bag("B-2")])
        told = [bag(f"B-{n}").model_copy(update={"checks": n, "stop_no": 9}) for n in (1, 2)]
        books.write_fields(told, ["checks"])
        books.write_fields([], ["checks"])
        for wrong, says in (
            ([*told, bag("B-9")], "3 of them': expected ones that are there; 2 are"),
            ([told[0].model_copy(update={"part_number": "none"})], "a known part"),
        ):
            with pytest.raises(StateRefused, match=says):
                books.write_fields([one.model_copy(update={"checks": 7}) for one in wrong], ["checks", "part_number"])
        with pytest.raises(StateRefused, match="expected its own key"):
            books.write_fields(told, ["code"])
    with shop.reading() as books:
        assert [(one.code, one.checks, one.stop_no) for one in books.find(Bag)] == [("B-1", 1, 1), ("B-2", 2, 1)]


def test_the_hour_that_comes_twice_is_kept_twice(shop: Shop) -> None:
    """Two times on one clock that look alike, before and after it went back, are an hour apart when they are kept.

    Python takes them for equal (its documentation, "datetime", Notes on comparison: fold is ignored within one zone).
    """
    first = datetime(2026, 10, 25, 2, 30, tzinfo=ZoneInfo("Europe/Berlin"))
    events = [Event(one, "ann", Happening.SIGNED_IN, "b", {"bench": "b"}) for one in (first, first.replace(fold=1))]
    with shop.writing() as books:
        books.journal_all(events)
    with shop.reading() as books:
        assert [entry.at.hour for entry in books.find(JournalEntry, subject="b")] == [0, 1]


def test_what_it_refuses_is_named_and_leaves_all_as_it_was(shop: Shop) -> None:
    """Sums over moves, keys, what only grows, records that aren't there, values that are none, foreign keys."""
    with shop.writing() as books:
        books.add([WALK, bag("B-1")])
    line = {"order_number": "A-1", "line_no": 1, "part_number": "BALL-3"}
    with shop.writing() as books:
        (balance,) = books.find(OwedBalance, **line)
        before = (books.find(Bag), books.find(Bin), books.find(Order), books.find(OrderLine), books.find(OwedBalance))
        level = books.need(Bin, BIN.code)
        nowhere = {"package_number": "", "part_number": "BALL-9"}
        for record, now, says in (
            (level, {"pieces": 7}, f"set pieces to '7' of the bin '{BIN.code}': expected a move"),
            (ORDER, {"state": "shipped"}, "set state to 'shipped' of the order 'A-1': expected a move"),
            (PART, {"number": "BALL-9"}, "set number to 'BALL-9' of the part 'BALL-3': expected its own key"),
            (balance, {"pieces": 1}, "change the owed balance 'A-1, 1, BALL-3, waiting, ': expected what is recorded"),
            (bag("B-9"), {"checks": 1}, "change the bag 'B-9': expected ones that are there; 0 are"),
            (bag("B-1"), nowhere, "change the bag 'B-1': expected a known part, got BALL-9"),
        ):
            with pytest.raises(StateRefused) as refused:
                books.change([record], now)
            assert str(refused.value).startswith(f"Cannot {says}")
        with pytest.raises(StateRefused, match="2 of them': expected ones that are there; 1 are"):
            books.change([bag("B-1"), bag("B-9")], {"checks": 5})
        with pytest.raises(ValidationError):
            books.change([bag("B-1")], {"checks": -1})
        assert books.change([], {"checks": 1}) == []
        after = (books.find(Bag), books.find(Bin), books.find(Order), books.find(OrderLine), books.find(OwedBalance))
        assert after == before
    with shop.reading() as books, pytest.raises(StateRefused, match="reading"):
        books.change([PART], {"finish": "dull"})


def test_a_refused_row_alone_leaves_the_rest_of_the_transaction(shop: Shop) -> None:
    """One row has no savepoint of its own on SQLite: what was written before it stays, what comes after goes on."""
    with shop.writing() as books:
        books.journal(at=NOW, person="ann", event=Happening.SIGNED_IN, subject="bench-1", particulars={"bench": "b"})
        with pytest.raises(StateRefused):
            books.add([PART])
        with pytest.raises(StateRefused):
            books.replace([PART.model_copy(update={"number": "BALL-4", "price_minor": -1})])
        books.add([PART.model_copy(update={"number": "BALL-5"})])
    with shop.reading() as books:
        assert [part.number for part in books.find(Part)] == ["BALL-3", "BALL-5"]


def test_rows_of_two_kinds_are_refused_together_and_the_transaction_goes_on(shop: Shop) -> None:
    """Again and again, within and beside what was written before: nothing of what was refused stays."""
    other = PART.model_copy(update={"number": "BALL-6"})
    with shop.writing() as books:
        books.add([PART.model_copy(update={"number": "BALL-4"})])
        for _ in range(2):
            with pytest.raises(StateRefused):
                books.add([other, BIN.model_copy(update={"code": "B-77", "part_number": "NO-PART", "pieces": 0})])
            with pytest.raises(StateRefused):
                books.add([PART])
        books.add([PART.model_copy(update={"number": "BALL-5"}), BIN.model_copy(update={"code": "B-78", "pieces": 0})])
        books.journal(at=NOW, person="ann", event=Happening.SIGNED_IN, subject="bench-1", particulars={"bench": "b"})
    with shop.reading() as books:
        assert [part.number for part in books.find(Part)] == ["BALL-3", "BALL-4", "BALL-5"]
        assert books.get(Bin, "B-77") is None
        assert books.get(Bin, "B-78") is not None
