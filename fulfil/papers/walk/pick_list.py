"""The pick list: the paper that a picker walks with.

Page one shows the way: the map, what stands where on the cart, how much there is to do. Then stop after stop in walking
order. At the left what is looked for at the rack (stop number, bin, what the part looks like), at the right what is
done there, one row a bag: cart position, pieces, what the scale must show, a box to tick. A bag's row is never split;
a stop is split only where its bags don't fit on one page, and then says so and repeats its head.

The files are the same, byte for byte, for the same sheets.
"""

from collections.abc import Sequence
from dataclasses import replace

from fulfil.papers.document import Document, Space
from fulfil.papers.elements.caution_box import caution_line
from fulfil.papers.elements.day_words import cut_off_words, day_words
from fulfil.papers.elements.marks import position_mark, stop_mark
from fulfil.papers.elements.part_cell import looks, part_cell
from fulfil.papers.elements.pieces_cell import pieces_cell
from fulfil.papers.elements.tick_box import TICK_MM, tick_box
from fulfil.papers.elements.turn import turn_line
from fulfil.papers.elements.weight_cell import weight_cell
from fulfil.papers.faces import MM_PER_POINT, Face, width_mm
from fulfil.papers.ink import Block, Strokes, above, beside, block, ended, gap, text_at
from fulfil.papers.page import BODY_PT, NUMBER_PT, PLACE_PT, SMALL_PT
from fulfil.papers.walk.pick_list_sheet import PickBag, PickListSheet, PickStop
from fulfil.papers.walk.pick_list_way import way, way_statements
from fulfil.papers.wrap import FIRST_BASE_LINE, LEAST_PT, fitting_size, line_mm, paragraph
from fulfil.records.place import Side

PAPER = Document(
    sheet=PickListSheet,
    name="Pick list",
    file="pick-list",
    about=lambda sheets: sheets[0].walk_number,
    facts=lambda sheet: walk_facts(sheet),
    strong=lambda sheet: cut_off_words(sheet.cut_off, sheet.cut_off_service),
    blocks=lambda sheet, space: _blocks(sheet, space),
)

_STOP_MM = 15.0
_BAGS_MM = 87.0
_POSITION_MM = 14.0
_PIECES_MM = 26.0
_WEIGHT_MM = 38.0
_PAD_MM = 1.2
_RULE_MM = 0.8


def walk_facts(sheet: PickListSheet) -> tuple[str, ...]:
    """Walk, cart and day; the walk isn't said twice where the list has its number."""
    walk = "" if sheet.walk_number == sheet.document_number else f"walk {sheet.walk_number}"
    return (walk, sheet.cart_name, day_words(sheet.day))


def _blocks(sheet: PickListSheet, space: Space) -> list[Block]:
    width, room = space.width_mm, space.room_mm
    return [
        *way(sheet, width, room),
        *ended(_stops(sheet, width, room), way_statements(sheet, width), room_mm=room),
    ]


def _stops(sheet: PickListSheet, width: float, room: float) -> list[Block]:
    headings = _headings(width)
    blocks: list[Block] = []
    turn = ""
    for stop in sheet.stops:
        starts_group = bool(stop.turn) or not blocks
        turn = stop.turn or turn
        again = above(headings, turn_line(turn, width, is_continued=True)) if turn else headings
        parts = _stop_parts(stop, width, room - again.height_mm)
        if starts_group:
            top = [gap(1.5)] if blocks else [headings]
            top += [turn_line(stop.turn, width)] if stop.turn else []
            blocks.append(replace(above(*top), keeps_next=True, again=headings if blocks else None))
        for i, part in enumerate(parts):
            blocks.append(part if starts_group and i == 0 else replace(part, again=again))
    return blocks


def _headings(width: float) -> Block:
    """Column headings over a rule."""
    x = width - _BAGS_MM
    base = FIRST_BASE_LINE * SMALL_PT * MM_PER_POINT
    rule = Strokes((((0.0, line_mm(SMALL_PT) + 0.6), (width, line_mm(SMALL_PT) + 0.6)),), 0.5)
    ends = x + _POSITION_MM + _PIECES_MM
    return block(
        line_mm(SMALL_PT) + 0.6,
        text_at(0.0, base, "stop", Face.TEXT, SMALL_PT),
        text_at(_STOP_MM, base, "bin and part", Face.TEXT, SMALL_PT),
        text_at(x + (_POSITION_MM - 2) / 2, base, "cart pos.", Face.TEXT, SMALL_PT, align="centre"),
        text_at(ends - 2, base, "pieces", Face.TEXT, SMALL_PT, align="right"),
        text_at(ends + _WEIGHT_MM - 2, base, "scale must show (with bag)", Face.TEXT, SMALL_PT, align="right"),
        text_at(width, base, "done", Face.TEXT, SMALL_PT, align="right"),
        rule,
    )


