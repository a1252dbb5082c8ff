"""The evidence: how the bags of an order were counted, checked and weighed; to be sent to the customer who asks."""

from collections.abc import Sequence

from fulfil.papers.document import document_leaves, document_pdf
from fulfil.papers.elements.address import address
from fulfil.papers.elements.columns import Column, filling, heading_row, row
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.pieces_cell import pieces_text
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, gap
from fulfil.papers.page import BODY_PT, STRONG_PT, TARGET_PT
from fulfil.papers.render import Leaf
from fulfil.papers.wrap import led_paragraph, paragraph
from fulfil.records.settings import Paper
from fulfil.records.sheets.evidence import EvidenceBag, EvidenceSheet

TITLE = "How your order was counted"
_COLUMNS = (
    Column("bag", 48.0),
    Column("pieces", 18.0, align="right", face=Face.BOLD, size_pt=STRONG_PT),
    Column("what was done", 80.0),
    Column("count right", 22.0, align="right", face=Face.BOLD, size_pt=STRONG_PT),
)


def pdf(sheets: Sequence[EvidenceSheet], *, page: Paper, printer_dpi: int = 300) -> bytes:
    """The evidence of the sheets in one file.

    Raises:
        PaperRefused: a text that can't be printed whole, or a bar code too long for the page.
    """
    return document_pdf(sheets, leaves, title=TITLE, page=page, printer_dpi=printer_dpi)


def leaves(sheet: EvidenceSheet, *, page: Paper, printer_dpi: int = 300) -> list[Leaf]:
    """The pages of one order's evidence."""
    return document_leaves(
        sheet,
        TITLE,
        facts=(f"order {sheet.order_number}", day_words(sheet.day)),
        blocks=lambda width, _: _blocks(sheet, width),
        page=page,
        printer_dpi=printer_dpi,
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
        paragraph(f"{each.bag_code}, line {each.line_no}", Face.CODE, BODY_PT, bag_mm),
        led_paragraph(each.part_number, each.description, BODY_PT, bag_mm),
    )
    facts = above(*(paragraph(text, Face.TEXT, BODY_PT, fact_mm) for text in each.facts))
    return [bag, pieces_text(each.pieces), facts, each.p_right or "–"]
