"""The harbour shop for stories, and a way to say ``fulfil …`` about it."""

import json
from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner
from fulfil_cli.main import main

from fulfil.store.shop import Shop
from tests.harbour_shop import NOW, open_harbour

DATABASE_WORDS = ("constraint", "foreign key", "unique", "sqlite", "integrityerror", "not null")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The harbour shop on its first morning."""
    with open_harbour(tmp_path) as opened:
        yield opened


@pytest.fixture
def say(shop: Shop) -> Callable[..., dict]:
    """Says ``fulfil …`` and gives the answer for programs; whatever is said, no database's words."""

    def told(*words: str, leaves: tuple[int, ...] = (0, 1), by: str = "ngaio", minutes: int = 0) -> dict:
        at = NOW + timedelta(minutes=minutes)
        more = ["--shop", shop.where, "--at", at.isoformat(), "--by", by, "--json"]
        ran = CliRunner().invoke(main, [*words, *more], catch_exceptions=False)
        assert not [word for word in DATABASE_WORDS if word in ran.output.casefold()], ran.output
        assert ran.exit_code in leaves, ran.output
        return json.loads(ran.stdout)

    return told
