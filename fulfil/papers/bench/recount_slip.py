"""The recount slip: an A6 label that goes back to the bin with the bag; a little smaller, four on an office page.

On top where to go and what to count, in the middle what the scale saw and what is likely, below what to do, at the foot
the bag's bar code, to be scanned when it comes back.

>>> sheet = RecountSlipSheet(slip_number="R2503040001", bag_code="B2503040017", bin_code="A04-L-07-2",
...     order_number="O-1001", walk_number="W2503040001", cart_position=3, part_number="SCR-0016",
...     description="Cap screw M3 x 16", family="cap screw", pieces=250, saw="weighs 231.04 g", steps=("Count again.",),
...     which=1, most=3, day=date(2025, 3, 4))
>>> sheet.is_last
False
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from fulfil.errors import PaperRefused
from fulfil.papers.elements.bar_code import bar_code
from fulfil.papers.elements.caution_box import caution_line, framed
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.marks import position_mark
from fulfil.papers.elements.part_cell import look_lines, looks, says_more
from fulfil.papers.elements.pieces_cell import pieces_words
from fulfil.papers.faces import Face, width_mm
from fulfil.papers.ink import Block, Strokes, above, beside, block, gap, text_at
from fulfil.papers.labels import Labels
from fulfil.papers.page import BODY_PT, NUMBER_PT, PLACE_PT, SMALL_PT, STRONG_PT, LabelSize, label_page
from fulfil.papers.sheet import Sheet
from fulfil.papers.wrap import LEAST_PT, centred_in, fitting_size, paragraph


@dataclass(frozen=True, kw_only=True)
class RecountSlipSheet(Sheet):
    """What the scale saw, what is likely, where to go, what to do.

    ``which`` of ``most`` checks this was; ``window`` and ``legal_floor`` are sentences, empty where there is nothing to
    say.
    """

    slip_number: str
    bag_code: str
    bin_code: str
    order_number: str
    walk_number: str
    cart_position: int
    part_number: str
    description: str
    family: str
    size: str = ""
    finish: str = ""
    pieces: int
    window: str = ""
    saw: str
    likely: tuple[str, ...] = ()
    steps: tuple[str, ...]
    which: int
    most: int
    legal_floor: str = ""
    cautions: tuple[str, ...] = ()
    notice: str = ""
    day: date

    @property
    def is_last(self) -> bool:
        """Whether the bag stays: it came back for the last time."""
        return self.which >= self.most


SIZE, ON_SHEETS = LabelSize.PACKAGE_A6, LabelSize.SLIP_100_132
PAPER = Labels(
    sheet=RecountSlipSheet,
    name="Recount slip",
    file="recount-slips",
    about=lambda slips: "-".join(dict.fromkeys((slips[0].slip_number, slips[-1].slip_number))),
    shows="slip_number",
    sizes=(SIZE,),
    on_sheets=(ON_SHEETS,),
    face=lambda slip, size, printer_dpi: recount_slip(slip, size=size, printer_dpi=printer_dpi),
    title=lambda slips: f"Recount slip {slips[0].slip_number}",
)

_TEXT_PTS = (13.0, 11.5, 10.0, 9.0, 8.0, 7.0)
_BARS_MM = 9.0


def recount_slip(slip: RecountSlipSheet, *, size: LabelSize, printer_dpi: int) -> Block:
    """The slip's face inside its margins."""
    page = label_page(size)
    width = page.content_mm
    foot = _foot(slip, width, printer_dpi)
    # Small type first, then fewer causes: the likeliest one, where to go and what to do are always there.
    for causes in range(len(slip.likely), -1, -1):
        for text_pt in _TEXT_PTS:
            top = above(_head(slip, width), gap(1.5), _where(slip, width), gap(1.5), _part(slip, width, text_pt))
            middle = above(
                _saw(slip, slip.likely[:causes], width, text_pt), gap(1.5), _steps(slip, width, max(BODY_PT, text_pt))
            )
            filler = page.room_mm - top.height_mm - middle.height_mm - foot.height_mm - 1.5
            if filler >= 0:
                return above(top, gap(1.5), middle, gap(filler), foot)
    raise PaperRefused("fit on its slip the bag", slip.bag_code, "a shorter description or reason")


