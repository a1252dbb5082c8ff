"""A step's day is the shop's own: a shop at UTC+12:45, whose morning is still yesterday in UTC."""

from collections.abc import Iterator
from datetime import UTC, timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from fulfil.bench.check import Seen, check_bag
from fulfil.counting.sample_estimate import Sample
from fulfil.counting.samples import take_sample
from fulfil.despatch.claims import add_claim, claim_frame
from fulfil.records.bench import Recount
from fulfil.records.despatch.claim import ClaimCause
from fulfil.records.part import Part
from fulfil.records.plan import WalkRecord
from fulfil.store.shop import Shop
from fulfil.walks.second_looks import reasons_of_walk
from tests.harbour_shop import DAY, NOW, bags, key, open_harbour, plan, release, send

IN_UTC = NOW.astimezone(UTC)
assert IN_UTC.date() == DAY - timedelta(days=1)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The harbour shop, one order of cams on a released walk."""
    with open_harbour(tmp_path) as opened:
        key(opened, "A-1", ("CAM-7", 4))
        plan(opened)
        release(opened, tmp_path / "papers")
        yield opened


def test_a_claim_of_this_morning_is_of_today(shop: Shop) -> None:
    """It is asked for since today's midnight in the shop, which is yesterday noon in UTC."""
    send(shop, "A-1")
    add_claim(shop, "A-1", 1, ClaimCause.SHORT, at=IN_UTC, person="huia", pieces=1)

    with shop.reading() as books:
        assert claim_frame(books, since=DAY)["claims"].tolist() == [1]
        assert claim_frame(books, since=DAY + timedelta(days=1)).empty


def test_a_sample_of_this_morning_is_as_of_today(shop: Shop) -> None:
    """Its unit weight carries the day on which the shop weighed it."""
    taken = take_sample(shop, "CAM-7", Sample(50, Decimal("420.10")), at=IN_UTC, person="ngaio", scale_code="KOTARE")

    assert taken.after is not None
    assert taken.after.as_of == DAY


def test_a_mistake_of_this_morning_is_no_earlier_one(shop: Shop) -> None:
    """A checklist counts what happened before its walk's day, and that day began at the shop's midnight."""
    (bag,) = bags(shop, order_number="A-1")
    assert bag.target_g is not None
    check_bag(shop, bag.code, Seen(gross_g=bag.target_g - 9, scale_code="KOTARE"), at=IN_UTC, person="piripi")

    with shop.reading() as books:
        assert len(books.find(Recount)) == 1
        walk = books.need(WalkRecord, bag.walk_number)
        reasons = reasons_of_walk(books, walk, [bag], {"CAM-7": books.need(Part, "CAM-7")}, {})
    assert not [reason for reason in reasons[bag.code] if "sent back" in reason]
