"""The pick list: the paper that a picker walks with.

Page one shows the way: the map, what stands where on the cart; then stop after stop in walking order. A stop is read in
the order of the hands: bin, bag, pieces, what the scale must show, cart position, a box to tick. Below stands what the
part looks like, and at what to aim; below that what else must be done. A caution is a sign at the stop, its words stand
once at the foot of the page. A stop is split only where its bags don't fit on one page, and then says so.

What all bags of the walk begin with is said once, over their column; rows have the end of the number, large.

The files are the same, byte for byte, for the same sheets.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from fulfil.papers.document import Document, Space
from fulfil.papers.elements.caution_box import caution_line, caution_words
from fulfil.papers.elements.day_words import cut_off_words, day_words
from fulfil.papers.elements.marks import position_mark, stop_mark
from fulfil.papers.elements.number_tail import number_tail, same_beginning
from fulfil.papers.elements.part_cell import look_lines, looks, says_more
from fulfil.papers.elements.pieces_cell import pieces_cell
from fulfil.papers.elements.tick_box import TICK_MM, tick_box
from fulfil.papers.elements.turn import turn_line
from fulfil.papers.elements.weight_cell import aim_words, window_cell
from fulfil.papers.faces import MM_PER_POINT, Face, width_mm
from fulfil.papers.ink import Block, Strokes, above, beside, block, ended, gap, text_at
from fulfil.papers.page import BODY_PT, NUMBER_PT, PLACE_PT, SMALL_PT, STRONG_PT
from fulfil.papers.walk.pick_list_sheet import PickBag, PickListSheet, PickStop
from fulfil.papers.walk.pick_list_way import amounts, way, way_statements
from fulfil.papers.wrap import FIRST_BASE_LINE, LEAST_PT, fitting_size, line_mm, lines, paragraph
from fulfil.records.place import Side

PAPER = Document(
    sheet=PickListSheet,
    name="Pick list",
    file="pick-list",
    about=lambda sheets: sheets[0].walk_number,
    facts=lambda sheet: (*walk_facts(sheet), *amounts(sheet)),
    strong=lambda sheet: cut_off_words(sheet.cut_off, sheet.cut_off_service),
    blocks=lambda sheet, space: pick_blocks(sheet, space),
)

_STOP_MM = 13.5
_BAG_MM = 25.0
_PIECES_MM = 19.0
_WEIGHT_MM = 44.0
_POSITION_MM = 13.0
_BAGS_MM = _BAG_MM + _PIECES_MM + _WEIGHT_MM + _POSITION_MM + TICK_MM + 1.0
_HIGH_MM = 8.0
_PAD_MM = 0.9
_RULE_MM = 0.6
_NARROW_MM = 150.0
"""On less width the bags stand below the bin, not beside it."""


def walk_facts(sheet: PickListSheet) -> tuple[str, ...]:
    """Walk, cart and day; the walk isn't said twice where the list has its number."""
    walk = "" if sheet.walk_number == sheet.document_number else f"walk {sheet.walk_number}"
    return (walk, sheet.cart_name, day_words(sheet.day))


@dataclass(frozen=True)
class _Columns:
    """Where things stand on a page: its width, where the bags begin, what all bag numbers begin with."""

    width: float
    begins: str
    is_single: bool = False

    @property
    def is_narrow(self) -> bool:
        return self.width < _NARROW_MM

    @property
    def bags_x(self) -> float:
        return self.width - _BAGS_MM

    @property
    def words_mm(self) -> float:
        """For bin and hand."""
        return self.width - _STOP_MM - (0.0 if self.is_narrow else _BAGS_MM + 2.5)


def pick_blocks(sheet: PickListSheet, space: Space) -> list[Block]:
    """Way, stops, statements."""
    width, room = space.width_mm, space.room_mm
    begins = same_beginning([bag.bag_code for stop in sheet.stops for bag in stop.bags])
    return [
        *way(sheet, width, room),
        *ended(_stops(sheet, _Columns(width, begins), room), way_statements(sheet, width), room_mm=room),
    ]


