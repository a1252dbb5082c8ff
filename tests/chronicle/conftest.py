"""The shop that every chronicle begins with."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from fulfil.store.shop import Shop
from tests.harbour_shop import open_harbour


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The harbour shop on its first morning."""
    with open_harbour(tmp_path) as opened:
        yield opened
