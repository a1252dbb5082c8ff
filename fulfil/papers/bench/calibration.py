"""The calibration page: what this printer and this scanner can do, and what to type into the settings.

Three things to do with it, in order. *Measure* the rulers: both are 100 mm when the printer doesn't scale. *Scan* the
bar code ladder of the printer's resolution from its finest rung: modules of 1, 2, 3 … whole printer dots, each symbol
saying its own rung; the first that is read every time is the finest that this pair can do. *Type in* what was found.

A module that isn't a whole number of dots prints bars of uneven width; so the ladder whose narrow bars look even under
a lens is that of the printer's true resolution.

>>> [(dots, float(round(dots * 25.4 / 203, 3))) for dots in (1, 2, 3)]
[(1, 0.125), (2, 0.25), (3, 0.375)]
"""

from collections.abc import Sequence
from typing import Literal

from fulfil.papers.compose import compose
from fulfil.papers.elements.page_foot import page_foot
from fulfil.papers.faces import MM_PER_POINT, Face
from fulfil.papers.ink import Bars, Block, Box, Mark, Strokes, above, beside, block, gap, text_at
from fulfil.papers.page import BODY_PT, PLACE_PT, SMALL_PT, STRONG_PT, TARGET_PT, LabelSize, label_page, size_of
from fulfil.papers.render import Leaf, render
from fulfil.papers.wrap import LEAST_PT, paragraph
from fulfil.records.settings import Paper
from fulfil.standards import code128

TITLE = "Calibration page"
RESOLUTIONS_DPI = (203, 300, 600)
"""Common resolutions of label and office printers (common practice)."""
RULER_MM = 100
_RUNGS = {203: (1, 2, 3, 4), 300: (2, 3, 4, 5), 600: (3, 4, 6, 8)}
_ALIGN: dict[int, Literal["left", "centre", "right"]] = {0: "left", RULER_MM: "right"}
_COLUMN_MM = 84.0
_BARS_MM = 8.0
_WORDS_MM = 24.0


def pdf(*, page: Paper, author: str = "fulfil", label_sizes: Sequence[LabelSize] = (LabelSize.BAG_60_40,)) -> bytes:
    """The page for office printers, then one label of each size for the label printer."""
    made = [*leaves(page=page), *(label_leaf(size) for size in label_sizes)]
    return render(made, title=TITLE, author=author, language="en")


def leaves(*, page: Paper) -> list[Leaf]:
    """The page for office printers."""
    size = size_of(page)
    width = size.content_mm
    head = above(
        paragraph(TITLE, Face.BOLD, PLACE_PT, width),
        paragraph("Print at 100 %, never 'fit to page'. Then measure, look, scan.", Face.TEXT, STRONG_PT, width),
        gap(2.0),
    )

    def foot(number: int, pages: int) -> Block:
        return page_foot(TITLE, page, "", number, pages, width)

    return compose(_blocks(width, page), size=size, head=head, foot=foot)


def _blocks(width: float, page: Paper) -> list[Block]:
    return [
        _step("1  Measure", width),
        _says(
            "Both rulers are 100 mm long. Longer or shorter by 1 mm or more: the printer scales; switch that off, or "
            "no bar code and no label will be right.",
            width,
        ),
        beside((0.0, _ruler_across()), (RULER_MM + 16.0, _small_type())),
        gap(2.0),
        _step("2  Scan", width),
        _says(
            "Take the ladder of your printer's resolution, which its manual gives; if that is lost, take the ladder "
            "whose thin bars look equally wide under a lens. Begin with its finest rung, from where the scanner will "
            "be held; note the first rung that is read at once, five times of five.",
            width,
        ),
        beside((0.0, above(*(_ladder(dpi) for dpi in RESOLUTIONS_DPI))), (width - 9.0, _ruler_down())),
        gap(3.0),
        _step("3  Type it in", width),
        _says(
            f"In settings.csv: printer_dpi is the resolution found, paper is {page}. Bars are then 0.25 mm wide "
            "or the next whole dot, on narrow labels two dots. If the rung at 0.25 mm isn't read every time, clean the "
            "print head and the scanner's window, then try darker print. For a label printer, "
            "fulfil printers calibrate prints a label, and fulfil printers shift takes what you measure on it.",
            width,
        ),
        _says(
            "A scanner that types something else than the words under the bars has another keyboard language than the "
            "computer: it must type  -  /  *  @  #  as printed.",
            width,
        ),
        beside((0.0, _symbol("*-/@#09AZ", 300, 4))),
    ]


def _step(words: str, width: float) -> Block:
    return paragraph(words, Face.BOLD, TARGET_PT, width).kept()


def _says(words: str, width: float) -> Block:
    return above(paragraph(words, Face.TEXT, BODY_PT, width), gap(1.5))