def _stops(sheet: PickListSheet, columns: _Columns, room: float) -> list[Block]:
    width = columns.width
    headings = _headings(columns)
    blocks: list[Block] = []
    turn = ""
    for stop in sheet.stops:
        starts_group = bool(stop.turn) or not blocks
        turn = stop.turn or turn
        again = above(headings, turn_line(turn, width, is_continued=True)) if turn else headings
        parts = _stop_parts(stop, columns, room - again.height_mm)
        if starts_group:
            top = [] if blocks else [headings]
            top += [turn_line(stop.turn, width)] if stop.turn else []
            blocks.append(replace(above(*top), keeps_next=True, again=headings if blocks else None))
        for i, part in enumerate(parts):
            blocks.append(part if starts_group and i == 0 else replace(part, again=again))
    return blocks


def _headings(columns: _Columns) -> Block:
    """Column headings over a rule; the bags' own numbers begin with what stands over them."""
    x, width = columns.bags_x, columns.width
    base = FIRST_BASE_LINE * SMALL_PT * MM_PER_POINT
    high = line_mm(SMALL_PT)
    rule = Strokes((((0.0, high + 0.6), (width, high + 0.6)),), 0.5)
    bag = f"bag {columns.begins}…" if columns.begins else "bag"
    pieces = x + _BAG_MM + _PIECES_MM
    words = [
        text_at(x, base, bag, Face.TEXT, SMALL_PT),
        text_at(pieces - 2, base, "pieces", Face.TEXT, SMALL_PT, align="right"),
        text_at(pieces + _WEIGHT_MM - 2, base, "scale must show", Face.TEXT, SMALL_PT, align="right"),
        text_at(pieces + _WEIGHT_MM + _POSITION_MM / 2, base, "cart pos.", Face.TEXT, SMALL_PT, align="centre"),
        text_at(width, base, "done", Face.TEXT, SMALL_PT, align="right"),
    ]
    if not columns.is_narrow:
        part = text_at(_STOP_MM, base, "bin and part", Face.TEXT, SMALL_PT)
        words = [text_at(0.0, base, "stop", Face.TEXT, SMALL_PT), part, *words]
    return block(high + 0.6, *words, rule)


def _stop_parts(stop: PickStop, columns: _Columns, room: float) -> list[Block]:
    """The stop as one block, or as several where its bags are more than a page holds."""
    is_single = len(stop.bags) == 1
    rows = [_bag_row(bag, replace(columns, is_single=is_single)) for bag in stop.bags]
    whole = _stop_block(stop, rows, "", columns)
    if whole.height_mm <= room:
        return [whole]
    parts: list[Block] = []
    first = 0
    head = _stop_block(stop, [], "bags 99 to 99 of 99 at this stop", columns).height_mm
    while first < len(rows):
        last = first
        height = head
        while last < len(rows) and height + rows[last].height_mm + 2 * _RULE_MM <= room:
            height += rows[last].height_mm + _RULE_MM
            last += 1
        last = max(last, first + 1)
        words = f"bags {first + 1} to {last} of {len(rows)} at this stop"
        parts.append(_stop_block(stop, rows[first:last], words, columns))
        first = last
    return parts


