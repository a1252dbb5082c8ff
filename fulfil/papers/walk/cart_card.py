"""The cart card: hangs on the cart, says which order stands where, readable from across the bench.

>>> from datetime import date
>>> from fulfil.papers.door import pdf
>>> from fulfil.records.settings import Paper
>>> sheet = CartCardSheet(document_number="K-0007", shop_name="Example", day=date(2025, 3, 4), walk_number="W-0007",
...     cart_name="cart 2", positions=(CartPosition(position=1, order_number="O-1001", service="Parcel", bags=3),))
>>> pdf([sheet], page=Paper.A4)[:5]
b'%PDF-'
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import time

from fulfil.papers.document import Document, Half
from fulfil.papers.elements.columns import Column, filling, heading_row, row
from fulfil.papers.elements.counted import counted
from fulfil.papers.elements.day_words import cut_off_words, day_words
from fulfil.papers.elements.marks import position_mark
from fulfil.papers.elements.pieces_cell import pieces_cell
from fulfil.papers.elements.tick_box import tick_box
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, beside, gap
from fulfil.papers.numbering import After
from fulfil.papers.page import NUMBER_PT, PLACE_PT, STRONG_PT
from fulfil.papers.sheet import DocumentSheet
from fulfil.papers.walk.cart_position import CartPosition
from fulfil.papers.wrap import paragraph


@dataclass(frozen=True, kw_only=True)
class CartCardSheet(DocumentSheet):
    """The card that hangs on the cart during its walk and until its last bag is packed.

    ``cart_name`` is printed as given: 'cart 2'.
    """

    walk_number: str
    cart_name: str
    cut_off: time | None = None
    cut_off_service: str = ""
    positions: tuple[CartPosition, ...]

    @property
    def bags(self) -> int:
        """Bags that must stand on the cart at the end of the walk."""
        return sum(position.bags for position in self.positions)


NUMBERED = After("K", instead_of="W")
PAPER = Document(
    sheet=CartCardSheet,
    name="Cart card",
    file="cart-card",
    about=lambda sheets: sheets[0].walk_number,
    numbered=NUMBERED,
    facts=lambda sheet: (
        f"walk {sheet.walk_number}",
        sheet.cart_name,
        day_words(sheet.day),
        counted(sheet.bags, "bag"),
    ),
    strong=lambda sheet: cut_off_words(sheet.cut_off, sheet.cut_off_service),
    blocks=lambda sheet, space: _blocks(sheet, space.width_mm),
    half=Half.WHERE_IT_FITS,
)


_COLUMNS = (
    Column("position", 19.0),
    Column("order", 60.0),
    Column("bags", 15.0, align="right"),
    Column("all here", 13.0, align="right"),
)


def _blocks(sheet: CartCardSheet, width: float) -> list[Block]:
    columns = filling(_COLUMNS, width, 1)
    headings = heading_row(columns)
    rows = [row(columns, _cells(each, columns)) for each in sheet.positions]
    return [headings.kept(), *(Block(each.height_mm, each.parts, again=headings) for each in rows)]


def _cells(each: CartPosition, columns: Sequence[Column]) -> list[str | Block]:
    more = " · ".join(word for word in (each.level, each.destination, each.service) if word)
    order = above(
        paragraph(each.order_number, Face.BOLD, PLACE_PT, columns[1].text_mm),
        paragraph(more, Face.TEXT, STRONG_PT, columns[1].text_mm),
        paragraph(each.note, Face.BOLD, STRONG_PT, columns[1].text_mm),
    )
    return [
        above(position_mark(each.position, 16.5, NUMBER_PT + 4, high_mm=11.0), gap(0.3)),
        order,
        pieces_cell(each.bags, columns[2].text_mm, NUMBER_PT, high_mm=10.0),
        beside((3.0, above(gap(1.0), tick_box(8.0)))),
    ]
