"""A second person's eyes, at a moment that can be: no badge, name or clock gets a bag past them."""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from fulfil.bench.check import Seen, check_bag
from fulfil.bench.check_station import CheckBench
from fulfil.bench.places import note_picker
from fulfil.checking.saying import Say, Sound
from fulfil.errors import StateRefused
from fulfil.records.plan import Bag, BagState, WalkRecord
from fulfil.records.revised import revised
from fulfil.records.weighing import WeighingRecord
from fulfil.store.shop import Shop, open_shop
from tests.bench_shop import AT, bench_shop

WALK = "W2603020001"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Two orders of two bags, on paper since nine o'clock."""
    bench_shop(tmp_path / "shop.db", orders=2, bags=2)
    with open_shop(tmp_path / "shop.db") as opened:
        yield opened


def bag_of(shop: Shop) -> Bag:
    """A bag that is weighed."""
    with shop.reading() as books:
        return next(bag for bag in books.find(Bag) if bag.target_g is not None)


def right(bag: Bag) -> Seen:
    """Its weight is right."""
    return Seen(gross_g=bag.target_g, scale_code=bag.scale_code)


def weigh(bench: CheckBench, bag: Bag) -> Say:
    """Looked at and weighed."""
    bench.enter("ok", at=AT)
    return bench.enter(f"{bag.target_g:.2f} g", at=AT)


def test_the_picker_signs_in_after_the_bag_was_taken(shop: Shop) -> None:
    """Anna takes the bag in hand, Rangi who picked it weighs: it is refused, and waits for another person."""
    note_picker(shop, WALK, at=AT, person="rangi")
    bag, bench = bag_of(shop), CheckBench(shop, "check-1", person="anna")
    bench.open()
    bench.enter(bag.code, at=AT)
    bench.enter("@rangi", at=AT)

    told = weigh(bench, bag)

    assert (told.sound, told.big) == (Sound.REFUSED, "")
    assert "a checker who isn't its picker; rangi picked it" in told.headline
    assert bag_of(shop).state is BagState.PLANNED


def test_the_picker_by_command(shop: Shop) -> None:
    """The same door, whoever asks."""
    note_picker(shop, WALK, at=AT, person="rangi")
    with pytest.raises(StateRefused, match="rangi picked it"):
        check_bag(shop, bag_of(shop).code, right(bag_of(shop)), at=AT, person="rangi")


def test_two_people_under_one_bench_name_check_a_bag_once(shop: Shop) -> None:
    """Both have the bag on their screen; one weighs first, the other is told, and there is one weighing."""
    bag = bag_of(shop)
    first, second = (CheckBench(shop, "bench", person=person) for person in ("anna", "ben"))
    first.open()
    first.enter(bag.code, at=AT)
    second.open()
    assert second.state.bag is not None

    assert weigh(first, bag).big == "PASSED"
    told = weigh(second, bag)

    assert (told.sound, told.big) == (Sound.REFUSED, "")
    with shop.reading() as books:
        assert [one.person for one in books.find(WeighingRecord, subject=bag.code)] == ["anna"]


@pytest.mark.parametrize(("minutes", "is_taken"), [(-11, False), (-9, True), (0, True)])
def test_no_bag_is_checked_before_its_walk_was_on_paper(shop: Shop, minutes: int, is_taken: bool) -> None:
    """A clock that is years behind writes no weighing; two clocks may differ by ten minutes."""
    with shop.writing() as books:
        books.replace([revised(books.need(WalkRecord, WALK), {"released_at": AT})])
    bag, at = bag_of(shop), AT + timedelta(minutes=minutes)
    if is_taken:
        assert check_bag(shop, bag.code, right(bag), at=at, person="anna").bag.state is BagState.PASSED
        return
    with pytest.raises(StateRefused, match="when its walk was released; set the clock: it says 2026"):
        check_bag(shop, bag.code, right(bag), at=at, person="anna")
