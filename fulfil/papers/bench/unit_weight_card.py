"""The unit-weight card: one part, what a piece of it weighs and how that is known, what can be counted, the picture."""

from collections.abc import Sequence

from fulfil.papers.document import document_leaves, document_pdf
from fulfil.papers.elements.columns import Column, filling, heading_row, row
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.line_chart import line_chart
from fulfil.papers.elements.part_cell import looks, says_more
from fulfil.papers.elements.pieces_cell import pieces_text
from fulfil.papers.elements.tick_box import TICK_MM, tick_box
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, beside, gap
from fulfil.papers.page import BODY_PT, STRONG_PT, TARGET_PT
from fulfil.papers.render import Leaf
from fulfil.papers.wrap import paragraph
from fulfil.quantities import print_grams
from fulfil.records.settings import Paper
from fulfil.records.sheets.unit_weight_card import CardLot, CardReach, CardSample, UnitWeightCardSheet

TITLE = "Unit-weight card"
_CHART_MM = 70.0


def pdf(sheets: Sequence[UnitWeightCardSheet], *, page: Paper, printer_dpi: int = 300) -> bytes:
    """The cards of the sheets in one file.

    Raises:
        PaperRefused: a text that can't be printed whole, or a bar code too long for the page.
    """
    return document_pdf(sheets, leaves, title=TITLE, page=page, printer_dpi=printer_dpi)


def leaves(sheet: UnitWeightCardSheet, *, page: Paper, printer_dpi: int = 300) -> list[Leaf]:
    """The pages of one card."""
    look = looks(sheet.family, sheet.size, sheet.finish)
    return document_leaves(
        sheet,
        TITLE,
        facts=(sheet.description if says_more(sheet.description, look) else "", day_words(sheet.day)),
        strong=look,
        blocks=lambda width, _: _blocks(sheet, width),
        page=page,
        printer_dpi=printer_dpi,
    )


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
