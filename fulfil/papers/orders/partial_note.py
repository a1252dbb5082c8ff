"""The partial-shipment note: goes into the package of an order that comes in parts.

>>> FollowingLine(part_number="GEA-0012", description="Gear", ordered=12, sent=9, to_follow=3).expected
''
"""

from dataclasses import dataclass

from fulfil.papers.document import Document
from fulfil.papers.elements.address import address
from fulfil.papers.elements.columns import Column, filling, heading_row, row
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.pieces_cell import pieces_text
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, beside, gap
from fulfil.papers.numbering import After
from fulfil.papers.page import BODY_PT, STRONG_PT
from fulfil.papers.sheet import DocumentSheet
from fulfil.papers.wrap import led_paragraph, paragraph


@dataclass(frozen=True, kw_only=True)
class FollowingLine:
    """A line of which pieces follow; ``expected`` is a day in words, or empty."""

    part_number: str
    description: str
    ordered: int
    sent: int
    to_follow: int
    expected: str = ""


@dataclass(frozen=True, kw_only=True)
class PartialNoteSheet(DocumentSheet):
    """The note; ``sentences`` are said before the lines."""

    order_number: str
    from_lines: tuple[str, ...]
    to_lines: tuple[str, ...]
    sentences: tuple[str, ...]
    lines: tuple[FollowingLine, ...]
    contact: str = ""


NUMBERED = After("N", most=40)
PAPER = Document(
    sheet=PartialNoteSheet,
    name="Your order comes in parts",
    file="partial-note",
    about=lambda sheets: sheets[0].order_number,
    numbered=NUMBERED,
    facts=lambda sheet: (f"order {sheet.order_number}", day_words(sheet.day)),
    blocks=lambda sheet, space: _blocks(sheet, space.width_mm),
)


_COLUMNS = (
    Column("part", 70.0),
    Column("ordered", 22.0, align="right"),
    Column("sent", 22.0, align="right"),
    Column("to follow", 24.0, align="right", face=Face.BOLD),
    Column("expected", 34.0),
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
