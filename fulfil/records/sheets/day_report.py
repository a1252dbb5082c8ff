"""The day report: does the day balance, how did it go, what must be done.

>>> BalanceRow(label="ordered", orders=100, lines=600, pieces=41250).pieces
41250
"""

from dataclasses import dataclass

from fulfil.records.sheets.document import DocumentSheet
from fulfil.records.sheets.drift_chart import DriftChartSheet


@dataclass(frozen=True, kw_only=True)
class BalanceRow:
    """One row of the balance; ``is_total`` rows are ruled off, ``note`` names what doesn't balance."""

    label: str
    orders: int | None = None
    lines: int | None = None
    pieces: int
    is_total: bool = False
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Figure:
    """One figure of the day, written already: 'walked' '1 234.5 m' 'proven: no shorter plan exists'."""

    label: str
    value: str
    remark: str = ""


@dataclass(frozen=True, kw_only=True)
class DayReportSheet(DocumentSheet):
    """The day on one page: balance, figures, things to do.

    Attributes:
        balance_sentence: 'The day balances to the piece.' or what doesn't.
        is_balanced: whether ordered = shipped + short + held + cancelled.
        figures: in groups (heading, figures).
        to_do: one sentence each, printed with a tick box.
        drift: the charts of the day's scales and of parts that are out.
    """

    balance: tuple[BalanceRow, ...]
    is_balanced: bool
    balance_sentence: str
    figures: tuple[tuple[str, tuple[Figure, ...]], ...]
    to_do: tuple[str, ...] = ()
    risk_statement: str = ""
    drift: tuple[DriftChartSheet, ...] = ()
    cautions: tuple[str, ...] = ()
