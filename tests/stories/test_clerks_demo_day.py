"""The demo day's clerk, played: 98 packages from the last bag checked to the closed day, everything typed is counted.

Of the demo come the shop, the orders, the checked bags, what lies in each box and what the scale shows, mistakes of the
packers among them; what the clerk does is here, by the commands that a clerk has, and nothing else.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest
from fulfil_demo_catalog import FOLDER
from fulfil_demo_catalog.demo_day import DAY, morning
from fulfil_demo_catalog.mistakes.bills import word_on, write_bills
from fulfil_demo_catalog.mistakes.rates import Mistake, MistakeRates
from fulfil_demo_catalog.rehearsal import Rehearsal

from fulfil.despatch.boxes import for_scale
from fulfil.despatch.pack import stops
from fulfil.despatch.reconcile import reconcile_day
from fulfil.orders.importing import import_orders
from fulfil.records.day_close import ClosedDay
from fulfil.records.despatch.dispatch import HERE, Package, PackageState
from fulfil.records.order import Order, OrderState
from fulfil.records.plan import Bag, WalkRecord
from fulfil.stock.catalogue import import_catalogue
from fulfil.store.shop import Shop, open_shop
from fulfil.walks.lookalikes import look_alike_index
from fulfil.walks.plan import plan_day
from fulfil.walks.releasing import release_walk
from tests.clerk import Clerk

WHO = "planner-1"


@pytest.fixture(scope="module")
def checked(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Shop, Rehearsal]]:
    """The demo shop whose last bag has just passed its check."""
    at = morning(DAY)
    with open_shop(tmp_path_factory.mktemp("clerk") / "shop.sqlite", create=True) as shop:
        assert import_catalogue(shop, FOLDER, at=at, person=WHO).findings == ()
        for name in ("orders.csv", "orders_phone.json"):
            assert not import_orders(shop, FOLDER / name, at=at, person=WHO).findings
        with shop.reading() as books:
            index = look_alike_index(books)
        rehearsal = Rehearsal(shop, seed=1, begins=at, rates=MistakeRates(), index=lambda _: index)
        rehearsal.check_all_scales()
        plan_day(shop, day=DAY, at=at, person=WHO, effort="none")
        with shop.writing() as books:
            for walk in books.find(WalkRecord):
                release_walk(books, walk, at=at, person=WHO)
        rehearsal.check_all_bags()
        yield shop, rehearsal


class Packing:
    """What the hands do at the pack bench, order after order, by what then is in the books."""

    def __init__(self, shop: Shop, rehearsal: Rehearsal) -> None:
        self.shop, self.rehearsal = shop, rehearsal
        self.scans = self.weighings = self.again = self.mistakes = 0
        self.stopped: list[str] = []

    def lines(self, orders: list[str]) -> Iterator[str]:
        """One scan an order, one weighing a package; more only where something is wrong."""
        for number in orders:
            self.scans += 1
            yield number
            for package in self._packages(number):
                yield from self._fill(number, package)
                if number in self.stopped:
                    break

    def _fill(self, number: str, package: Package) -> Iterator[str]:
        with self.shop.reading() as books:
            bags = books.find(Bag, package_number=package.number)
            _, scale = for_scale(books, package)
        mistake = self.rehearsal.mistake_in(package, bags)
        self.mistakes += mistake is not None
        for attempt in range(5):
            now = mistake if attempt == 0 else None
            shown = self.rehearsal.shown_g(package, bags, scale, now, attempt)
            self.weighings += attempt == 0
            self.again += attempt > 0
            yield f"{shown} {len(bags) - (now is Mistake.MISSING_BAG)} bags"
            with self.shop.reading() as books:
                state = books.need(Package, package.number).state
                found = stops(books, package, books.need(Order, number))
            if state is PackageState.SEALED:
                return
            if found and now is None:
                self.stopped.append(number)
                yield "let go"
                return
        raise AssertionError(f"package {package.number} never came right")

    def _packages(self, number: str) -> list[Package]:
        with self.shop.reading() as books:
            return books.find(Package, order_number=number, state=[*HERE])


@pytest.mark.slow
def test_the_demo_days_clerk_needs_no_more_than_forty_beyond_a_scan_and_a_weighing(
    checked: tuple[Shop, Rehearsal], tmp_path: Path
) -> None:
    """Commands and lines together, less one scan and one weighing a package; every package is sealed, or named."""
    shop, rehearsal = checked
    clerk = Clerk(Path(shop.where), rehearsal.now, "clerk-1")
    packing = Packing(shop, rehearsal)
    out = str(tmp_path / "papers")
    assert "pack and weigh" in clerk.types("day", "next")
    with shop.reading() as books:
        orders = [order.number for order in books.find(Order, state=OrderState.CHECKED)]
    clerk.types("bench", "pack", "--count-bags", "--frozen-time", "--plain", "--quiet", lines=packing.lines(orders))
    for number in packing.stopped:
        clerk.types("orders", "hold", number, "--reason", "waits for the person who is trained to review it")
    said = clerk.types("packages", "papers", "--all", "--out", out)
    abroad = [row for row in said.splitlines() if any(name in row for name in ("CN 22", "CN 23", "invoice"))]
    assert len(abroad) > 30, "without a word typed for any of them"
    with shop.reading() as books:
        services = sorted({one.service_code for one in books.find(Package, state=PackageState.SEALED)})
    for service in services:
        clerk.types("manifests", "close", service, "--out", out)
    assert "close the day" in clerk.types("day", "next")

    bills, planted = write_bills(shop, tmp_path / "bills", day=DAY)
    for bill in bills:
        clerk.types("services", "bill", str(bill.bill), "--columns", str(bill.columns), "--number", bill.number)
    clerk.types("day", "reconcile")
    found = reconcile_day(shop, day=DAY).open_differences
    words = [word_on(one) for one in found]
    later = [word.code for word in words if word.carry_over]
    clerk.types("day", "settle", *later, "--reason", "asked the carrier (invented)", "--carry-over")
    for word in words:
        if not word.carry_over:
            clerk.types("day", "settle", word.code, "--reason", word.reason)
    clerk.types("day", "close")

    with shop.reading() as books:
        packages = books.find(Package)
        shipped = [one for one in packages if one.state is PackageState.SHIPPED]
        assert books.get(ClosedDay, DAY) is not None
    beyond = clerk.commands + clerk.lines - 2 * len(packages)
    print(
        f"{len(packages)} packages ({len(packing.stopped)} stopped): {clerk.commands} commands, {clerk.lines} lines "
        f"({packing.again} weighed again, {packing.mistakes} mistakes); {beyond} beyond a scan and a weighing each"
    )
    assert len(packages) == 98 == len(shipped) + len(packing.stopped)
    assert packing.scans == packing.weighings == len(packages), "every order of this day goes in one package"
    assert packing.mistakes, "a day on which nothing goes wrong proves little"
    assert len(found) == len(planted)
    assert beyond <= 40
