"""The demo week: five days of the invented shop, one after the other, that carry over what they leave.

Each day's orders come in; what could not be had the day before is planned again; walks are released, then one order is
cancelled and one asks for less, so bags are pulled and put back. Bags are checked with planted mistakes, the make-room
brings in what it made and only the orders that wait for it are planned again, suppliers deliver two days later, boxes
are packed and manifests closed. Every evening the sums must agree: pieces of orders, and pieces of stock.

Limits: weighings are simulated and say so; a customer never calls at a bad moment.
"""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import partial
from pathlib import Path
from typing import Any

from fulfil_demo_catalog.demo_day import CLERK, DAY, PLANNER, DemoDay, morning
from fulfil_demo_catalog.folder import claim, mark_made
from fulfil_demo_catalog.mistakes.rates import MistakeRates
from fulfil_demo_catalog.rehearsal import REVIEW, Rehearsal

from fulfil.despatch.day_papers import day_report_sheet, short_list_sheet
from fulfil.despatch.desk.to_print import orders_to_print
from fulfil.despatch.manifest_paper import printed_manifest
from fulfil.despatch.order_papers import buy_list_sheet, make_list_sheet, partial_note_sheet, pull_slip_sheets
from fulfil.despatch.package_set import print_set, stack_name
from fulfil.despatch.report import report_day
from fulfil.despatch.ship import close_manifest
from fulfil.errors import FileRefused, Refusal
from fulfil.orders.changing import change_lines
from fulfil.orders.holding import cancel_order, hold_order
from fulfil.orders.importing import import_orders
from fulfil.orders.moving import DONE
from fulfil.orders.pulling import put_back
from fulfil.orders.verify import differences
from fulfil.records.despatch.dispatch import Package, PackageState
from fulfil.records.order import Order, OrderLine, OrderState
from fulfil.records.part import Supply
from fulfil.records.pieces import OUTSIDE, StockBalance, StockEntry, There
from fulfil.records.place import Bin
from fulfil.records.plan import Bag, WalkRecord
from fulfil.records.pulled import PulledBag
from fulfil.shop.printing import Made, print_papers
from fulfil.stock.catalogue import import_catalogue
from fulfil.stock.jobs import book_in, make_jobs, open_jobs
from fulfil.stock.levels import ledger_levels
from fulfil.store.books import Books
from fulfil.store.shop import Shop, open_shop
from fulfil.walks.lookalikes import look_alike_index
from fulfil.walks.plan import plan_day
from fulfil.walks.releasing import release_walks

MOST_DAYS = 5
MADE_A_DAY = 12
"""Jobs that the make-room finishes in a day (invented)."""
DELIVERED_AFTER = 2
"""Days from a job to its delivery (invented)."""
PUT_ASIDE = "stayed in the house overnight"


@dataclass(frozen=True)
class PieceSums:
    """Where all pieces are. ``came`` is the first count and all that came since; the rest must add up to it."""

    came: int
    on_hand: int
    in_bags: int
    shipped: int
    pulled: int
    gone: int

    @property
    def agree(self) -> bool:
        """Whether no piece is lost and none was made up."""
        return self.came == self.on_hand + self.in_bags + self.shipped + self.pulled + self.gone


def piece_sums(books: Books) -> PieceSums:
    """Counts every piece in the shop's books: ledger against bins, bags and manifests."""
    came = 0
    for entry in books.find(StockEntry):
        came += ((entry.from_place in OUTSIDE) - (entry.to_place in OUTSIDE)) * entry.pieces
    there = Counter[There]()
    for one in books.find(StockBalance):
        there[one.place] += one.pieces
    pulled = sum(bag.pieces for bag in books.find(PulledBag) if not bag.is_back)
    return PieceSums(
        came=came,
        on_hand=sum(place.pieces for place in books.find(Bin)),
        in_bags=there[There.BAG] + there[There.PACKAGE] - pulled,
        shipped=there[There.HANDED_OVER],
        pulled=pulled,
        gone=there[There.SCRAPPED],
    )


