"""Planning and releasing beside the bench: nobody waits for a search, and no plan rests on what was."""

from pathlib import Path
from typing import Any

import pytest

from fulfil.errors import StateRefused
from fulfil.orders.verify import verify_shop
from fulfil.records.place import Bin
from fulfil.records.plan import Bag, BagState, WalkRecord
from fulfil.records.revised import revised
from fulfil.room.walk import Walk, shortest_walk
from fulfil.shop import printing
from fulfil.stock.levels import count_bin
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from fulfil.walks import plan as planning
from fulfil.walks import releasing
from fulfil.walks.papers import WalkSheets, walk_sheets
from fulfil.walks.plan import plan_day
from fulfil.walks.sketch import Seen, Sketch, search, still_so
from tests.harbour_shop import DAY, NOW, WHO, bags, check, key, level, open_harbour, plan, release


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """A first order is on paper and waits at the bench, a second is to be planned."""
    shop = open_harbour(tmp_path)
    key(shop, "FIRST", ("SPRING-2", 20))
    plan(shop)
    release(shop, tmp_path)
    key(shop, "SECOND", ("SPRING-2", 30), ("FELT-9", 4))
    return shop


def test_the_bench_weighs_while_a_plan_is_searched(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """A bag of the same part, from the same bin, passes in the middle of the search; the plan stands, searched once."""
    searched = []

    def beside(seen: Seen) -> Sketch:
        searched.append(len(check(shop, "FIRST")))
        return search(seen)

    monkeypatch.setattr(planning, "search", beside)

    planned = plan(shop)

    assert searched == [1]
    assert planned.bags == len(bags(shop, order_number="SECOND")) > 0
    assert {bag.state for bag in bags(shop, order_number="FIRST")} == {BagState.PASSED}


def test_the_bench_weighs_while_walks_and_bags_are_made_of_the_plan(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A bag passes while the way through the room is found: under the lock the bench would be refused."""
    measured = shortest_walk
    passed = []

    def beside(*given: object) -> Walk:
        passed.append(len(check(shop, "FIRST")))
        return measured(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(planning, "shortest_walk", beside)

    planned = plan(shop)

    assert passed[0] == 1
    assert planned.bags == len(bags(shop, order_number="SECOND")) > 0
    assert verify_shop(shop) == ()


def test_a_plan_on_stock_that_went_is_searched_again(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """While it is searched every bin of the part is counted empty: the plan that is written promises none of it."""
    with shop.reading() as books:
        places = [place.code for place in books.find(Bin, part_number="FELT-9")]
    searched = []

    def beside(seen: Seen) -> Sketch:
        if not searched:
            for code in places:
                count_bin(shop, code, 0, **WHO)
        searched.append(seen.asked.day)
        return search(seen)

    monkeypatch.setattr(planning, "search", beside)

    planned = plan(shop)

    assert len(searched) == 2
    assert planned.short_lines == 1
    assert [level(shop, code) for code in places] == [0] * len(places)
    assert {bag.part_number for bag in bags(shop, order_number="SECOND")} == {"SPRING-2"}


def test_stock_that_never_rests_is_planned_while_everybody_waits(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    """A new order comes in during each search: the last one is short and nobody can come between."""
    came: list[str] = []
    efforts = []

    def beside(seen: Seen) -> Sketch:
        efforts.append(seen.asked.effort)
        if len(came) < planning.MOST_SKETCHES:  # then nobody can: the plan is made while they wait
            came.append(f"MORE-{len(came)}")
            key(shop, came[-1], ("SPRING-2", 1))
        return search(seen)

    monkeypatch.setattr(planning, "search", beside)

    plan_day(shop, day=DAY, at=NOW, person="ngaio", effort="quick")

    assert efforts == ["quick"] * planning.MOST_SKETCHES + ["none"]
    for number in ("SECOND", *came):
        assert bags(shop, order_number=number) != []
    assert verify_shop(shop) == ()


@pytest.mark.parametrize("is_resting", [True, False])
def test_what_the_moves_come_to_is_found_out_before_anybody_waits(
    shop: Shop, monkeypatch: pytest.MonkeyPatch, *, is_resting: bool
) -> None:
    """Without the lock; with it only beside somebody who saves each time, and whom the plan doesn't concern."""
    looked = []

    def beside(books: Books, seen: Seen) -> bool:
        is_so = still_so(books, seen)
        looked.append(books._is_writing)
        if not is_resting and not books._is_writing:
            with shop.writing() as others:
                others.next_number("somebody's")
        return is_so

    monkeypatch.setattr(planning, "still_so", beside)

    planned = plan(shop)

    assert looked == ([False] if is_resting else [*[False] * 10, True])
    assert planned.bags == len(bags(shop, order_number="SECOND")) > 0
    assert verify_shop(shop) == ()


def test_a_walk_whose_bag_went_elsewhere_while_its_papers_were_compared_is_not_released(
    shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The papers are the plan's when they are compared, and no longer when the shop is had: it is looked again."""
    plan(shop)
    made = walk_sheets
    compared = []

    def beside(books: Books, walk: WalkRecord, **given: Any) -> WalkSheets:
        sheets = made(books, walk, **given)
        compared.append(walk.number)
        if len(compared) == 2:  # once for the printer, once to be compared
            key(shop, "THIRD", ("SPRING-2", 5))
            plan(shop)
        return sheets

    monkeypatch.setattr(releasing, "walk_sheets", beside)
    with shop.reading() as books:
        (before,) = books.find(WalkRecord, released_at=None)

    with pytest.raises(StateRefused, match="release again"):
        releasing.release_walks(shop, [before.number], tmp_path / "papers", at=NOW, person="ngaio")

    assert [bag.walk_number for bag in bags(shop, order_number="SECOND") if bag.walk_number == before.number] == []
    assert verify_shop(shop) == ()


def test_the_bench_weighs_while_papers_are_printed(shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The first order's bag passes while the second's walk is on the printer."""
    plan(shop)
    printed = []

    def beside(*args: object, **given: object) -> list[Path]:
        printed.append(len(check(shop, "FIRST")))
        return printing.print_sheets(*args, **given)  # type: ignore[arg-type]

    monkeypatch.setattr(releasing, "print_sheets", beside)

    walks = release(shop, tmp_path)

    assert printed == [1]
    assert len(walks) == 2
    assert {bag.state for bag in bags(shop, order_number="FIRST")} == {BagState.PASSED}


def test_a_walk_planned_anew_while_it_is_printed_is_not_released_by_the_old_paper(
    shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its number is gone when the release comes: refused in words, and the new plan waits for its own papers."""
    plan(shop)
    with shop.reading() as books:
        (before,) = books.find(WalkRecord, released_at=None)

    def beside(*args: object, **given: object) -> list[Path]:
        key(shop, "THIRD", ("SPRING-2", 5))
        plan(shop)
        return printing.print_sheets(*args, **given)  # type: ignore[arg-type]

    monkeypatch.setattr(releasing, "print_sheets", beside)

    with pytest.raises(StateRefused, match="release again"):
        releasing.release_walks(shop, [before.number], tmp_path / "papers", at=NOW, person="ngaio")

    with shop.reading() as books:
        waiting = books.find(WalkRecord, released_at=None)
        assert {bag.order_number for bag in books.find(Bag, walk_number=[walk.number for walk in waiting])} == {
            "SECOND",
            "THIRD",
        }


@pytest.mark.parametrize("is_another", [False, True])
def test_numbers_are_known_before_anybody_waits(
    shop: Shop, monkeypatch: pytest.MonkeyPatch, *, is_another: bool
) -> None:
    """Nothing is numbered under the lock, but where another plan was faster: then no number is there twice."""
    key(shop, "THIRD", ("REED-A", 5))
    searched, renumbered = [], []

    def beside(seen: Seen) -> Sketch:
        searched.append(seen.asked.only)
        if is_another and len(searched) == 1:
            assert plan_day(shop, day=DAY, effort="none", only=["THIRD"], **WHO)[0].bags == 1
        return search(seen)

    def counted(record: Bag | WalkRecord, now: dict[str, object]) -> Bag | WalkRecord:
        renumbered.append(record)
        return revised(record, now)

    monkeypatch.setattr(planning, "search", beside)
    monkeypatch.setattr(planning, "revised", counted)
    planned = plan_day(shop, day=DAY, effort="none", only=["SECOND"], **WHO)[0]

    mine, all_ = bags(shop, order_number="SECOND"), bags(shop)
    assert searched == ([("SECOND",), ("THIRD",)] if is_another else [("SECOND",)])
    assert len(mine) == planned.bags == 2
    assert len(renumbered) == (3 if is_another else 0)
    assert {bag.walk_number for bag in mine} == {planned.walks[0].number}
    assert [bag.code for bag in all_] == [f"B260714{number:04d}" for number in range(1, len(all_) + 1)]
