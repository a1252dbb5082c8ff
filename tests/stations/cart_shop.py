"""The harbour shop with one walk on paper, for the cart: bins in two places, a dead end, another time zone."""

import shutil
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

import pytest

from fulfil.records.plan import Bag, WalkRecord
from fulfil.store.shop import Shop, open_shop
from tests.harbour_shop import NOW, key, open_harbour, plan, release
from tests.stations.conftest import Clock
from tests.stations.tablet import let_in

WALK = "W2607140001"
"""The only walk's number, known before the shop is made: a test's module asks for it when it is collected."""


@cache
def _template() -> Path:
    """The shop with its people and its walk, made once."""
    folder = Path(mkdtemp())
    with open_harbour(folder) as made:
        for number in range(1, 6):
            key(made, f"H-{number}", ("SPRING-2", 3 + number), ("FELT-9", 2), ("KIT-D", 1), minutes=number)
        plan(made)
        release(made, folder)
        let_in(made, NOW, ("carla", "pick"), ("mara", "owner"), ("anna", "check pack"), ("dora", "clerk"))
        with made.reading() as books:
            assert [walk.number for walk in books.find(WalkRecord)] == [WALK]
    return folder / "harbour.db"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """A copy of it, opened."""
    shutil.copy(_template(), tmp_path / "shop.sqlite")
    with open_shop(tmp_path / "shop.sqlite") as shop:
        yield shop


@pytest.fixture
def clock() -> Clock:
    """It stands at the shop's morning until it is moved."""
    return Clock(NOW)


@pytest.fixture
def bags(shop: Shop) -> list[Bag]:
    """The bags by code: ten from MOANA-2, five from MOANA-1, five from MOANA-4."""
    with shop.reading() as books:
        return books.find(Bag)
