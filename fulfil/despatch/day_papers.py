"""The papers of the day as sheets: short list and day report."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal
from statistics import median
from typing import TYPE_CHECKING

from fulfil.orders.places import orders_with
from fulfil.papers.day import day_report
from fulfil.papers.day.day_report import BalanceRow, DayReportSheet, Figure
from fulfil.papers.repeated import part_looks
from fulfil.papers.sheet import head
from fulfil.papers.stock import short_list
from fulfil.papers.stock.short_list import ShortListSheet, ShortRow, WaitingOrder
from fulfil.quantities import print_metres, print_package_mass
from fulfil.records.finding import Finding
from fulfil.records.order import Order, OrderLine, OrderState
from fulfil.records.part import Part, Supply, UnitWeight
from fulfil.records.pieces import Owed
from fulfil.records.plan import Bag, CountMethod
from fulfil.shop.asking import ByName, from_books
from fulfil.store.books import Books
from fulfil.store.shop import Shop

if TYPE_CHECKING:
    import pandas as pd

    from fulfil.despatch.report import DayReport

_OPEN_FIRST = ("in_hand", "short", "held", "shipped", "cancelled")
"""Under which of these an order or a line counts: the first that it has pieces of, so what is open comes first."""
_ONCE = "an order or line counts once, where it is still open"


def short_list_sheet(books: Books, *, day: date) -> ShortListSheet:
    """What is short, by where it comes from: made next door first, then by supplier; parts by number."""
    settings = books.settings()
    lines = books.find(OrderLine, order_number=orders_with(books, Owed.SHORT))
    orders = {one.number: one for one in books.find(Order, number=sorted({line.order_number for line in lines}))}
    waiting: dict[str, list[WaitingOrder]] = defaultdict(list)
    for line in lines:
        order = orders[line.order_number]
        if line.short_pieces:
            note = order.held_reason if order.state is OrderState.HELD else ""
            waiting[line.part_number].append(
                WaitingOrder(order_number=line.order_number, pieces=line.short_pieces, note=note)
            )
    parts = books.find(Part, number=sorted(waiting))
    rows = [
        ShortRow(
            **part_looks(part),
            pieces=sum(order.pieces for order in waiting[part.number]),
            supply=part.supply,
            supplier=part.supplier,
            waiting=tuple(waiting[part.number]),
        )
        for part in sorted(parts, key=lambda part: (part.supply is Supply.BUY, part.supplier, part.number))
    ]
    return ShortListSheet(
        **head(settings, short_list.NUMBERED.number(day), day),
        rows=tuple(rows),
    )


def day_report_sheet(books: Books, report: "DayReport") -> DayReportSheet:
    """The day on paper: the balance, the figures, what is left to do."""
    settings = books.settings()
    sums = report.balance
    lines = report.frames["lines"]
    earlier = f"{report.shipped_before} of them on earlier days" if report.shipped_before else ""
    line_counts, order_counts = _counted_once(lines), _counted_once(lines.groupby("order")[[*_OPEN_FIRST]].sum())
    rows = [
        BalanceRow(
            label=label,
            lines=line_counts[label],
            orders=order_counts[label],
            pieces=pieces,
            note=earlier if label == "shipped" else "",
        )
        for label, pieces in (
            ("shipped", sums.shipped),
            ("short", sums.short),
            ("held", sums.held),
            ("cancelled", sums.cancelled),
        )
    ]
    total = BalanceRow(
        label="ordered",
        orders=int(lines["order"].nunique()),
        lines=len(lines),
        pieces=sums.ordered,
        is_total=True,
        note=_ONCE if sums.is_balanced else f"{sums.in_hand} pieces are none of these yet",
    )
    sentence = "The day balances to the piece: ordered = shipped + short + held + cancelled."
    if not sums.is_balanced:
        sentence = f"The day does not balance yet: {len(sums.findings)} lines are open, {sums.in_hand} pieces in hand."
    # Loaded late: who lists what is short draws no charts.
    from fulfil.counting.papers import drift_chart_sheets
    from fulfil.counting.risk_words import risk_statement

    return DayReportSheet(
        **head(settings, day_report.NUMBERED.number(report.day), report.day),
        balance=(*rows, total),
        is_balanced=sums.is_balanced,
        balance_sentence=sentence,
        figures=(
            ("Walks", _walk_figures(books, report)),
            ("Checks", _check_figures(books, report)),
            ("Packages", _package_figures(report)),
            ("Unit weights", _weight_figures(books, report)),
        ),
        to_do=_to_do(report.findings),
        risk_statement=risk_statement(settings),
        drift=drift_chart_sheets(report.drift),
        seal=seal_words(*books.head()),
    )


def seal_words(steps: int, digest: str) -> str:
    """The seal of the record as it is printed, in groups of four that are easy to type.

    >>> seal_words(1234, "3f2a9b01c4d5e6f7" + 48 * "0")
    'Seal of the record after 1,234 steps: 3f2a 9b01 c4d5 e6f7. Keep this page; fulfil shop verify --seal checks it.'
    """
    said = " ".join(digest[place : place + 4] for place in range(0, 16, 4))
    return f"Seal of the record after {steps:,} steps: {said}. Keep this page; fulfil shop verify --seal checks it."


def _to_do(findings: Sequence[Finding]) -> tuple[str, ...]:
    """Findings in words; those that say and ask the same of several things name all of them in one."""
    alike: dict[Finding, list[str]] = defaultdict(list)
    for one in findings:
        alike[replace(one, source="")].append(one.source)
    said = (str(replace(same, source=_together(sources))) for same, sources in alike.items())
    return tuple(f"{text[:1].upper()}{text[1:]}" for text in said)


def _together(sources: Sequence[str]) -> str:
    """``'package P1, P2'`` of ``'package P1'`` and ``'package P2'``.

    >>> _together(["package P1", "package P2"]), _together(["package P1", "scale A"])
    ('package P1, P2', 'package P1, scale A')
    """
    kinds = {source.partition(" ")[0] for source in sources}
    if len(sources) == 1 or len(kinds) > 1:
        return ", ".join(sources)
    return ", ".join([sources[0], *(source.partition(" ")[2] for source in sources[1:])])


def _counted_once(frame: "pd.DataFrame") -> dict[str, int]:
    """How many rows count under each label: each once, under the first that it has pieces of.

    A row with pieces in hand counts under none: it is in the total alone, until its pieces have their place.
    """
    import pandas as pd

    first = (frame[[*_OPEN_FIRST]] > 0).idxmax(axis=1) if len(frame) else pd.Series(dtype=str)
    return {label: int((first == label).sum()) for label in _OPEN_FIRST if label != "in_hand"}


def _walk_figures(books: Books, report: "DayReport") -> tuple[Figure, ...]:
    if not report.plans:
        return (Figure(label="walks", value="none"),)
    length_mm = sum(walk.length_mm for walk in report.walks)
    from fulfil.walks.compare import one_by_one_mm  # loaded late, as the charts
    from fulfil.walks.papers import above_bound

    alone_mm = one_by_one_mm(books, report.walks)
    saved = 1 - length_mm / alone_mm if alone_mm else 0.0
    plans = list(report.plans)
    remark = above_bound(plans[0]) if len(plans) == 1 else f"{len(plans)} plans, one after the other"
    return (
        Figure(label="walks", value=str(len(report.walks))),
        Figure(label="walked", value=print_metres(length_mm), remark=remark),
        Figure(
            label="one walk per order would be",
            value=print_metres(alone_mm),
            remark=f"the walks save {saved * 100:.0f} %",
        ),
    )


_VERDICT_WORDS = {"recount": "to count again", "look": "to look at again", "stop": "stopped"}
"""A verdict as it is said of several bags or packages."""


def _check_figures(books: Books, report: "DayReport") -> tuple[Figure, ...]:
    bags = books.find(Bag, walk_number=[walk.number for walk in report.walks])
    by_hand = sum(bag.method is CountMethod.HAND for bag in bags)
    figures = [
        Figure(label="bags", value=str(len(bags))),
        Figure(label="counted by hand", value=str(by_hand), remark="no scale here can prove these counts"),
    ]
    for row in report.frames["checks"].itertuples():
        figures.append(
            Figure(
                label=f"{row.kind}s {_VERDICT_WORDS.get(str(row.verdict), str(row.verdict))}",
                value=str(row.times),
                remark=f"scale {row.scale}",
            )
        )
    for row in report.frames["parts"].head(5).itertuples():
        figures.append(Figure(label=f"sent back: {row.part}", value=str(row.sent_back), remark=str(row.description)))
    return tuple(figures)


def _weight_figures(books: Books, report: "DayReport") -> tuple[Figure, ...]:
    """What the day taught about unit weights, and which parts and scales are out."""
    learned = [weight for weight in books.find(UnitWeight, as_of=report.day) if weight.learned_n]
    drift = report.drift
    figures = [
        Figure(
            label="weighings charted",
            value=str(drift.n),
            remark=f"bags of {drift.parts} parts whose count is known; drift alarms: {len(drift.alarms)}",
        ),
        Figure(
            label="unit weights learned",
            value=str(len(learned)),
            remark=f"from {sum(weight.learned_n for weight in learned)} bags that passed or were counted by hand"
            if learned
            else "not yet: fulfil parts learn",
        ),
    ]
    if learned:
        shares = sorted(weight.u_g / weight.sample_u_g for weight in learned if weight.sample_u_g)
        if shares:
            remark = "of what the samples alone gave"
            figures.append(
                Figure(label="their uncertainty, median", value=f"{median(shares) * 100:.0f} %", remark=remark)
            )
    return tuple(figures)


def _package_figures(report: "DayReport") -> tuple[Figure, ...]:
    figures = [Figure(label="packages", value=str(len(report.packages)))]
    for manifest in report.manifests:
        remark = f"{manifest.packages} packages, {print_package_mass(manifest.weight_g)}"
        figures.append(Figure(label=f"manifest {manifest.number}", value=manifest.service_code, remark=remark))
    weight_g = sum((manifest.weight_g for manifest in report.manifests), Decimal(0))
    figures.append(Figure(label="handed over", value=print_package_mass(weight_g)))
    return tuple(figures)


def _report(shop: Shop, at: datetime) -> tuple[DayReportSheet, ...]:
    from fulfil.despatch.report import report_day

    report = report_day(shop, day=at.date())
    with shop.reading() as books:
        return (day_report_sheet(books, report),)


BY_NAME = (
    ByName(DayReportSheet, _report),
    from_books(ShortListSheet, lambda books, at: (short_list_sheet(books, day=at.date()),)),
)