def _stop_block(stop: PickStop, rows: Sequence[Block], part_words: str, columns: _Columns) -> Block:
    """Bin and hand, the first bag beside them; below what the part looks like; below the other bags."""
    look = looks(stop.family, stop.size, stop.finish)
    signs = caution_words(stop.cautions)
    bin_line, has_number = _bin_line(stop, columns)
    is_single = len(stop.bags) == 1 and not columns.is_narrow
    wide = columns.words_mm + (max(0.0, _free_mm(stop.bags[0])) if is_single else 0.0)
    words = _looks_and_signs(look, signs, wide)
    if not has_number:
        words.append(paragraph(stop.part_number, Face.CODE, BODY_PT, wide))
    if says_more(stop.description, look):
        words.append(paragraph(stop.description, Face.TEXT, BODY_PT, wide))
    if part_words:
        words.append(paragraph(part_words, Face.BOLD, BODY_PT, wide))
    left = above(bin_line, *words)
    mark = (0.0, stop_mark(stop.stop_no, _STOP_MM - 2.5, NUMBER_PT))
    bags = _ruled(rows)
    if columns.is_narrow:
        inside = above(beside(mark, (_STOP_MM, left)), gap(0.6), beside((columns.bags_x, bags)))
    else:
        inside = beside(mark, (_STOP_MM, left), (columns.bags_x, bags))
    rule = block(0.0, Strokes((((0.0, 0.0), (columns.width, 0.0)),), 0.25))
    return replace(above(gap(_PAD_MM), inside, gap(_PAD_MM), rule), notes=stop.cautions)


def _looks_and_signs(look: str, signs: Sequence[str], width: float) -> list[Block]:
    """What the part looks like, and cautions behind it, or below where that is too wide."""
    made = [look_lines(look, STRONG_PT, width)]
    look_mm = width_mm(look, Face.BOLD, STRONG_PT) + 2.5
    for sign in signs:
        sign_mm = width_mm(sign, Face.BOLD, BODY_PT) + 6.0
        if look_mm + sign_mm <= width:
            made = [beside((0.0, made[0]), (look_mm, above(gap(0.2), caution_line(sign, sign_mm))))]
        else:
            made.append(caution_line(sign, width))
    return made


def _ruled(rows: Sequence[Block]) -> Block:
    """Rows of bags under one another, hair lines between them."""
    if not rows:
        return gap(0.0)
    rule = above(block(0.0, Strokes((((0.0, 0.0), (_BAGS_MM, 0.0)),), 0.1)), gap(_RULE_MM))
    return above(rows[0], *(each for row in rows[1:] for each in (rule, row)))


HANDS = {Side.LEFT: "◀ LEFT", Side.RIGHT: "RIGHT ▶"}
"""The picker's own hand, walking along."""


def hand_words(stop: PickStop) -> str:
    """On which hand the bin is; on which side of its aisle where no way is known."""
    return f"{stop.side} side" if stop.on_your is None else HANDS[stop.on_your]


def place_words(stop: PickStop) -> str:
    """Section and level, where the bin's code doesn't say them."""
    return "" if says_place(stop) else f"section {stop.section} · level {stop.level}"


def says_place(stop: PickStop) -> bool:
    """Whether a bin's code has section and level in it, one after the other, as in 05L-14-1B."""
    return bool(re.search(rf"(?<!\d)0*{stop.section}\D+0*{stop.level}(?!\d)", stop.bin_code))


def _bin_line(stop: PickStop, columns: _Columns) -> tuple[Block, bool]:
    """The bin's code, large; beside it the hand, and below that the part's number (or below the code, where too wide).

    Also whether it has the part's number.
    """
    width = columns.words_mm
    hand, place = hand_words(stop), place_words(stop)
    size = fitting_size(stop.bin_code, Face.CODE, NUMBER_PT, least_pt=LEAST_PT, width=width)
    high = line_mm(NUMBER_PT)
    code_mm = width_mm(stop.bin_code, Face.CODE, size)
    base = FIRST_BASE_LINE * NUMBER_PT * MM_PER_POINT
    code = block(high, text_at(0.0, base, stop.bin_code, Face.CODE, size))
    first = FIRST_BASE_LINE * BODY_PT * MM_PER_POINT
    below = place or stop.part_number
    face = Face.TEXT if place else Face.CODE
    if code_mm + 2 + max(width_mm(hand, Face.BOLD, BODY_PT), width_mm(below, face, BODY_PT)) > width:
        where = f"{hand} · {stop.way_word} {stop.aisle}" + (f" · {place}" if place else "")
        return above(code, paragraph(where, Face.BOLD, BODY_PT, width)), False
    beside_it = block(
        high,
        text_at(width, first, hand, Face.BOLD, BODY_PT, align="right"),
        text_at(width, first + line_mm(BODY_PT), below, face, BODY_PT, align="right"),
    )
    return beside((0.0, code), (0.0, beside_it)), not place


