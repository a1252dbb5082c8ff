"""Numbers given short, on a shop of several days: what is in hand is meant, and what is unclear is named."""

from collections.abc import Iterator
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import UnknownRefused
from fulfil.records.despatch.dispatch import Manifest
from fulfil.records.order import Order
from fulfil.records.part import Part, Supply
from fulfil.records.shorts import Job
from fulfil.shop.numbers import code_of
from fulfil.shop.short_numbers import as_said, candidates, full_number, number_at_bench
from fulfil.store.books import Books
from fulfil.store.shop import open_shop

AT = datetime(2026, 3, 3, 9, tzinfo=UTC)


def order(number: str) -> Order:
    """An order of this number."""
    return Order(number=number, source="web", received_at=AT, name="Ann Invented", street="Sample Road 5", city="Town",
                 country="LU", service_code="ROAD", currency="EUR")  # fmt: skip


def job(day: int, running: int, *, is_closed: bool = False) -> Job:
    """A job of a day in March."""
    return Job(number=code_of("J", date(2026, 3, day), running), part_number="Hinge-9", supply=Supply.MAKE, pieces=3,
               day=date(2026, 3, day), is_closed=is_closed)  # fmt: skip


@pytest.fixture
def books(tmp_path: Path) -> Iterator[Books]:
    """Jobs of two days (yesterday's 35 closed), orders of two sources, a part in letters of both cases."""
    with open_shop(tmp_path / "shop.db", create=True) as shop, shop.writing() as opened:
        opened.add([
            Part(number="Hinge-9", description="Invented hinge", family="hinge", bulk_volume_mm3=10.0, longest_mm=5,
                 supply=Supply.MAKE, price_minor=10, currency="EUR"),
            job(2, 35, is_closed=True), job(3, 35), job(3, 135), job(2, 7), job(3, 7), job(3, 2),
            Manifest(number="M2603030035", service_code="ROAD", day=date(2026, 3, 3), weight_g=Decimal(1)),
        ])  # fmt: skip
        opened.add_orders([(order("W-1001"), []), (order("X-1001"), []), (order("W-2002"), []), (order("17"), [])])
        yield opened


@pytest.mark.parametrize("said", ["35", "0035", "035", "j35", "J0035", "j2603030035", "J2603030035", " 35 ", "030035"])
def test_last_digits_in_any_case_mean_the_one_in_hand(books: Books, said: str) -> None:
    """Seen: 35, 0035 and small letters were not taken. Yesterday's job 35 is closed, so today's is meant."""
    assert full_number(books, "job", said) == "J2603030035"


def test_an_unclear_number_names_what_it_may_be(books: Books) -> None:
    """Two open jobs 7: newest first; nothing is picked by chance."""
    with pytest.raises(UnknownRefused) as refused:
        full_number(books, "job", "7")

    expected = "Cannot tell which job is '7': expected more of its number; it may be J2603030007, J2603020007."
    assert str(refused.value) == expected
    assert full_number(books, "job", "20007") == "J2603020007"


def test_orders_are_found_by_their_end_and_in_small_letters(books: Books) -> None:
    """Web shops have numbers of their own; the whole number wins over the end of another."""
    assert full_number(books, "order", "w-1001") == "W-1001"
    assert full_number(books, "order", "2002") == "W-2002"
    assert full_number(books, "order", "17") == "17"
    assert candidates(books, "order", "1001") == ["X-1001", "W-1001"]


def test_a_part_is_never_guessed_from_its_end(books: Books) -> None:
    """9 is a size, no part; letters of the other case are the same part."""
    assert full_number(books, "part", "HINGE-9") == "Hinge-9"
    assert candidates(books, "part", "9") == []
    assert full_number(books, "part", "9") == "9"


def test_a_letter_of_another_kind_finds_nothing(books: Books) -> None:
    """The text goes on as typed, and the step refuses it in its own words; a percent sign is only that."""
    assert full_number(books, "job", "m35") == "m35"
    assert candidates(books, "job", "%35") == []
    assert candidates(books, "job", "") == []


def test_at_a_bench_a_half_scanned_label_is_no_number(books: Books) -> None:
    """The running number is taken; an end with digits of the day may be half a label."""
    assert number_at_bench(books, "35", ("order", "job", "manifest")) == "J2603030035"
    assert number_at_bench(books, "m35", ("order", "job", "manifest")) == "M2603030035"
    assert number_at_bench(books, "030035", ("order", "job")) == "030035"
    assert number_at_bench(books, "w-2002", ("job", "order")) == "W-2002"


@given(letter=st.sampled_from("BWPMJ"), running=st.integers(1, 999_999), zeros=st.integers(0, 6))
def test_any_number_of_ours_is_taken_apart(letter: str, running: int, zeros: int) -> None:
    """Letter and running number come back, however many zeros stand before it."""
    said = as_said(f" {letter.lower()}{'0' * zeros}{running} ")
    assert (said.letter, int(said.digits)) == (letter, running)
