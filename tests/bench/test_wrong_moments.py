"""Codes scanned at the wrong moment: each bench says what stands against it and what to do, and writes nothing down.

On the harbour shop (:mod:`tests.harbour_shop`): two orders, their walk on paper.
"""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from fulfil.bench.check_station import CheckBench
from fulfil.bench.pack_station import PackBench
from fulfil.checking.saying import Say
from fulfil.orders.holding import cancel_order, hold_order
from fulfil.orders.pulling import put_back
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.pulled import PulledBag
from fulfil.store.shop import Shop
from tests.harbour_shop import NOW, WHO, bags, check, key, open_harbour, pack, plan, release, ship

Bench = Callable[..., Say]


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """A-1 and A-2 on one walk, on paper; A-3 keyed and not planned."""
    with open_harbour(tmp_path) as opened:
        key(opened, "A-1", ("SPRING-2", 4), ("FELT-9", 6))
        key(opened, "A-2", ("SPRING-2", 2), minutes=1)
        plan(opened)
        release(opened, tmp_path)
        key(opened, "A-3", ("FELT-9", 2), minutes=2)
        yield opened


def at_check(shop: Shop, *lines: str) -> Say:
    """The last answer of a checking bench."""
    bench = CheckBench(shop, "check-1", person="piripi")
    said = bench.open()
    for line in lines:
        said = bench.enter(line, at=NOW)
    return said


def at_pack(shop: Shop, *lines: str) -> Say:
    """The last answer of a packing bench."""
    bench = PackBench(shop, "pack-1", person="huia")
    said = bench.open()
    for line in lines:
        said = bench.enter(line, at=NOW)
    return said


def words(said: Say) -> str:
    """All that is said."""
    return " ".join((said.headline, *said.lines))


def walk_of(shop: Shop, number: str = "A-1") -> str:
    """The walk of an order."""
    return bags(shop, order_number=number)[0].walk_number


def journal(shop: Shop) -> int:
    """How many events the shop wrote down."""
    with shop.reading() as books:
        return books.count(JournalEntry)


@pytest.mark.parametrize("bench", [at_check, at_pack])
def test_a_position_without_a_cart(shop: Shop, bench: Bench) -> None:
    """The number of a place says nothing before the cart is known."""
    assert "Which cart? Scan the pick list or the cart card first." in words(bench(shop, "pos 2"))


@pytest.mark.parametrize("bench", [at_check, at_pack])
def test_a_position_where_nothing_stands(shop: Shop, bench: Bench) -> None:
    """The harbour's cart has six places, two are taken."""
    walk = walk_of(shop)
    assert f"Nothing stands at position 6 of walk {walk}." in words(bench(shop, walk, "pos 6"))


def test_a_position_stands_for_its_order(shop: Shop) -> None:
    """At the checker it shows the bags that wait; at the packer it says that they aren't checked yet."""
    place = bags(shop, order_number="A-2")[0].cart_position
    assert "A-2" in words(at_check(shop, walk_of(shop), f"pos {place}"))
    assert "Order A-2 isn't checked yet: it is released." in words(at_pack(shop, walk_of(shop), f"pos {place}"))


def test_an_order_without_bags_and_one_whose_bags_have_passed(shop: Shop) -> None:
    """Neither has anything to check."""
    assert "Order A-3 has no bags: it is received." in words(at_check(shop, "A-3"))
    check(shop, "A-2")
    assert "All bags of order A-2 have passed: it is checked." in words(at_check(shop, "A-2"))


def test_bags_that_have_passed_or_are_packed(shop: Shop) -> None:
    """Their labels are read again by mistake."""
    code = bags(shop, order_number="A-2")[0].code
    check(shop, "A-2")
    assert f"Bag {code} has passed already." in words(at_check(shop, code))
    package = pack(shop, "A-2")[0]
    assert f"Bag {code} is packed already, in package {package.number}." in words(at_check(shop, code))


def test_orders_that_are_held_cancelled_or_gone(shop: Shop) -> None:
    """The packer learns it before a box is folded."""
    for number in ("A-1", "A-2"):
        check(shop, number)
    hold_order(shop, "A-1", "the customer thinks it over", **WHO)
    assert "Order A-1 is held: the customer thinks it over" in words(at_pack(shop, "A-1"))
    cancel_order(shop, "A-1", "not wanted", **WHO)
    assert "Order A-1 is cancelled: put its bags back." in words(at_pack(shop, "A-1"))
    pack(shop, "A-2")
    ship(shop)
    assert "Order A-2 has left the house." in words(at_pack(shop, "A-2"))


def test_a_pulled_bag_goes_to_its_bin_and_says_so_once_it_is_back(shop: Shop) -> None:
    """The label still reads when the pieces should no longer be on the cart."""
    bag = bags(shop, order_number="A-2")[0]
    cancel_order(shop, "A-2", "not wanted", **WHO)
    said = words(at_check(shop, bag.code))
    assert f"Bag {bag.code} was pulled: not wanted. Its 2 SPRING-2 go back into bin {bag.bin_code}." in said
    put_back(shop, bag.code, **WHO)
    with shop.reading() as books:
        assert books.need(PulledBag, bag.code).is_back
    said = words(at_pack(shop, bag.code))
    assert f"was pulled and is back in the books. Its 2 SPRING-2 belong in bin {bag.bin_code}." in said


def test_a_photo_that_is_not_there(shop: Shop) -> None:
    """The path is typed wrongly: nothing is kept."""
    check(shop, "A-2")
    before = journal(shop)
    assert "No photo at nowhere/box.png." in words(at_pack(shop, "photo nowhere/box.png"))
    assert journal(shop) == before


def test_an_order_that_is_packed_already(shop: Shop) -> None:
    """Its bags lie in a sealed package: nothing is left to pack."""
    check(shop, "A-2")
    package = pack(shop, "A-2")[0]
    assert package.state.value == "sealed"
    before = journal(shop)
    said = words(at_pack(shop, "A-2"))
    assert "A-2" in said
    assert "expected an order with a package that isn't sealed" in said
    assert journal(shop) == before