def run_week(
    catalogue: Path, out: Path, *, seed: int, clock: Callable[[], float], days: int = MOST_DAYS, effort: str = "quick"
) -> DemoDay:
    """Runs the demo week into a folder that is empty or holds an earlier demo, and returns its summary.

    ``orders.csv`` and ``week/orders-DATE.csv`` of the catalogue are its days.

    Raises:
        FileRefused: the folder holds something else, a file has findings, or there are no such days.
    """
    if not 1 <= days <= MOST_DAYS:
        raise FileRefused("run the demo for days", days, f"1 to {MOST_DAYS}")
    shop_path = claim(out)
    began = clock()
    with open_shop(shop_path, create=True) as shop:
        week = _Week(shop, catalogue, out, seed=seed, effort=effort)
        told = [week.run(DAY + timedelta(days=place)) for place in range(days)]
        summary = week.summary(told)
    summary["seconds"] = {"all": round(clock() - began, 3)}
    mark_made(out)
    return DemoDay(shop_path, summary)


class _WeekRehearsal(Rehearsal):
    """The same people every day: they take up what waits, and leave alone what was done."""

    def check_waiting_bags(self) -> None:
        """Checks every bag on a released walk that waits for its first check, in cart order."""
        with self.shop.reading() as books:
            going = {order.number for order in books.find(Order) if order.state not in _STAYS}
            released = {walk.number: walk.released_at for walk in books.find(WalkRecord) if walk.released_at}
            bags = [bag for bag in books.find(Bag) if bag.state not in DONE and bag.walk_number in released]
        waiting = [bag for bag in bags if bag.order_number in going]
        # A walk that went out after a customer's call is on paper only since then.
        self.now = max((self.now, *(released[bag.walk_number] for bag in waiting)))
        for bag in sorted(waiting, key=lambda bag: (bag.walk_number, bag.cart_position, bag.stop_no, bag.code)):
            self._check(bag)


_STAYS = (OrderState.HELD, OrderState.CANCELLED)


