"""A shop file with the tiny shop's records in it."""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from fulfil.records.pieces import bin_move
from fulfil.records.tiny import BAG, BIN, BOX, LINE, ORDER, PART, SERVICE
from fulfil.store.shop import Shop, open_shop

NOW = datetime(2026, 3, 2, 8, tzinfo=UTC)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where the test's shop is."""
    return tmp_path / "shop.db"


@pytest.fixture
def shop(path: Path) -> Iterator[Shop]:
    """The tiny shop, opened; a locked one gives up after 0.2 s."""
    with open_shop(path, create=True, wait_s=0.2) as opened:
        with opened.writing() as books:
            books.add([BIN.model_copy(update={"pieces": 0}), PART, BAG, BOX, SERVICE])
            counted = bin_move(part_number="BALL-3", bin_code=BIN.code, pieces=40, reason="counted", source="test")
            books.move(stock=[counted], at=NOW, person="ann")
            books.add_orders([(ORDER, [LINE])])
        yield opened