def _stop_parts(stop: PickStop, width: float, room: float) -> list[Block]:
    """The stop as one block, or as several where its bags are more than a page holds."""
    rows = [_bag_row(bag) for bag in stop.bags]
    left_mm = width - _BAGS_MM - 3
    whole = _stop_block(stop, rows, "", left_mm, width)
    if whole.height_mm <= room:
        return [whole]
    parts: list[Block] = []
    first = 0
    while first < len(rows):
        last = first
        height = 2 * _PAD_MM + 1
        while last < len(rows) and height + rows[last].height_mm + _RULE_MM <= room:
            height += rows[last].height_mm + _RULE_MM
            last += 1
        last = max(last, first + 1)
        words = f"bags {first + 1} to {last} of {len(rows)} at this stop"
        parts.append(_stop_block(stop, rows[first:last], words, left_mm, width))
        first = last
    return parts


def _stop_block(stop: PickStop, rows: Sequence[Block], part_words: str, left_mm: float, width: float) -> Block:
    inner = left_mm - _STOP_MM
    left = [
        _bin_line(stop, inner),
        part_cell(stop.part_number, stop.description, looks(stop.family, stop.size, stop.finish), inner),
    ]
    if part_words:
        left += [gap(1.0), paragraph(part_words, Face.BOLD, BODY_PT, inner)]
    for caution in stop.cautions:
        left += [gap(0.8), caution_line(caution, inner)]
    inside = beside(
        (0.0, stop_mark(stop.stop_no, _STOP_MM - 2, NUMBER_PT)),
        (_STOP_MM, above(*left)),
        (width - _BAGS_MM, _ruled(rows)),
    )
    rule = block(0.0, Strokes((((0.0, 0.0), (width, 0.0)),), 0.25))
    return above(gap(_PAD_MM), inside, gap(_PAD_MM), rule)


def _ruled(rows: Sequence[Block]) -> Block:
    """Rows of bags under one another, hair lines between them."""
    rule = above(block(0.0, Strokes((((0.0, 0.0), (_BAGS_MM, 0.0)),), 0.1)), gap(_RULE_MM))
    return above(rows[0], *(each for row in rows[1:] for each in (rule, row)))


def _bin_line(stop: PickStop, width: float) -> Block:
    """The bin's code, large; beside it on which hand it is and how far in and up, or below it where that is too wide.

    The aisle stands in the code and over the group; it is said again only where the words stand below.
    """
    hand = {Side.LEFT: "◀ on your left", Side.RIGHT: "on your right ▶", None: f"{stop.side} side"}[stop.on_your]
    shelf = f"section {stop.section} · level {stop.level}"
    most_mm = width - 2 - max(width_mm(hand, Face.BOLD, BODY_PT), width_mm(shelf, Face.TEXT, BODY_PT))
    size = fitting_size(stop.bin_code, Face.CODE, NUMBER_PT, least_pt=LEAST_PT, width=width)
    base = FIRST_BASE_LINE * size * MM_PER_POINT
    code = block(line_mm(size), text_at(0.0, base, stop.bin_code, Face.CODE, size))
    if width_mm(stop.bin_code, Face.CODE, size) > most_mm:
        where = f"{hand} · {stop.way_word} {stop.aisle} · {shelf}"
        return above(code, paragraph(where, Face.TEXT, BODY_PT, width), gap(0.6))
    first = FIRST_BASE_LINE * BODY_PT * MM_PER_POINT
    beside_it = block(
        2 * line_mm(BODY_PT),
        text_at(width, first, hand, Face.BOLD, BODY_PT, align="right"),
        text_at(width, first + line_mm(BODY_PT), shelf, Face.TEXT, BODY_PT, align="right"),
    )
    return above(beside((0.0, code), (0.0, beside_it)), gap(0.6))


def _bag_row(bag: PickBag) -> Block:
    """One bag: position, pieces, weights, tick box; below them its code and what else concerns it."""
    weight_x = _POSITION_MM + _PIECES_MM
    top = beside(
        (0.0, above(gap(0.4), position_mark(bag.cart_position, _POSITION_MM - 2, PLACE_PT, high_mm=9.4))),
        (_POSITION_MM, pieces_cell(bag.pieces, _PIECES_MM - 2, NUMBER_PT, high_mm=10.2)),
        (weight_x, weight_cell(bag.method, bag.target_g, bag.lower_g, bag.upper_g, _WEIGHT_MM - 2)),
        (_BAGS_MM - TICK_MM - 0.3, above(gap(1.2), tick_box())),
    )
    words = bag_words(bag)
    words_mm = width_mm(words, Face.TEXT, BODY_PT) + 3
    below = [paragraph(words, Face.TEXT, BODY_PT, _BAGS_MM)]
    if words_mm + width_mm(bag.note, Face.BOLD, BODY_PT) <= _BAGS_MM:
        below = [beside((0.0, below[0]), (words_mm, paragraph(bag.note, Face.BOLD, BODY_PT, _BAGS_MM)))]
    else:
        below.append(paragraph(bag.note, Face.BOLD, BODY_PT, _BAGS_MM))
    return above(top, gap(0.4), *below, paragraph(bag.reason, Face.TEXT, BODY_PT, _BAGS_MM), gap(0.8))


def bag_words(bag: PickBag) -> str:
    """Kind of bag, its code, the scale to be used."""
    return " · ".join(word for word in (bag.bag_type, bag.bag_code, f"scale {bag.scale}" if bag.scale else "") if word)
