"""The pick list in large print: for weak eyes, dim aisles, or a list that hangs on the cart.

The same words in the same order as the usual list, nearly twice as large: numbers are read from a metre. A stop's head
takes the whole width, its bags stand below it, one row a bag; neither is ever split.
"""

from dataclasses import dataclass, replace

from fulfil.papers.document import Document, Space
from fulfil.papers.elements.caution_box import caution_line
from fulfil.papers.elements.day_words import cut_off_words
from fulfil.papers.elements.marks import position_mark, stop_mark
from fulfil.papers.elements.number_tail import number_tail
from fulfil.papers.elements.part_cell import look_lines, looks, says_more
from fulfil.papers.elements.pieces_cell import pieces_cell
from fulfil.papers.elements.tick_box import tick_box
from fulfil.papers.elements.turn import turn_line
from fulfil.papers.elements.weight_cell import aim_words, window_cell
from fulfil.papers.faces import MM_PER_POINT, Face, width_mm
from fulfil.papers.ink import Block, Strokes, above, beside, block, ended, gap, text_at
from fulfil.papers.page import PLACE_PT, STRONG_PT, TARGET_PT
from fulfil.papers.sheet import recast
from fulfil.papers.walk.pick_list import hand_words, place_words, walk_facts
from fulfil.papers.walk.pick_list_sheet import PickBag, PickListSheet, PickStop
from fulfil.papers.walk.pick_list_way import amounts, way, way_statements
from fulfil.papers.wrap import FIRST_BASE_LINE, LEAST_PT, fitting_size, line_mm, paragraph


@dataclass(frozen=True, kw_only=True)
class LargePickListSheet(PickListSheet):
    """The same words, to be printed large."""


PAPER = Document(
    sheet=LargePickListSheet,
    name="Pick list",
    file="pick-list",
    about=lambda sheets: sheets[0].walk_number,
    facts=lambda sheet: (*walk_facts(sheet), *amounts(sheet)),
    strong=lambda sheet: cut_off_words(sheet.cut_off, sheet.cut_off_service),
    blocks=lambda sheet, space: _blocks(sheet, space),
)

_LARGER = 1.4
_NUMBER_PT = 34.0
_WINDOW_PT = 22.0
_STOP_MM = 22.0
_ROW_MM = 16.0
_TICK_MM = 12.0
_BAG_MM = 42.0
_PIECES_MM = 32.0
_WEIGHT_MM = 74.0
_POSITION_MM = 22.0


def large(sheet: PickListSheet) -> LargePickListSheet:
    """A pick list in large print."""
    return recast(sheet, LargePickListSheet)


def _blocks(sheet: PickListSheet, space: Space) -> list[Block]:
    width = space.width_mm
    return [
        *way(sheet, width, space.room_mm, larger=_LARGER),
        *ended(_stops(sheet, width), way_statements(sheet, width), room_mm=space.room_mm),
    ]


def _stops(sheet: PickListSheet, width: float) -> list[Block]:
    blocks: list[Block] = []
    turn = ""
    for stop in sheet.stops:
        turn = stop.turn or turn
        if stop.turn:
            blocks.append(above(gap(2.0), turn_line(stop.turn, width), gap(1.0)).kept())
        blocks.append(replace(_head(stop, width), keeps_next=True, again=_turn_again("" if stop.turn else turn, width)))
        again = _again(stop, turn, width)
        blocks += [replace(_bag_row(bag, width), again=again) for bag in stop.bags]
    return blocks


def _turn_again(turn: str, width: float) -> Block:
    """What stands above a stop at the top of a page."""
    return turn_line(turn, width, is_continued=True) if turn else gap(0.0)


def _again(stop: PickStop, turn: str, width: float) -> Block:
    """What stands above a bag row at the top of a page: the turn and the stop's numbers."""
    words = paragraph(f"stop {stop.stop_no} – continued: {stop.bin_code}", Face.BOLD, PLACE_PT, width)
    return above(_turn_again(turn, width), gap(1.0), words)