class _Week:
    """The shop through its days."""

    def __init__(self, shop: Shop, catalogue: Path, out: Path, *, seed: int, effort: str) -> None:
        self.shop = shop
        self.catalogue = catalogue
        self.papers_in = out / "papers"
        self.out = out
        self.seed = seed
        self.effort = effort
        self.papers: list[Path] = []
        imported = import_catalogue(shop, catalogue, at=morning(DAY), person=CLERK)
        _without_findings(catalogue, imported.findings)
        with shop.reading() as books:
            self.index = look_alike_index(books)
        self.people = _WeekRehearsal(
            shop, seed=seed, begins=morning(DAY), rates=MistakeRates(), index=lambda _: self.index
        )
        self.people.check_all_scales()

    def run(self, day: date) -> dict[str, Any]:
        """One day, from its orders to its sums."""
        at = morning(day)
        self.people.now = at
        papers = self.papers_in / f"{day}"
        arrived = self._deliveries(day, at)
        received = self._orders(day, at)
        carried = self._carried_over(received)
        self._plan_and_release(day, at, papers)
        cancelled = self._customers_call(day, at + timedelta(minutes=30), papers)
        self.people.check_waiting_bags()
        jobs, made, completed = self._make_room(day, papers)
        self._put_back()
        self.people.pack_all_orders()
        self._notes(day, papers)
        self._ship(day, papers)
        report = report_day(self.shop, day=day)
        self._print(papers, lambda books: day_report_sheet(books, report))
        with self.shop.reading() as books:
            sums = piece_sums(books)
            levels = {place.code: place.pieces for place in books.find(Bin)}
            is_derived = ledger_levels(books) == levels
            off = [str(one) for one in differences(books)]
        names = ("ordered", "shipped", "short", "held", "cancelled", "in_hand")
        return {
            "day": str(day),
            "orders_received": len(received),
            "orders_carried_over": carried,
            "cancelled_after_release": cancelled,
            "jobs": jobs,
            "pieces_made": made,
            "pieces_delivered": arrived,
            "orders_completed_by_made_parts": completed,
            "balance": {name: getattr(report.balance, name) for name in names},
            "shipped_before": report.shipped_before,
            "is_balanced": report.balance.is_balanced,
            "pieces": {
                name: getattr(sums, name) for name in ("came", "on_hand", "in_bags", "shipped", "pulled", "gone")
            },
            "pieces_agree": sums.agree,
            "ledger_gives_levels": is_derived,
            "books_differ": off,
        }

    def summary(self, told: list[dict[str, Any]]) -> dict[str, Any]:
        """The week's figures."""
        tally = self.people.tally
        with self.shop.reading() as books:
            lines = books.find(OrderLine)
            return {
                "days": told,
                "orders": len({line.order_number for line in lines}),
                "lines": len(lines),
                "pieces": sum(line.pieces for line in lines),
                "bags": books.count(Bag),
                "bags_pulled": books.count(PulledBag),
                "packages": books.count(Package),
                "mistakes_planted": tally.planted,
                "mistakes_caught": tally.caught,
                "false_alarms": tally.false_alarms,
                "sums_agree": all(
                    day["is_balanced"]
                    and day["pieces_agree"]
                    and day["ledger_gives_levels"]
                    and not day["books_differ"]
                    for day in told
                ),
                "papers": [path.relative_to(self.out).as_posix() for path in self.papers],
            }

    def _orders(self, day: date, at: datetime) -> list[str]:
        """The day's orders; those that look finished with are never touched by it."""
        files = [self.catalogue / "week" / f"orders-{day}.csv"]
        if day == DAY:
            files = [self.catalogue / "orders.csv", self.catalogue / "orders_phone.json"]
        new: list[str] = []
        for path in files:
            if path.exists():
                done = import_orders(self.shop, path, at=at, person=CLERK)
                _without_findings(path, done.findings)
                new += done.new
        return new

    def _carried_over(self, received: list[str]) -> int:
        """Orders of earlier days that still want pieces."""
        with self.shop.reading() as books:
            owed = {line.order_number for line in books.find(OrderLine) if line.short_pieces} - {*received}
            return sum(order.state is not OrderState.CANCELLED for order in books.find(Order, number=sorted(owed)))

    def _plan_and_release(self, day: date, at: datetime, papers: Path, only: tuple[str, ...] | None = None) -> None:
        if only is None:
            plan_day(self.shop, day=day, at=at, person=PLANNER, seed=self.seed, effort=self.effort)
        with self.shop.reading() as books:
            is_planned = any(walk.released_at is None for walk in books.find(WalkRecord))
        if is_planned:
            self.papers += release_walks(
                self.shop, [], papers / "walks", at=at, person=PLANNER, index=lambda _: self.index
            )
        if only is None:
            self._print(papers, lambda books: short_list_sheet(books, day=day))

    def _print(self, out: Path, make: Callable[[Books], Made]) -> None:
        self.papers += print_papers(self.shop, out, make)

    def _customers_call(self, day: date, at: datetime, papers: Path) -> list[str]:
        """After the release one customer cancels, and one wants only half of a line."""
        with self.shop.reading() as books:
            released = books.find(Order, state=OrderState.RELEASED)
            sent = {bag.order_number for bag in books.find(Bag) if bag.package_number}
            new = [order.number for order in released if order.number not in sent]
            asked = {number: books.find(OrderLine, order_number=number) for number in new}
        called: list[str] = []
        if new:
            number, why = new[len(new) // 2], "the customer cancelled by telephone"
            done = cancel_order(self.shop, number, why, at=at, person=CLERK)
            self._print(papers, lambda books: pull_slip_sheets(books, number, why, (), done.pulled, day=day))
            called.append(number)
        for number, lines in sorted(asked.items()):
            line = max(lines, key=lambda one: (one.pieces, one.line_no))
            if number in called or line.pieces < 2:
                continue
            why = "the customer wants half of it"
            wants = {line.line_no: line.pieces // 2}
            changed = change_lines(self.shop, number, wants, at=at, person=CLERK, reason=why)
            tells, pulled = changed.tells, changed.pulled
            slip = partial(pull_slip_sheets, number=number, reason=why, tells=tells, pulled=pulled, day=day)
            self._print(papers, slip)
            plan_day(self.shop, day=day, at=at, person=PLANNER, seed=self.seed, effort=self.effort, only=[number])
            self._plan_and_release(day, at, papers, only=(number,))
            break
        return called

    def _make_room(self, day: date, papers: Path) -> tuple[int, int, int]:
        """Jobs for what is short; the most urgent are made today and complete the orders that wait for them."""
        at = self.people.now
        jobs = make_jobs(self.shop, Supply.MAKE, day=day, at=at, person=CLERK)
        bought = make_jobs(self.shop, Supply.BUY, day=day, at=at, person=CLERK)
        self._print(papers, lambda books: make_list_sheet(books, day=day, at=at))
        self._print(papers, lambda books: buy_list_sheet(books, day=day, at=at))
        made, completed = 0, set()
        for job in jobs[:MADE_A_DAY]:
            done = book_in(self.shop, job.number, day=day, at=at, person=CLERK, counted=job.pieces_open)
            made += done.pieces
            completed |= {*done.orders} if done.plan is not None and done.plan.walks else set()
        self._plan_and_release(day, at, papers, only=tuple(sorted(completed)))
        self.people.check_waiting_bags()
        return len(jobs) + len(bought), made, len(completed)

    def _deliveries(self, day: date, at: datetime) -> int:
        """What suppliers bring: jobs of two days ago."""
        with self.shop.reading() as books:
            due = [job for job in open_jobs(books, Supply.BUY) if job.day <= day - timedelta(days=DELIVERED_AFTER)]
        for job in due:
            book_in(self.shop, job.number, day=day, at=at, person=CLERK, counted=job.pieces_open)
        return sum(job.pieces_open for job in due)

    def _put_back(self) -> None:
        with self.shop.reading() as books:
            out = [bag.bag_code for bag in books.find(PulledBag) if not bag.is_back]
        for code in out:
            put_back(self.shop, code, at=self.people.now, person=CLERK)

    def _notes(self, day: date, papers: Path) -> None:
        """A note for every packed order of which pieces follow."""
        with self.shop.reading() as books:
            packed = {order.number for order in books.find(Order, state=OrderState.PACKED)}
            to_follow = sorted({line.order_number for line in books.find(OrderLine) if line.short_pieces} & packed)
            orders = books.find(Order, number=to_follow)
        at = self.people.now
        for order in orders:
            self._print(papers / "orders", partial(partial_note_sheet, order=order, day=day, at=at))

    def _ship(self, day: date, papers: Path) -> None:
        """Closes a manifest for every service; what can't leave is held, with the reason, so that the day balances."""
        with self.shop.reading() as books:
            services = sorted({package.service_code for package in books.find(Package, state=PackageState.SEALED)})
            orders = orders_to_print(books, day=day)
            name = stack_name(books, orders, "", day=day) if orders else ""
        if orders:
            set_ = print_set(
                self.shop, papers / "orders", orders=orders, day=day, at=self.people.now, person=CLERK, name=name
            )
            self.papers += [path for path in set_.written if path.suffix == ".pdf"]
        for service in services:
            try:
                closed = close_manifest(self.shop, service, day=day, at=self.people.now, person=CLERK)
            except Refusal:
                continue
            number = closed.manifest.number
            self._print(papers / "manifests", partial(printed_manifest, number=number))
        with self.shop.reading() as books:
            left = books.find(
                Order, state=[OrderState.RELEASED, OrderState.PICKED, OrderState.CHECKED, OrderState.PACKED]
            )
        for order in left:
            why = PUT_ASIDE if order.state is not OrderState.PACKED else REVIEW
            hold_order(self.shop, order.number, why, at=self.people.now, person=CLERK)


def _without_findings(path: Path, findings: tuple[Any, ...]) -> None:
    if findings:
        listed = "; ".join(str(finding) for finding in findings[:5])
        raise FileRefused("import the demo week from", path, f"files without findings; found: {listed}")
