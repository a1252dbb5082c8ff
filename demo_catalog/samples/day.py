"""Invented papers of a day's end: day report, reconciliation.

>>> reconciliation().open_differences
1
"""

from typing import Any

from fulfil.papers.day.day_figures import DayFiguresSheet, FigureRow
from fulfil.papers.day.day_report import BalanceRow, DayReportSheet, Figure
from fulfil.papers.day.month_accounts import MonthAccountsSheet
from fulfil.papers.day.reconciliation import DifferenceRow, ReconciliationSheet, SumRow
from fulfil.papers.elements.pieces_cell import pieces_text

from .sample import Sample
from .shop import DAY, NOTICE, RISK, SHOP


def day_report(**changes: Any) -> DayReportSheet:
    """A day that balances."""
    facts: dict[str, Any] = {
        "document_number": "DR-250304",
        "shop_name": SHOP,
        "day": DAY,
        "notice": NOTICE,
        "balance": (
            BalanceRow(label="ordered", orders=100, lines=600, pieces=41250, is_total=True),
            BalanceRow(label="shipped", orders=94, lines=571, pieces=40100),
            BalanceRow(label="short", lines=12, pieces=640),
            BalanceRow(label="held", orders=4, lines=11, pieces=310),
            BalanceRow(label="cancelled", orders=2, lines=6, pieces=200),
            BalanceRow(label="difference", pieces=0, is_total=True),
        ),
        "is_balanced": True,
        "balance_sentence": "The day balances to the piece.",
        "figures": (
            (
                "Walks",
                (
                    Figure(label="walked", value="1843.2 m", remark="10 walks"),
                    Figure(label="no plan is shorter than", value="1805.0 m", remark="proven, 2.1 % below"),
                ),
            ),
            (
                "Checks",
                (
                    Figure(label="bags checked", value="640", remark="each by a second person"),
                    Figure(label="mistakes caught", value="11 of 12", remark="planted, simulated"),
                ),
            ),
        ),
        "to_do": (
            "Recount bin A04-L-07-2: the books say 40, the picker found 12.",
            "Order O-1017 is held: country code 'XX' is no country. Ask the customer.",
        ),
        "risk_statement": RISK,
        "seal": "Seal of the record after 1,234 steps: 3f2a 9b01 c4d5 e6f7. "
        "Keep this page; fulfil shop verify --seal checks it.",
    }
    return DayReportSheet(**(facts | changes))


def reconciliation() -> ReconciliationSheet:
    """A day with one difference left."""
    return ReconciliationSheet(
        document_number="RC-250304",
        shop_name=SHOP,
        day=DAY,
        notice=NOTICE,
        state_sentence="Open: one difference is to be settled or carried over before the day can close.",
        is_closed=False,
        sums=(
            SumRow(
                label="pieces ordered",
                ours=pieces_text(41_250),
                theirs=pieces_text(41_250),
                agrees=True,
            ),
            SumRow(label="packages on manifests, on the bill", ours="94", theirs="93", agrees=False),
        ),
        differences=(
            DifferenceRow(
                code="1A2B3C4D",
                cause="package not billed",
                subject="package PK000131",
                says="On manifest MF-250304-2, but not on the carrier's bill",
                do="ask the service whether it was collected",
                money="EUR 12.40",
            ),
        ),
        costs=(("O-1003", "2", "EUR 14.80", "EUR 14.80"),),
    )


def month_accounts() -> MonthAccountsSheet:
    """A month with two services, one of which is billed too much."""
    return MonthAccountsSheet(
        document_number="A25030101",
        shop_name=SHOP,
        day=DAY.replace(day=1),
        notice=NOTICE,
        month="March 2025",
        charges=(
            ("ROAD", "DE", "EUR", "1,204", "1,310.482", "9,391.20", "9,402.60", "3", "11.40", "0.00"),
            ("ROAD", "GB", "EUR", "98", "102.900", "1,264.20", "1,288.00", "0", "0.00", "23.80"),
            ("POST", "NA", "EUR", "12", "3.120", "62.40", "0.00", "12", "0.00", "0.00"),
        ),
        goods=(("DE", "EUR", "812", "48,120.35"), ("GB", "GBP", "61", "3,310.00"), ("NA", "EUR", "9", "412.80")),
        caution="Sums of this shop's books, not a tax return: ask a local tax adviser what is taxable where.",
    )


def day_figures() -> DayFiguresSheet:
    """An invented day against the twenty before it."""
    chance = (0.62, 0.7, 0.66, 0.91, 0.58, 0.73, 0.69, 0.8, 0.55, 0.77)

    def row(name: str, today: str, usual: str, shift: int, last: float) -> FigureRow:
        bars = tuple(chance[(place * 3 + shift) % 10] for place in range(20))
        return FigureRow(name=name, today=today, usual=usual, bars=(*bars[:7], -1.0, *bars[8:], last))

    return DayFiguresSheet(
        document_number="DF-250304",
        shop_name=SHOP,
        day=DAY,
        notice=NOTICE,
        sentence="Usual is the median of the 20 working days before. "
        "Most of today's measured hours went into checking: 38 %.",
        groups=(
            ("Where the hours went", (
                row("walking", "1 h 02 min", "1 h 10 min", 0, 0.6),
                row("searching and counting", "3 h 40 min", "3 h 35 min", 1, 0.75),
                row("checking", "4 h 51 min", "3 h 20 min", 2, 1.0),
                row("packing", "3 h 05 min", "3 h 11 min", 3, 0.7),
            )),
            ("How it went", (
                row("walking saved against one walk per order", "81.2 %", "80.4 %", 4, 0.9),
                row("bags sent back", "2.1 %", "1.4 %", 5, 1.0),
                row("lines short", "12", "9", 6, 0.8),
            )),
        ),
        pairs=(("SCREW-8", "SCREW-8A", "5"), ("BALL-3", "BALL-4", "2")),
        remarks=("Hours are measured. A stroke: nothing was written down that day.",),
    )  # fmt: skip


SAMPLES = {
    "day-figures": Sample(lambda: [day_figures()]),
    "month-accounts": Sample(lambda: [month_accounts()]),
    "day-report": Sample(lambda: [day_report()]),
    "reconciliation": Sample(lambda: [reconciliation()]),
}
