"""Page one of a pick list: the map, what stands on the cart, how much there is to do, what was promised.

Beside the map, so that the list itself starts on a page of its own or under a low map.
"""

from fulfil.papers.elements.caution_box import caution_box
from fulfil.papers.elements.marks import position_mark
from fulfil.papers.elements.pieces_cell import pieces_text
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, beside, gap
from fulfil.papers.page import BODY_PT, SMALL_PT, STRONG_PT, TARGET_PT
from fulfil.papers.route_map import route_map
from fulfil.papers.wrap import paragraph
from fulfil.quantities import print_metres
from fulfil.records.sheets.cart_card import CartPosition
from fulfil.records.sheets.pick_list import PickListSheet

_PANEL_MM = 60.0
_MAP_MM = 118.0
_MARK_MM = 10.0
_SIDES = "Left and right of an aisle are as seen from the front of the room."


def way(sheet: PickListSheet, width: float, room: float) -> Block:
    """Map and panel side by side, sentences below."""
    panel = _panel(sheet)
    height = max(_MAP_MM, panel.height_mm)
    sentences = [text for text in (sheet.bound_statement, sheet.risk_statement) if text]
    if any(stop.on_your is None for stop in sheet.stops):
        sentences.append(_SIDES)
    below = above(
        *(paragraph(text, Face.TEXT, BODY_PT, width) for text in sentences),
        gap(1.0 if sheet.cautions else 0.0),
        caution_box(sheet.cautions, width),
        gap(2.0),
    )
    height = min(height, room - below.height_mm - 2.0)
    if sheet.route_map is None:
        return above(panel, gap(2.0), below)
    plan = route_map(sheet.route_map, width - _PANEL_MM - 4, height)
    return above(beside((0.0, plan), (width - _PANEL_MM, panel)), gap(2.0), below)


def _panel(sheet: PickListSheet) -> Block:
    figures = (
        ("stops", str(len(sheet.stops))),
        ("bags", str(sheet.bags)),
        ("pieces", pieces_text(sheet.pieces)),
        ("walk", print_metres(sheet.length_mm)),
    )
    half = _PANEL_MM / 2
    pairs = [_figure(label, value, half - 2) for label, value in figures]
    rows = [
        beside((0.0, pairs[0]), (half, pairs[1])),
        gap(1.5),
        beside((0.0, pairs[2]), (half, pairs[3])),
        gap(2.5),
    ]
    return above(*rows, *(_position(each) for each in sheet.cart))


def _figure(label: str, value: str, width: float) -> Block:
    return above(paragraph(label, Face.TEXT, SMALL_PT, width), paragraph(value, Face.BOLD, TARGET_PT, width))


def _position(position: CartPosition) -> Block:
    """A cart position with its order."""
    words_mm = _PANEL_MM - _MARK_MM - 2
    count = f"{position.bags} bag" + ("s" if position.bags != 1 else "")
    more = " · ".join(word for word in (position.destination, position.service, count, position.note) if word)
    words = above(
        paragraph(position.order_number, Face.BOLD, STRONG_PT, words_mm),
        paragraph(more, Face.TEXT, SMALL_PT, words_mm),
    )
    high = max(8.0, min(words.height_mm, 9.0))
    mark = position_mark(position.position, _MARK_MM, TARGET_PT, high_mm=high)
    return above(beside((0.0, mark), (_MARK_MM + 2, words)), gap(1.0))
