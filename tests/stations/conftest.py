"""A bench shop with pages, and what the tests ask of it."""

import shutil
from collections.abc import Iterator
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from tempfile import mkdtemp
from types import SimpleNamespace
from typing import Any

import pytest
from starlette.types import ASGIApp, Receive, Scope, Send

from fulfil.records.plan import Bag
from fulfil.stations.server import make_server
from fulfil.store.shop import Shop, open_shop
from tests.bench_shop import AT, bench_shop
from tests.stations.browser import CHROMIUM, at_the_door, needs_chromium
from tests.stations.tablet import house_of, let_in, listening


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


class Switch:
    """One server for all tests: it answers with the pages of the test that runs."""

    app: ASGIApp | None = None

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """As the test's own server would answer."""
        assert self.app is not None
        await self.app(scope, receive, send)


@pytest.fixture(scope="session")
def switch() -> Iterator[tuple[Switch, str]]:
    """The server of the run, with its address."""
    switch = Switch()
    with listening(switch) as address:
        yield switch, address


@pytest.fixture(scope="session")
def chromium() -> Iterator[Any]:
    """One browser for all tests."""
    with needs_chromium().sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield browser
        browser.close()


@pytest.fixture
def opened(chromium, switch, house) -> Iterator[SimpleNamespace]:
    """The pages served, and a browser that is at their door."""
    switch[0].app = make_server(house)
    opened = at_the_door(chromium, switch[1], house)
    yield opened
    opened.context.close()


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
        let_in(
            made,
            AT,
            ("anna", "check pack"),
            ("carla", "pick"),
            ("mara", "owner"),
            ("ben", "check"),
            ("dora", "clerk"),
            ("emil", "make"),
        )
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