def _head(stop: PickStop, width: float) -> Block:
    """Stop number, bin, hand, what the part looks like."""
    inner = width - _STOP_MM
    look = looks(stop.family, stop.size, stop.finish)
    left = [
        _bin_line(stop, inner),
        look_lines(look, PLACE_PT, inner),
        paragraph(stop.part_number, Face.CODE, TARGET_PT, inner),
        paragraph(stop.description if says_more(stop.description, look) else "", Face.TEXT, TARGET_PT, inner),
    ]
    for caution in stop.cautions:
        left += [gap(0.8), caution_line(caution, inner, TARGET_PT)]
    mark = stop_mark(stop.stop_no, _STOP_MM - 4, _NUMBER_PT)
    return above(gap(2.5), beside((0.0, mark), (_STOP_MM, above(*left))), gap(1.5))


def _bin_line(stop: PickStop, width: float) -> Block:
    """The bin's code with hand, section and level beside it; below it where it is too wide."""
    hand, shelf = hand_words(stop), place_words(stop)
    size = fitting_size(stop.bin_code, Face.CODE, _NUMBER_PT, least_pt=LEAST_PT, width=width)
    code = block(line_mm(size), text_at(0.0, FIRST_BASE_LINE * size * MM_PER_POINT, stop.bin_code, Face.CODE, size))
    words_mm = max(width_mm(words, Face.BOLD, PLACE_PT) for words in (hand, shelf))
    if width_mm(stop.bin_code, Face.CODE, size) + 4 + words_mm > width:
        where = " · ".join(word for word in (hand, f"{stop.way_word} {stop.aisle}", shelf) if word)
        return above(code, paragraph(where, Face.BOLD, TARGET_PT, width))
    first = FIRST_BASE_LINE * PLACE_PT * MM_PER_POINT
    beside_it = [
        text_at(width, first + i * line_mm(PLACE_PT), words, Face.BOLD, PLACE_PT, align="right")
        for i, words in enumerate((hand, shelf))
        if words
    ]
    return beside((0.0, code), (0.0, block(2 * line_mm(PLACE_PT), *beside_it)))


def _bag_row(bag: PickBag, width: float) -> Block:
    """One bag across the page: bag, pieces, window, cart position, box to tick; its notes below."""
    weight_x = _BAG_MM + _PIECES_MM
    aim = " · ".join(word for word in (aim_words(bag.method, bag.target_g), bag.scale) if word)
    weights = (bag.method, bag.target_g, bag.lower_g, bag.upper_g)
    window = window_cell(*weights, _WEIGHT_MM - 3, window_pt=_WINDOW_PT, high_mm=_ROW_MM - 2)
    kind = paragraph(bag.bag_type, Face.TEXT, TARGET_PT, _BAG_MM - 2)
    top = beside(
        (0.0, above(kind, number_tail(bag.bag_code, small_pt=STRONG_PT, large_pt=_WINDOW_PT, width=_BAG_MM - 2))),
        (_BAG_MM, pieces_cell(bag.pieces, _PIECES_MM - 3, _NUMBER_PT, high_mm=_ROW_MM - 2)),
        (weight_x, window),
        (weight_x + _WEIGHT_MM, position_mark(bag.cart_position, _POSITION_MM - 4, _NUMBER_PT - 4, high_mm=_ROW_MM)),
        (width - _TICK_MM - 0.3, above(gap(1.2), tick_box(_TICK_MM))),
    )
    said = [
        paragraph(aim, Face.TEXT, TARGET_PT, width),
        paragraph(bag.note, Face.BOLD, TARGET_PT, width),
        paragraph(bag.reason, Face.TEXT, STRONG_PT, width),
    ]
    rule = block(0.0, Strokes((((0.0, 0.0), (width, 0.0)),), 0.25))
    return above(gap(1.0), top, gap(0.5), *said, gap(1.0), rule)
