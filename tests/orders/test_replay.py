"""Any sequence of steps conserves pieces, and the ledger and the journal replayed give the state that is stored."""

import json
import shutil
import tempfile
from collections import Counter
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from fulfil_demo_catalog.demo_week import piece_sums
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from fulfil.bench.check import Seen, check_bag
from fulfil.despatch.pack import plan_packages, weigh_package
from fulfil.despatch.report import line_balances
from fulfil.despatch.ship import close_manifest
from fulfil.errors import Refusal
from fulfil.orders.changing import change_lines
from fulfil.orders.holding import cancel_order, hold_order, resume_order
from fulfil.orders.importing import add_order, import_orders
from fulfil.orders.moving import DONE
from fulfil.orders.places import promised_by_bin
from fulfil.orders.pulling import put_back
from fulfil.records.despatch.dispatch import JournalEntry, PackageState
from fulfil.records.despatch.service import Service, ServiceKind
from fulfil.records.equipment import BagType, BoxType, ScaleRecord
from fulfil.records.order import Order, OrderLine, OrderState
from fulfil.records.part import Part, Supply
from fulfil.records.pieces import OwedBalance, StockBalance, StockEntry, bin_move
from fulfil.records.place import Bin, ElementKind, RoomElement, Side
from fulfil.records.plan import Bag, WalkRecord
from fulfil.records.pulled import PulledBag
from fulfil.records.settings import Settings
from fulfil.stock.jobs import book_in, make_jobs
from fulfil.stock.levels import adjust_bin, count_bin, ledger_levels, reject_pieces
from fulfil.store.books import Books
from fulfil.store.shop import Shop, open_shop
from fulfil.walks.plan import plan_day

NOW = datetime(2026, 3, 2, 8, tzinfo=UTC)
DAY = date(2026, 3, 2)
PARTS = ("P", "Q", "R")
HEAD = "order,received_at,source,name,street,city,country,service,part,pieces\n"
_EMPTY: list[Path] = []


def _fill(books: Books) -> None:
    """Three parts counted by hand in two bins each, one bag, one box, one service."""
    books.replace([Settings(country="LU", shop_name="Shop (invented)")])
    for place, number in enumerate(PARTS):
        books.add([
            Part(number=number, description=f"Invented {number}", family="part", bulk_volume_mm3=10.0, longest_mm=5,
                 supply=Supply.MAKE if number == "P" else Supply.BUY, price_minor=10, currency="EUR"),
            *(Bin(code=f"{number}{n}", aisle="1", side=Side.LEFT, section=1, level=n, y_mm=500 * place,
                  part_number=number, pieces=0) for n in (1, 2)),
        ])  # fmt: skip
    books.add([
        RoomElement(kind=ElementKind.AISLE, name="1", x_mm=0),
        RoomElement(kind=ElementKind.AISLE, name="2", x_mm=2000),
        RoomElement(kind=ElementKind.CROSS_AISLE, name="front", y_mm=0),
        RoomElement(kind=ElementKind.CROSS_AISLE, name="back", y_mm=5000),
        RoomElement(kind=ElementKind.BENCH, name="bench", x_mm=0, y_mm=0),
        ScaleRecord(code="S", accuracy_class="II", e_g=Decimal("0.1"), d_g=Decimal("0.1"), max_g=Decimal(6000),
                    min_g=Decimal(1), use="packages"),
        ScaleRecord(code="B", accuracy_class="II", e_g=Decimal("0.01"), d_g=Decimal("0.01"), max_g=Decimal(600),
                    min_g=Decimal("0.2")),
        BagType(code="bag", width_mm=60, height_mm=80, usable_volume_mm3=37_000, tare_g=Decimal(1), tare_sd_g=0.01,
                max_load_g=Decimal(200)),
        BoxType(code="box", length_mm=160, width_mm=110, height_mm=60, tare_g=Decimal(58), tare_sd_g=0.5,
                max_load_g=Decimal(5000),
                fill_fraction=0.7),
        Service(code="road", name="Road (invented)", kind=ServiceKind.PARCEL, cut_off=time(16, 30),
                max_weight_g=Decimal(30000)),
    ])  # fmt: skip
    entries = [
        bin_move(part_number=number, bin_code=f"{number}{n}", pieces=20 * n, reason="counted", source="first count")
        for number in PARTS
        for n in (1, 2)
    ]
    books.move(stock=entries, at=NOW, person="ann")


def _filled(folder: Path) -> Shop:
    """A shop as :func:`_fill` makes it, copied from the first one."""
    if not _EMPTY:
        path = Path(tempfile.mkdtemp()) / "empty.db"
        with open_shop(path, create=True) as made, made.writing() as books:
            _fill(books)
        _EMPTY.append(path)
    shutil.copy(_EMPTY[0], folder / "shop.db")
    return open_shop(folder / "shop.db")


