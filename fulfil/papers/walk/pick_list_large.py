"""The pick list in large print: for weak eyes, dim aisles, or a list that hangs on the cart.

The same words in the same order as the usual list, nearly twice as large: numbers are read from a metre. A stop's head
takes the whole width, its bags stand below it, one row a bag; neither is ever split.
"""

from dataclasses import dataclass, replace

from fulfil.papers.document import Document, Space
from fulfil.papers.elements.caution_box import caution_line
from fulfil.papers.elements.day_words import cut_off_words
from fulfil.papers.elements.marks import position_mark, stop_mark
from fulfil.papers.elements.part_cell import look_lines, looks, says_more
from fulfil.papers.elements.pieces_cell import pieces_cell
from fulfil.papers.elements.tick_box import tick_box
from fulfil.papers.elements.turn import turn_line
from fulfil.papers.elements.weight_cell import weight_cell
from fulfil.papers.faces import MM_PER_POINT, Face, width_mm
from fulfil.papers.ink import Block, Strokes, above, beside, block, ended, gap, text_at
from fulfil.papers.page import PLACE_PT, STRONG_PT, TARGET_PT
from fulfil.papers.sheet import recast
from fulfil.papers.walk.pick_list import bag_words, walk_facts
from fulfil.papers.walk.pick_list_sheet import PickBag, PickListSheet, PickStop
from fulfil.papers.walk.pick_list_way import way, way_statements
from fulfil.papers.wrap import FIRST_BASE_LINE, LEAST_PT, centred_in, fitting_size, line_mm, paragraph
from fulfil.records.place import Side


@dataclass(frozen=True, kw_only=True)
class LargePickListSheet(PickListSheet):
    """The same words, to be printed large."""


PAPER = Document(
    sheet=LargePickListSheet,
    name="Pick list",
    file="pick-list",
    about=lambda sheets: sheets[0].walk_number,
    facts=lambda sheet: walk_facts(sheet),
    strong=lambda sheet: cut_off_words(sheet.cut_off, sheet.cut_off_service),
    blocks=lambda sheet, space: _blocks(sheet, space),
)

_WEIGHTS = "Weights are what the scale must show with the bag on it."
_LARGER = 1.4
_NUMBER_PT = 34.0
_TARGET_PT = 24.0
_STOP_MM = 22.0
_ROW_MM = 17.0
_TICK_MM = 12.0
_POSITION_MM = 24.0
_PIECES_MM = 32.0
_WEIGHT_MM = 98.0


def large(sheet: PickListSheet) -> LargePickListSheet:
    """A pick list in large print."""
    return recast(sheet, LargePickListSheet)


def _blocks(sheet: PickListSheet, space: Space) -> list[Block]:
    width = space.width_mm
    return [
        *way(sheet, width, space.room_mm, larger=_LARGER),
        paragraph(_WEIGHTS, Face.TEXT, TARGET_PT, width),
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
    hand = {Side.LEFT: "◀ on your left", Side.RIGHT: "on your right ▶", None: f"{stop.side} side"}[stop.on_your]
    shelf = f"section {stop.section} · level {stop.level}"
    size = fitting_size(stop.bin_code, Face.CODE, _NUMBER_PT, least_pt=LEAST_PT, width=width)
    code = block(line_mm(size), text_at(0.0, FIRST_BASE_LINE * size * MM_PER_POINT, stop.bin_code, Face.CODE, size))
    words_mm = max(width_mm(words, Face.BOLD, PLACE_PT) for words in (hand, shelf))
    if width_mm(stop.bin_code, Face.CODE, size) + 4 + words_mm > width:
        where = f"{hand} · {stop.way_word} {stop.aisle} · {shelf}"
        return above(code, paragraph(where, Face.BOLD, TARGET_PT, width))
    first = FIRST_BASE_LINE * PLACE_PT * MM_PER_POINT
    beside_it = [
        text_at(width, first + i * line_mm(PLACE_PT), words, Face.BOLD, PLACE_PT, align="right")
        for i, words in enumerate((hand, shelf))
    ]
    return beside((0.0, code), (0.0, block(2 * line_mm(PLACE_PT), *beside_it)))


def _bag_row(bag: PickBag, width: float) -> Block:
    """One bag across the page: position, pieces, weight, box to tick; its code and note below."""
    pieces_x, weight_x = _POSITION_MM, _POSITION_MM + _PIECES_MM
    weight = weight_cell(
        bag.method,
        bag.target_g,
        bag.lower_g,
        bag.upper_g,
        _WEIGHT_MM - 4,
        target_pt=_TARGET_PT,
        window_pt=PLACE_PT,
    )
    top = beside(
        (0.0, position_mark(bag.cart_position, _POSITION_MM - 4, _NUMBER_PT - 4, high_mm=_ROW_MM - 2)),
        (pieces_x, pieces_cell(bag.pieces, _PIECES_MM, _NUMBER_PT, high_mm=_ROW_MM - 2)),
        (weight_x + 2, _pieces_word(bag.pieces)),
        (weight_x + 4, weight),
        (width - _TICK_MM - 0.3, above(gap(1.2), tick_box(_TICK_MM))),
    )
    said = [
        paragraph(bag_words(bag), Face.TEXT, STRONG_PT, width - pieces_x - 4),
        paragraph(bag.note, Face.BOLD, TARGET_PT, width - pieces_x - 4),
        paragraph(bag.reason, Face.TEXT, STRONG_PT, width - pieces_x - 4),
    ]
    rule = block(0.0, Strokes((((0.0, 0.0), (width, 0.0)),), 0.25))
    position = paragraph("cart position", Face.TEXT, STRONG_PT, pieces_x - 1)
    below = beside((0.0, position), (pieces_x + 4, above(*said)))
    return above(gap(1.0), top, gap(0.5), below, gap(1.0), rule)


def _pieces_word(pieces: int) -> Block:
    """The word after the figure, on its base line."""
    high = _ROW_MM - 2
    word = "piece" if pieces == 1 else "pieces"
    return block(high, text_at(0.0, centred_in(high, _NUMBER_PT), word, Face.TEXT, PLACE_PT))
