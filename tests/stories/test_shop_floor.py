"""What goes wrong between the aisles: each has one verb that says what it will do, does it, and tells who must act.

Every story begins on the first morning of the harbour shop (:mod:`tests.harbour_shop`).
"""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from fulfil.despatch.claims import add_claim, take_back
from fulfil.despatch.packages_back import package_returned
from fulfil.errors import StateRefused
from fulfil.orders.changing import change_lines
from fulfil.orders.pulling import put_back
from fulfil.orders.replacing import replace_claim
from fulfil.records.despatch.claim import ClaimCause
from fulfil.records.despatch.goods_back import Outcome
from fulfil.records.order import OrderLine
from fulfil.records.plan import WalkRecord
from fulfil.records.pulled import PulledBag
from fulfil.shop.collecting import cut_offs_of
from fulfil.stock.lost_bags import bag_found, bag_missing
from fulfil.store.shop import Shop
from fulfil.walks.hands import hand_over_walk, split_walk
from fulfil.walks.plan import plan_day
from fulfil.walks.rush import rush_order
from fulfil.walks.waves import schedule_walks
from tests.harbour_shop import (
    DAY,
    NOW,
    WHO,
    bags,
    key,
    level,
    pack,
    plan,
    release,
    send,
    ship,
    state_of,
)
from tests.piece_places import Owed, Stock, line_at, owed, stock


def on_paper(shop: Shop, folder: Path, *asked: tuple[str, int], number: str = "A-1", **given: Any) -> WalkRecord:
    """An order keyed, planned and on paper; its walk."""
    key(shop, number, *asked, **given)
    plan(shop)
    return release(shop, folder)[-1]


def both(shop: Shop) -> tuple[Owed, Stock]:
    """Both books."""
    return owed(shop), stock(shop)


def _walks(shop: Shop) -> list[WalkRecord]:
    with shop.reading() as books:
        return books.find(WalkRecord)


def test_a_rush_order_has_a_walk_of_its_own(shop: Shop, tmp_path: Path) -> None:
    """An order that can't wait doesn't share its walk with the large one that is planned."""
    key(shop, "BIG", *[(part, 3) for part in ("PIN-08", "REED-A", "SPRING-2", "FELT-9", "SCREW-3", "DISC-21")])
    plan(shop)
    planned = {bag.code for bag in bags(shop)}
    key(shop, "NOW", ("REED-A", 2), minutes=9)

    rush_order(shop, "NOW", day=DAY, **WHO)

    walks = {bag.walk_number for bag in bags(shop, order_number="NOW")}
    assert len(walks) == 1
    assert not walks & {bag.walk_number for bag in bags(shop, order_number="BIG")}
    assert planned <= {bag.code for bag in bags(shop)}
    assert line_at(shop, "NOW", 1).get("waiting", 0) == 0


def test_a_rush_order_stays_alone_when_the_day_is_planned_again(shop: Shop, tmp_path: Path) -> None:
    """Another order comes before the rush order is on paper: planned anew, it goes alone still, on the first walk."""
    key(shop, "BIG", *[(part, 3) for part in ("PIN-08", "REED-A", "SPRING-2", "FELT-9", "SCREW-3", "DISC-21")])
    plan(shop)
    key(shop, "NOW", ("REED-A", 2), minutes=9)
    rush_order(shop, "NOW", day=DAY, **WHO)
    key(shop, "MORE", ("REED-A", 1), minutes=12)

    plan(shop)

    walk_of = {bag.order_number: bag.walk_number for bag in bags(shop)}
    assert walk_of["BIG"] == walk_of["MORE"] != walk_of["NOW"]
    assert walk_of["NOW"] == min(walk.number for walk in _walks(shop))


def test_a_walk_on_paper_stays_when_a_rush_order_is_planned(shop: Shop, tmp_path: Path) -> None:
    """What was released keeps its number, its bags and its papers."""
    key(shop, "BIG", ("PIN-08", 3), ("SPRING-2", 3))
    plan(shop)
    (walk,) = release(shop, tmp_path)
    before = bags(shop)
    key(shop, "NOW", ("REED-A", 2), minutes=9)

    rush_order(shop, "NOW", day=DAY, **WHO)
    plan(shop)

    assert bags(shop, walk_number=walk.number) == before
    assert len(_walks(shop)) == 2


