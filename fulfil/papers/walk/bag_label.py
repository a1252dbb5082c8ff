"""The bag label: on the empty bag before the walk, still on it when the customer opens the package.

On top the three numbers of the picker (stop, cart position, pieces), then the part for everyone's eyes, at the foot
the bar code and what the scale must show. On 60 × 40 or 50 × 25 mm, one a page for a label printer, or many on a sheet.

A label has the room that it has: the description is shortened with '…' where it doesn't fit (the pick list has it
whole); numbers, counts and weights never are, and are refused if they don't fit.

>>> label = BagLabelSheet(bag_code="42000017", part_number="SCR-0016", description="Cap screw M3 x 16",
...     family="cap screw", size="M3 x 16", finish="zinc", pieces=250, method=CountMethod.HAND, order_number="O-1001",
...     cart_position=3, stop_no=12, bin_code="A04-L-07-2", walk_number="W-0007")
>>> label.is_counted_by_hand
True
"""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from decimal import Decimal

from fulfil.errors import PaperRefused
from fulfil.papers.elements.bar_code import BarCode, bar_code
from fulfil.papers.elements.caution_box import caution_line
from fulfil.papers.elements.marks import position_mark, stop_mark
from fulfil.papers.elements.number_tail import number_tail, split
from fulfil.papers.elements.part_cell import looks, says_more
from fulfil.papers.elements.pieces_cell import pieces_words
from fulfil.papers.elements.weight_cell import weight_cell, weight_line
from fulfil.papers.faces import MM_PER_POINT, Face, width_mm
from fulfil.papers.ink import Block, above, beside, block, gap, text_at
from fulfil.papers.labels import Labels
from fulfil.papers.page import LabelSize, label_page
from fulfil.papers.sheet import Sheet
from fulfil.papers.wrap import (
    FIRST_BASE_LINE,
    LEAST_PT,
    centred_in,
    fitting_size,
    item_lines,
    line_mm,
    lines,
    paragraph,
    set_lines,
    shortened,
)
from fulfil.records.plan import CountMethod


@dataclass(frozen=True, kw_only=True)
class BagLabelSheet(Sheet):
    """What the label of one bag says; weights as on :class:`~fulfil.papers.walk.pick_list_sheet.PickBag`.

    ``note`` is short ('bag 1 of 2'); ``cautions`` are printed on the label, so a few words each.
    """

    bag_code: str
    part_number: str
    description: str
    family: str
    size: str = ""
    finish: str = ""
    pieces: int
    method: CountMethod
    target_g: Decimal | None = None
    lower_g: Decimal | None = None
    upper_g: Decimal | None = None
    order_number: str
    cart_position: int
    stop_no: int
    bin_code: str
    walk_number: str
    bag_type: str = ""
    note: str = ""
    cautions: tuple[str, ...] = ()

    @property
    def is_counted_by_hand(self) -> bool:
        """Whether no weight may accept this bag."""
        return self.method is CountMethod.HAND


PAPER = Labels(
    sheet=BagLabelSheet,
    name="Bag label",
    file="bag-labels",
    about=lambda sheets: sheets[0].walk_number,
    shows="bag_code",
    sizes=(LabelSize.BAG_60_40, LabelSize.BAG_50_25),
    on_sheets=(LabelSize.BAG_60_40, LabelSize.BAG_50_25),
    face=lambda label, size, printer_dpi: bag_label(label, size=size, printer_dpi=printer_dpi),
    title=lambda labels: f"Bag labels {', '.join(sorted({label.walk_number for label in labels}))}",
)


@dataclass(frozen=True)
class _Scale:
    """How large things are on one size of label, in mm and pt; a small one has narrow bars, and no walk."""

    mark_mm: float
    position_mm: float
    mark_pt: float
    pieces_pt: float
    part_pt: float
    text_pt: float
    window_pt: float
    aim_pt: float
    bars_mm: float
    is_small: bool