def _ruler_across() -> Block:
    """A ruler in mm, long strokes and figures at the tens."""
    strokes = []
    marks: list[Mark] = []
    for mm in range(RULER_MM + 1):
        long = 5.0 if mm % 10 == 0 else 3.5 if mm % 5 == 0 else 2.0
        strokes.append(((float(mm), 0.0), (float(mm), long)))
        if mm % 10 == 0:
            marks.append(text_at(float(mm), 8.6, str(mm), Face.TEXT, SMALL_PT, align=_ALIGN.get(mm, "centre")))
    marks.append(Strokes((((0.0, 0.0), (float(RULER_MM), 0.0)), *strokes), 0.1))
    return block(10.0, *marks)


def _ruler_down() -> Block:
    """The same ruler down the page."""
    strokes = []
    marks: list[Mark] = []
    for mm in range(RULER_MM + 1):
        long = 5.0 if mm % 10 == 0 else 3.5 if mm % 5 == 0 else 2.0
        strokes.append(((9.0, float(mm)), (9.0 - long, float(mm))))
        if mm % 20 == 10:
            marks.append(text_at(3.2, mm + 1.0, str(mm), Face.TEXT, SMALL_PT, align="right"))
    marks.append(Strokes((((9.0, 0.0), (9.0, float(RULER_MM))), *strokes), 0.1))
    return block(float(RULER_MM), *marks)


def _ladder(dpi: int) -> Block:
    """The rungs of one resolution, two a row, the finest first."""
    rungs = [_rung(dpi, dots) for dots in _RUNGS[dpi]]
    rows = [beside((0.0, rungs[i]), (_COLUMN_MM, rungs[i + 1])) for i in range(0, len(rungs), 2)]
    return above(gap(1.0), paragraph(f"{dpi} dpi", Face.BOLD, STRONG_PT, _COLUMN_MM), *rows)


def _small_type() -> Block:
    """The type scale down to the least that papers use."""
    sizes = (BODY_PT, SMALL_PT, LEAST_PT)
    return above(*(paragraph(f"{size:g} pt: 0O 1lI 5S 8B 318.40 g", Face.TEXT, size, 70.0) for size in sizes))


def _rung(dpi: int, dots: int) -> Block:
    """One symbol of the ladder, what it is beside it."""
    module_mm = dots * 25.4 / dpi
    words = above(
        paragraph(f"{module_mm:.3f} mm", Face.BOLD, BODY_PT, _WORDS_MM),
        paragraph(f"{dots} {'dot' if dots == 1 else 'dots'} a module", Face.TEXT, SMALL_PT, _WORDS_MM),
    )
    return above(beside((0.0, words), (24.0, _symbol(f"{dpi}-{dots}", dpi, dots))), gap(1.6))


def _symbol(text: str, dpi: int, dots: int) -> Block:
    symbol = code128.modules(text)
    module_mm = dots * 25.4 / dpi
    quiet = code128.QUIET_ZONE_MODULES * module_mm
    base = _BARS_MM + 0.73 * SMALL_PT * MM_PER_POINT + 0.8
    return block(
        base + 0.6,
        Bars(quiet, 0.0, _BARS_MM, module_mm, symbol, text),
        text_at(quiet, base, text, Face.CODE, SMALL_PT),
    )


def _label_rungs(dpi: int) -> tuple[tuple[int, int], ...]:
    """Resolutions with the dots of a module nearest to 0.25 mm."""
    return tuple((each, max(2, round(0.25 * each / 25.4))) for each in ((dpi,) if dpi else (203, 300)))


def label_leaf(size: LabelSize, *, dpi: int = 0) -> Leaf:
    """A label with a frame on its margins: if a side is missing, the label or its margin is set wrong.

    It says how far the frame is from the label's edges, to be measured. With the printer's ``dpi`` its bars are on its
    dots, else they are of two usual printers.
    """
    page = label_page(size)
    width, height = page.content_mm, page.room_mm
    frame = Box(0.1, 0.1, width - 0.2, height - 0.2, line_mm=0.2)
    words = above(
        paragraph(f"{size} mm: all four sides of this frame must be there", Face.BOLD, SMALL_PT, width - 4),
        paragraph(f"measure: {page.side_mm:g} mm left, {page.top_mm:g} mm top", Face.TEXT, SMALL_PT, width - 4),
        gap(1.0),
        *(part for each, rung in _label_rungs(dpi) for part in (_symbol(f"{each}-{rung}", each, rung), gap(0.6))),
    )
    inside = beside((0.0, block(0.0, frame)), (2.0, above(gap(1.5), words)))
    return Leaf(page, inside.moved(page.side_mm, page.top_mm))
