"""The pull slip: which bags to take off the carts, where their pieces belong, and what else the bench must do."""

from collections.abc import Sequence

from fulfil.papers.document import document_leaves, document_pdf
from fulfil.papers.elements.bar_code import bar_code
from fulfil.papers.elements.caution_box import caution_box
from fulfil.papers.elements.columns import Column, filling, heading_row, row
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.marks import position_mark
from fulfil.papers.elements.pieces_cell import pieces_cell
from fulfil.papers.elements.signature import signature
from fulfil.papers.elements.tick_box import tick_box
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, gap
from fulfil.papers.page import BODY_PT, PLACE_PT, STRONG_PT, TARGET_PT
from fulfil.papers.render import Leaf
from fulfil.papers.wrap import led_paragraph, paragraph
from fulfil.records.settings import Paper
from fulfil.records.sheets.pull_slip import PullRow, PullSlipSheet

TITLE = "Pull slip"
_COLUMNS = (
    Column("pull bag", 42.0),
    Column("cart pos.", 14.0),
    Column("walk, how far it was", 28.0),
    Column("what is in it", 38.0),
    Column("pieces", 18.0, align="right"),
    Column("back to bin", 32.0, face=Face.CODE, size_pt=STRONG_PT),
    Column("done", 10.0, align="right"),
)


def pdf(sheets: Sequence[PullSlipSheet], *, page: Paper, printer_dpi: int = 300) -> bytes:
    """The slips of the sheets in one file.

    Raises:
        PaperRefused: a text that can't be printed whole, or a bar code too long for its column.
    """
    return document_pdf(sheets, leaves, title=TITLE, page=page, printer_dpi=printer_dpi)


def leaves(sheet: PullSlipSheet, *, page: Paper, printer_dpi: int = 300) -> list[Leaf]:
    """The pages of one slip."""
    return document_leaves(
        sheet,
        TITLE,
        facts=(f"order {sheet.order_number}", day_words(sheet.day)),
        strong=sheet.reason,
        blocks=lambda width, _: _blocks(sheet, width, printer_dpi),
        page=page,
        printer_dpi=printer_dpi,
    )


def _blocks(sheet: PullSlipSheet, width: float, printer_dpi: int) -> list[Block]:
    blocks = [above(caution_box(sheet.tells, width, TARGET_PT), gap(3.0))] if sheet.tells else []
    if sheet.rows:
        columns = filling(_COLUMNS, width, 3)
        headings = heading_row(columns)
        blocks.append(headings.kept())
        for each in sheet.rows:
            made = row(columns, _cells(each, columns, printer_dpi))
            blocks.append(Block(made.height_mm, made.parts, again=headings))
    return [*blocks, above(gap(2.0), signature("done by", width * 0.6))]


def _cells(each: PullRow, columns: Sequence[Column], printer_dpi: int) -> list[str | Block]:
    bars = bar_code(each.bag_code, printer_dpi=printer_dpi, most_mm=columns[0].text_mm, height_mm=8.0, text_pt=BODY_PT)
    walk = (
        paragraph(each.walk_number, Face.TEXT, BODY_PT, columns[2].text_mm),
        paragraph(each.was, Face.TEXT, BODY_PT, columns[2].text_mm),
    )
    return [
        bars.block,
        position_mark(each.cart_position, columns[1].text_mm, PLACE_PT, high_mm=8.0),
        above(*walk),
        led_paragraph(each.part_number, each.description, BODY_PT, columns[3].text_mm),
        pieces_cell(each.pieces, columns[4].text_mm, PLACE_PT, high_mm=6.5),
        each.bin_code,
        tick_box(6.5),
    ]