_SCALES = {
    LabelSize.BAG_60_40: _Scale(9.0, 10.0, 13.0, 20.0, 10.0, 8.0, 12.0, 8.5, 6.5, False),
    LabelSize.BAG_50_25: _Scale(6.2, 7.5, 10.0, 14.0, 7.5, 7.0, 8.5, 7.0, 5.0, True),
}
_BETWEEN_MM = 0.5
_TAIL_PT = 12.0
_BARS_BESIDE = 0.56


def bag_label(label: BagLabelSheet, *, size: LabelSize, printer_dpi: int) -> Block:
    """The label's face inside its margins."""
    scale, page = _SCALES[size], label_page(size)
    width = page.content_mm
    top = _top(label, scale, width)
    foot, says_note = _foot(label, scale, width, printer_dpi, scale.text_pt)
    note = "" if says_note else label.note
    middle = _middle(label, note, scale, width, page.room_mm - top.height_mm - foot.height_mm)
    filler = page.room_mm - top.height_mm - middle.height_mm - foot.height_mm
    # Where nothing else gives way, the end of the number stands as large as on the pick list.
    larger, says_as_much = _foot(label, scale, width, printer_dpi, _TAIL_PT)
    if not scale.is_small and says_as_much == says_note and 0 <= larger.height_mm - foot.height_mm <= filler:
        foot, filler = larger, filler - larger.height_mm + foot.height_mm
    return above(top, middle, gap(max(filler, 0.0)), foot)


def _top(label: BagLabelSheet, scale: _Scale, width: float) -> Block:
    """Stop, cart position, pieces."""
    high = scale.mark_mm
    pieces = pieces_words(label.pieces)
    left = scale.mark_mm + scale.position_mm + 4
    size = fitting_size(pieces, Face.BOLD, scale.pieces_pt, least_pt=LEAST_PT, width=width - left)
    return above(
        beside(
            (0.0, stop_mark(label.stop_no, high, scale.mark_pt)),
            (high + 2, position_mark(label.cart_position, scale.position_mm, scale.mark_pt, high_mm=high)),
            (0.0, block(high, text_at(width, centred_in(high, size), pieces, Face.BOLD, size, align="right"))),
        ),
        gap(0.5),
    )


