"""What the machine's sequences found, each as the few steps that show it."""

from collections.abc import Iterator
from functools import partial
from pathlib import Path

import pytest

from fulfil.bench.check import check_bag
from fulfil.despatch.advice import of_json
from fulfil.despatch.claims import take_back
from fulfil.despatch.package_papers import packing_list_sheet
from fulfil.despatch.packages_back import package_returned
from fulfil.despatch.reconcile import reconcile_day
from fulfil.despatch.ship import void_package
from fulfil.errors import StateRefused
from fulfil.orders.changing import change_lines
from fulfil.orders.holding import hold_order
from fulfil.orders.verify import verify_shop
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.despatch.goods_back import Outcome
from fulfil.records.despatch.handover import ManifestCopy
from fulfil.records.order import Order
from fulfil.stock.empty_bins import bin_lacks
from fulfil.stock.levels import receive
from fulfil.stock.lost_bags import bag_found, bag_missing
from fulfil.store.shop import Shop
from fulfil.walks.hands import hand_over_walk, split_walk
from fulfil.walks.times import BEGUN, say_walk
from tests.harbour_shop import DAY, NOW, WHO, bags, key, open_harbour, plan, release, right, send
from tests.piece_places import line_at, owed, stock


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The harbour shop on its first morning."""
    with open_harbour(tmp_path) as opened:
        yield opened


def sent(shop: Shop, folder: Path, *asked: tuple[str, int]) -> str:
    """Order A-1 keyed, planned, and sent; its package."""
    key(shop, "A-1", *asked)
    plan(shop)
    release(shop, folder)
    return send(shop, "A-1").packages[0].number


@pytest.mark.parametrize("outcome", Outcome)
def test_a_package_of_which_pieces_came_back_did_leave(shop: Shop, tmp_path: Path, outcome: Outcome) -> None:
    """It can't be voided as if it stood here whole: the new package would hold fewer pieces than its bags."""
    package = sent(shop, tmp_path, ("REED-A", 9))
    take_back(shop, "A-1", 1, outcome, "bent", **WHO, counted=2)
    before = (owed(shop), stock(shop))

    with pytest.raises(StateRefused, match="2 of its 9 pieces came back already"):
        void_package(shop, package, "missed the van", **WHO)

    assert (owed(shop), stock(shop)) == before
    assert verify_shop(shop) == ()
    assert line_at(shop, "A-1", 1) == {"shipped": 9}


@pytest.mark.parametrize("take_apart", [False, True])
def test_a_package_that_was_taken_apart_holds_nothing_more(shop: Shop, tmp_path: Path, take_apart: bool) -> None:
    """It can't come back a second time: the new package would be empty."""
    package = sent(shop, tmp_path, ("REED-A", 9))
    package_returned(shop, package, "refused", **WHO, take_apart=True)
    before = (owed(shop), stock(shop))

    with pytest.raises(StateRefused, match="it was taken apart"):
        package_returned(shop, package, "refused", **WHO, take_apart=take_apart)
    with pytest.raises(StateRefused, match="it was taken apart"):
        void_package(shop, package, "missed the van", **WHO)

    assert (owed(shop), stock(shop)) == before
    assert verify_shop(shop) == ()


def test_a_bag_of_a_walk_that_is_not_on_paper_is_in_nobodys_hands(shop: Shop) -> None:
    """It can be neither missing nor found; the sentence says why, in the shop's words."""
    key(shop, "A-1", ("REED-A", 9))
    plan(shop)
    (bag,) = bags(shop)

    for step in (partial(bag_missing, day=DAY), bag_found):
        with pytest.raises(StateRefused, match=f"its walk {bag.walk_number} isn't on paper yet"):
            step(shop, bag.code, **WHO)


@pytest.mark.parametrize("checked", [1, 2, 3])
def test_a_walk_whose_last_bags_are_checked_says_after_which_stop_it_can_be_split(
    shop: Shop, tmp_path: Path, checked: int
) -> None:
    """What it expects is what it takes: only bags that nobody checked go to the next picker."""
    key(shop, "A-1", ("PIN-08", 3), ("REED-A", 3), ("SPRING-2", 3))
    plan(shop)
    (walk,) = release(shop, tmp_path)
    by_stop = sorted(bags(shop), key=lambda bag: -bag.stop_no)
    for bag in by_stop[:checked]:
        check_bag(shop, bag.code, right(bag), at=NOW, person="piripi")

    with pytest.raises(StateRefused) as refused:
        split_walk(shop, walk.number, 2, **WHO)

    if checked == 1:
        assert refused.value.expected.startswith("a stop from 1 to 1,")
        split_walk(shop, walk.number, 1, **WHO)
    else:
        assert refused.value.expected == "a walk with bags that nobody checked after its first stop"


def test_an_order_of_which_nothing_is_wanted_is_cancelled_and_held_no_more(shop: Shop) -> None:
    """A held order whose lines all go to 0 has ended: the reason that it was held for is not its last word."""
    key(shop, "A-1", ("REED-A", 9), ("FELT-9", 2))
    hold_order(shop, "A-1", "address unclear", **WHO)

    changed = change_lines(shop, "A-1", {1: 0, 2: 0}, **WHO, reason="called it off")

    assert (changed.order.state.value, changed.order.held_reason) == ("cancelled", "called it off")
    with shop.reading() as books:
        assert [entry.subject for entry in books.find(JournalEntry, event="order cancelled")] == ["A-1"]


def test_a_walk_changes_hands_as_often_as_is_said(shop: Shop, tmp_path: Path) -> None:
    """Begun, handed over and begun again in the same minute: whoever has it last has it."""
    key(shop, "A-1", ("REED-A", 9))
    plan(shop)
    (walk,) = release(shop, tmp_path)
    say_walk(shop, walk.number, BEGUN, at=NOW, person="tama")
    hand_over_walk(shop, walk.number, "moana", at=NOW, person="tama")
    say_walk(shop, walk.number, BEGUN, at=NOW, person="moana")

    with pytest.raises(StateRefused, match="moana has been on it since"):
        say_walk(shop, walk.number, BEGUN, at=NOW, person="tama")


def test_a_kit_whose_parts_leave_in_two_packages_is_sent_with_the_last(shop: Shop, tmp_path: Path) -> None:
    """Its felts are lacking and follow: first no kit is sent and two follow, then both are sent and none follows."""
    key(shop, "A-1", ("KIT-D", 2))
    plan(shop)
    release(shop, tmp_path)
    (felts,) = bags(shop, part_number="FELT-9")
    bin_lacks(shop, felts.bin_code, 0, day=DAY, **WHO)
    assert line_at(shop, "A-1", 1, "FELT-9") == {"short": 6}
    assert verify_shop(shop) == ()
    first = _advised(shop, send(shop, "A-1").manifest.number)
    receive(shop, felts.bin_code, 20, "note 8", **WHO)
    plan(shop)
    release(shop, tmp_path)
    second = _advised(shop, send(shop, "A-1").manifest.number)

    assert (first, second) == ((0, 2), (2, 0))
    with shop.reading() as books:
        (row,) = packing_list_sheet(books, books.need(Order, "A-1"), day=DAY).lines
    assert (row.ordered, row.inside + row.sent_before, row.to_follow, row.cancelled) == (2, 2, 0, 0)
    assert reconcile_day(shop, day=DAY).balance.is_balanced


def _advised(shop: Shop, manifest: str) -> tuple[int, int]:
    with shop.reading() as books:
        (advice,) = of_json(books.need(ManifestCopy, manifest).advices)
    return advice.lines[0].despatched_pieces, advice.lines[0].outstanding_pieces
