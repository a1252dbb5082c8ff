"""Orders of one person become one: to the piece, what was ordered of them stays ordered, cancelled pieces too."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from fulfil.despatch.package_papers import packing_list_sheet
from fulfil.despatch.reconcile import reconcile_day
from fulfil.orders.changing import change_lines
from fulfil.orders.combining import combine_orders
from fulfil.orders.holding import hold_order, resume_order
from fulfil.orders.verify import verify_shop
from fulfil.records.order import Order, OrderLine
from fulfil.records.pieces import OwedEntry
from fulfil.store.shop import Shop
from tests.harbour_shop import DAY, WHO, key, open_harbour, plan, release, send
from tests.piece_places import line_at, owed


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The harbour shop on its first morning."""
    with open_harbour(tmp_path) as opened:
        yield opened


def of_one_person(shop: Shop, number: str, *asked: tuple[str, int], minutes: int = 0) -> None:
    """Takes an order of the same customer as the others."""
    key(shop, number, *asked, minutes=minutes, name="Ngaio Sample", city="Sampleton", post_code="8016", country="NZ")


def ordered(shop: Shop) -> dict[str, int]:
    """All that was ever ordered, by part."""
    found: dict[str, int] = {}
    for (_, _, part), places in owed(shop).items():
        found[part] = found.get(part, 0) + sum(places.values())
    return found


def test_pieces_cancelled_before_stay_ordered_and_cancelled_in_the_combined_order(shop: Shop) -> None:
    """9 reeds of which 4 are wanted no more, and 3 felts of which none are: 12 stay ordered, 7 of them cancelled."""
    of_one_person(shop, "A-1", ("FELT-9", 2))
    of_one_person(shop, "A-2", ("REED-A", 9), ("FELT-9", 3), ("SCREW-3", 8), minutes=1)
    change_lines(shop, "A-2", {1: 5, 2: 0}, **WHO, reason="customer rang")
    before = ordered(shop)

    lines = combine_orders(shop, "A-1", ["A-2"], **WHO)

    assert ordered(shop) == before == {"FELT-9": 5, "REED-A": 9, "SCREW-3": 8}
    asked = [(line.part_number, line.pieces, line.cancelled_pieces) for line in lines]
    assert asked == [("FELT-9", 2, 0), ("REED-A", 9, 4), ("FELT-9", 3, 3), ("SCREW-3", 8, 0)]
    assert line_at(shop, "A-1", 2) == {"waiting": 5, "cancelled": 4}
    assert line_at(shop, "A-1", 3) == {"cancelled": 3}
    assert verify_shop(shop) == ()
    balance = reconcile_day(shop, day=DAY).balance
    assert (balance.ordered, balance.cancelled) == (22, 7)


def test_of_a_kit_the_cancelled_ones_go_over_with_all_their_parts(shop: Shop, tmp_path: Path) -> None:
    """5 kits of 2 springs and 3 felts, 3 wanted: the papers of the combined order say 5, 3 inside, 2 cancelled."""
    of_one_person(shop, "A-1", ("SCREW-3", 2))
    of_one_person(shop, "A-2", ("KIT-D", 5), minutes=1)
    change_lines(shop, "A-2", {1: 3}, **WHO)

    combine_orders(shop, "A-1", ["A-2"], **WHO)

    assert line_at(shop, "A-1", 2, "SPRING-2") == {"waiting": 6, "cancelled": 4}
    assert line_at(shop, "A-1", 2, "FELT-9") == {"waiting": 9, "cancelled": 6}
    plan(shop)
    release(shop, tmp_path)
    send(shop, "A-1")
    with shop.reading() as books:
        rows = packing_list_sheet(books, books.need(Order, "A-1"), day=DAY).lines
        assert books.count(OrderLine, order_number="A-2") == 0
    assert [(row.line_no, row.ordered, row.inside, row.cancelled) for row in rows] == [(1, 2, 2, 0), (2, 5, 3, 2)]


def test_the_moves_of_the_combined_order_say_from_which_order_its_pieces_came(shop: Shop) -> None:
    """Who reads the combined order's moves finds the order that the cancelled pieces were ordered with."""
    of_one_person(shop, "A-1", ("FELT-9", 2))
    of_one_person(shop, "A-2", ("REED-A", 9), minutes=1)
    change_lines(shop, "A-2", {1: 5}, **WHO)

    combine_orders(shop, "A-1", ["A-2"], **WHO)

    with shop.reading() as books:
        moves = books.find(OwedEntry, order_number="A-1", line_no=2)
    assert [(move.from_place.value, move.to_place.value, move.pieces, move.reason) for move in moves] == [
        ("ordered", "waiting", 9, "ordered"),
        ("waiting", "cancelled", 4, "cancelled as line 1 of A-2"),
    ]


@pytest.mark.parametrize("held", ["A-1", "A-2"])
def test_what_one_of_them_was_held_for_holds_the_combined_order(shop: Shop, held: str) -> None:
    """An order that a clerk keeps back doesn't leave because another one of the same person is not kept back."""
    of_one_person(shop, "A-1", ("FELT-9", 2))
    of_one_person(shop, "A-2", ("REED-A", 9), minutes=1)
    hold_order(shop, held, "address unclear", **WHO)

    combine_orders(shop, "A-1", ["A-2"], **WHO)

    with shop.reading() as books:
        order = books.need(Order, "A-1")
    assert (order.state.value, order.held_reason) == ("held", "address unclear")
    assert line_at(shop, "A-1", 1) == {"held": 2}
    assert line_at(shop, "A-1", 2) == {"held": 9}
    plan(shop)
    assert line_at(shop, "A-1", 2) == {"held": 9}
    resume_order(shop, "A-1", **WHO)
    assert line_at(shop, "A-1", 2) == {"waiting": 9}
