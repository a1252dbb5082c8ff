"""Odd things one after another: nothing is lost, what is owed adds up, and the advice can be carried out as printed."""

from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from fulfil.despatch.claims import add_claim
from fulfil.despatch.pack import reopen_package
from fulfil.despatch.packages_back import package_returned
from fulfil.despatch.ship import void_package
from fulfil.errors import StateRefused
from fulfil.orders.changing import change_lines
from fulfil.orders.combining import combine_orders
from fulfil.orders.holding import cancel_order, hold_order, resume_order
from fulfil.orders.kits import set_kit
from fulfil.orders.pulling import put_back
from fulfil.orders.replacing import replace_claim
from fulfil.orders.verify import verify_shop
from fulfil.records.despatch.claim import Claim, ClaimCause
from fulfil.records.part import Part
from fulfil.records.pulled import PulledBag
from fulfil.records.revised import revised
from fulfil.stock.bin_changes import retire_bin
from fulfil.stock.empty_bins import bin_lacks
from fulfil.stock.levels import count_bin
from fulfil.stock.lost_bags import bag_found, bag_missing
from fulfil.store.shop import Shop
from fulfil.walks.hands import split_walk
from tests.harbour_shop import (
    DAY,
    NOW,
    WHO,
    bags,
    check,
    key,
    level,
    levels,
    lines_of,
    open_harbour,
    pack,
    plan,
    send,
    ship,
    state_of,
)
from tests.harbour_shop import release as on_paper
from tests.orders.advice import Adviser
from tests.piece_places import line_at, owed, stock

ONE_PERSON: dict[str, Any] = {"name": "Ngaio Sample", "city": "Sampleton", "post_code": "8016", "country": "NZ"}
STOCK = {"REED-A": 46, "SPRING-2": 105, "SCREW-3": 200, "BELL-3": 7}
"""Pieces of a part on the first morning, in all its bins."""


class Floor:
    """The harbour shop, somebody who follows its advice, and what must hold after each step."""

    def __init__(self, shop: Shop, folder: Path) -> None:
        self.shop, self.folder = shop, folder
        self._adviser = Adviser(folder)

    def release(self) -> None:
        """Puts every planned walk on paper."""
        on_paper(self.shop, self.folder)

    def follow(self, *said: str) -> dict[str, int]:
        """Runs every command that these sentences name, on a copy of the shop; how often which was run so far."""
        days: Any = SimpleNamespace(now=NOW)
        for one in said:
            self._adviser.follow(days, one)
        return self._adviser.tried

    def adds_up(self, **ordered: int) -> None:
        """Every book agrees with its moves, and each order (``A_1``) owes what was ordered of it, in all places."""
        assert verify_shop(self.shop) == ()
        found: Counter[str] = Counter()
        for (order, _, _), places in owed(self.shop).items():
            assert min(places.values()) > 0
            found[order] += sum(places.values())
        assert found == {order.replace("_", "-"): pieces for order, pieces in ordered.items()}

    def has(self, *parts: str) -> None:
        """Where nobody counted, all pieces of a part are somewhere: in bins, bags, packages or with customers."""
        there = stock(self.shop)
        assert {part: sum(there[part].values()) for part in parts} == {part: STOCK[part] for part in parts}


@pytest.fixture
def floor(tmp_path: Path) -> Iterator[Floor]:
    """The shop on its first morning."""
    with open_harbour(tmp_path) as opened:
        yield Floor(opened, tmp_path)


def test_the_stock_of_the_first_morning() -> None:
    """The sums above are those of the shop's file of bins."""
    assert STOCK["BELL-3"] == levels()["WAKA-2"] + levels()["WAKA-4"]
    assert STOCK["SPRING-2"] == levels()["MOANA-1"] + levels()["MOANA-4"]


def test_a_bag_of_a_split_walk_is_missing_and_found(floor: Floor) -> None:
    """What was in it is picked again and sent; what is found goes back."""
    shop, parts = floor.shop, ("REED-A", "SPRING-2", "SCREW-3")
    key(shop, "A-1", ("REED-A", 4), ("SPRING-2", 20), ("SCREW-3", 8))
    plan(shop)
    floor.release()
    walk = bags(shop)[0].walk_number
    floor.follow(*split_walk(shop, walk, 1, **WHO).tells)
    floor.adds_up(A_1=32)
    lost = next(bag for bag in bags(shop) if bag.walk_number != walk)
    floor.follow(*bag_missing(shop, lost.code, day=DAY, **WHO).tells)
    floor.adds_up(A_1=32)
    tried = floor.follow(*bag_found(shop, lost.code, **WHO).tells)
    floor.adds_up(A_1=32)
    assert {"walks release", "bags found"} <= tried.keys()
    floor.release()
    send(shop, "A-1")
    floor.adds_up(A_1=32)
    floor.has(*parts)
    assert state_of(shop, "A-1") == "shipped"


