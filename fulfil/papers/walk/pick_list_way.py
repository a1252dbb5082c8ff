"""Page one of a pick list: the map, how much there is to do, what stands where on the cart.

The list itself starts below. How good the plan is and what the windows were made for, no picker needs on the way: that
stands at the list's end.
"""

from fulfil.papers.elements.caution_box import caution_box
from fulfil.papers.elements.counted import counted
from fulfil.papers.elements.marks import position_mark
from fulfil.papers.elements.pieces_cell import pieces_text
from fulfil.papers.faces import Face
from fulfil.papers.floor.drawing import route_map
from fulfil.papers.ink import Block, above, beside, gap
from fulfil.papers.page import BODY_PT, SMALL_PT, STRONG_PT, TARGET_PT
from fulfil.papers.walk.cart_position import CartPosition
from fulfil.papers.walk.pick_list_sheet import PickListSheet
from fulfil.papers.wrap import paragraph
from fulfil.quantities import print_metres

_PANEL_MM = 60.0
_MAP_MM = 118.0
_MARK_MM = 10.0
_SIDES = "Left and right of an aisle are as seen from the front of the room."


def way(sheet: PickListSheet, width: float, room: float, *, larger: float = 1.0) -> list[Block]:
    """Map and panel side by side, sentences below; a large cart's positions stand under the map instead.

    ``larger`` multiplies the type sizes of the cart's positions and of the sentences, for large print.
    """
    below = _before(sheet, width, larger)
    figures = _figures(sheet)
    cart = [_position(each, _PANEL_MM, larger) for each in sheet.cart]
    panel = above(figures, *cart)
    is_large = panel.height_mm > _MAP_MM + 12 or sheet.route_map is None
    if is_large:
        third = width / 3
        cart = [_position(each, third - 3, larger) for each in sheet.cart]
    rows = [
        beside(*((j * width / 3, each) for j, each in enumerate(cart[i : i + 3])))
        for i in range(0, len(cart) if is_large else 0, 3)
    ]
    height = min(_MAP_MM if is_large else max(_MAP_MM, panel.height_mm), room - 2.0)
    top = _figures(sheet, 4) if is_large else panel
    if sheet.route_map is not None and is_large:
        top = above(top, route_map(sheet.route_map, width, height - top.height_mm))
    elif sheet.route_map is not None:
        plan = route_map(sheet.route_map, width - _PANEL_MM - 4, height)
        top = beside((0.0, plan), (width - _PANEL_MM, panel))
    return [above(top, gap(2.0)), *rows, *below]


def way_statements(sheet: PickListSheet, width: float) -> Block:
    """For the list's end: how far from the best possible the plan is, for which risks the windows were made."""
    sentences = [text for text in (sheet.risk_statement, sheet.bound_statement) if text]
    return above(gap(3.0), *(paragraph(text, Face.TEXT, BODY_PT, width) for text in sentences))


def _before(sheet: PickListSheet, width: float, larger: float) -> list[Block]:
    sides = [_SIDES] if any(stop.on_your is None for stop in sheet.stops) else []
    return [
        *(paragraph(text, Face.TEXT, larger * BODY_PT, width) for text in sides),
        *(above(gap(1.0), caution_box((text,), width, larger * BODY_PT)) for text in sheet.cautions),
        gap(2.0),
    ]


def _figures(sheet: PickListSheet, each_row: int = 2) -> Block:
    """How much there is to do, some figures a row; no length where no one walk is meant."""
    figures = [("stops", str(len(sheet.stops))), ("bags", str(sheet.bags)), ("pieces", pieces_text(sheet.pieces))]
    if sheet.length_mm:
        figures.append(("walk", print_metres(sheet.length_mm)))
    half = _PANEL_MM / 2
    made = [_figure(label, value, half - 2) for label, value in figures]
    rows = [
        beside(*((j * half, each) for j, each in enumerate(made[i : i + each_row])))
        for i in range(0, len(made), each_row)
    ]
    return above(*(above(row, gap(1.5)) for row in rows), gap(1.0))


def _figure(label: str, value: str, width: float) -> Block:
    return above(paragraph(label, Face.TEXT, SMALL_PT, width), paragraph(value, Face.BOLD, TARGET_PT, width))


def _position(position: CartPosition, width: float, larger: float) -> Block:
    """A cart position with its order."""
    words_mm = width - _MARK_MM - 2
    more = " · ".join(word for word in (counted(position.bags, "bag"), position.destination) if word)
    words = above(
        paragraph(position.order_number, Face.BOLD, larger * STRONG_PT, words_mm),
        *(paragraph(text, Face.TEXT, larger * SMALL_PT, words_mm) for text in (more, position.service) if text),
        paragraph(position.note, Face.BOLD, larger * BODY_PT, words_mm),
    )
    high = max(8.0, min(words.height_mm, 9.0))
    mark = position_mark(position.position, _MARK_MM, TARGET_PT, high_mm=high)
    return above(beside((0.0, mark), (_MARK_MM + 2, words)), gap(1.0))
