"""The cart card: hangs on the cart, says which order stands where, readable from across the bench.

>>> from datetime import date
>>> sheet = CartCardSheet(document_number="K-0007", shop_name="Example", day=date(2025, 3, 4), walk_number="W-0007",
...     cart_name="cart 2", positions=(CartPosition(position=1, order_number="O-1001", service="Parcel", bags=3),))
>>> pdf([sheet], page=Paper.A4)[:5]
b'%PDF-'
"""

from collections.abc import Sequence

from fulfil.papers.document import document_leaves, document_pdf
from fulfil.papers.elements.columns import Column, filling, heading_row, row
from fulfil.papers.elements.counted import counted
from fulfil.papers.elements.day_words import cut_off_words, day_words
from fulfil.papers.elements.marks import position_mark
from fulfil.papers.elements.pieces_cell import pieces_cell
from fulfil.papers.elements.tick_box import tick_box
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, beside, gap
from fulfil.papers.page import NUMBER_PT, PLACE_PT, STRONG_PT
from fulfil.papers.render import Leaf
from fulfil.papers.wrap import paragraph
from fulfil.records.settings import Paper
from fulfil.records.sheets.cart_card import CartCardSheet, CartPosition

TITLE = "Cart card"
_COLUMNS = (
    Column("position", 24.0),
    Column("order", 60.0),
    Column("bags", 26.0, align="right"),
    Column("all here", 18.0, align="right"),
)


def pdf(sheets: Sequence[CartCardSheet], *, page: Paper, printer_dpi: int = 300) -> bytes:
    """The cart cards of the sheets in one file.

    Raises:
        PaperRefused: a text that can't be printed whole, or a bar code too long for the page.
    """
    return document_pdf(sheets, leaves, title=TITLE, page=page, printer_dpi=printer_dpi)


def leaves(sheet: CartCardSheet, *, page: Paper, printer_dpi: int = 300) -> list[Leaf]:
    """The pages of one cart card."""
    return document_leaves(
        sheet,
        TITLE,
        facts=(f"walk {sheet.walk_number}", sheet.cart_name, day_words(sheet.day), counted(sheet.bags, "bag")),
        strong=cut_off_words(sheet.cut_off, sheet.cut_off_service),
        blocks=lambda width, _: _blocks(sheet, width),
        page=page,
        printer_dpi=printer_dpi,
    )


def _blocks(sheet: CartCardSheet, width: float) -> list[Block]:
    columns = filling(_COLUMNS, width, 1)
    headings = heading_row(columns)
    rows = [row(columns, _cells(each, columns)) for each in sheet.positions]
    return [headings.kept(), *(Block(each.height_mm, each.parts, again=headings) for each in rows)]


def _cells(each: CartPosition, columns: Sequence[Column]) -> list[str | Block]:
    more = " · ".join(word for word in (each.destination, each.service) if word)
    order = above(
        paragraph(each.order_number, Face.BOLD, PLACE_PT, columns[1].text_mm),
        paragraph(more, Face.TEXT, STRONG_PT, columns[1].text_mm),
        paragraph(each.note, Face.BOLD, STRONG_PT, columns[1].text_mm),
    )
    return [
        above(position_mark(each.position, 20.0, NUMBER_PT + 4, high_mm=14.0), gap(1.0)),
        order,
        pieces_cell(each.bags, columns[2].text_mm, NUMBER_PT, high_mm=10.0),
        beside((8.0, above(gap(1.0), tick_box(8.0)))),
    ]