def test_a_package_that_came_back_is_not_voided_besides(floor: Floor) -> None:
    """Neither the one that goes out again nor the one that was taken apart can be void a second time."""
    shop = floor.shop
    key(shop, "A-1", ("REED-A", 4))
    plan(shop)
    floor.release()
    (first,) = send(shop, "A-1").packages
    told = package_returned(shop, first.number, "nobody home", **WHO)
    floor.follow(*told.tells)
    with pytest.raises(StateRefused, match="expected one that isn't void"):
        void_package(shop, first.number, "the van was full", **WHO)
    floor.adds_up(A_1=4)
    pack(shop, "A-1")
    (second,) = ship(shop).packages
    told = package_returned(shop, second.number, "refused", take_apart=True, **WHO)
    assert "orders put-back" in floor.follow(*told.tells)
    with pytest.raises(StateRefused, match="it was taken apart"):
        void_package(shop, second.number, "the van was full", **WHO)
    floor.adds_up(A_1=4)
    floor.has("REED-A")
    assert line_at(shop, "A-1", 1) == {"cancelled": 4}


@pytest.mark.parametrize("by", ["cancel", "lines"])
def test_the_claim_of_a_cancelled_replacement_is_open_again(floor: Floor, by: str) -> None:
    """Nothing goes out for it, so somebody must still answer; it can be replaced once more."""
    shop = floor.shop
    key(shop, "A-1", ("REED-A", 4))
    plan(shop)
    floor.release()
    send(shop, "A-1")
    claim = add_claim(shop, "A-1", 1, ClaimCause.SHORT, pieces=2, **WHO)
    assert "walks plan" in floor.follow(*replace_claim(shop, claim.number, 2, **WHO).tells)
    if by == "cancel":
        tells = cancel_order(shop, "A-1-R1", "wrong address", **WHO).tells
        assert tells == (f"Claim {claim.number} is open again; fulfil claims list --open shows it.",)
        assert "claims list" in floor.follow(*tells)
    else:
        change_lines(shop, "A-1-R1", {1: 0}, **WHO)
    with shop.reading() as books:
        assert not books.need(Claim, claim.number).is_settled
    floor.adds_up(A_1=4, A_1_R1=2)
    assert replace_claim(shop, claim.number, 2, **WHO).order_number == "A-1-R2"
    floor.adds_up(A_1=4, A_1_R1=2, A_1_R2=2)


def test_a_bin_with_promises_is_retired_as_advised(floor: Floor) -> None:
    """Counted empty, planned, on paper: each refusal names a command that goes through, and the last one frees it."""
    shop = floor.shop
    key(shop, "A-1", ("REED-A", 4))
    plan(shop)
    code = bags(shop)[0].bin_code
    for _ in range(2):
        with pytest.raises(StateRefused, match="expected a free bin") as refused:
            retire_bin(shop, code, **WHO)
        floor.follow(str(refused.value), *(one.do for one in count_bin(shop, code, 0, **WHO).findings))
        floor.adds_up(A_1=4)
    floor.release()
    with pytest.raises(StateRefused, match="4 pieces are promised from it to A-1") as refused:
        retire_bin(shop, code, **WHO)
    tried = floor.follow(str(refused.value))
    assert {"bins count", "bins lacks", "walks plan"} <= tried.keys()
    bin_lacks(shop, code, 0, day=DAY, **WHO)
    retire_bin(shop, code, **WHO)
    floor.adds_up(A_1=4)
    floor.release()
    send(shop, "A-1")
    floor.adds_up(A_1=4)


@pytest.mark.parametrize("counted", [2, 30, 59])
def test_a_bin_is_counted_during_its_walk(floor: Floor, counted: int) -> None:
    """Fewer than the bags on the walk need are told with what to do; bags that pass all the same pass."""
    shop = floor.shop
    key(shop, "A-1", ("SPRING-2", 40), ("REED-A", 4))
    key(shop, "A-2", ("SPRING-2", 20), minutes=1)
    plan(shop)
    floor.release()
    found = count_bin(shop, "MOANA-1", counted, **WHO).findings
    assert "bins lacks" in floor.follow(*(one.do for one in found))
    floor.adds_up(A_1=44, A_2=20)
    send(shop, "A-1")
    send(shop, "A-2")
    floor.adds_up(A_1=44, A_2=20)
    assert level(shop, "MOANA-1") == 0