def test_a_rush_order_is_walked_first(shop: Shop, tmp_path: Path) -> None:
    """Its service is collected last, and still it goes before all walks that nobody has begun."""
    early, late = _services_by_cut_off(shop)
    for place, part in enumerate(("PIN-08", "SPRING-2"), start=1):
        key(shop, f"A-{place}", (part, 3), service_code=early)
        plan_day(shop, day=DAY, only=[f"A-{place}"], **WHO)
    key(shop, "NOW", ("REED-A", 2), minutes=9, service_code=late)

    rush_order(shop, "NOW", day=DAY, **WHO)

    with shop.reading() as books:
        done = schedule_walks(books, day=DAY, begins=NOW, pickers=1, rng=np.random.default_rng(1))
    (rushed,) = {bag.walk_number for bag in bags(shop, order_number="NOW")}
    turns = [turn.walk for turn in done.waves.shared.turns]
    assert turns[0] == rushed
    assert len(turns) == 3
    assert [len(wave.walks) for wave in done.waves.waves] == [2, 1]


def _services_by_cut_off(shop: Shop) -> tuple[str, str]:
    """The services that are collected first and last on the day."""
    with shop.reading() as books:
        cut_offs = cut_offs_of(books, DAY)
    ordered = sorted(cut_offs, key=lambda code: (cut_offs[code], code))
    assert cut_offs[ordered[0]] < cut_offs[ordered[-1]]
    return ordered[0], ordered[-1]


def test_a_rush_order_can_ride_on_a_walk_that_has_not_left(shop: Shop, tmp_path: Path) -> None:
    """Put onto a walk by name it shares the cart, under a new number: the papers that were printed are void."""
    key(shop, "BIG", ("PIN-08", 3), ("SPRING-2", 3))
    plan(shop)
    (walk,) = release(shop, tmp_path)
    key(shop, "NOW", ("REED-A", 2), minutes=9)

    done = rush_order(shop, "NOW", day=DAY, **WHO, onto=walk.number)

    assert any(walk.number in tell and "void" in tell for tell in done.tells)
    (number,) = {bag.walk_number for bag in bags(shop)}
    assert number != walk.number
    assert {bag.cart_position for bag in bags(shop)} == {1, 2}
    release(shop, tmp_path)
    send(shop, "NOW")
    assert line_at(shop, "NOW", 1) == {"shipped": 2}
    key(shop, "TOO", ("REED-A", 1), minutes=12)
    with pytest.raises(StateRefused, match="has not left"):
        rush_order(shop, "TOO", day=DAY, **WHO, onto=number)


def test_a_walk_is_split_when_its_picker_falls_ill(shop: Shop, tmp_path: Path) -> None:
    """What comes after a stop is a walk of its own, released, with the same bags; no piece moves."""
    parts = ("PIN-08", "REED-A", "SPRING-2", "FELT-9", "SCREW-3", "DISC-21")
    walk = on_paper(shop, tmp_path, *[(part, 3) for part in parts])
    before, codes = both(shop), {bag.code: bag.stop_no for bag in bags(shop)}

    done = split_walk(shop, walk.number, 2, **WHO)

    assert done.tells
    assert both(shop) == before
    first = {bag.code for bag in bags(shop, walk_number=walk.number)}
    assert first == {code for code, stop in codes.items() if stop <= 2}
    (other,) = {bag.walk_number for bag in bags(shop)} - {walk.number}
    with shop.reading() as books:
        assert books.need(WalkRecord, other).released_at is not None
        assert books.need(WalkRecord, walk.number).stops == 2
        assert books.need(WalkRecord, other).stops == len(set(codes.values())) - 2
    send(shop, "A-1")
    assert state_of(shop, "A-1") == "shipped"