class Days(RuleBasedStateMachine):
    """A clerk, a picker, a checker and a packer in any order; what is refused must change nothing."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        self.shop = _filled(self.folder)
        self.steps = 0
        self.taken = 0

    def teardown(self) -> None:
        """Closes the shop."""
        self.shop.close()
        shutil.rmtree(self.folder)

    @initialize()
    def open(self) -> None:
        """A filled shop."""

    def _who(self) -> dict[str, Any]:
        self.steps += 1
        return {"at": NOW + timedelta(minutes=self.steps), "person": "ann"}

    def _find(self, kind, **equals):
        with self.shop.reading() as books:
            return books.find(kind, **equals)

    def _try(self, step) -> None:
        """A step that may be refused; a refused one leaves the shop as it was."""
        before = self._state()
        try:
            step()
        except Refusal:
            assert self._state() == before

    def _state(self) -> tuple[object, ...]:
        with self.shop.reading() as books:
            kinds = (Bin, Order, OrderLine, Bag, OwedBalance, StockBalance, PulledBag, JournalEntry)
            return tuple(tuple(str(one) for one in books.find(kind)) for kind in kinds)

    @rule(part=st.sampled_from(PARTS), pieces=st.integers(1, 50), complete=st.booleans())
    def key_an_order(self, part: str, pieces: int, complete: bool) -> None:
        """From the telephone, of one line or two."""
        self.taken += 1
        who = self._who()
        order = Order(number=f"T{self.taken}", source="phone", received_at=who["at"], name="Invented Caller",
                      street="Sample Lane 3", city="Sampleton", country="LU", service_code="road", currency="EUR",
                      ship_complete=complete)  # fmt: skip
        lines = [OrderLine(order_number=order.number, line_no=1, part_number=part, pieces=pieces, unit_price_minor=1)]
        assert add_order(self.shop, order, lines, **who) == []

    @rule(pieces=st.lists(st.tuples(st.sampled_from((*PARTS, "X")), st.integers(0, 40)), min_size=1, max_size=3))
    def import_a_file(self, pieces: list[tuple[str, int]]) -> None:
        """One order of a file; unknown parts and no pieces are findings, and nothing comes in. The same file twice."""
        self.taken += 1
        path = self.folder / "orders.csv"
        head = f"F{self.taken},2026-03-02T07:00:00+00:00,web,Invented Person,Sample Street 1,Sampleton,LU,road"
        rows = [f"{head},{part},{n}\n" for part, n in pieces]
        path.write_text(HEAD + "".join(rows), encoding="utf-8")
        done = import_orders(self.shop, path, **self._who())
        is_good = all(part in PARTS and n for part, n in pieces)
        assert bool(done.new) == is_good
        again = import_orders(self.shop, path, **self._who())
        assert again.new == ()

    @rule()
    def plan(self) -> None:
        """Plans all that waits."""
        plan_day(self.shop, day=DAY, **self._who(), effort="none")

    @rule()
    def release(self) -> None:
        """Releases every walk, without paper."""
        from fulfil.walks.releasing import release_walk

        with self.shop.writing() as books:
            for walk in books.find(WalkRecord):
                if walk.released_at is None:
                    release_walk(books, walk, at=NOW, person="ann")

    @rule(data=st.data(), most=st.integers(1, 6))
    def check_bags(self, data: st.DataObject, most: int) -> None:
        """Some bags pass a count by hand."""
        for bag in [bag for bag in self._find(Bag) if bag.state not in DONE][:most]:
            seen = Seen(counted=bag.pieces, gross_g=Decimal(bag.pieces), scale_code="B")
            self._try(lambda code=bag.code, seen=seen: check_bag(self.shop, code, seen, **self._who()))

    @rule()
    def pack_and_ship(self) -> None:
        """Packs every checked order, weighs its packages, closes the manifest."""
        for order in self._find(Order, state=OrderState.CHECKED):

            def pack(number: str = order.number) -> None:
                for package in plan_packages(self.shop, number, **self._who()).packages:
                    if package.state is PackageState.PLANNED:
                        weigh_package(self.shop, package.number, package.expected_g, **self._who())

            pack()
        self._try(lambda: close_manifest(self.shop, "road", day=DAY, **self._who()))

    @precondition(lambda self: self.taken)
    @rule(data=st.data(), wants=st.integers(0, 60))
    def change(self, data: st.DataObject, wants: int) -> None:
        """More, fewer or none of a line, at whatever stage."""
        orders = self._find(Order)
        if orders:
            number = data.draw(st.sampled_from([order.number for order in orders]))
            lines = self._find(OrderLine, order_number=number)
            self._try(lambda: change_lines(self.shop, number, {lines[0].line_no: wants}, **self._who()))

    @precondition(lambda self: self.taken)
    @rule(data=st.data(), how=st.sampled_from(["cancel", "hold", "resume"]))
    def stop(self, data: st.DataObject, how: str) -> None:
        """Cancels, holds or resumes an order, at whatever stage."""
        orders = self._find(Order)
        if orders:
            number = data.draw(st.sampled_from([order.number for order in orders]))
            steps = {
                "cancel": lambda: cancel_order(self.shop, number, "a reason", **self._who()),
                "hold": lambda: hold_order(self.shop, number, "a reason", **self._who()),
                "resume": lambda: resume_order(self.shop, number, **self._who()),
            }
            self._try(steps[how])

    @rule(short=st.integers(0, 2))
    def put_bags_back(self, short: int) -> None:
        """Puts every pulled bag back whole."""
        for bag in self._find(PulledBag, put_back_at=None):
            self._try(lambda code=bag.bag_code: put_back(self.shop, code, **self._who()))

    @rule(supply=st.sampled_from(Supply))
    def make_and_book_in(self, supply: Supply) -> None:
        """Jobs for what is short; the first one comes."""
        jobs = make_jobs(self.shop, supply, day=DAY, **self._who())
        if jobs:
            book_in(self.shop, jobs[0].number, day=DAY, **self._who(), counted=jobs[0].pieces_open)

    @rule(part=st.sampled_from(PARTS), n=st.integers(1, 2), pieces=st.integers(-5, 30), how=st.sampled_from("car"))
    def stock(self, part: str, n: int, pieces: int, how: str) -> None:
        """A count, an adjustment or a reject; most of them are possible."""
        code = f"{part}{n}"
        steps = {
            "c": lambda: count_bin(self.shop, code, pieces, **self._who()),
            "a": lambda: adjust_bin(self.shop, code, pieces, "a reason", **self._who()),
            "r": lambda: reject_pieces(self.shop, code, pieces, "a fault", day=DAY, **self._who()),
        }
        self._try(steps[how])

    @invariant()
    def no_piece_is_lost_or_made_up(self) -> None:
        """Came = on hand + in bags + pulled + sent + rejected; each line's pieces are somewhere, once."""
        with self.shop.reading() as books:
            assert piece_sums(books).agree
            for balance in line_balances(books, [order.number for order in books.find(Order)]):
                assert balance.in_hand >= 0
            bagged: Counter[tuple[str, int]] = Counter()
            for bag in books.find(Bag):
                bagged[bag.order_number, bag.line_no] += bag.pieces
            for line in books.find(OrderLine):
                left = line.pieces - line.cancelled_pieces - line.short_pieces
                assert bagged[line.order_number, line.line_no] <= line.pieces - line.cancelled_pieces
                assert left >= 0

    @invariant()
    def no_piece_is_promised_twice(self) -> None:
        """What is promised from bins are the bags that wait for their check, to the piece."""
        with self.shop.reading() as books:
            waiting: Counter[str] = Counter()
            for bag in books.find(Bag):
                if bag.state not in DONE:
                    waiting[bag.bin_code] += bag.pieces
            assert Counter(promised_by_bin(books)) == waiting

    @invariant()
    def the_records_replay_to_the_state(self) -> None:
        """The ledger gives every level; the journal gives every order's end and every bag that was pulled."""
        with self.shop.reading() as books:
            assert ledger_levels(books) == {place.code: place.pieces for place in books.find(Bin)}
            journal = books.find(JournalEntry)
            orders = {order.number: order for order in books.find(Order)}
            pulled = {bag.bag_code: bag.is_back for bag in books.find(PulledBag)}
            booked = sum(entry.bin_change for entry in books.find(StockEntry) if entry.reason in ("made", "bought"))
        received = [entry.subject for entry in journal if entry.event == "order received"]
        assert sorted(received) == sorted(orders)
        cancelled = {entry.subject for entry in journal if entry.event == "order cancelled"}
        assert cancelled == {number for number, order in orders.items() if order.state is OrderState.CANCELLED}
        replayed = {entry.subject: False for entry in journal if entry.event == "bag pulled"}
        replayed |= {entry.subject: True for entry in journal if entry.event == "bag put back"}
        assert replayed == pulled
        came = [json.loads(entry.particulars)["pieces"] for entry in journal if entry.event == "job booked in"]
        assert sum(came) == booked
        checks = [entry for entry in journal if entry.event == "bag checked"]
        passed = Counter(one.subject for one in checks if json.loads(one.particulars)["verdict"] == "passed")
        assert all(n == 1 for n in passed.values())


Days.TestCase.settings = settings(
    max_examples=12, stateful_step_count=25, deadline=None, suppress_health_check=[*HealthCheck]
)
TestDays = pytest.mark.slow(Days.TestCase)
