"""The pages write the same books as the benches without them: the same lines, every table row by row.

On the shop in the harbour the whole day, on the demo shop three of its walks (77 of 576 bags; the whole day is
``python -m tests.stations.measure``). Mistakes are planted: a piece short, another finish, a missing bag.
"""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import datetime
from pathlib import Path

import pytest

from fulfil.bench.check_station import CheckBench
from fulfil.bench.pack_station import PackBench
from fulfil.checking.station import Need, needs
from fulfil.orders.verify import verify_shop
from fulfil.records.bench import Recount, StationKind
from fulfil.records.order import Order, OrderState
from fulfil.records.plan import Bag, BagState, CountMethod, WalkRecord
from fulfil.store.shop import Shop, open_shop
from tests.harbour_shop import NOW, key, open_harbour, plan, release
from tests.stations.tablet import Tablet, hidden, house_of, let_in

PAGES_ONLY = {"station_answer"}
"""What the pages keep beside the books."""


class Without:
    """A bench without its page, at the same station; it notes every line that it was given."""

    def __init__(self, shop: Shop, at: datetime) -> None:
        self.shop, self.at = shop, at
        self.lines: list[tuple[str, str]] = []
        self.check = CheckBench(shop.at_station("check-1"), "check-1", person="anna")
        self.pack = PackBench(shop.at_station("pack-1"), "pack-1", person="anna")
        self.check.open()
        self.pack.open()

    def send(self, bench: CheckBench | PackBench, line: str) -> str:
        """A line; what the bench says."""
        self.lines.append(("check" if bench is self.check else "pack", line))
        return bench.enter(line, at=self.at).headline

    def check_bag(self, bag: Bag, reading: str) -> None:
        """Takes the bag in hand, weighs or counts it, lot by lot where it is poured, looks where that is asked for."""
        state = self.check.state
        if state.order_number not in ("", bag.order_number):
            self.send(self.check, "let go")
        self.send(self.check, bag.code)
        self.send(self.check, reading)
        poured = 0 if self.check.state.bag is None else self.check.state.bag.pours
        for lot in range(2, poured + 2):
            if Need.WEIGHT in needs(self.check.state):
                self.send(self.check, reading if lot <= poured else "0")
        for need in needs(self.check.state):
            self.send(self.check, "19.50 g" if need is Need.WEIGHT_TOO else "ok")

    def pack_order(self, number: str, *, is_short: bool) -> None:
        """Every bag into its box, the weight; once with a bag missing."""
        self.send(self.pack, number)
        while (package := self.pack.state.package) is not None and self.pack.state.order_number == number:
            if package.missing:
                self.send(self.pack, package.missing[0])
                continue
            if is_short:
                self.send(self.pack, f"{package.lower_g - 2 * (package.upper_g - package.lower_g)}")
                is_short = False
            self.send(self.pack, f"{package.expected_g}")
            if self.pack.state.package is not None and self.pack.state.package.findings:
                self.send(self.pack, "let go")


def drive(without: Without, walks: list[str]) -> None:
    """Some walks' bags and orders, with every seventh bag wrong at first and every third package short at first."""
    shop = without.shop
    with shop.reading() as books:
        bags = sorted(
            books.find(Bag, walk_number=walks), key=lambda bag: (bag.walk_number, bag.cart_position, bag.code)
        )
    for place, bag in enumerate(bags):
        with shop.reading() as books:
            facts = without.check.facts.of_bag(books, bag)
        right = f"{facts.target_g}" if facts.is_weighed else f"{bag.pieces}"
        if place % 7 == 3:
            light = f"{facts.lower_g - (facts.upper_g - facts.lower_g)}" if facts.is_weighed else f"{bag.pieces + 1}"
            without.check_bag(bag, "no another finish" if place % 2 else light)
        without.check_bag(bag, right)
    with shop.reading() as books:
        numbers = sorted({bag.order_number for bag in bags})
        orders = [order.number for order in books.find(Order, number=numbers) if order.state is OrderState.CHECKED]
    for place, number in enumerate(orders):
        without.pack_order(number, is_short=place % 3 == 1)


