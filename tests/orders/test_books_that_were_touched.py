"""Books that somebody changed behind the shop's back are found out, place by place; what is free never lies."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from fulfil.orders.combining import look_alike_orders
from fulfil.orders.places import free_bins
from fulfil.orders.verify import verify_shop
from fulfil.records.place import Bin
from fulfil.stock.levels import count_bin
from fulfil.stock.lost_bags import bag_missing
from fulfil.store.shop import Shop, open_shop
from tests.harbour_shop import DAY, PEOPLE, WHO, bags, key, open_harbour, plan, release


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The harbour shop."""
    with open_harbour(tmp_path) as opened:
        yield opened


@pytest.mark.parametrize("pieces", [41, 39, 0])
def test_a_level_that_its_moves_don_t_give_is_found(shop: Shop, tmp_path: Path, pieces: int) -> None:
    """Another number written over a bin's 40 by another program: one finding, with both figures."""
    path = Path(shop.where)
    assert verify_shop(shop) == ()
    with closing(sqlite3.connect(path)) as books, books:
        for (name,) in books.execute("select name from sqlite_master where type = 'table'").fetchall():
            columns = {row[1] for row in books.execute(f'pragma table_info("{name}")')}
            if {"code", "pieces", "aisle"} <= columns:
                books.execute(f'update "{name}" set pieces = ? where code = ?', (pieces, "WAKA-3"))
            if {"place", "ref", "part_number", "pieces"} <= columns and "order_number" not in columns:
                books.execute(f'update "{name}" set pieces = ? where ref = ?', (pieces, "WAKA-3"))

    with open_shop(path) as again:
        found = verify_shop(again)

    assert any("WAKA-3" in one.source and "40" in one.says and one.value == str(pieces) for one in found), found


def test_a_bin_that_holds_less_than_it_promised_has_nothing_free(shop: Shop) -> None:
    """25 cams counted, 20 promised; then only 6 are found: none is free, not one and not less than none."""
    key(shop, "A-1", ("CAM-7", 20))
    plan(shop)
    with shop.reading() as books:
        assert {place.code: place.pieces for place in free_bins(books, books.find(Bin, code="WAKA-1"))} == {"WAKA-1": 5}

    count_bin(shop, "WAKA-1", 6, **WHO)

    with shop.reading() as books:
        assert [place.pieces for place in free_bins(books, books.find(Bin, code="WAKA-1"))] == [0]


def test_orders_that_look_alike_are_named_as_they_came(shop: Shop) -> None:
    """The first is the one that came first, whatever their numbers; of equal times the lower number."""
    name, city, post_code, country = PEOPLE[0]
    who = {"name": name, "city": city, "post_code": post_code, "country": country}
    key(shop, "A-1", ("REED-A", 1), minutes=50, **who)
    key(shop, "C-3", ("REED-A", 1), minutes=10, **who)
    key(shop, "B-2", ("REED-A", 1), minutes=10, **who)

    with shop.reading() as books:
        (alike,) = look_alike_orders(books)

    assert alike.numbers == ("B-2", "C-3", "A-1")


@pytest.mark.parametrize(("others", "is_had"), [(0, True), (2, False)])
def test_whether_a_missing_bag_s_pieces_can_be_had_is_said(
    shop: Shop, tmp_path: Path, others: int, is_had: bool
) -> None:
    """28 cams, 3 of them in the bag that is missing: 25 more are there for it, or two other orders have them all."""
    key(shop, "A-1", ("CAM-7", 3))
    for number in range(others):
        key(shop, f"B-{number}", ("CAM-7", 12 + number), minutes=1 + number)
    plan(shop)
    release(shop, tmp_path)
    (bag,) = bags(shop, order_number="A-1")

    told = bag_missing(shop, bag.code, day=DAY, **WHO)

    assert any("can't be had now" in line for line in told.tells) is not is_had
    assert bool(told.walks) is is_had