def _bag_row(bag: PickBag, columns: _Columns) -> Block:
    """One bag: its kind and number, pieces, window, position, box; below them the aim and what else concerns it."""
    window_x = _BAG_MM + _PIECES_MM
    position_x = window_x + _WEIGHT_MM
    top = beside(
        (0.0, _bag_cell(bag, columns.begins)),
        (_BAG_MM, pieces_cell(bag.pieces, _PIECES_MM - 2, NUMBER_PT, high_mm=_HIGH_MM)),
        (window_x, window_cell(bag.method, bag.target_g, bag.lower_g, bag.upper_g, _WEIGHT_MM - 2)),
        (position_x, position_mark(bag.cart_position, _POSITION_MM - 1.5, PLACE_PT, high_mm=_HIGH_MM)),
        (_BAGS_MM - TICK_MM - 0.3, above(gap(0.5), tick_box())),
    )
    aim = _aim(bag)
    aims = lines(aim, Face.TEXT, BODY_PT, position_x - 2)
    aim_mm = max((width_mm(each, Face.TEXT, BODY_PT) for each in aims), default=0.0)
    base, pitch = FIRST_BASE_LINE * BODY_PT * MM_PER_POINT, line_mm(BODY_PT)
    line = block(
        len(aims) * pitch,
        *(
            text_at(position_x - 2, base + i * pitch, each, Face.TEXT, BODY_PT, align="right")
            for i, each in enumerate(aims)
        ),
    )
    # A short note stands on the line of the aim; a stop of one bag has its looks there.
    is_beside = 0 < width_mm(bag.note, Face.BOLD, BODY_PT) + 2 <= position_x - 2 - aim_mm and not columns.is_single
    note = paragraph(bag.note, Face.BOLD, BODY_PT, position_x if is_beside else _BAGS_MM)
    line = beside((0.0, note), (0.0, line)) if is_beside else above(line, note)
    return above(top, line, paragraph(bag.reason, Face.TEXT, BODY_PT, _BAGS_MM))


def _free_mm(bag: PickBag) -> float:
    """What the line of a bag's aim leaves free at its left."""
    aim = _aim(bag)
    if not aim or bag.note or bag.reason:
        return 0.0
    return _BAG_MM + _PIECES_MM + _WEIGHT_MM - 4 - width_mm(aim, Face.TEXT, BODY_PT)


def _bag_cell(bag: PickBag, begins: str) -> Block:
    """The kind of bag, and its number by the end that differs."""
    number = bag.bag_code.removeprefix(begins)
    kind_mm = width_mm(bag.bag_type, Face.TEXT, BODY_PT) + 1.5 if bag.bag_type else 0.0
    tail = number_tail(number, small_pt=BODY_PT, large_pt=PLACE_PT, width=_BAG_MM - 1)
    if begins and kind_mm + width_mm(number, Face.CODE, PLACE_PT) <= _BAG_MM - 1:
        base = FIRST_BASE_LINE * PLACE_PT * MM_PER_POINT
        kind = block(0.0, text_at(0.0, base, bag.bag_type, Face.TEXT, BODY_PT))
        return above(gap(0.5), beside((0.0, kind), (kind_mm, tail)))
    return above(paragraph(bag.bag_type, Face.TEXT, BODY_PT, _BAG_MM - 1), tail)


def _aim(bag: PickBag) -> str:
    """Whether the bag is on the scale, at what to aim, on which scale."""
    aim = aim_words(bag.method, bag.target_g)
    return " · ".join(word for word in (aim, bag.scale) if word)
