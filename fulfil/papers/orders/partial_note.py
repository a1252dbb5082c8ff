"""The partial-shipment note: goes into the package of an order of which more follows.

>>> FollowingLine(part_number="GEA-0012", description="Gear", ordered=12, sent=9, to_follow=3).expected
''
"""

from dataclasses import dataclass

from fulfil.papers.document import Document, Half
from fulfil.papers.elements.address import address
from fulfil.papers.elements.columns import Column, filling, heading_row, row
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.mirrored import from_its_side
from fulfil.papers.elements.pieces_cell import pieces_text
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, beside, gap
from fulfil.papers.numbering import After
from fulfil.papers.page import BODY_PT, STRONG_PT
from fulfil.papers.phrases import beside_english, partial_note_words
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
    """The note; ``sentences`` are said before the lines.

    ``also_in`` is the consignee's language (BCP 47), in which the sentences are written and the fixed words printed
    beside English; empty for English alone.
    """

    order_number: str
    from_lines: tuple[str, ...]
    to_lines: tuple[str, ...]
    sentences: tuple[str, ...]
    lines: tuple[FollowingLine, ...]
    contact: str = ""
    also_in: str = ""


NUMBERED = After("N", most=40)
PAPER = Document(
    sheet=PartialNoteSheet,
    name="Your order will arrive in more than one parcel",
    file="partial-note",
    about=lambda sheets: sheets[0].order_number,
    numbered=NUMBERED,
    facts=lambda sheet: (f"{beside_english('order', sheet.also_in)} {sheet.order_number}", day_words(sheet.day)),
    blocks=lambda sheet, space: from_its_side(_blocks(sheet, space.width_mm), sheet.also_in, space.width_mm),
    head=lambda sheet: partial_note_words(sheet.also_in)["title"],
    half=Half.WHERE_IT_FITS,
)


def _columns(also_in: str, width: float) -> tuple[Column, ...]:
    def both(name: str) -> str:
        words, english = partial_note_words(also_in)[name], partial_note_words("")[name]
        return english if words == english else f"{words} / {english}"

    count = min(24.0, 0.15 * width)
    return filling(
        (
            Column(beside_english("part", also_in), 30.0),
            Column(beside_english("ordered", also_in), count, align="right"),
            Column(both("sent"), count, align="right"),
            Column(beside_english("to follow", also_in), count, align="right", face=Face.BOLD),
            Column(both("expected"), min(34.0, 0.22 * width)),
        ),
        width,
        0,
    )


def _blocks(sheet: PartialNoteSheet, width: float) -> list[Block]:
    half = width / 2
    sender, to = (beside_english(phrase, sheet.also_in) for phrase in ("from", "to"))
    people = beside(
        (0.0, address(sender, sheet.from_lines, half - 4, BODY_PT)), (half, address(to, sheet.to_lines, half - 4))
    )
    words = [paragraph(text, Face.TEXT, STRONG_PT, width) for text in sheet.sentences]
    columns = _columns(sheet.also_in, width)
    headings = heading_row(columns)
    blocks = [above(people, gap(4.0), *words, gap(3.0)), headings.kept()]
    for each in sheet.lines:
        cells = (
            led_paragraph(each.part_number, each.description, BODY_PT, columns[0].text_mm),
            pieces_text(each.ordered),
            pieces_text(each.sent),
            pieces_text(each.to_follow),
            each.expected or partial_note_words(sheet.also_in)["write_again"],
        )
        made = row(columns, cells)
        blocks.append(Block(made.height_mm, made.parts, again=headings))
    if sheet.contact:
        blocks.append(above(gap(3.0), paragraph(sheet.contact, Face.TEXT, BODY_PT, width)))
    return blocks