@pytest.mark.parametrize("after", [0, 99, -1])
def test_a_walk_is_not_split_where_nothing_is_left_of_it(shop: Shop, tmp_path: Path, after: int) -> None:
    """Before its first stop or after its last there is nothing to split."""
    walk = on_paper(shop, tmp_path, ("PIN-08", 3), ("SPRING-2", 3))

    with pytest.raises(StateRefused, match=walk.number):
        split_walk(shop, walk.number, after, **WHO)


def test_a_walk_is_handed_over(shop: Shop, say: Callable[..., dict], tmp_path: Path) -> None:
    """The next picker has it, and may begin it; no piece moves."""
    walk = on_paper(shop, tmp_path, ("PIN-08", 3))
    say("walks", "begin", walk.number, by="tama")
    before = both(shop)

    done = hand_over_walk(shop, walk.number, "moana", at=NOW, person="tama")

    assert any("moana" in tell for tell in done.tells)
    assert both(shop) == before
    say("walks", "begin", walk.number, by="moana", minutes=9)


def test_a_walk_that_someone_has_begun_is_not_begun_by_another(
    shop: Shop, say: Callable[..., dict], tmp_path: Path
) -> None:
    """The second person is told who is on it; a walk that changes hands is handed over."""
    key(shop, "A-1", ("REED-A", 5))
    plan(shop)
    (walk,) = release(shop, tmp_path)
    say("walks", "begin", walk.number, by="tama")

    refused = say("walks", "begin", walk.number, by="moana", minutes=9, leaves=(2,))

    assert "tama" in refused["refused"]["says"]


def test_a_customer_who_calls_while_the_walk_is_on_is_told_and_so_is_the_bench(shop: Shop, tmp_path: Path) -> None:
    """Fewer pieces in mid-walk: the bag that is too many is pulled, put back, and every piece is somewhere."""
    on_paper(shop, tmp_path, ("REED-A", 9), ("FELT-9", 3))

    done = change_lines(shop, "A-1", {1: 4, 2: 0}, **WHO)

    assert {bag.line_no for bag in done.pulled} == {1, 2}
    assert sum(line_at(shop, "A-1", 1).values()) == 9
    assert line_at(shop, "A-1", 2) == {"cancelled": 3}
    for bag in done.pulled:
        put_back(shop, bag.bag_code, **WHO)
    plan(shop)
    release(shop, tmp_path)
    send(shop, "A-1")
    assert line_at(shop, "A-1", 1) == {"shipped": 4, "cancelled": 5}
    assert level(shop, "MOANA-2") == 120


def test_a_bag_that_is_never_found_is_planned_again(shop: Shop, tmp_path: Path) -> None:
    """Its pieces are gone from the books with a reason; the order wants them again and gets them."""
    on_paper(shop, tmp_path, ("REED-A", 9), ("FELT-9", 3))
    (bag,) = bags(shop, line_no=1)

    done = bag_missing(shop, bag.code, day=DAY, **WHO)

    assert any(bag.code in tell for tell in done.tells)
    assert bag.code not in {one.code for one in bags(shop)}
    assert sum(line_at(shop, "A-1", 1).values()) == 9
    plan(shop)
    release(shop, tmp_path)
    send(shop, "A-1")
    assert line_at(shop, "A-1", 1) == {"shipped": 9}


@pytest.mark.parametrize("found", [9, 8, 0])
def test_a_bag_that_turns_up_again_is_counted_back(shop: Shop, tmp_path: Path, found: int) -> None:
    """A bag that was missing, is found and put back with the pieces that lie in it; all that is there adds up."""
    on_paper(shop, tmp_path, ("REED-A", 9))
    (bag,) = bags(shop)
    start = level(shop, bag.bin_code)
    bag_missing(shop, bag.code, day=DAY, **WHO)

    bag_found(shop, bag.code, found, **WHO)

    assert level(shop, bag.bin_code) == start - 9 + found
    with pytest.raises(StateRefused, match=bag.code):
        bag_found(shop, bag.code, found, **WHO)


