"""A line that a customer doesn't want any more, wherever its pieces are: on a plan, on a cart, checked, in a box."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from fulfil.orders.changing import change_lines
from fulfil.orders.pulling import put_back
from fulfil.orders.verify import verify_shop
from fulfil.store.shop import Shop
from tests.harbour_shop import WHO, check, key, level, open_harbour, pack, plan, release, ship, state_of
from tests.piece_places import line_at

Until = Callable[[Shop, Path], object]


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The harbour shop."""
    with open_harbour(tmp_path) as opened:
        yield opened


def planned(shop: Shop, folder: Path) -> None:
    """A plan that nobody has on paper."""
    plan(shop)


def on_a_cart(shop: Shop, folder: Path) -> None:
    """The walk's papers are out."""
    plan(shop)
    release(shop, folder)


def checked(shop: Shop, folder: Path) -> None:
    """Its bags passed the bench."""
    on_a_cart(shop, folder)
    check(shop, "A-1")


STAGES = (planned, on_a_cart, checked)


@pytest.mark.parametrize("until", STAGES)
@pytest.mark.parametrize("asked", [("REED-A", 9), ("PIN-08", 310), ("BELL-3", 6), ("KIT-D", 2), ("BALL-2", 4)])
def test_one_line_of_two_to_nothing(shop: Shop, tmp_path: Path, until: Until, asked: tuple[str, int]) -> None:
    """Its pieces are cancelled, its bags go back to the bins they came from, the other line is sent as ordered.

    9 of one bin, 310 pins out of two bins, 6 bells out of two bins by hand, a kit, and balls of which there are none.
    """
    part, pieces = asked
    before = {code: level(shop, code) for code in ("WAKA-3", "TAI-1", "MOANA-3", "WAKA-2", "WAKA-4", "MOANA-1")}
    key(shop, "A-1", asked, ("FELT-9", 7))
    until(shop, tmp_path)

    done = change_lines(shop, "A-1", {1: 0}, **WHO)

    per = {"SPRING-2": 2 * pieces, "FELT-9": 3 * pieces} if part == "KIT-D" else {part: pieces}
    assert sum(line_at(shop, "A-1", 1).values()) == sum(per.values())
    assert set(line_at(shop, "A-1", 1)) == {"cancelled"}
    for bag in done.pulled:
        assert bag.line_no == 1
        put_back(shop, bag.bag_code, **WHO)
    assert {code: level(shop, code) for code in before} == before
    assert verify_shop(shop) == ()
    if until is planned:
        on_a_cart(shop, tmp_path)
    check(shop, "A-1")
    pack(shop, "A-1")
    ship(shop)
    assert line_at(shop, "A-1", 2) == {"shipped": 7}
    assert state_of(shop, "A-1") == "shipped"
    assert verify_shop(shop) == ()


@pytest.mark.parametrize("until", STAGES)
def test_the_only_line_to_nothing_cancels_the_order(shop: Shop, tmp_path: Path, until: Until) -> None:
    """Nothing is wanted any more: the order is cancelled, and the neighbour on the same cart is not."""
    key(shop, "A-1", ("REED-A", 9))
    key(shop, "A-2", ("REED-A", 3), minutes=1)
    until(shop, tmp_path)

    done = change_lines(shop, "A-1", {1: 0}, **WHO)

    assert (state_of(shop, "A-1"), done.order.state.value) == ("cancelled", "cancelled")
    assert line_at(shop, "A-1", 1) == {"cancelled": 9}
    assert sum(line_at(shop, "A-2", 1).values()) == 3
    assert "cancelled" not in line_at(shop, "A-2", 1)
    assert verify_shop(shop) == ()


def test_every_line_of_several_to_nothing_at_once(shop: Shop, tmp_path: Path) -> None:
    """Three lines on a cart, all of them off, and off again is no harm."""
    key(shop, "A-1", ("REED-A", 9), ("SCREW-3", 20), ("CAM-7", 2))
    on_a_cart(shop, tmp_path)

    done = change_lines(shop, "A-1", {1: 0, 2: 0, 3: 0}, **WHO)

    assert {bag.line_no for bag in done.pulled} == {1, 2, 3}
    assert state_of(shop, "A-1") == "cancelled"
    assert verify_shop(shop) == ()
