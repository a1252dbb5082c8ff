"""The bin label: read from the aisle, scanned at the rack.

The bin's code is so large that it is read from a metre and a half; below it what belongs into the bin, in the words of
the pick list and in the same order, and at the right the bar code of the bin. One a page, or many on a sheet.

>>> BinLabelSheet(bin_code="A04-L-07-2", part_number="SCR-0316", description="Cap screw M3 x 16",
...               family="cap screw").cautions
()
"""

from dataclasses import dataclass

from fulfil.errors import PaperRefused
from fulfil.papers.elements.bar_code import bar_code
from fulfil.papers.elements.caution_box import caution_line
from fulfil.papers.elements.part_cell import looks, says_more
from fulfil.papers.faces import MM_PER_POINT, Face
from fulfil.papers.ink import Block, above, beside, block, gap, text_at
from fulfil.papers.labels import Labels
from fulfil.papers.page import BODY_PT, STRONG_PT, LabelSize, label_page
from fulfil.papers.sheet import Sheet
from fulfil.papers.wrap import FIRST_BASE_LINE, LEAST_PT, fitting_size, item_lines, line_mm, set_lines, shortened


@dataclass(frozen=True, kw_only=True)
class BinLabelSheet(Sheet):
    """What the label on a bin says; ``cautions`` are a few words each."""

    bin_code: str
    part_number: str
    description: str
    family: str
    size: str = ""
    finish: str = ""
    cautions: tuple[str, ...] = ()


SIZE = LabelSize.BIN_100_40
PAPER = Labels(
    sheet=BinLabelSheet,
    name="Bin label",
    file="bin-labels",
    about=lambda labels: labels[0].bin_code,
    shows="bin_code",
    sizes=(SIZE,),
    on_sheets=(SIZE,),
    face=lambda label, _, printer_dpi: bin_label(label, printer_dpi=printer_dpi),
    title=lambda labels: f"Bin labels {labels[0].bin_code} to {labels[-1].bin_code}",
)

_CODE_PT = 40.0
_BARS_MM = 12.0
_BETWEEN_MM = 2.0


def bin_label(label: BinLabelSheet, *, printer_dpi: int) -> Block:
    """The label's face inside its margins."""
    page = label_page(SIZE)
    width = page.content_mm
    size = fitting_size(label.bin_code, Face.CODE, _CODE_PT, least_pt=LEAST_PT, width=width)
    base = FIRST_BASE_LINE * size * MM_PER_POINT
    code = block(line_mm(size), text_at(0.0, base, label.bin_code, Face.CODE, size))
    bars = bar_code(label.bin_code, printer_dpi=printer_dpi, most_mm=width, height_mm=_BARS_MM)
    is_beside = bars.width_mm <= width / 2
    words_mm = width - bars.width_mm - _BETWEEN_MM if is_beside else width
    room = page.room_mm - code.height_mm - (0.0 if is_beside else bars.block.height_mm)
    words = _words(label, words_mm, room)
    if is_beside:
        lower = beside((0.0, words), (width - bars.width_mm, above(gap(room - bars.block.height_mm), bars.block)))
        return above(code, lower)
    return above(code, words, gap(room - words.height_mm), bars.block)


def _words(label: BinLabelSheet, width: float, room: float) -> Block:
    """Looks, part number, description as far as there is room, cautions whole."""
    part_pt = fitting_size(label.part_number, Face.CODE, STRONG_PT, least_pt=LEAST_PT, width=width)
    part = set_lines((label.part_number,), Face.CODE, part_pt)
    cautions = above(*(caution_line(text, width, BODY_PT) for text in label.cautions))
    left = room - part.height_mm - cautions.height_mm
    if left < 0:
        raise PaperRefused("fit on its label the bin", label.bin_code, "shorter cautions")
    look = looks(label.family, label.size, label.finish)
    bold_lines = int((left + 1e-6) // line_mm(STRONG_PT))
    bold = item_lines(look.split(" · "), Face.BOLD, STRONG_PT, width)
    if len(bold) > min(bold_lines, 2):
        bold = shortened(look, Face.BOLD, STRONG_PT, width=width, most_lines=min(bold_lines, 2)) if bold_lines else ()
    rows = int((left - len(bold) * line_mm(STRONG_PT) + 1e-6) // line_mm(BODY_PT))
    more = label.description if says_more(label.description, look) else ""
    text = shortened(more, Face.TEXT, BODY_PT, width=width, most_lines=rows) if rows > 0 else ()
    return above(
        set_lines(bold, Face.BOLD, STRONG_PT),
        part,
        set_lines(text, Face.TEXT, BODY_PT),
        cautions,
    )
