"""The partial-shipment note: goes into the package of an order that comes in parts."""

from collections.abc import Sequence

from fulfil.papers.document import document_leaves, document_pdf
from fulfil.papers.elements.address import address
from fulfil.papers.elements.columns import Column, filling, heading_row, row
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.pieces_cell import pieces_text
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, beside, gap
from fulfil.papers.page import BODY_PT, STRONG_PT
from fulfil.papers.render import Leaf
from fulfil.papers.wrap import led_paragraph, paragraph
from fulfil.records.settings import Paper
from fulfil.records.sheets.partial_note import PartialNoteSheet

TITLE = "Your order comes in parts"
_COLUMNS = (
    Column("part", 70.0),
    Column("ordered", 22.0, align="right"),
    Column("sent", 22.0, align="right"),
    Column("to follow", 24.0, align="right", face=Face.BOLD),
    Column("expected", 34.0),
)


def pdf(sheets: Sequence[PartialNoteSheet], *, page: Paper, printer_dpi: int = 300) -> bytes:
    """The notes of the sheets in one file.

    Raises:
        PaperRefused: a text that can't be printed whole, or a bar code too long for the page.
    """
    return document_pdf(sheets, leaves, title=TITLE, page=page, printer_dpi=printer_dpi)


def leaves(sheet: PartialNoteSheet, *, page: Paper, printer_dpi: int = 300) -> list[Leaf]:
    """The pages of one note."""
    return document_leaves(
        sheet,
        TITLE,
        facts=(f"order {sheet.order_number}", day_words(sheet.day)),
        blocks=lambda width, _: _blocks(sheet, width),
        page=page,
        printer_dpi=printer_dpi,
    )


def _blocks(sheet: PartialNoteSheet, width: float) -> list[Block]:
    half = width / 2
    people = beside((0.0, address("from", sheet.from_lines, half - 4)), (half, address("to", sheet.to_lines, half - 4)))
    words = [paragraph(text, Face.TEXT, STRONG_PT, width) for text in sheet.sentences]
    columns = filling(_COLUMNS, width, 0)
    headings = heading_row(columns)
    blocks = [above(people, gap(5.0), *words, gap(4.0)), headings.kept()]
    for each in sheet.lines:
        cells = (
            led_paragraph(each.part_number, each.description, BODY_PT, columns[0].text_mm),
            pieces_text(each.ordered),
            pieces_text(each.sent),
            pieces_text(each.to_follow),
            each.expected or "we write again",
        )
        made = row(columns, cells)
        blocks.append(Block(made.height_mm, made.parts, again=headings))
    if sheet.contact:
        blocks.append(above(gap(4.0), paragraph(sheet.contact, Face.TEXT, BODY_PT, width)))
    return blocks
