"""The day's reconciliation and figures: what was ordered, where every piece is, how the checks went.

Tables are pandas frames, so that a shop can go on with them; the balance itself is exact
(:mod:`fulfil.shipping.balance`).
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import pandas as pd

from fulfil.day.allocating import kits_of, whole_kits
from fulfil.day.drift import DayDrift, drift_of_day
from fulfil.records.dispatch import Manifest, Package, PackageState
from fulfil.records.finding import Finding
from fulfil.records.order import Order, OrderLine, OrderState
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
    """

    day: date
    balance: DayBalance
    frames: dict[str, pd.DataFrame]
    plans: tuple[PlanRecord, ...]
    walks: tuple[WalkRecord, ...]
    manifests: tuple[Manifest, ...]
    packages: tuple[Package, ...]
    findings: tuple[Finding, ...]
    drift: DayDrift


def report_day(shop: Shop, *, day: date) -> DayReport:
    """Reconciles every order in the shop and reports on a day's walks, checks, packages and manifests."""
    with shop.reading() as books:
        lines = line_balances(books)
        packages = books.find(Package)
        sums = balance(lines)
        drift = drift_of_day(books, day)
        return DayReport(
            day=day,
            balance=sums,
            frames={"lines": _lines_frame(lines), **_check_frames(books)},
            plans=tuple(books.find(PlanRecord, day=day)),
            walks=tuple(books.find(WalkRecord, day=day)),
            manifests=tuple(books.find(Manifest, day=day)),
            packages=tuple(packages),
            findings=(*sums.findings, *_left_behind(packages), *drift.findings),
            drift=drift,
        )


def line_balances(books: Books) -> list[LineBalance]:
    """Where the pieces of every order line are.

    What is on a closed manifest is shipped. The rest of a held order is held, of a cancelled one cancelled;
    otherwise pieces that couldn't be had are short. Of a kit, whole kits are counted.
    """
    states = {order.number: order.state for order in books.find(Order)}
    shipped_packages = {package.number for package in books.find(Package, state=PackageState.SHIPPED)}
    shipped: dict[tuple[str, int], dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for bag in books.find(Bag):
        if bag.package_number in shipped_packages:
            shipped[bag.order_number, bag.line_no][bag.part_number] += bag.pieces
    kits = kits_of(books)
    return [
        _line(
            line,
            states[line.order_number],
            whole_kits(line, kits, shipped[line.order_number, line.line_no].__getitem__),
        )
        for line in books.find(OrderLine)
    ]


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


def _check_frames(books: Books) -> dict[str, pd.DataFrame]:
    """Weighings by kind and verdict, and the parts whose bags were sent back most."""
    part_of = {bag.code: bag.part_number for bag in books.find(Bag)}
    description = {part.number: part.description for part in books.find(Part)}
    weighings = pd.DataFrame(
        [
            (one.kind.value, one.verdict.value, part_of.get(one.subject, ""), one.scale_code)
            for one in books.find(WeighingRecord)
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
        else:
            do = "weigh it again, or open it and look"
            found.append(Finding(source, None, "state", package.state, "neither sealed nor shipped", do))
    return found
