"""The day's reconciliation and figures: what was ordered, where every piece is, how the checks went.

Tables are pandas frames, so that a shop can go on with them; the balance itself is exact
(:mod:`fulfil.shipping.balance`). It is that of the *day's orders*: those that came in on the day, those of earlier days
that still waited, and those that ended on it. What was sent of them before counts as shipped.

Limits: a report of a day gone by says where its orders' pieces are now.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import pandas as pd

from fulfil.day.allocating import kits_of, whole_kits
from fulfil.day.drift import DayDrift, drift_of_day
from fulfil.day.shop_clock import local_day
from fulfil.records.dispatch import JournalEntry, Manifest, Package, PackageState
from fulfil.records.finding import Finding
from fulfil.records.order import ENDED, Order, OrderLine, OrderState
from fulfil.records.part import Part
from fulfil.records.plan import Bag, PlanRecord, WalkRecord
from fulfil.records.weighing import WeighedKind, WeighingRecord
from fulfil.shipping.balance import DayBalance, LineBalance, balance
from fulfil.store.books import Books
from fulfil.store.shop import Shop


@dataclass(frozen=True)
class DayReport:
    """Balance, frames and findings of a day.

    ``frames`` are: ``lines`` (one row an order line), ``checks`` (weighings by kind and verdict), ``parts`` (checks
    sent back by part, most first). ``drift`` holds the drift charts of the day's scales and of parts that are out.
    ``shipped_before`` are the pieces of the balance that went out before the day.
    """

    day: date
    balance: DayBalance
    shipped_before: int
    frames: dict[str, pd.DataFrame]
    plans: tuple[PlanRecord, ...]
    walks: tuple[WalkRecord, ...]
    manifests: tuple[Manifest, ...]
    packages: tuple[Package, ...]
    findings: tuple[Finding, ...]
    drift: DayDrift


def report_day(shop: Shop, *, day: date) -> DayReport:
    """Reconciles the day's orders and reports on its walks, checks, packages and manifests."""
    with shop.reading() as books:
        numbers = orders_of_day(books, day)
        lines = [line for line in line_balances(books) if line.order_number in numbers]
        manifests = {manifest.number for manifest in books.find(Manifest, day=day)}
        packages = [
            package
            for package in books.find(Package)
            if package.state is not PackageState.SHIPPED or package.manifest_number in manifests
        ]
        sums = balance(lines)
        drift = drift_of_day(books, day)
        return DayReport(
            day=day,
            balance=sums,
            shipped_before=_shipped_before(books, numbers, manifests),
            frames={"lines": _lines_frame(lines), **_check_frames(books, day)},
            plans=tuple(books.find(PlanRecord, day=day)),
            walks=tuple(books.find(WalkRecord, day=day)),
            manifests=tuple(books.find(Manifest, day=day)),
            packages=tuple(packages),
            findings=(*sums.findings, *_left_behind(packages), *drift.findings),
            drift=drift,
        )


def orders_of_day(books: Books, day: date) -> set[str]:
    """The orders that a day has to do with: new on it, still waiting, or ended on it."""
    settings = books.settings()
    orders = books.find(Order)
    of_day = {
        order.number for order in orders if order.state not in ENDED or local_day(order.received_at, settings) == day
    }
    manifests = [manifest.number for manifest in books.find(Manifest, day=day)]
    of_day |= {package.order_number for package in books.find(Package, manifest_number=manifests)}
    cancelled = books.find(JournalEntry, event=f"order {OrderState.CANCELLED}")
    of_day |= {entry.subject for entry in cancelled if local_day(entry.at, settings) == day}
    dropped = {order.number for order in orders if order.state is OrderState.CANCELLED}
    owed = {line.order_number for line in books.find(OrderLine) if line.short_pieces}
    return of_day | (owed - dropped)


def line_balances(books: Books) -> list[LineBalance]:
    """Where the pieces of every order line are.

    What is on a closed manifest is shipped. The rest of a held order is held, of a cancelled one cancelled;
    otherwise pieces that couldn't be had are short. Of a kit, whole kits are counted.
    """
    states = {order.number: order.state for order in books.find(Order)}
    lines = books.find(OrderLine)
    shipped = _shipped(books, lines, books.find(Package, state=PackageState.SHIPPED))
    return [_line(line, states[line.order_number], pieces) for line, pieces in zip(lines, shipped, strict=True)]


