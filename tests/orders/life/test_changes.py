"""An order changed on its way: cancelled, shortened, sent elsewhere, held, combined."""

from functools import partial
from pathlib import Path

import pytest

from fulfil.bench.check import Seen, check_bag
from fulfil.despatch.order_papers import pull_slip_sheets
from fulfil.despatch.pack import plan_packages, weigh_package
from fulfil.despatch.ship import close_manifest
from fulfil.errors import StateRefused, UnknownRefused
from fulfil.orders.changing import change_address, change_lines, change_notes, change_service
from fulfil.orders.combining import combine_orders, look_alike_orders
from fulfil.orders.holding import cancel_order, hold_order, resume_order
from fulfil.orders.pulling import put_back
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.order import Order, OrderLine, OrderState
from fulfil.records.pieces import Owed, OwedBalance
from fulfil.records.place import Bin
from fulfil.records.plan import Bag
from fulfil.shop.printing import print_papers
from fulfil.store.shop import Shop
from tests.orders.life.steps import DAY, WHO, check_all, found, one, order, pieces_agree, plan


def test_cancelled_after_release_pulls_its_bags_and_a_slip_says_which(shop: Shop, tmp_path: Path) -> None:
    """One bag was checked, one wasn't: both come back to their bins, to the piece."""
    order(shop, "A-1", ("BALL", 50), ("NUT", 20))
    plan(shop, tmp_path)
    first = found(shop, Bag, order_number="A-1")[0]
    check_bag(shop, first.code, Seen(gross_g=first.target_g), **WHO)

    done = cancel_order(shop, "A-1", "changed her mind", **WHO)

    assert done.order.state is OrderState.CANCELLED
    assert sorted((bag.part_number, bag.pieces) for bag in done.pulled) == [("BALL", 50), ("NUT", 20)]
    assert found(shop, Bag) == found(shop, OwedBalance, place=Owed.PROMISED) == []
    assert [place.pieces for place in found(shop, Bin)] == [350, 9, 70]
    assert pieces_agree(shop)
    slips = partial(pull_slip_sheets, number="A-1", reason="cancelled", tells=(), pulled=done.pulled, day=DAY)
    (slip,) = print_papers(shop, tmp_path, slips)
    assert slip.read_bytes().startswith(b"%PDF")
    for bag in done.pulled:
        put_back(shop, bag.bag_code, **WHO)
    assert [place.pieces for place in found(shop, Bin)] == [400, 9, 90]
    assert pieces_agree(shop)
    with pytest.raises(StateRefused, match="it was put back"):
        put_back(shop, done.pulled[0].bag_code, **WHO)


def test_fewer_pieces_after_release_pulls_the_fewest_bags(shop: Shop, tmp_path: Path) -> None:
    """Half of a released line is wanted: its bag is pulled and the rest planned onto another walk."""
    order(shop, "A-1", ("BALL", 60))
    plan(shop, tmp_path)

    done = change_lines(shop, "A-1", {1: 30}, **WHO, reason="called")

    assert sum(bag.pieces for bag in done.pulled) == 60
    assert one(shop, OrderLine, "A-1", 1).cancelled_pieces == 30
    (waits,) = found(shop, OwedBalance, place=Owed.WAITING)
    assert waits.pieces == 30
    plan(shop, tmp_path)
    assert [bag.pieces for bag in found(shop, Bag)] == [30]
    assert one(shop, OrderLine, "A-1", 1).short_pieces == 0
    assert pieces_agree(shop)


def test_more_pieces_and_a_new_line_before_release_are_planned_anew(shop: Shop) -> None:
    """The plan of the order is taken back; the next one has all of it."""
    order(shop, "A-1", ("BALL", 10))
    plan(shop)

    change_lines(shop, "A-1", {1: 25}, **WHO, added=[("NUT", 5)])

    assert found(shop, OwedBalance, place=Owed.PROMISED) == []
    plan(shop)
    assert sorted((bag.part_number, bag.pieces) for bag in found(shop, Bag)) == [("BALL", 25), ("NUT", 5)]


