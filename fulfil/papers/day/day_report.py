"""The day report: does the day balance, how did it go, what must be done before anyone goes home."""

from collections.abc import Sequence
from dataclasses import replace

from fulfil.papers.bench.drift_chart import drift_chart
from fulfil.papers.document import document_leaves, document_pdf
from fulfil.papers.elements.caution_box import caution_box, framed
from fulfil.papers.elements.columns import Column, filling, heading_row, row, table
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.pieces_cell import pieces_text
from fulfil.papers.elements.tick_box import TICK_MM, tick_box
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, beside, gap
from fulfil.papers.page import BODY_PT, STRONG_PT, TARGET_PT
from fulfil.papers.render import Leaf
from fulfil.papers.wrap import paragraph
from fulfil.records.settings import Paper
from fulfil.records.sheets.day_report import BalanceRow, DayReportSheet, Figure

TITLE = "Day report"


def pdf(sheets: Sequence[DayReportSheet], *, page: Paper, printer_dpi: int = 300) -> bytes:
    """The day reports of the sheets in one file.

    Raises:
        PaperRefused: a text that can't be printed whole, or a bar code too long for the page.
    """
    return document_pdf(sheets, leaves, title=TITLE, page=page, printer_dpi=printer_dpi)


def leaves(sheet: DayReportSheet, *, page: Paper, printer_dpi: int = 300) -> list[Leaf]:
    """The pages of one day report."""
    return document_leaves(
        sheet,
        TITLE,
        facts=(day_words(sheet.day),),
        blocks=lambda width, _: _blocks(sheet, width),
        page=page,
        printer_dpi=printer_dpi,
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