def test_a_bag_found_twice_is_not_booked_twice(shop: Shop, tmp_path: Path) -> None:
    """A bag that is at the bench can't be found as well: whoever has its twin is told what to do, no piece moves."""
    on_paper(shop, tmp_path, ("REED-A", 9))
    (bag,) = bags(shop)
    before = both(shop)

    told = bag_found(shop, bag.code, 9, **WHO)

    assert any(bag.code in tell and "twin" in tell for tell in told.tells)
    assert any(f"fulfil bins count {bag.bin_code}" in tell for tell in told.tells)
    assert both(shop) == before


@pytest.mark.parametrize("take_apart", [False, True])
def test_a_package_that_comes_back_is_in_the_house_again(shop: Shop, tmp_path: Path, take_apart: bool) -> None:
    """The consignee was away: it goes out again as it is, or is taken apart and its pieces go to their bins."""
    on_paper(shop, tmp_path, ("REED-A", 9), ("FELT-9", 3))
    closed = send(shop, "A-1")
    before = {code: level(shop, code) for code in ("TAI-2", "WAKA-3", "MOANA-2")}

    done = package_returned(shop, closed.packages[0].number, "nobody at home", **WHO, take_apart=take_apart)

    assert done.tells
    for line_no, pieces in ((1, 9), (2, 3)):
        assert sum(line_at(shop, "A-1", line_no).values()) == pieces
    assert [place for places in stock(shop).values() for place in places if place[0] == "handed over"] == []
    if take_apart:
        assert line_at(shop, "A-1", 1) == {"cancelled": 9}
        for bag in _pulled(shop):
            before[bag.bin_code] += bag.pieces
            put_back(shop, bag.bag_code, **WHO)
    else:
        pack(shop, "A-1")
        ship(shop)
        assert line_at(shop, "A-1", 1) == {"shipped": 9}
    assert {code: level(shop, code) for code in before} == before


def test_a_claim_is_settled_with_what_was_lacking(shop: Shop, tmp_path: Path) -> None:
    """Two of nine were lacking: a replacement order of two, at no price, goes the way of every order."""
    on_paper(shop, tmp_path, ("REED-A", 9))
    send(shop, "A-1")
    claim = add_claim(shop, "A-1", 1, ClaimCause.SHORT, **WHO, pieces=2, says="only seven")

    replace_claim(shop, claim.number, 2, **WHO)

    with shop.reading() as books:
        (line,) = [one for one in books.find(OrderLine) if one.order_number != "A-1"]
    assert (line.part_number, line.pieces, line.unit_price_minor) == ("REED-A", 2, 0)
    assert line_at(shop, "A-1", 1) == {"shipped": 9}
    plan(shop)
    release(shop, tmp_path)
    send(shop, line.order_number)
    assert line_at(shop, line.order_number, 1) == {"shipped": 2}
    with pytest.raises(StateRefused, match=claim.number):
        replace_claim(shop, claim.number, 2, **WHO)


def test_pieces_that_come_back_are_there_again_or_scrapped(shop: Shop, tmp_path: Path) -> None:
    """3 of 9 reeds booked back, 1 scrapped: the order still says that 9 were sent."""
    on_paper(shop, tmp_path, ("REED-A", 9))
    send(shop, "A-1")
    before = level(shop, "TAI-2")

    take_back(shop, "A-1", 1, Outcome.BOOKED_BACK, "too many", **WHO, counted=3, bin_code="TAI-2")
    take_back(shop, "A-1", 1, Outcome.SCRAPPED, "bent", **WHO, counted=1, bin_code="TAI-2")

    assert level(shop, "TAI-2") == before + 3
    assert line_at(shop, "A-1", 1) == {"shipped": 9}
    places: dict[str, int] = {}
    for (place, _), pieces in stock(shop)["REED-A"].items():
        places[place] = places.get(place, 0) + pieces
    assert places == {"bin": 46 - 9 + 3, "handed over": 5, "scrapped": 1}


def _pulled(shop: Shop) -> list[PulledBag]:
    with shop.reading() as books:
        return books.find(PulledBag)
