"""A proven bound is kept beside the plan that it is about, and written down."""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from fulfil.errors import StateRefused
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.happening import Happening
from fulfil.records.plan import PlanRecord
from fulfil.store.shop import Shop
from fulfil.walks.prove import keep_bound
from tests.harbour_shop import DAY, WHO, key, open_harbour, plan


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The harbour shop with one order planned."""
    with open_harbour(tmp_path) as opened:
        key(opened, "A-1", ("SPRING-2", 4))
        plan(opened)
        yield opened


def test_the_better_of_two_bounds_stays_and_both_are_written_down(shop: Shop) -> None:
    """30 m, then 20 m from a shorter proof: 30 m is what holds."""
    keep_bound(shop, 30_000, is_closed=True, day=DAY, **WHO)
    keep_bound(shop, 20_000, is_closed=False, day=DAY, **WHO)
    with shop.reading() as books:
        (record,) = books.find(PlanRecord, day=DAY)
        told = [json.loads(one.particulars) for one in books.find(JournalEntry, event=Happening.PLAN_BOUNDED)]
    assert (record.bound_mm, record.bound_is_closed) == (30_000, True)
    assert told == [{"bound_mm": 30_000, "closed": True}, {"bound_mm": 20_000, "closed": False}]


def test_a_day_without_a_plan_has_no_bound(tmp_path: Path) -> None:
    """Refused in words."""
    with open_harbour(tmp_path) as empty, pytest.raises(StateRefused):
        keep_bound(empty, 30_000, is_closed=True, day=DAY, **WHO)
