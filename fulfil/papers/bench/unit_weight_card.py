"""The unit-weight card: one part, what a piece of it weighs and how that is known, what can be counted, the picture.

>>> CardReach(scale="BENCH-1", interval_g=Decimal("0.01"), most=118).most
118
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from fulfil.papers.document import Document
from fulfil.papers.elements.columns import Column, filling, heading_row, row
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.line_chart import LineChart, line_chart
from fulfil.papers.elements.part_cell import looks, says_more
from fulfil.papers.elements.pieces_cell import pieces_text
from fulfil.papers.elements.tick_box import TICK_MM, tick_box
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, beside, gap
from fulfil.papers.page import BODY_PT, STRONG_PT, TARGET_PT
from fulfil.papers.sheet import DocumentSheet
from fulfil.papers.wrap import paragraph
from fulfil.quantities import print_grams


@dataclass(frozen=True, kw_only=True)
class CardLot:
    """One lot: figures written already, with the digits to be printed; ``how`` says where they come from."""

    lot: str
    unit_weight: str
    uncertainty: str
    piece_sd: str
    how: str


@dataclass(frozen=True, kw_only=True)
class CardSample:
    """One recorded sample weighing."""

    day: date
    lot: str
    pieces: int
    gross_g: Decimal
    tare_g: Decimal
    scale: str


@dataclass(frozen=True, kw_only=True)
class CardReach:
    """What one scale can count in one bag; ``why_not`` where this part is never weighed on it."""

    scale: str
    interval_g: Decimal
    most: int
    why_not: str = ""


@dataclass(frozen=True, kw_only=True)
class CardTerm:
    """One term of a budget: figures written already; ``shrink`` says what would make it smaller."""

    term: str
    u: str
    share: str
    shrink: str


@dataclass(frozen=True, kw_only=True)
class CardBudget:
    """What makes the largest bag on a scale uncertain, largest term first; ``says`` is its sum in a sentence."""

    scale: str
    pieces: int
    terms: tuple[CardTerm, ...]
    says: str


@dataclass(frozen=True, kw_only=True)
class UnitWeightCardSheet(DocumentSheet):
    """A part's card; ``advice`` is what to do next, one sentence each."""

    part_number: str
    description: str
    family: str
    size: str
    finish: str
    lots: tuple[CardLot, ...]
    reaches: tuple[CardReach, ...]
    samples: tuple[CardSample, ...]
    older_samples: int
    chart: LineChart | None
    advice: tuple[str, ...]
    risk_statement: str
    budgets: tuple[CardBudget, ...] = ()


PAPER = Document(
    sheet=UnitWeightCardSheet,
    name="Unit-weight card",
    file="unit-weight-card",
    about=lambda sheets: sheets[0].part_number,
    facts=lambda sheet: (sheet.description if says_more(sheet.description, _look(sheet)) else "", day_words(sheet.day)),
    strong=lambda sheet: _look(sheet),
    blocks=lambda sheet, space: _blocks(sheet, space.width_mm),
)


_CHART_MM = 70.0


def _look(sheet: UnitWeightCardSheet) -> str:
    return looks(sheet.family, sheet.size, sheet.finish)


def _blocks(sheet: UnitWeightCardSheet, width: float) -> list[Block]:
    blocks = [paragraph("What one piece weighs", Face.BOLD, TARGET_PT, width).kept()]
    lots = filling(
        (
            Column("lot", 28.0),
            Column("unit weight", 30.0, align="right", face=Face.BOLD, size_pt=STRONG_PT),
            Column("standard uncertainty", 30.0, align="right"),
            Column("piece s.d.", 26.0, align="right"),
            Column("how it is known", 50.0),
        ),
        width,
        4,
    )
    blocks += [heading_row(lots).kept(), *(_lot(each, lots) for each in sheet.lots), gap(3.0)]
    blocks.append(paragraph("What can be counted of it in one bag", Face.BOLD, TARGET_PT, width).kept())
    reaches = filling(
        (
            Column("scale", 34.0),
            Column("interval d", 26.0, align="right"),
            Column("largest count", 34.0, align="right", face=Face.BOLD, size_pt=STRONG_PT),
            Column("", 40.0),
        ),
        width,
        3,
    )
    blocks += [heading_row(reaches).kept(), *(_reach(each, reaches) for each in sheet.reaches)]
    blocks.append(above(gap(1.0), paragraph(sheet.risk_statement, Face.TEXT, BODY_PT, width), gap(3.0)))
    for budget in sheet.budgets:
        blocks += _budget(budget, width)
    if sheet.chart is not None:
        blocks.append(paragraph("Largest count by the size of the sample", Face.BOLD, TARGET_PT, width).kept())
        blocks.append(above(gap(1.0), line_chart(sheet.chart, width, _CHART_MM), gap(3.0)))
    if sheet.advice:
        blocks.append(paragraph("To do", Face.BOLD, TARGET_PT, width).kept())
        blocks += [_advice(text, width) for text in sheet.advice]
        blocks.append(gap(3.0))
    if sheet.samples:
        blocks.append(paragraph("Samples", Face.BOLD, TARGET_PT, width).kept())
        columns = filling(
            (
                Column("day", 38.0),
                Column("lot", 26.0),
                Column("pieces", 22.0, align="right"),
                Column("gross", 30.0, align="right"),
                Column("tare", 30.0, align="right"),
                Column("scale", 30.0),
            ),
            width,
            5,
        )
        blocks += [heading_row(columns).kept(), *(_sample(each, columns) for each in sheet.samples)]
        if sheet.older_samples:
            blocks.append(paragraph(f"and {sheet.older_samples} older weighings", Face.TEXT, BODY_PT, width))
    return blocks


def _budget(budget: CardBudget, width: float) -> list[Block]:
    heading = f"What makes {budget.pieces} pieces on {budget.scale} uncertain"
    columns = filling(
        (
            Column("from", 44.0),
            Column("standard uncertainty", 32.0, align="right"),
            Column("share", 20.0, align="right"),
            Column("what would shrink it", 60.0),
        ),
        width,
        3,
    )
    rows = [row(columns, (each.term, each.u, each.share, each.shrink)) for each in budget.terms]
    return [
        paragraph(heading, Face.BOLD, TARGET_PT, width).kept(),
        heading_row(columns).kept(),
        *rows,
        above(gap(1.0), paragraph(budget.says, Face.TEXT, BODY_PT, width), gap(3.0)),
    ]


def _lot(each: CardLot, columns: Sequence[Column]) -> Block:
    return row(columns, (each.lot or "all lots", each.unit_weight, each.uncertainty, each.piece_sd, each.how))


def _reach(each: CardReach, columns: Sequence[Column]) -> Block:
    most = pieces_text(each.most) if each.most else "by hand"
    return row(columns, (each.scale, print_grams(each.interval_g), most, each.why_not))


def _sample(each: CardSample, columns: Sequence[Column]) -> Block:
    return row(
        columns,
        (
            day_words(each.day),
            each.lot,
            pieces_text(each.pieces),
            print_grams(each.gross_g),
            print_grams(each.tare_g),
            each.scale,
        ),
    )


def _advice(text: str, width: float) -> Block:
    words = above(gap(1.2), paragraph(text, Face.TEXT, STRONG_PT, width - TICK_MM - 3))
    return above(gap(0.8), beside((0.0, tick_box()), (TICK_MM + 3, words)), gap(0.6))
