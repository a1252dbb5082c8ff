"""The checklist: what the second person does with every bag of a cart.

In the order of the cart's positions. A row says what must be weighed, looked at or counted, and has a box only for
what must be done: no box stays empty on a finished list.
"""

from collections.abc import Sequence
from itertools import groupby

from fulfil.papers.document import document_leaves, document_pdf
from fulfil.papers.elements.caution_box import caution_box, caution_line
from fulfil.papers.elements.columns import Column, filling, heading_row, row
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.marks import position_mark
from fulfil.papers.elements.part_cell import looks, part_cell
from fulfil.papers.elements.pieces_cell import pieces_cell
from fulfil.papers.elements.signature import signature
from fulfil.papers.elements.tick_box import TICK_MM, tick_box
from fulfil.papers.elements.weight_cell import weight_cell
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, Strokes, above, beside, block, gap, text_at
from fulfil.papers.page import BODY_PT, PLACE_PT, SMALL_PT, STRONG_PT, TARGET_PT
from fulfil.papers.render import Leaf
from fulfil.papers.wrap import centred_in, paragraph
from fulfil.records.plan import CountMethod
from fulfil.records.settings import Paper
from fulfil.records.sheets.checklist import CheckBag, ChecklistSheet

TITLE = "Checklist"
_MARK_MM = 13.0
_COLUMNS = (
    Column("bag", 23.0, face=Face.CODE),
    Column("part: look at", 30.0),
    Column("pieces", 19.0, align="right"),
    Column("scale must show (with bag)", 39.0, align="right"),
    Column("weigh", 12.0, align="centre"),
    Column("look", 12.0, align="centre"),
    Column("count", 12.0, align="centre"),
)
_RULE = "The checker is not the picker. A box stands only where something must be done."


def pdf(sheets: Sequence[ChecklistSheet], *, page: Paper, printer_dpi: int = 300) -> bytes:
    """The checklists of the sheets in one file.

    Raises:
        PaperRefused: a text that can't be printed whole, or a bar code too long for the page.
    """
    return document_pdf(sheets, leaves, title=TITLE, page=page, printer_dpi=printer_dpi)


def leaves(sheet: ChecklistSheet, *, page: Paper, printer_dpi: int = 300) -> list[Leaf]:
    """The pages of one checklist."""
    return document_leaves(
        sheet,
        TITLE,
        facts=(f"walk {sheet.walk_number}", f"cart {sheet.cart_name}", day_words(sheet.day)),
        strong=f"{sheet.bags} bags · {sheet.bags_to_look_at} to look at · {sheet.bags_by_hand} to count by hand",
        blocks=lambda width, _: _blocks(sheet, width),
        page=page,
        printer_dpi=printer_dpi,
    )


def _blocks(sheet: ChecklistSheet, width: float) -> list[Block]:
    columns = filling(_COLUMNS, width, 1)
    headings = heading_row(columns)
    first = above(
        paragraph(sheet.risk_statement, Face.TEXT, BODY_PT, width),
        paragraph(_RULE, Face.TEXT, BODY_PT, width),
        caution_box(sheet.cautions, width),
        gap(2.0),
        headings,
    )
    blocks = [first.kept()]
    for (position, order), rows in groupby(sheet.rows, key=lambda row: (row.cart_position, row.order_number)):
        bags = list(rows)
        plain = _position(position, order, len(bags), "", width)
        again = above(headings, _position(position, order, len(bags), " – continued", width))
        blocks.append(Block(plain.height_mm, plain.parts, keeps_next=True, again=headings))
        for i, bag in enumerate(bags):
            made = _row(bag, columns)
            blocks.append(made if i == 0 else Block(made.height_mm, made.parts, again=again))
    return [*blocks, above(gap(4.0), signature("checked by", width * 0.6))]


def _position(position: int, order: str, bags: int, more: str, width: float) -> Block:
    words = f"{order} · {bags} bag{'s' if bags != 1 else ''}{more}"
    high = 8.4
    rule = block(0.0, Strokes((((0.0, 0.0), (width, 0.0)),), 0.5))
    line = block(high, text_at(_MARK_MM + 2, centred_in(high, TARGET_PT), words, Face.BOLD, TARGET_PT))
    return above(
        gap(2.0), beside((0.0, position_mark(position, _MARK_MM, PLACE_PT, high_mm=high)), (0.0, line)), gap(0.8), rule
    )


def _row(bag: CheckBag, columns: Sequence[Column]) -> Block:
    part_mm = columns[1].text_mm
    part = [part_cell(bag.part_number, bag.description, looks(bag.family, bag.size, bag.finish), part_mm)]
    if bag.look_at:
        part.append(paragraph(f"LOOK: {bag.look_at}", Face.BOLD, STRONG_PT, part_mm))
    part += [paragraph(f"not {text}", Face.TEXT, BODY_PT, part_mm) for text in bag.look_alikes]
    part += [caution_line(text, part_mm) for text in bag.cautions]
    note = [paragraph(bag.note, Face.TEXT, SMALL_PT, columns[0].text_mm)] if bag.note else []
    is_weighed = bag.method is CountMethod.WEIGH
    weight_mm = columns[3].text_mm
    weight = weight_cell(
        bag.method, bag.target_g, bag.lower_g, bag.upper_g, weight_mm, target_pt=BODY_PT, window_pt=13.0, leads="window"
    )
    return row(
        columns,
        (
            above(paragraph(bag.bag_code, Face.CODE, BODY_PT, columns[0].text_mm), *note),
            above(*part),
            pieces_cell(bag.pieces, columns[2].text_mm, PLACE_PT, high_mm=7.0),
            weight,
            *(_box(is_wanted, columns[4].text_mm) for is_wanted in (is_weighed, bag.must_look, not is_weighed)),
        ),
    )


def _box(is_wanted: bool, width: float) -> Block:
    return beside(((width - TICK_MM) / 2, tick_box())) if is_wanted else gap(TICK_MM)
