"""What was signed stays so: a closed day takes no manifest, and nothing that claims to be from before its closing.

On the harbour shop, whose clock is 12 h 45 min before Greenwich's: a step at noon of the 15th there is one of the 14th
in UTC, and of the day after in the shop.
"""

from datetime import datetime, timedelta
from pathlib import Path

import pytest

from fulfil.bench.check import check_bag
from fulfil.despatch.close import Word, close_day, settle_all
from fulfil.despatch.reconcile import reconcile_day
from fulfil.despatch.ship import close_manifest, open_manifest
from fulfil.errors import StateRefused
from fulfil.orders.importing import add_order
from fulfil.records.order import Order
from fulfil.records.plan import BagState
from fulfil.stock.levels import count_bin
from fulfil.store.shop import Shop
from tests.harbour_shop import (
    DAY,
    NOW,
    ZONE,
    bags,
    check,
    key,
    open_harbour,
    order_of,
    pack,
    plan,
    release,
    right,
    send,
)

CLOSED_AT = NOW + timedelta(hours=9, minutes=30)
NEXT = DAY + timedelta(days=1)
EVENING = CLOSED_AT + timedelta(hours=3)
"""The same date, after the closing."""


@pytest.fixture
def shop(tmp_path: Path):
    """One order sent; one with a sealed package and one with a bag on a walk; then the day is closed."""
    with open_harbour(tmp_path) as opened:
        for number in ("H-1", "H-2", "H-3"):
            key(opened, number, ("REED-A", 5))
        plan(opened)
        release(opened, tmp_path)
        check(opened, "H-1")
        pack(opened, "H-1")
        send(opened, "H-1")
        check(opened, "H-2")
        pack(opened, "H-2")
        open_ones = reconcile_day(opened, day=DAY).open_differences
        words = [Word(one.code, "leaves tomorrow", carry_over=True) for one in open_ones]
        settle_all(opened, words, day=DAY, at=CLOSED_AT, person="clerk-1")
        close_day(opened, day=DAY, at=CLOSED_AT, person="clerk-1")
        yield opened


def test_no_manifest_of_a_closed_day(shop: Shop) -> None:
    """Neither opened nor closed on it, whatever the clock says; the next day takes what is ready."""
    for at in (EVENING, CLOSED_AT + timedelta(days=1)):
        with pytest.raises(StateRefused, match=r"clerk-1 closed 2026-07-14 at 18:00"):
            close_manifest(shop, "ROAD", day=DAY, at=at, person="clerk-2")
        with pytest.raises(StateRefused, match="a day still open"):
            open_manifest(shop, "ROAD", day=DAY, at=at, person="clerk-2")
    closed = close_manifest(shop, "ROAD", day=NEXT, at=CLOSED_AT + timedelta(days=1), person="clerk-2")
    assert [one.order_number for one in closed.packages] == ["H-2"]


@pytest.mark.parametrize("minutes", [-1, -300])
def test_nothing_from_before_the_closing(shop: Shop, minutes: int) -> None:
    """A weighing, a count of a bin: refused whole, with the closing's time; nothing of it is kept."""
    at = CLOSED_AT + timedelta(minutes=minutes)
    (bag,) = bags(shop, order_number="H-3")
    with shop.reading() as books:
        before = books.head()
    with pytest.raises(StateRefused, match="clerk-1 closed that day 2026-07-14 18:00"):
        check_bag(shop, bag.code, right(bag), at=at, person="aroha")
    with pytest.raises(StateRefused, match="a time after the closing"):
        count_bin(shop, bag.bin_code, 12, at=at, person="aroha")
    with shop.reading() as books:
        assert books.head() == before


@pytest.mark.parametrize("at", [CLOSED_AT, EVENING, datetime.combine(NEXT, NOW.time(), ZONE)])
def test_what_comes_later_is_taken(shop: Shop, at: datetime) -> None:
    """At the closing itself, at night, and the next morning, which is still the closed date in UTC."""
    (bag,) = bags(shop, order_number="H-3")
    assert check_bag(shop, bag.code, right(bag), at=at, person="aroha").bag.state is BagState.PASSED


def test_an_order_of_the_night_before_comes_in_the_next_morning(shop: Shop) -> None:
    """The customer ordered an hour before the closing; nobody here knew."""
    order, lines = order_of("H-4", [("REED-A", 2)], received_at=CLOSED_AT - timedelta(hours=1))
    assert add_order(shop, order, lines, at=CLOSED_AT + timedelta(hours=15), person="ngaio") == []
    with shop.reading() as books:
        assert books.need(Order, "H-4").received_at < CLOSED_AT
