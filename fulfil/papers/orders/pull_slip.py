"""The pull slip: which bags to take off the carts, where their pieces belong, and what else the bench must do.

>>> PullRow(bag_code="B1", walk_number="W1", cart_position=3, was="passed", part_number="BALL-3",
...         description="Ball", pieces=50, bin_code="01L-01-1A").cart_position
3
"""

from collections.abc import Sequence
from dataclasses import dataclass

from fulfil.papers.document import Document
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
from fulfil.papers.numbering import After
from fulfil.papers.page import BODY_PT, PLACE_PT, STRONG_PT, TARGET_PT
from fulfil.papers.sheet import DocumentSheet
from fulfil.papers.wrap import led_paragraph, paragraph


@dataclass(frozen=True, kw_only=True)
class PullRow:
    """One bag to pull: where it stands, what is in it, where its pieces belong; ``was`` is how far it had come."""

    bag_code: str
    walk_number: str
    cart_position: int
    was: str
    part_number: str
    description: str
    pieces: int
    bin_code: str


@dataclass(frozen=True, kw_only=True)
class PullSlipSheet(DocumentSheet):
    """The slip; ``tells`` are sentences for the bench besides the bags."""

    order_number: str
    reason: str
    tells: tuple[str, ...] = ()
    rows: tuple[PullRow, ...] = ()


NUMBERED = After("X", most=40)
PAPER = Document(
    sheet=PullSlipSheet,
    name="Pull slip",
    file="pull-slip",
    about=lambda sheets: sheets[0].order_number,
    numbered=NUMBERED,
    facts=lambda sheet: (f"order {sheet.order_number}", day_words(sheet.day)),
    strong=lambda sheet: sheet.reason,
    blocks=lambda sheet, space: _blocks(sheet, space.width_mm, space.printer_dpi),
)


_COLUMNS = (
    Column("pull bag", 42.0),
    Column("cart pos.", 14.0),
    Column("walk; bag was", 28.0),
    Column("what is in it", 38.0),
    Column("pieces", 18.0, align="right"),
    Column("back to bin", 32.0, face=Face.CODE, size_pt=STRONG_PT),
    Column("done", 10.0, align="right"),
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
