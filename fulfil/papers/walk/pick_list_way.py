"""Page one of a pick list: the map, what stands where on the cart, how to read the codes of the bins.

The list itself starts below. How good the plan is and what the windows were made for, no picker needs on the way: that
stands at the list's end.
"""

from fulfil.papers.elements.caution_box import caution_box
from fulfil.papers.elements.counted import counted
from fulfil.papers.elements.marks import position_mark
from fulfil.papers.faces import Face
from fulfil.papers.floor.drawing import route_map
from fulfil.papers.ink import Block, above, beside, gap
from fulfil.papers.page import BODY_PT, STRONG_PT, TARGET_PT
from fulfil.papers.walk.bin_code_words import bin_code_words
from fulfil.papers.walk.cart_position import CartPosition
from fulfil.papers.walk.pick_list_sheet import PickListSheet
from fulfil.papers.wrap import paragraph
from fulfil.quantities import print_metres

_MAP_MM = 112.0
_MAP_SHARE = 0.62
_MARK_MM = 9.0
_POSITION_MM = 58.0
"""Width of a cart position with its words: three of them stand side by side on a page."""
_SIDES = "Left and right of an aisle are as seen from the front of the room."


def amounts(sheet: PickListSheet) -> tuple[str, ...]:
    """How much there is to do; no length where no one walk is meant."""
    way = (print_metres(sheet.length_mm),) if sheet.length_mm else ()
    return (*(counted(n, noun) for n, noun in _counts(sheet)), *way)


def _counts(sheet: PickListSheet) -> tuple[tuple[int, str], ...]:
    return (len(sheet.stops), "stop"), (sheet.bags, "bag"), (sheet.pieces, "piece")


def way(sheet: PickListSheet, width: float, room: float, *, larger: float = 1.0) -> list[Block]:
    """Map, cart positions in columns, sentences.

    ``larger`` multiplies the type sizes of the cart's positions and of the sentences, for large print.
    """
    blocks: list[Block] = []
    if sheet.route_map is not None:
        high = min(_MAP_MM, _MAP_SHARE * width, room - 2.0)
        blocks.append(above(route_map(sheet.route_map, width, high), gap(1.5)))
    columns = max(1, int((width + 3) // (_POSITION_MM * larger)))
    each_mm = (width + 3) / columns
    cart = [_position(each, each_mm - 3, larger) for each in sheet.cart]
    blocks += [
        beside(*((j * each_mm, each) for j, each in enumerate(cart[i : i + columns])))
        for i in range(0, len(cart), columns)
    ]
    return [*blocks, *_before(sheet, width, larger)]


def way_statements(sheet: PickListSheet, width: float) -> Block:
    """For the list's end: how far from the best possible the plan is, for which risks the windows were made."""
    sentences = [text for text in (sheet.risk_statement, sheet.bound_statement) if text]
    return above(gap(2.0), *(paragraph(text, Face.TEXT, BODY_PT, width) for text in sentences))


def _before(sheet: PickListSheet, width: float, larger: float) -> list[Block]:
    sides = [_SIDES] if any(stop.on_your is None for stop in sheet.stops) else []
    read = bin_code_words(sheet.stops)
    sentences = " ".join(text for text in (read, *sides) if text)
    return [
        paragraph(sentences, Face.TEXT, larger * BODY_PT, width),
        *(above(gap(1.0), caution_box((text,), width, larger * BODY_PT)) for text in sheet.cautions),
        gap(1.0),
    ]


def _position(position: CartPosition, width: float, larger: float) -> Block:
    """A cart position with its order; what else is known of the order stands on the cart card."""
    words_mm = width - _MARK_MM - 2
    words = above(
        paragraph(
            " · ".join(text for text in (position.order_number, counted(position.bags, "bag"), position.level) if text),
            Face.TEXT,
            larger * STRONG_PT,
            words_mm,
        ),
        paragraph(position.note, Face.BOLD, larger * BODY_PT, words_mm),
    )
    high = 6.4
    words = above(gap(max(0.0, (high - words.height_mm) / 2)), words)
    mark = position_mark(position.position, _MARK_MM, TARGET_PT, high_mm=high)
    return above(beside((0.0, mark), (_MARK_MM + 2, words)), gap(0.8))
