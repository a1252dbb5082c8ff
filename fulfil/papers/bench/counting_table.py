"""What a scale can count: a page for the wall over the bench, large figures, one page a scale."""

from collections.abc import Sequence

from fulfil.papers.document import document_leaves, document_pdf
from fulfil.papers.elements.caution_box import caution_box
from fulfil.papers.elements.columns import Column, heading_row, row
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, gap
from fulfil.papers.page import BODY_PT, STRONG_PT, TARGET_PT
from fulfil.papers.render import Leaf
from fulfil.papers.wrap import paragraph
from fulfil.records.settings import Paper
from fulfil.records.sheets.counting_table import CountingTable, CountingTableSheet

TITLE = "What this scale can count"
_FIRST_MM = 42.0


def pdf(sheets: Sequence[CountingTableSheet], *, page: Paper, printer_dpi: int = 300) -> bytes:
    """The tables of the sheets in one file.

    Raises:
        PaperRefused: a text that can't be printed whole, or a bar code too long for the page.
    """
    return document_pdf(sheets, leaves, title=TITLE, page=page, printer_dpi=printer_dpi)


def leaves(sheet: CountingTableSheet, *, page: Paper, printer_dpi: int = 300) -> list[Leaf]:
    """The pages of one scale."""
    return document_leaves(
        sheet,
        TITLE,
        facts=(day_words(sheet.day), sheet.plate),
        blocks=lambda width, _: _blocks(sheet, width),
        page=page,
        printer_dpi=printer_dpi,
    )


def _blocks(sheet: CountingTableSheet, width: float) -> list[Block]:
    blocks = [above(paragraph(sheet.risk_statement, Face.TEXT, BODY_PT, width), gap(2.0))]
    for table in sheet.tables:
        blocks.append(above(_table(table, width), gap(4.0)))
    blocks += [above(paragraph(rule, Face.TEXT, STRONG_PT, width), gap(1.0)) for rule in sheet.rules]
    blocks.append(caution_box(sheet.cautions, width))
    return blocks


def _table(table: CountingTable, width: float) -> Block:
    each = (width - _FIRST_MM) / len(table.scatters)
    heads = (
        Column("one piece weighs", _FIRST_MM),
        *(Column(f"piece s.d. {scatter}", each, align="right") for scatter in table.scatters),
    )
    cells = (
        Column("", _FIRST_MM, face=Face.BOLD, size_pt=TARGET_PT),
        *(Column("", each, align="right", face=Face.BOLD, size_pt=TARGET_PT) for _ in table.scatters),
    )
    heading = paragraph(
        f"Most pieces in one bag, unit weight from {table.sample_pieces} pieces", Face.BOLD, TARGET_PT, width
    )
    rows = (row(cells, (label, *counts)) for label, counts in table.rows)
    return above(heading, heading_row(heads), *rows)