def test_address_and_service_by_stage(shop: Shop, tmp_path: Path) -> None:
    """Before boxes freely; sealed only within the country and with new labels; shipped not at all."""
    order(shop, "A-1", ("BALL", 10))
    change_address(shop, "A-1", {"street": "Sample Street 9"}, **WHO)
    with pytest.raises(StateRefused, match="a service that goes to FR"):
        change_address(shop, "A-1", {"country": "FR"}, **WHO)
    with pytest.raises(UnknownRefused):
        change_address(shop, "A-1", {"colour": "red"}, **WHO)
    assert change_service(shop, "A-1", "post", **WHO).order.service_code == "post"
    change_service(shop, "A-1", "road", **WHO)
    plan(shop, tmp_path)
    check_all(shop, "A-1")
    (package,) = plan_packages(shop, "A-1", **WHO).packages
    undone = change_service(shop, "A-1", "post", **WHO)
    assert undone.tells == (f"Package {package.number}: take its bags out again; its boxes are chosen anew.",)
    change_service(shop, "A-1", "road", **WHO)
    (package,) = plan_packages(shop, "A-1", **WHO).packages
    weigh_package(shop, package.number, package.expected_g, **WHO)
    told = change_address(shop, "A-1", {"street": "Sample Street 8"}, **WHO).tells
    assert told == (f"Package {package.number}: print its labels and the packing list again, cover the old ones.",)
    for attempt in (
        lambda: change_address(shop, "A-1", {"country": "LU"}, **WHO),
        lambda: change_service(shop, "A-1", "post", **WHO),
        lambda: change_lines(shop, "A-1", {1: 5}, **WHO),
        lambda: cancel_order(shop, "A-1", "late", **WHO),
    ):
        with pytest.raises(StateRefused, match="reopen"):
            attempt()
    close_manifest(shop, "road", day=DAY, **WHO)
    with pytest.raises(StateRefused, match="something is still owed"):
        change_address(shop, "A-1", {"street": "Sample Street 7"}, **WHO)
    assert one(shop, Order, "A-1").street == "Sample Street 8"


def test_notes_reach_who_has_the_order_in_hand(shop: Shop, tmp_path: Path) -> None:
    """Before release the pick list has it; after, the bench is told."""
    order(shop, "A-1", ("BALL", 10))
    assert change_notes(shop, "A-1", **WHO, picker="one lot").tells == ()
    plan(shop, tmp_path)
    assert change_notes(shop, "A-1", **WHO, picker="shiny ones").tells == ("Picker, of order A-1: shiny ones",)


def test_a_resumed_order_was_not_received_again(shop: Shop) -> None:
    """The journal says held, then resumed; resuming wrote a second 'order received' once."""
    order(shop, "A-1", ("BALL", 10))
    hold_order(shop, "A-1", "address unclear", **WHO)
    resume_order(shop, "A-1", **WHO)

    events = [entry.event for entry in found(shop, JournalEntry) if entry.subject == "A-1"]

    assert events == ["order received", "order held", "order resumed"]


def test_held_orders_go_on_from_where_their_bags_are(shop: Shop, tmp_path: Path) -> None:
    """Before release the promise is given back; after, the bags stay."""
    order(shop, "A-1", ("BALL", 10))
    plan(shop)
    hold_order(shop, "A-1", "address unclear", **WHO)
    assert found(shop, OwedBalance, place=Owed.PROMISED) == []
    assert resume_order(shop, "A-1", **WHO).state is OrderState.RECEIVED
    plan(shop, tmp_path)
    hold_order(shop, "A-1", "address unclear", **WHO)
    assert resume_order(shop, "A-1", **WHO).state is OrderState.RELEASED
    assert len(found(shop, Bag)) == 1


def test_orders_of_one_person_and_day_are_offered_and_combined(shop: Shop) -> None:
    """Two of three orders look alike, and ask for the same; together they are one, and no piece is ordered twice."""
    order(shop, "A-1", ("BALL", 10))
    order(shop, "A-2", ("BALL", 10), minutes=30, name="INVENTED person", note_packer="gift")
    order(shop, "A-3", ("BALL", 10), name="Somebody Else")
    with shop.reading() as books:
        (alike,) = look_alike_orders(books)
    assert (alike.numbers, alike.is_same_twice) == (("A-1", "A-2"), True)

    lines = combine_orders(shop, "A-1", ["A-2"], **WHO)

    assert [(line.order_number, line.line_no, line.pieces) for line in lines] == [("A-1", 1, 10), ("A-1", 2, 10)]
    assert one(shop, Order, "A-2").held_reason == "combined into A-1"
    assert one(shop, Order, "A-1").note_packer == "gift"
    assert sum(line.pieces for line in found(shop, OrderLine)) == 30
    with pytest.raises(StateRefused, match="two orders or more of one person"):
        combine_orders(shop, "A-1", ["A-3"], **WHO)
