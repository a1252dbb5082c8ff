"""The checklist: what the second person does with every bag of a cart.

In the order of the cart's positions. A row says what must be weighed, looked at or counted, and has a box only for
what must be done: no box stays empty on a finished list.
"""

from collections.abc import Sequence
from itertools import groupby

from fulfil.papers.document import document_leaves, document_pdf
from fulfil.papers.elements.caution_box import caution_box, caution_line, framed
from fulfil.papers.elements.columns import Column, filling, heading_row, row
from fulfil.papers.elements.counted import counted
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.marks import position_mark
from fulfil.papers.elements.part_cell import looks, part_cell, says_more
from fulfil.papers.elements.pieces_cell import pieces_cell
from fulfil.papers.elements.signature import signature
from fulfil.papers.elements.tick_box import TICK_MM, tick_box
from fulfil.papers.elements.weight_cell import weight_cell
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, Strokes, above, beside, block, gap
from fulfil.papers.page import BODY_PT, PLACE_PT, SMALL_PT, STRONG_PT, TARGET_PT
from fulfil.papers.render import Leaf
from fulfil.papers.wrap import paragraph
from fulfil.records.plan import CountMethod
from fulfil.records.settings import Paper
from fulfil.records.sheets.checklist import CheckBag, ChecklistSheet

TITLE = "Checklist"
_MARK_MM = 13.0
_LOOK_MM = 14.0
_COLUMNS = (
    Column("bag", 26.0, face=Face.CODE),
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
        facts=(f"walk {sheet.walk_number}", sheet.cart_name, day_words(sheet.day)),
        strong=" · ".join(
            (
                counted(sheet.bags, "bag"),
                f"{sheet.bags_to_look_at} to look at",
                f"{sheet.bags_by_hand} to count by hand",
            )
        ),
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
    words = f"{order} · {counted(bags, 'bag')}{more}"
    rule = block(0.0, Strokes((((0.0, 0.0), (width, 0.0)),), 0.5))
    order_words = above(gap(1.2), paragraph(words, Face.BOLD, TARGET_PT, width - _MARK_MM - 2))
    mark = position_mark(position, _MARK_MM, PLACE_PT, high_mm=8.4)
    return above(gap(2.0), beside((0.0, mark), (_MARK_MM + 2, order_words)), gap(0.8), rule)


def _row(bag: CheckBag, columns: Sequence[Column]) -> Block:
    """One bag; what to look at stands below it, as wide as the row."""
    part_mm, weight_mm = columns[1].text_mm, columns[3].text_mm
    note = [paragraph(bag.note, Face.TEXT, SMALL_PT, columns[0].text_mm)] if bag.note else []
    is_weighed = bag.method is CountMethod.WEIGH
    weight = weight_cell(
        bag.method, bag.target_g, bag.lower_g, bag.upper_g, weight_mm, target_pt=BODY_PT, window_pt=13.0, leads="window"
    )
    cells = (
        above(paragraph(bag.bag_code, Face.CODE, BODY_PT, columns[0].text_mm), *note),
        part_cell(bag.part_number, bag.description, looks(bag.family, bag.size, bag.finish), part_mm),
        pieces_cell(bag.pieces, columns[2].text_mm, PLACE_PT, high_mm=7.0),
        weight,
        *(_box(is_wanted, columns[4].text_mm) for is_wanted in (is_weighed, bag.must_look, not is_weighed)),
    )
    return row(columns, cells, below=_below(bag, columns))


def _below(bag: CheckBag, columns: Sequence[Column]) -> Block:
    """What to look at in a frame, what the part is not, cautions; from the part's column to the right margin."""
    left = columns[0].width_mm
    width = sum(column.width_mm for column in columns) - left
    rows: list[Block] = []
    if bag.must_look:
        inside = _look(bag, width - 4)
        rows += [gap(0.8), framed(inside, width, line_mm=0.5)] if inside.height_mm else []
    rows += [caution_line(text, width) for text in bag.cautions]
    return beside((left, above(*rows)))


def _look(bag: CheckBag, width: float) -> Block:
    """What to look at, and what the part is not; beside the word LOOK where the looks above say the rest."""
    has_more = says_more(bag.look_at, looks(bag.family, bag.size, bag.finish))
    first = [paragraph(f"LOOK: {bag.look_at}", Face.BOLD, STRONG_PT, width)] if has_more else []
    if bag.second_look:
        first.append(paragraph(f"LOOK TWICE: {'; '.join(bag.second_look)}", Face.BOLD, BODY_PT, width))
    left = 0.0 if first else _LOOK_MM
    rest = above(*(paragraph(f"not {text}", Face.TEXT, BODY_PT, width - left) for text in bag.look_alikes))
    if first or not bag.look_alikes:
        return above(*first, rest)
    return beside((0.0, paragraph("LOOK", Face.BOLD, STRONG_PT, left)), (left, above(gap(0.35), rest)))


def _box(is_wanted: bool, width: float) -> Block:
    return beside(((width - TICK_MM) / 2, tick_box())) if is_wanted else gap(TICK_MM)
