"""The day report: does the day balance, how did it go, what must be done before anyone goes home.

>>> BalanceRow(label="ordered", orders=100, lines=600, pieces=41250).pieces
41250
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from fulfil.papers.bench.drift_chart import DriftChartSheet, drift_chart
from fulfil.papers.document import Document
from fulfil.papers.elements.caution_box import caution_box, framed
from fulfil.papers.elements.columns import Column, filling, heading_row, row, table
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.pieces_cell import pieces_text
from fulfil.papers.elements.tick_box import TICK_MM, tick_box
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, beside, gap
from fulfil.papers.numbering import OfTheDay
from fulfil.papers.page import BODY_PT, STRONG_PT, TARGET_PT
from fulfil.papers.sheet import DocumentSheet
from fulfil.papers.wrap import paragraph


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
        seal: what holds the record of the shop up to this report; a kept copy proves that nothing of it was altered.
    """

    balance: tuple[BalanceRow, ...]
    is_balanced: bool
    balance_sentence: str
    figures: tuple[tuple[str, tuple[Figure, ...]], ...]
    to_do: tuple[str, ...] = ()
    risk_statement: str = ""
    drift: tuple[DriftChartSheet, ...] = ()
    cautions: tuple[str, ...] = ()
    seal: str = ""


NUMBERED = OfTheDay("D", "01")
PAPER = Document(
    sheet=DayReportSheet,
    name="Day report",
    file="day-report",
    about=lambda sheets: str(sheets[0].day),
    numbered=NUMBERED,
    facts=lambda sheet: (day_words(sheet.day),),
    blocks=lambda sheet, space: _blocks(sheet, space.width_mm),
)


def _blocks(sheet: DayReportSheet, width: float) -> list[Block]:
    blocks = [above(_balance_sentence(sheet, width), gap(2.0))]
    columns = filling(
        (
            Column("", 40.0),
            Column("orders", 24.0, align="right"),
            Column("lines", 24.0, align="right"),
            Column("pieces", 30.0, align="right"),
        ),
        width,
        0,
    )
    blocks += [*table(heading_row(columns), [_balance(each, columns) for each in sheet.balance]), gap(3.0)]
    if sheet.to_do:
        blocks.append(paragraph("To do", Face.BOLD, TARGET_PT, width).kept())
        blocks += [_to_do(text, width) for text in sheet.to_do]
        blocks.append(gap(3.0))
    for heading, figures in sheet.figures:
        blocks.append(paragraph(heading, Face.BOLD, TARGET_PT, width).kept())
        blocks += [_figure(each, width) for each in figures]
        blocks.append(gap(3.0))
    if sheet.drift:
        blocks.append(paragraph("Drift", Face.BOLD, TARGET_PT, width).kept())
        blocks += [drift_chart(each, width) for each in sheet.drift]
    if sheet.risk_statement:
        blocks.append(paragraph(sheet.risk_statement, Face.TEXT, BODY_PT, width))
    blocks.append(caution_box(sheet.cautions, width))
    if sheet.seal:
        blocks.append(paragraph(sheet.seal, Face.TEXT, BODY_PT, width))
    return blocks


def _balance_sentence(sheet: DayReportSheet, width: float) -> Block:
    """A light frame when the day balances, a caution when it doesn't."""
    if sheet.is_balanced:
        return framed(paragraph(sheet.balance_sentence, Face.BOLD, TARGET_PT, width - 4), width, line_mm=0.3)
    return caution_box((sheet.balance_sentence,), width, TARGET_PT)


def _balance(each: BalanceRow, columns: Sequence[Column]) -> Block:
    face = Face.BOLD if each.is_total else Face.TEXT
    shown = tuple(replace(column, face=face, size_pt=STRONG_PT) for column in columns)
    label: str | Block = each.label
    if each.note:
        label = above(
            paragraph(each.label, face, STRONG_PT, columns[0].text_mm),
            paragraph(each.note, Face.TEXT, BODY_PT, columns[0].text_mm),
        )
    counts = ("" if count is None else pieces_text(count) for count in (each.orders, each.lines, each.pieces))
    return row(shown, (label, *counts), rule_mm=0.5 if each.is_total else 0.15)


def _to_do(text: str, width: float) -> Block:
    words = above(gap(1.2), paragraph(text, Face.TEXT, STRONG_PT, width - TICK_MM - 3))
    return above(gap(0.8), beside((0.0, tick_box()), (TICK_MM + 3, words)), gap(0.6))


def _figure(each: Figure, width: float) -> Block:
    columns = filling(
        (
            Column("", width * 0.34),
            Column("", width * 0.24, face=Face.BOLD, size_pt=STRONG_PT),
            Column("", width * 0.3),
        ),
        width,
        2,
    )
    return row(columns, (each.label, each.value, each.remark))