def _middle(label: BagLabelSheet, note: str, scale: _Scale, width: float, room: float) -> Block:
    """Part and order, looks, description, cautions in the room that is left; the description gives way first."""
    cautions = above(*(caution_line(text, width, scale.text_pt) for text in label.cautions))
    for said in ((note,), (note, "…")):
        numbers = _numbers(label, said, scale, width)
        left = room - numbers.height_mm - cautions.height_mm + 1e-6
        if left >= line_mm(scale.text_pt):
            bold = _looks(label, scale, width, left)
            words = _description(label, scale, width, int((left - bold.height_mm) // line_mm(scale.text_pt)))
            return above(numbers, bold, set_lines(words, Face.TEXT, scale.text_pt), cautions)
    # Not even the looks fit: the sign that something was left out stands beside the numbers.
    if left >= 0:
        return above(numbers, cautions)
    raise PaperRefused("fit on its label the bag", label.bag_code, "shorter numbers and cautions, or a larger label")


def _looks(label: BagLabelSheet, scale: _Scale, width: float, room: float) -> Block:
    """What the part looks like, on two lines at most: larger where that is whole, else as much as there is room for."""
    look = looks(label.family, label.size, label.finish)
    for size in (scale.text_pt + 2, scale.text_pt + 1):
        whole = item_lines(look.split(" · "), Face.BOLD, size, width)
        if len(whole) <= 2 and len(whole) * line_mm(size) <= room:
            return set_lines(whole, Face.BOLD, size)
    most = min(int(room // line_mm(scale.text_pt)), 2)
    return set_lines(shortened(look, Face.BOLD, scale.text_pt, width=width, most_lines=most), Face.BOLD, scale.text_pt)


def _description(label: BagLabelSheet, scale: _Scale, width: float, rows: int) -> tuple[str, ...]:
    """The description, or as much of it as there is room for; nothing where the looks say it all."""
    if not says_more(label.description, looks(label.family, label.size, label.finish)):
        return ()
    return shortened(label.description, Face.TEXT, scale.text_pt, width=width, most_lines=rows) if rows > 0 else ()


def _numbers(label: BagLabelSheet, said: Sequence[str], scale: _Scale, width: float) -> Block:
    """Part number at the left, order, bag type and what else is to be said at the right, on one line if they fit."""
    part_pt = fitting_size(label.part_number, Face.CODE, scale.part_pt, least_pt=LEAST_PT, width=width)
    part = set_lines((label.part_number,), Face.CODE, part_pt)
    more = " · ".join(text for text in (label.order_number, label.bag_type, *said) if text)
    needed = width_mm(label.part_number, Face.CODE, part_pt) + 2 + width_mm(more, Face.TEXT, scale.text_pt)
    if needed <= width:
        base = FIRST_BASE_LINE * part_pt * MM_PER_POINT
        return beside(
            (0.0, part), (0.0, block(0.0, text_at(width, base, more, Face.TEXT, scale.text_pt, align="right")))
        )
    return above(part, set_lines(lines(more, Face.TEXT, scale.text_pt, width), Face.TEXT, scale.text_pt))


def _foot(label: BagLabelSheet, scale: _Scale, width: float, printer_dpi: int, tail_pt: float) -> tuple[Block, bool]:
    """Weight and bar code in the lowest arrangement, so that the part keeps the most room; and whether it has the note.

    With a short code the weight stands at the right of the bars, with a usual one on a line of its own and the code at
    the right of the bars, with a long one all stand under one another.
    """
    weights = (label.method, label.target_g, label.lower_g, label.upper_g)
    window_pt, aim_pt = scale.window_pt, scale.aim_pt
    head, tail = split(label.bag_code)
    code_mm = width_mm(head, Face.CODE, scale.text_pt) + width_mm(tail, Face.CODE, tail_pt)
    line = above(weight_line(*weights, width, window_pt=window_pt, aim_pt=aim_pt), gap(_BETWEEN_MM))

    def bars(most_mm: float, text_pt: float = 0.0) -> BarCode:
        return bar_code(
            label.bag_code, printer_dpi=printer_dpi, most_mm=most_mm, height_mm=scale.bars_mm, text_pt=text_pt
        )

    found: list[tuple[Block, bool]] = []
    wide = bars(width, scale.text_pt)
    if wide.width_mm <= width * _BARS_BESIDE:
        weight_mm = width - wide.width_mm - _BETWEEN_MM
        with suppress(PaperRefused):
            cell = weight_cell(*weights, weight_mm, window_pt=window_pt, aim_pt=aim_pt)
            found.append((beside((0.0, wide.block), (width - weight_mm, cell)), False))
    with suppress(PaperRefused):
        usual = bars(width - code_mm)
        if usual.width_mm >= wide.width_mm or (scale.is_small and not found):
            words = set_lines((label.bag_code,), Face.CODE, scale.text_pt)
            if tail_pt > scale.text_pt:
                free = width - usual.width_mm + 0.01
                words = number_tail(label.bag_code, small_pt=scale.text_pt, large_pt=tail_pt, width=free)
            below = "" if scale.is_small else label.note or label.walk_number
            has_room = width_mm(below, Face.TEXT, scale.text_pt) <= width - usual.width_mm
            if has_room:
                words = above(words, paragraph(below, Face.TEXT, scale.text_pt, width))
            has_note = has_room and below == label.note
            found.append((above(line, beside((0.0, usual.block), (usual.width_mm, words))), has_note))
    return min(found, key=lambda foot: foot[0].height_mm, default=(above(line, wide.block), False))