def test_two_kits_share_a_part_of_which_one_lacks(floor: Floor) -> None:
    """13 felts for 3 kits of 3 and 2 of 4, then 5: what can't be had is short, and the rest can be cancelled."""
    shop = floor.shop
    with shop.writing() as books:
        books.add([revised(books.need(Part, "KIT-D"), {"number": "KIT-E"})])
    set_kit(shop, "KIT-E", [("SPRING-2", 1), ("FELT-9", 4)], **WHO)
    count_bin(shop, "MOANA-2", 13, **WHO)
    key(shop, "A-1", ("KIT-D", 3), ("KIT-E", 2))
    plan(shop)
    floor.adds_up(A_1=25)
    assert [line.short_pieces for line in lines_of(shop, "A-1")] == [0, 1]
    floor.release()
    told = bin_lacks(shop, "MOANA-2", 5, day=DAY, **WHO)
    assert "walks release" in floor.follow(*told.tells)
    floor.adds_up(A_1=25)
    assert [line.short_pieces for line in lines_of(shop, "A-1")] == [3, 1]
    floor.release()
    send(shop, "A-1")
    cancel_order(shop, "A-1", "enough", **WHO)
    floor.adds_up(A_1=25)
    floor.has("SPRING-2")
    assert [line.cancelled_pieces for line in lines_of(shop, "A-1")] == [3, 1]


def test_an_order_that_was_sent_in_part_is_not_combined(floor: Floor) -> None:
    """What follows of it stays its own, short, planned or held, whichever of the two is named first."""
    shop = floor.shop
    key(shop, "A-1", ("BELL-3", 9), **ONE_PERSON)
    plan(shop)
    floor.release()
    send(shop, "A-1")
    key(shop, "A-2", ("REED-A", 3), minutes=1, **ONE_PERSON)
    for step in (
        lambda: None,
        lambda: (count_bin(shop, "WAKA-2", 5, **WHO), plan(shop)),
        lambda: hold_order(shop, "A-1", "address unclear", **WHO),
    ):
        step()
        for first, other in (("A-1", "A-2"), ("A-2", "A-1")):
            with pytest.raises(StateRefused, match="two orders or more of one person that aren't on a cart"):
                combine_orders(shop, first, [other], **WHO)
            floor.adds_up(A_1=9, A_2=3)


@pytest.mark.parametrize(("first", "other"), [("A-1", "A-2"), ("A-2", "A-1")])
def test_an_order_of_which_all_came_back_is_combined(floor: Floor, first: str, other: str) -> None:
    """7 bells sent and taken apart stay cancelled, 2 wait; the bags can still be put back."""
    shop = floor.shop
    key(shop, "A-1", ("BELL-3", 9), **ONE_PERSON)
    plan(shop)
    floor.release()
    (package,) = send(shop, "A-1").packages
    floor.follow(*package_returned(shop, package.number, "refused", take_apart=True, **WHO).tells)
    key(shop, "A-2", ("REED-A", 3), minutes=1, **ONE_PERSON)
    combine_orders(shop, first, [other], **WHO)
    floor.adds_up(**{first.replace("-", "_"): 12})
    with shop.reading() as books:
        pulled = [bag.bag_code for bag in books.find(PulledBag)]
    for code in pulled:
        put_back(shop, code, **WHO)
    floor.adds_up(**{first.replace("-", "_"): 12})
    floor.has("BELL-3", "REED-A")
    assert len(pulled) == 2


def test_an_opened_package_of_a_held_order_stays(floor: Floor) -> None:
    """It is neither weighed nor shipped while the order is held, also where its lines change, and leaves afterwards."""
    shop = floor.shop
    key(shop, "A-1", ("REED-A", 4), ("BELL-3", 9))
    plan(shop)
    floor.release()
    check(shop, "A-1")
    (package,) = pack(shop, "A-1")
    reopen_package(shop, package.number, "look again", **WHO)
    hold_order(shop, "A-1", "address unclear", **WHO)
    floor.adds_up(A_1=13)
    with pytest.raises(StateRefused, match="an order that goes on; order A-1 is held"):
        pack(shop, "A-1")
    with pytest.raises(StateRefused, match="at least one sealed package"):
        ship(shop)
    change_lines(shop, "A-1", {1: 2}, **WHO)
    floor.adds_up(A_1=13)
    assert state_of(shop, "A-1") == "held"
    resume_order(shop, "A-1", **WHO)
    plan(shop)
    floor.release()
    send(shop, "A-1")
    floor.adds_up(A_1=13)
    floor.has("REED-A", "BELL-3")
    assert line_at(shop, "A-1", 1) == {"cancelled": 2, "shipped": 2}
    assert line_at(shop, "A-1", 2) == {"shipped": 7, "short": 2}