def tables(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """Everything that a shop's tables hold."""
    connection = sqlite3.connect(path)
    names = [name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
    held = {name: sorted(connection.execute(f"SELECT * FROM {name}"), key=repr) for name in names}
    connection.close()
    return held


def copied(source: Path, target: Path) -> None:
    """The shop as it is now, in another file."""
    with closing(sqlite3.connect(source)) as one, one, closing(sqlite3.connect(target)) as other, other:
        one.backup(other)


def both_ways(path: Path, at: datetime, work: Callable[[Without], None]) -> tuple[Path, Path, list[tuple[str, str]]]:
    """The same lines at the pages and without them; the two files, and the lines."""
    plain = path.with_name("plain.sqlite")
    with open_shop(path) as shop:
        let_in(shop, at, ("anna", "check pack"))
        house = house_of(shop, lambda: at)
        tablets = {
            "check": Tablet(house, "check-1", StationKind.CHECK, "anna"),
            "pack": Tablet(house, "pack-1", StationKind.PACK, "anna"),
        }
        copied(path, plain)
        with open_shop(plain) as other:
            without = Without(other, at)
            work(without)
        # As a page does: what it sends goes by what the last answer showed.
        shown = {name: hidden(tablet.client.get(f"/{name}").text) for name, tablet in tablets.items()}
        for number, (name, line) in enumerate(without.lines):
            data = {"line": line, "key": f"line-{number:08}", "bag": shown[name]["bag"]}
            got = tablets[name].client.post(f"/{name}", data=data, headers={"X-Part": "1"})
            assert got.status_code == 200, got.text
            shown[name] = hidden(got.text)
        assert verify_shop(shop) == ()
    return path, plain, without.lines


def must_be_the_same(paged: Path, plain: Path) -> None:
    """Row by row, journal and chain included."""
    ours, theirs = tables(paged), tables(plain)
    assert ours.keys() == theirs.keys()
    assert {name for name in ours if ours[name] != theirs[name]} == PAGES_ONLY


def test_a_day_of_the_harbour_shop_is_the_same_with_and_without_pages(tmp_path):
    """Far from UTC, with names in other letters: eight orders, checked, sent back, packed, stopped, sealed."""
    with open_harbour(tmp_path) as shop:
        for number in range(1, 9):
            key(shop, f"H-{number}", ("SPRING-2", 3 + number), ("FELT-9", 2), ("KIT-D", 1), minutes=number)
        plan(shop)
        release(shop, tmp_path)
    paged, plain, lines = both_ways(tmp_path / "harbour.db", NOW, lambda one: drive(one, walks_on_paper(one.shop)))

    must_be_the_same(paged, plain)
    assert len(lines) > 60
    with open_shop(paged) as shop, shop.reading() as books:
        assert {bag.state for bag in books.find(Bag)} == {BagState.PACKED}
        assert books.find(Recount)
        assert {order.state for order in books.find(Order)} == {OrderState.PACKED}


@pytest.fixture(scope="module")
def demo_day(tmp_path_factory) -> tuple[Path, datetime]:
    """The demo shop with its walks on paper, made once; tests work on copies."""
    from fulfil_demo_catalog import FOLDER
    from fulfil_demo_catalog.station_rehearsal import prepare

    out = tmp_path_factory.mktemp("day") / "demo"
    return prepare(FOLDER, out, {}, salt=lambda: b"s" * 16, people=())


@pytest.mark.slow
def test_walks_of_the_demo_day_are_the_same_with_and_without_pages(demo_day, tmp_path):
    """Its three shortest carts."""
    path, at = tmp_path / "demo.sqlite", demo_day[1]
    copied(demo_day[0], path)
    paged, plain, lines = both_ways(path, at, lambda one: drive(one, walks_on_paper(one.shop)[:3]))

    must_be_the_same(paged, plain)
    assert len(lines) > 200


@pytest.mark.slow
def test_a_bag_that_is_poured_is_typed_lot_by_lot(demo_day, tmp_path):
    """Too light in each lot it goes back once the bag is empty; poured again it passes, at the page as without it."""
    path, at = tmp_path / "demo.sqlite", demo_day[1]
    copied(demo_day[0], path)
    seen: list[BagState] = []

    def pour(without: Without) -> None:
        with without.shop.reading() as books:
            bag = books.find(Bag, method=CountMethod.POUR)[0]
            facts = without.check.facts.of_bag(books, bag)
        assert facts.pours > 1
        for lot_g in (facts.lower_g - 2 * (facts.upper_g - facts.lower_g), facts.target_g):
            without.check_bag(bag, f"{lot_g}")
            with without.shop.reading() as books:
                seen.append(books.need(Bag, bag.code).state)
        assert [line for _, line in without.lines].count(f"{facts.target_g}") == facts.pours

    paged, plain, _ = both_ways(path, at, pour)

    must_be_the_same(paged, plain)
    assert seen == [BagState.RECOUNT, BagState.PASSED]


@pytest.mark.slow
def test_a_walk_typed_into_a_real_browser_is_the_same(chromium, demo_day, tmp_path):
    """The shortest cart, key by key, two tablets; the whole day is ``python -m tests.stations.browser_day``."""
    from tests.stations.browser_day import browser_day

    path = tmp_path / "demo.sqlite"
    copied(demo_day[0], path)
    day = browser_day(chromium, path, demo_day[1], lambda shop: walks_on_paper(shop)[:1])

    assert day.said == []
    assert day.verdicts["refused"] == 0
    assert day.passed == day.bags >= 10
    assert day.sealed >= 5
    assert min(day.verdicts["passed"], day.verdicts["recount"], day.verdicts["stop"]) > 0


def walks_on_paper(shop: Shop) -> list[str]:
    """The walks on paper, fewest bags first."""
    with shop.reading() as books:
        walks = [walk.number for walk in books.find(WalkRecord) if walk.released_at is not None]
        return sorted(walks, key=lambda number: (books.count(Bag, walk_number=number), number))
