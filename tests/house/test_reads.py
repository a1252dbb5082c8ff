"""No step of a day grows with the shop's age: what it reads is counted by the database itself.

A harbour shop's two days (:mod:`tests.harbour_shop`) are copied back in time, four times and sixty-four times. Every
verb then runs in both; the database counts the steps of its own machine, rows passed over included. A table that is
read whole takes thirteen times the steps; a search by key takes hardly more.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from fulfil_cli.main import main
from sqlalchemy import event
from sqlalchemy.engine import Engine

from fulfil.despatch.close import Word, close_day, settle_all
from fulfil.despatch.reconcile import reconcile_day
from fulfil.orders.verify import differences
from fulfil.records.plan import Bag, WalkRecord
from fulfil.store.shop import Shop, open_shop
from tests.benchmarks.age.aged_shop import age
from tests.harbour_shop import DAY, NOW, check, key, make_harbour, pack, plan, release, ship

TODAY = DAY + timedelta(days=2)
AT = NOW + timedelta(days=2)
EVERY = 10
"""Steps of the database's machine from one count to the next."""
MOST_GROWTH = 1.5
FEW = 1_500
"""Steps that a day's own search may differ by: indexes are deeper, pages fuller."""


def a_day(shop: Shop, folder: Path, at: datetime, letter: str) -> None:
    """Six orders keyed, planned, checked, packed and shipped."""
    day = at.date()
    for number in range(1, 7):
        asked = (("SPRING-2", number), ("FELT-9", 2))
        key(shop, f"{letter}{day:%y%m%d}-{number}", *asked, received_at=at)
    plan(shop, day=day, at=at)
    release(shop, folder, at=at)
    for number in range(1, 7):
        check(shop, f"{letter}{day:%y%m%d}-{number}", at=at)
        pack(shop, f"{letter}{day:%y%m%d}-{number}", at=at)
    ship(shop, day=day, at=at)
    words = [Word(one.code, "looked at", carry_over=True) for one in reconcile_day(shop, day=day).differences]
    settle_all(shop, words, day=day, at=at, person="huia")
    close_day(shop, day=day, at=at, person="huia")


@pytest.fixture(scope="module")
def shops(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A younger and an older shop, on the morning of the same day."""
    folder = tmp_path_factory.mktemp("reads")
    with make_harbour(folder / "harbour.db") as shop:
        for back in (0, 1):
            a_day(shop, folder, NOW + timedelta(days=back), "A")
    young = age(folder / "harbour.db", folder / "young.db", rounds=4)
    old = age(folder / "harbour.db", folder / "old.db", rounds=64)
    return young, old


@contextmanager
def counted() -> Iterator[list[int]]:
    """Counts the database's steps, in tens."""
    steps = [0]

    def more() -> int:
        steps[0] += 1
        return 0

    def watch(connection: Any, _: object) -> None:
        connection.set_progress_handler(more, EVERY)

    event.listen(Engine, "connect", watch)
    try:
        yield steps
    finally:
        event.remove(Engine, "connect", watch)


def steps_of(path: Path, work: Callable[[Path], object]) -> int:
    """How many steps a piece of work takes in a shop."""
    with counted() as steps:
        work(path)
    return steps[0] * EVERY


def run(*words: str, person: str = "huia") -> Callable[[Path], None]:
    """A verb of the command line; it may say that the shop must act."""

    def work(path: Path) -> None:
        asked = ["--shop", str(path), "--by", person, "--at", AT.isoformat()]
        ran = CliRunner().invoke(main, [*words, *asked], catch_exceptions=False)
        assert ran.exit_code in (0, 1), ran.output

    return work


def of_walk(*words: str) -> Callable[[Path], None]:
    """A verb about the last released walk."""

    def work(path: Path) -> None:
        with open_shop(path) as shop, shop.reading() as books:
            walk = books.need(WalkRecord, books.greatest(WalkRecord, "number"))
        run(*words, walk.number)(path)

    return work


def check_one(path: Path) -> None:
    """A bag of the day is weighed."""
    with open_shop(path) as shop, shop.reading() as books:
        walks = [walk.number for walk in books.find(WalkRecord, day=TODAY)]
        bags = books.find(Bag, walk_number=walks)
        bag = next((one for one in bags if one.target_g is not None), bags[0])
    seen = ["--counted", f"{bag.pieces}"] if bag.target_g is None else ["--gross", f"{bag.target_g:f}"]
    run("bags", "check", bag.code, *seen, person="piripi")(path)


ORDER = f"A{TODAY:%y%m%d}-1"
ADDED = (
    "orders", "add", "--number", ORDER, "--name", "Ngaio Ōrākei-Sample", "--street", "1 Sample Quay",
    "--city", "Te Whānau-Sample", "--country", "NZ", "--service", "ROAD", "--new-line", "SPRING-2:3",
    "--new-line", "FELT-9:2",
)  # fmt: skip
VERBS = [
    ("orders list", run("orders", "list")),
    ("orders show", run("orders", "show", ORDER)),
    ("orders why", run("orders", "why", ORDER)),
    ("orders combine", run("orders", "combine")),
    ("orders returns", run("orders", "returns")),
    ("orders pulled", run("orders", "pulled")),
    ("walks plan", run("walks", "plan", "--effort", "none")),
    ("walks release", run("walks", "release", "--out", "{papers}")),
    ("walks list", run("walks", "list")),
    ("walks begin", of_walk("walks", "begin")),
    ("walks end", of_walk("walks", "end")),
    ("walks schedule", run("walks", "schedule")),
    ("walks times", run("walks", "times")),
    ("bags check", check_one),
    ("bench mistakes", run("bench", "mistakes", "--since", str(DAY))),
    ("shorts list", run("shorts", "list")),
    ("shorts make", run("shorts", "make")),
    ("packages list", run("packages", "list")),
    ("manifests list", run("manifests", "list")),
    ("stock levels", run("stock", "levels")),
    ("parts learn", run("parts", "learn")),
    ("journal show", run("journal", "show")),
    ("day report", run("day", "report", "--out", "{papers}")),
    ("day reconcile", run("day", "reconcile")),
]


def test_the_copies_are_shops_whose_books_add_up(shops: tuple[Path, Path]) -> None:
    """So what is measured is a shop."""
    for path in shops:
        with open_shop(path) as shop, shop.reading() as books:
            assert list(differences(books)) == []


def test_no_verb_of_the_day_reads_more_in_an_older_shop(
    shops: tuple[Path, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Thirteen times the history, hardly more steps."""
    monkeypatch.chdir(tmp_path)
    took: dict[str, list[int]] = {}
    for path in shops:
        run(*ADDED)(path)
        for name, work in VERBS:
            took.setdefault(name, []).append(steps_of(path, work))
    grown = {name: (young, old) for name, (young, old) in took.items() if old > MOST_GROWTH * young + FEW}
    assert grown == {}


def test_a_table_that_is_read_whole_is_noticed(shops: tuple[Path, Path]) -> None:
    """The limit above can be overstepped."""

    def whole(path: Path) -> None:
        with open_shop(path) as shop, shop.reading() as books:
            books.find(Bag)

    young, old = (steps_of(path, whole) for path in shops)
    assert old > MOST_GROWTH * young + FEW
