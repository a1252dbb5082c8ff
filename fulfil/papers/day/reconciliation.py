"""The reconciliation: do the sums agree, what differs, and who has said what about it. The dearest stands first."""

from collections.abc import Sequence
from dataclasses import replace

from fulfil.papers.document import document_leaves, document_pdf
from fulfil.papers.elements.caution_box import caution_box, framed
from fulfil.papers.elements.columns import Column, filling, heading_row, row, table
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.signature import signature
from fulfil.papers.elements.tick_box import tick_box
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, beside, ended, gap
from fulfil.papers.page import BODY_PT, STRONG_PT, TARGET_PT
from fulfil.papers.render import Leaf
from fulfil.papers.wrap import paragraph
from fulfil.records.settings import Paper
from fulfil.records.sheets.reconciliation import DifferenceRow, ReconciliationSheet, SumRow

_GUTTER_MM = 8.0
TITLE = "Reconciliation"


def pdf(sheets: Sequence[ReconciliationSheet], *, page: Paper, printer_dpi: int = 300) -> bytes:
    """The reconciliations of the sheets in one file.

    Raises:
        PaperRefused: a text that can't be printed whole, or a bar code too long for the page.
    """
    return document_pdf(sheets, leaves, title=TITLE, page=page, printer_dpi=printer_dpi)


def leaves(sheet: ReconciliationSheet, *, page: Paper, printer_dpi: int = 300) -> list[Leaf]:
    """The pages of one reconciliation."""
    return document_leaves(
        sheet,
        TITLE,
        facts=(day_words(sheet.day),),
        blocks=lambda width, _: _blocks(sheet, width),
        page=page,
        printer_dpi=printer_dpi,
    )


def _blocks(sheet: ReconciliationSheet, width: float) -> list[Block]:
    blocks = [above(_state(sheet, width), gap(2.0)), *_sums(sheet.sums, width), gap(4.0)]
    if sheet.differences:
        columns = filling(
            (
                Column("code", 27.0, face=Face.CODE),
                Column("money", 31.0, align="right", face=Face.BOLD, size_pt=STRONG_PT),
                Column("what differs", 60.0),
                Column("done", 9.0, align="right"),
            ),
            width,
            2,
        )
        headings = heading_row(columns)
        title = paragraph("Differences, the dearest first", Face.BOLD, TARGET_PT, width)
        blocks.append(above(title, headings).kept())
        for each in sheet.differences:
            made = row(columns, _cells(each, columns[2].text_mm))
            blocks.append(Block(made.height_mm, made.parts, again=headings))
        blocks.append(gap(4.0))
    if sheet.costs:
        blocks += _costs(sheet, width)
    return ended(blocks, above(gap(2.0), signature("reconciled by", width * 0.6)))


def _state(sheet: ReconciliationSheet, width: float) -> Block:
    if sheet.is_closed or not sheet.open_differences:
        return framed(paragraph(sheet.state_sentence, Face.BOLD, TARGET_PT, width - 4), width, line_mm=0.3)
    return caution_box((sheet.state_sentence,), width, TARGET_PT)


def _sums(sums: Sequence[SumRow], width: float) -> list[Block]:
    columns = filling(
        (
            Column("", 60.0, size_pt=STRONG_PT),
            Column("one side", 42.0, align="right", size_pt=STRONG_PT),
            Column("other side", 42.0, align="right", size_pt=STRONG_PT),
            Column("agrees", 20.0, align="right", face=Face.BOLD, size_pt=STRONG_PT),
        ),
        width,
        0,
    )
    rows = [row(columns, (each.label, each.ours, each.theirs, "yes" if each.agrees else "NO")) for each in sums]
    return table(heading_row(columns), rows)


def _cells(each: DifferenceRow, says_mm: float) -> list[str | Block]:
    said = [
        paragraph(f"{each.subject}: {each.cause}", Face.BOLD, BODY_PT, says_mm),
        paragraph(f"{each.says}.", Face.TEXT, BODY_PT, says_mm),
    ]
    last = f"{each.outcome}." if each.outcome else f"Do: {each.do}."
    said.append(paragraph(last, Face.TEXT if each.outcome else Face.BOLD, BODY_PT, says_mm))
    return [each.code, each.money or "–", above(*said), "yes" if each.outcome else tick_box(6.5)]


def _costs(sheet: ReconciliationSheet, width: float) -> list[Block]:
    """Two orders a row, side by side; what was billed otherwise than agreed is bold."""
    half = (width - _GUTTER_MM) / 2
    columns = filling(
        (
            Column("order", 28.0),
            Column("packages", 16.0, align="right"),
            Column("as agreed", 24.0, align="right"),
            Column("as billed", 24.0, align="right"),
        ),
        half,
        0,
    )
    differs = (*columns[:3], replace(columns[3], face=Face.BOLD))
    made = [row(columns if cells[2] == cells[3] else differs, cells) for cells in sheet.costs]
    pairs = [
        beside((0.0, made[i]), *((half + _GUTTER_MM, one) for one in made[i + 1 : i + 2]))
        for i in range(0, len(made), 2)
    ]
    head = heading_row(columns)
    heads = beside((0.0, head), *([(half + _GUTTER_MM, head)] if made[1:] else []))
    title = paragraph("Cost of shipping by order", Face.BOLD, TARGET_PT, width)
    return [title.kept(), *table(heads, pairs)]
