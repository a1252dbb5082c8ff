"""A bench shop with pages, and what the tests ask of it."""

import shutil
from collections.abc import Iterator
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

import pytest

from fulfil.records.plan import Bag
from fulfil.store.shop import Shop, open_shop
from tests.bench_shop import AT, bench_shop
from tests.stations.tablet import house_of, let_in


class Clock:
    """A clock that the test moves."""

    def __init__(self, at: datetime) -> None:
        self.now = at

    def __call__(self) -> datetime:
        """The time."""
        return self.now

    def passes(self, **time: float) -> None:
        """Some time goes by."""
        self.now += timedelta(**time)


@pytest.fixture
def clock() -> Clock:
    """It stands until it is moved."""
    return Clock(AT)


@cache
def _template() -> Path:
    """The shop with its people, made once."""
    path = Path(mkdtemp()) / "template.sqlite"
    bench_shop(path, orders=2, bags=4)
    with open_shop(path) as made:
        let_in(made, AT, ("anna", "check pack"), ("carla", "pick"), ("mara", "owner"), ("ben", "check"))
    return path


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Two orders of four bags each on one walk; the sixth is counted by hand, the others are weighed.

    Anna checks and packs, carla picks, mara owns, ben checks.
    """
    shutil.copy(_template(), tmp_path / "shop.sqlite")
    with open_shop(tmp_path / "shop.sqlite") as shop:
        yield shop


@pytest.fixture
def house(shop: Shop, clock: Clock):
    """Its pages."""
    return house_of(shop, clock)


@pytest.fixture
def bags(shop: Shop) -> list[Bag]:
    """The bags by code."""
    with shop.reading() as books:
        return books.find(Bag)
