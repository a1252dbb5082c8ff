"""Again is safe: a command with a key of its own is done once, whenever the one who asked was cut off."""

import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from fulfil_cli.main import main

from fulfil.records.bench import Recount
from fulfil.records.plan import Bag, WalkRecord
from fulfil.records.weighing import WeighingRecord
from fulfil.store.books import Books
from fulfil.store.shop import Shop, open_shop
from tests.bench_shop import AT, bench_shop

KEY = "bench-1-000017"


@pytest.fixture
def say(tmp_path: Path) -> Callable[..., Result]:
    """Runs a command on the bench shop."""
    path = tmp_path / "shop.sqlite"
    bench_shop(path, orders=1, bags=2)

    def run(*words: str) -> Result:
        return CliRunner().invoke(main, [*words, "--shop", str(path), "--at", AT.isoformat(), "--json"])

    return run


@pytest.fixture
def shop(tmp_path: Path, say: Callable[..., Result]) -> Iterator[Shop]:
    """The same shop, opened."""
    assert callable(say)
    with open_shop(tmp_path / "shop.sqlite") as opened:
        yield opened


def light(shop: Shop) -> list[str]:
    """The words that say that a bag is far too light."""
    with shop.reading() as books:
        bag = next(one for one in books.find(Bag) if one.target_g is not None)
    assert bag.lower_g is not None
    return ["bags", "check", bag.code, "--gross", f"{bag.lower_g - 3:.2f}"]


class Killed(BaseException):
    """Nothing after this line is run, as after kill -9."""


@contextmanager
def killed_after(commits: int) -> Iterator[None]:
    """The program ends right after so many commits."""
    real, left = Shop.writing, [commits]

    @contextmanager
    def writing(self: Shop, **how: Any) -> Iterator[Books]:
        if left[0] == 0:
            raise Killed
        with real(self, **how) as books:
            yield books
        left[0] -= 1
        if left[0] == 0:
            raise Killed

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Shop, "writing", writing)
        yield


@pytest.mark.parametrize("commits", [1, 2])
def test_a_recount_is_one_recount(say: Callable[..., Result], shop: Shop, commits: int) -> None:
    """Killed after the verdict was on the disk, or after its answer was: the second time nothing is counted again."""
    words = [*light(shop), "--key", KEY]
    with killed_after(commits), pytest.raises(Killed):
        say(*words)

    again = json.loads(say(*words).stdout)

    assert again["done_before"] is True
    assert again.get("verdict") == (None if commits == 1 else "recount")
    with shop.reading() as books:
        assert (books.count(Recount), books.count(WeighingRecord)) == (1, 1)
    # Without a key it is another weighing, as at a bench.
    say(*light(shop))
    with shop.reading() as books:
        assert books.count(Recount) == 2


def test_before_the_commit_it_is_not_done(say: Callable[..., Result], shop: Shop) -> None:
    """Nothing was written: the second time is the first."""
    words = [*light(shop), "--key", KEY]

    def kill(*_: object) -> None:
        raise Killed

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("fulfil.store.shop.seal", kill)
        with pytest.raises(Killed):
            say(*words)

    again = json.loads(say(*words).stdout)

    assert (again["done_before"], again["verdict"]) == (False, "recount")
    with shop.reading() as books:
        assert books.count(Recount) == 1


def test_the_answer_is_the_same_and_the_key_is_for_one_thing(say: Callable[..., Result], shop: Shop) -> None:
    """Asked again it answers and leaves as before; another step with that key is refused."""
    words = [*light(shop), "--key", KEY]
    first, again = say(*words), say(*words)
    assert (first.exit_code, again.exit_code) == (1, 1)
    assert json.loads(first.stdout) | {"done_before": True} == json.loads(again.stdout)
    other = say("walks", "plan", "--key", KEY)
    assert other.exit_code == 2
    assert "what was asked with this key before" in other.output
    assert say(*light(shop), "--key", "short").exit_code == 2


def test_a_plan_keeps_its_numbers(say: Callable[..., Result], shop: Shop) -> None:
    """A plan that was asked for twice takes its numbers once."""
    first = say("walks", "plan", "--key", KEY)
    with shop.reading() as books:
        numbers = [one.number for one in books.find(WalkRecord)]
    again = say("walks", "plan", "--key", KEY)
    assert first.exit_code == again.exit_code
    with shop.reading() as books:
        assert [one.number for one in books.find(WalkRecord)] == numbers
