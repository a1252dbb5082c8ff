"""The evidence: how the bags of an order were counted, checked and weighed; to be sent to the customer who asks.

>>> EvidenceBag(bag_code="B1", line_no=1, part_number="BALL-3", description="Ball", pieces=50, facts=("a",)).p_right
''
"""

from collections.abc import Sequence
from dataclasses import dataclass

from fulfil.papers.document import Document
from fulfil.papers.elements.address import address
from fulfil.papers.elements.columns import Column, filling, heading_row, row
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.pieces_cell import pieces_text
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, gap
from fulfil.papers.numbering import After
from fulfil.papers.page import BODY_PT, STRONG_PT, TARGET_PT
from fulfil.papers.sheet import DocumentSheet
from fulfil.papers.wrap import led_paragraph, paragraph


@dataclass(frozen=True, kw_only=True)
class EvidenceBag:
    """One bag: ``facts`` are sentences in order; ``p_right`` is written already, empty where no weight tells."""

    bag_code: str
    line_no: int
    part_number: str
    description: str
    pieces: int
    facts: tuple[str, ...]
    p_right: str = ""


@dataclass(frozen=True, kw_only=True)
class EvidenceSheet(DocumentSheet):
    """The evidence of an order; ``claims`` say what was asked, ``packages`` what was sealed and weighed."""

    order_number: str
    to_lines: tuple[str, ...]
    claims: tuple[str, ...] = ()
    bags: tuple[EvidenceBag, ...]
    packages: tuple[str, ...] = ()
    statement: str = ""


NUMBERED = After("V", most=40)
PAPER = Document(
    sheet=EvidenceSheet,
    name="How your order was counted",
    file="evidence",
    about=lambda sheets: sheets[0].order_number,
    numbered=NUMBERED,
    facts=lambda sheet: (f"order {sheet.order_number}", day_words(sheet.day)),
    blocks=lambda sheet, space: _blocks(sheet, space.width_mm),
)


_COLUMNS = (
    Column("line, part", 62.0),
    Column("pieces", 18.0, align="right", face=Face.BOLD, size_pt=STRONG_PT),
    Column("how it was counted", 70.0),
    Column("count right", 22.0, align="right", face=Face.BOLD, size_pt=STRONG_PT),
)


def _blocks(sheet: EvidenceSheet, width: float) -> list[Block]:
    top = [address("to", sheet.to_lines, width / 2), gap(4.0)]
    top += [paragraph(text, Face.TEXT, STRONG_PT, width) for text in sheet.claims]
    blocks = [above(*top, gap(3.0))]
    columns = filling(_COLUMNS, width, 2)
    headings = heading_row(columns)
    if sheet.bags:
        blocks.append(headings.kept())
    for each in sheet.bags:
        made = row(columns, _cells(each, columns))
        blocks.append(Block(made.height_mm, made.parts, again=headings))
    if sheet.packages:
        blocks.append(above(gap(4.0), paragraph("Packages", Face.BOLD, TARGET_PT, width)).kept())
        blocks += [paragraph(text, Face.TEXT, BODY_PT, width) for text in sheet.packages]
    if sheet.statement:
        blocks.append(above(gap(4.0), paragraph(sheet.statement, Face.TEXT, BODY_PT, width)))
    return blocks


def _cells(each: EvidenceBag, columns: Sequence[Column]) -> list[str | Block]:
    bag_mm, fact_mm = columns[0].text_mm, columns[2].text_mm
    bag = above(
        led_paragraph(each.part_number, each.description, BODY_PT, bag_mm),
        paragraph(f"line {each.line_no}, bag {each.bag_code}", Face.TEXT, BODY_PT, bag_mm),
    )
    facts = above(*(paragraph(text, Face.TEXT, BODY_PT, fact_mm) for text in each.facts))
    return [bag, pieces_text(each.pieces), facts, each.p_right or "–"]
