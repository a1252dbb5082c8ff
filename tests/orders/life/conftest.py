"""The shop that these tests begin with."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from fulfil.store.shop import Shop, open_shop
from tests.orders.life.steps import fill


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The small invented shop."""
    with open_shop(tmp_path / "shop.db", create=True, wait_s=5) as opened:
        fill(opened)
        yield opened
