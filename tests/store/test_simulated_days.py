"""Simulated days of a small shop: people, kills, full disks and stale readings from one seed, books right throughout.

Thousands of days: ``python -m tests.benchmarks.faults.days --seeds 1 1000``. A seed that broke becomes a line here.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.benchmarks.faults.books_checked import BrokenBooksError
from tests.benchmarks.faults.days import simulate


@pytest.mark.parametrize("seed", [17])
def test_a_day_keeps_its_books(seed: int, tmp_path: Path) -> None:
    """After every step the books add up, what was told is so, and nothing is there twice."""
    ran = simulate(seed, tmp_path, steps=30)

    assert ran.seen["days"] == 1
    assert ran.seen["killed before the commit"] + ran.seen["killed after the commit"] > 0
    assert ran.seen["late refused"] == 1


def test_a_seed_is_a_day(tmp_path: Path) -> None:
    """The same seed ends with the same seal, so a day that broke can be looked at again."""
    seals = []
    for place, seed in enumerate((5, 5, 6)):
        (tmp_path / str(place)).mkdir()
        seals.append(simulate(seed, tmp_path / str(place), steps=2).seal)
    assert seals[0] == seals[1] != seals[2]


def test_a_key_that_is_not_kept_is_seen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The looking can fail: where a step forgets its key, two weighings of one key break the books."""

    def forgetful(
        shop: Any, station: str, key: str, asked: str, do: Callable[[Any], str], **_: Any
    ) -> tuple[str, bool]:
        return do(shop), False

    monkeypatch.setattr("tests.benchmarks.faults.people.once", forgetful)
    with pytest.raises(BrokenBooksError, match="0 keys, 1 checks"):
        simulate(17, tmp_path, steps=30)


def test_pieces_that_go_astray_are_seen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where a released bag is forgotten in one book, the next look at the books says so."""
    monkeypatch.setattr("fulfil.walks.releasing.release_bags", lambda *_, **__: None)
    with pytest.raises(BrokenBooksError):
        simulate(17, tmp_path, steps=30)