def _rule(width: float, line_mm: float = 0.3) -> Block:
    return block(0.0, Strokes((((0.0, 0.0), (width, 0.0)),), line_mm))


def _head(slip: RecountSlipSheet, width: float) -> Block:
    title = "STOP: order held" if slip.is_last else "Recount"
    which = f"check {slip.which} of {slip.most}"
    high = 7.0
    line = block(
        high,
        text_at(0.0, centred_in(high, PLACE_PT), title, Face.BOLD, PLACE_PT),
        text_at(width, centred_in(high, STRONG_PT), which, Face.BOLD, STRONG_PT, align="right"),
    )
    more = f"{slip.slip_number} · {day_words(slip.day)}"
    return above(line, paragraph(more, Face.TEXT, SMALL_PT, width), gap(1.0), _rule(width, 0.6))


def _where(slip: RecountSlipSheet, width: float) -> Block:
    """The bin, the cart position and the pieces: the numbers that must not be misread."""
    high = 9.0
    pieces = pieces_words(slip.pieces)
    pieces_mm = width_mm(pieces, Face.BOLD, NUMBER_PT)
    room = width - pieces_mm - 4
    bin_pt = fitting_size(slip.bin_code, Face.CODE, NUMBER_PT, least_pt=LEAST_PT, width=room)
    line = block(
        high,
        text_at(0.0, centred_in(high, bin_pt), slip.bin_code, Face.CODE, bin_pt),
        text_at(width, centred_in(high, NUMBER_PT), pieces, Face.BOLD, NUMBER_PT, align="right"),
    )
    place = f"order {slip.order_number} · walk {slip.walk_number}"
    cart = beside(
        (0.0, position_mark(slip.cart_position, 9.0, STRONG_PT, high_mm=6.0)),
        (11.0, above(gap(0.8), paragraph(place, Face.TEXT, BODY_PT, width - 11))),
    )
    return above(line, cart)


def _part(slip: RecountSlipSheet, width: float, text_pt: float) -> Block:
    look = looks(slip.family, slip.size, slip.finish)
    rows = [
        look_lines(look, max(STRONG_PT, text_pt), width),
        paragraph(slip.part_number, Face.CODE, max(BODY_PT, text_pt), width),
        paragraph(slip.description if says_more(slip.description, look) else "", Face.TEXT, text_pt, width),
    ]
    rows += [caution_line(text, width, text_pt) for text in slip.cautions]
    return above(*rows)


def _saw(slip: RecountSlipSheet, likely: Sequence[str], width: float, text_pt: float) -> Block:
    inside_mm = width - 4
    saw = f"{slip.saw[:1].upper()}{slip.saw[1:]}."
    rows = [paragraph(saw, Face.BOLD, text_pt, inside_mm)]
    if slip.window:
        rows.append(paragraph(slip.window, Face.TEXT, text_pt, inside_mm))
    rows += [paragraph(f"– {cause}", Face.TEXT, text_pt, inside_mm) for cause in likely]
    return framed(above(*rows), width, line_mm=0.4)


def _steps(slip: RecountSlipSheet, width: float, step_pt: float) -> Block:
    rows = [
        beside(
            (0.0, paragraph(f"{number}.", Face.BOLD, step_pt, 7.0)),
            (7.0, paragraph(step, Face.TEXT, step_pt, width - 7.0)),
        )
        for number, step in enumerate(slip.steps, start=1)
    ]
    if slip.legal_floor:
        rows += [gap(1.0), paragraph(slip.legal_floor, Face.TEXT, LEAST_PT + 0.5, width)]
    return above(*rows)


def _foot(slip: RecountSlipSheet, width: float, printer_dpi: int) -> Block:
    bars = bar_code(slip.bag_code, printer_dpi=printer_dpi, most_mm=width, height_mm=_BARS_MM, text_pt=BODY_PT)
    left = bars.width_mm + 2
    room = width - left
    rule = block(9.0, Strokes((((0.0, 8.0), (room, 8.0)),), 0.3))
    found = above(rule, paragraph("found instead", Face.TEXT, SMALL_PT, max(room, 1.0)))
    line = beside((0.0, bars.block), (left, found)) if room > 18 else bars.block
    notice = [paragraph(slip.notice, Face.TEXT, LEAST_PT, width)] if slip.notice else []
    return above(_rule(width), gap(2.0), line, *notice)