def _shipped(books: Books, lines: Sequence[OrderLine], packages: Sequence[Package]) -> list[int]:
    """What these packages hold of each line; of a kit, whole kits."""
    numbers = {package.number for package in packages}
    held: dict[tuple[str, int], dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for bag in books.find(Bag):
        if bag.package_number in numbers:
            held[bag.order_number, bag.line_no][bag.part_number] += bag.pieces
    kits = kits_of(books)
    return [whole_kits(line, kits, held[line.order_number, line.line_no].__getitem__) for line in lines]


def _shipped_before(books: Books, numbers: set[str], manifests: set[str]) -> int:
    """What went out of these orders on manifests that aren't among the day's."""
    packages = books.find(Package, order_number=sorted(numbers), state=PackageState.SHIPPED)
    before = [package for package in packages if package.manifest_number not in manifests]
    return sum(_shipped(books, books.find(OrderLine, order_number=sorted(numbers)), before)) if before else 0


def _line(line: OrderLine, state: OrderState, shipped: int) -> LineBalance:
    rest = line.pieces - shipped - line.cancelled_pieces
    held = rest if state is OrderState.HELD else 0
    cancelled = line.cancelled_pieces + (rest if state is OrderState.CANCELLED else 0)
    short = line.short_pieces if state not in (OrderState.HELD, OrderState.CANCELLED) else 0
    return LineBalance(line.order_number, line.line_no, line.part_number, line.pieces, shipped, short, held, cancelled)


def _lines_frame(lines: Sequence[LineBalance]) -> pd.DataFrame:
    columns = ["order", "line", "part", "ordered", "shipped", "short", "held", "cancelled", "in_hand"]
    rows = [
        (
            one.order_number,
            one.line_no,
            one.part_number,
            one.ordered,
            one.shipped,
            one.short,
            one.held,
            one.cancelled,
            one.in_hand,
        )
        for one in lines
    ]
    return pd.DataFrame(rows, columns=columns)


def _check_frames(books: Books, day: date) -> dict[str, pd.DataFrame]:
    """The day's weighings by kind and verdict, and the parts whose bags were sent back most."""
    settings = books.settings()
    part_of = {bag.code: bag.part_number for bag in books.find(Bag)}
    bagged = sorted(set(part_of.values()))
    description = {part.number: part.description for part in books.find(Part, number=bagged)}
    weighings = pd.DataFrame(
        [
            (one.kind.value, one.verdict.value, part_of.get(one.subject, ""), one.scale_code)
            for one in books.find(WeighingRecord)
            if local_day(one.at, settings) == day
        ],
        columns=["kind", "verdict", "part", "scale"],
    )
    checks = weighings.groupby(["kind", "scale", "verdict"], sort=True).size().reset_index(name="times")
    back = weighings[(weighings["kind"] == WeighedKind.BAG.value) & (weighings["verdict"] != "passed")]
    parts = back.groupby("part").size().reset_index(name="sent_back")
    parts["description"] = parts["part"].map(description)
    parts = parts.sort_values(["sent_back", "part"], ascending=[False, True], ignore_index=True)
    return {"checks": checks, "parts": parts}


def _left_behind(packages: Sequence[Package]) -> list[Finding]:
    """Packages that are on no closed manifest."""
    found = []
    for package in packages:
        if package.state is PackageState.SHIPPED:
            continue
        source = f"package {package.number}"
        if package.state is PackageState.SEALED:
            do = f"close a manifest for service {package.service_code}, or carry it over to tomorrow"
            found.append(Finding(source, None, "state", package.state, "sealed, but on no manifest", do))
        elif package.gross_g is not None and package.lower_g <= package.gross_g <= package.upper_g:
            do = f"read what stops it (fulfil packages pack {package.order_number}); a trained person decides"
            found.append(Finding(source, None, "state", package.state, "weighs right, but waits for a review", do))
        else:
            do = "weigh it again, or open it and look"
            found.append(Finding(source, None, "state", package.state, "neither sealed nor shipped", do))
    return found
