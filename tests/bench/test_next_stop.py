"""Bags of neighbouring stops lie side by side on the cart: when their labels are swapped, the check says which one."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from fulfil.bench.check import Seen, check_bag
from fulfil.records.plan import Bag
from fulfil.records.weighing import Verdict
from fulfil.store.shop import Shop, open_shop
from tests.bench_shop import AT, bench_shop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """One order of six bags at six stops, each of another part."""
    path = tmp_path / "shop.sqlite"
    bench_shop(path, orders=1, bags=6)
    with open_shop(path) as opened:
        yield opened


@pytest.mark.parametrize(("stop", "weighs_like", "is_said"), [(3, 4, True), (4, 3, True), (4, 5, True), (5, 2, False)])
def test_the_bag_of_the_next_stop_or_the_last_is_thought_of(
    shop: Shop, stop: int, weighs_like: int, is_said: bool
) -> None:
    """A bag weighs what its neighbour's should: swapped labels are named; a bag three stops away isn't beside it."""
    with shop.reading() as books:
        bags = {bag.stop_no: bag for bag in books.find(Bag)}
    gross_g = bags[weighs_like].target_g
    assert gross_g is not None

    done = check_bag(shop, bags[stop].code, Seen(gross_g=gross_g), at=AT, person="anna")

    assert done.verdict.verdict is not Verdict.PASSED
    other = bags[weighs_like]
    told = f"This is the bag of {other.pieces} {other.part_number}. Swap the labels back."
    assert any(told in cause for cause in done.verdict.likely_causes) is is_said, done.verdict.likely_causes
