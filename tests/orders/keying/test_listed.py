"""What a list shows of a shop with a past: what is open and the last day, or all of it. On the harbour shop."""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from fulfil.orders.listed import recent_manifests, recent_orders, recent_packages, recent_walks
from fulfil.store.shop import Shop
from tests.harbour_shop import DAY, NOW, key, open_harbour, plan, release, send


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Each of two days an order sent; one of the first day waits for pieces that nobody has."""
    with open_harbour(tmp_path) as opened:
        for back, number in enumerate(("A-1", "A-2")):
            at = NOW + timedelta(days=back)
            key(opened, number, ("SPRING-2", 4), received_at=at)
            if not back:
                key(opened, "A-0", ("BALL-2", 5), received_at=at)
            plan(opened, day=DAY + timedelta(days=back), at=at)
            release(opened, tmp_path, at=at)
            send(opened, number, day=DAY + timedelta(days=back), at=at)
        yield opened


def test_the_last_day_and_what_is_open(shop: Shop) -> None:
    """The first day's sent order is left out, the one that waits is not."""
    with shop.reading() as books:
        assert [one.number for one in recent_orders(books)] == ["A-0", "A-2"]
        assert [one.day for one in recent_walks(books)] == [DAY + timedelta(days=1)]
        assert [one.order_number for one in recent_packages(books)] == ["A-2"]
        assert [one.day for one in recent_manifests(books)] == [DAY + timedelta(days=1)]


def test_all_of_it(shop: Shop) -> None:
    """However old."""
    with shop.reading() as books:
        assert [one.number for one in recent_orders(books, is_all=True)] == ["A-0", "A-1", "A-2"]
        assert len(recent_walks(books, is_all=True)) == 2
        assert [one.order_number for one in recent_packages(books, is_all=True)] == ["A-1", "A-2"]
        assert len(recent_manifests(books, is_all=True)) == 2
