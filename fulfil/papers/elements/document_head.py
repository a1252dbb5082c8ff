"""The document head: what this is, its number in letters and bars, what concerns the whole; lower on later pages.

>>> head = document_head("Pick list", "PL-0007", ("4 March 2025", "cart 2"), width=186, printer_dpi=300)
>>> 12 < head.height_mm < 30
True
"""

import re
from collections.abc import Sequence

from fulfil.papers.elements.bar_code import bar_code
from fulfil.papers.elements.number_tail import number_tail, split
from fulfil.papers.faces import Face, width_mm
from fulfil.papers.ink import Block, Strokes, above, beside, block, gap
from fulfil.papers.page import PLACE_PT, STRONG_PT
from fulfil.papers.wrap import item_lines, paragraph, set_lines

_BARS_MM = 11.0
_AGAIN_MM = 6.8
_MOST_SHARE = 0.5
_RUNNING = re.compile(r"[LPW][0-9]{9,}")
"""A packing list, a package or a walk, its day, its number of that day: W2603020003.

A manifest's head stays as it was when the manifest was closed, so none of this may touch it."""


def document_head(
    title: str, number: str, facts: Sequence[str], *, width: float, printer_dpi: int, strong: str = ""
) -> Block:
    """Title and number at the left, the bar code at the right (or under them, if it is very wide), a rule below.

    The number of a walk or a package ends large. ``strong`` is one fact in bold, such as the cut-off.
    """
    return _head(title, number, facts, width=width, printer_dpi=printer_dpi, strong=strong, bars_mm=_BARS_MM)


def head_again(title: str, number: str, *, width: float, printer_dpi: int) -> Block:
    """The head of the pages after the first: title, number and bars on one line where they fit."""
    return _head(title, number, (), width=width, printer_dpi=printer_dpi, strong="", bars_mm=_AGAIN_MM)


def _head(
    title: str, number: str, facts: Sequence[str], *, width: float, printer_dpi: int, strong: str, bars_mm: float
) -> Block:
    bars = bar_code(number, printer_dpi=printer_dpi, most_mm=width, height_mm=bars_mm)
    is_beside = bars.width_mm <= width * _MOST_SHARE
    words_mm = width - bars.width_mm - 3 if is_beside else width
    small, large = split(number)
    number_mm = width_mm(small, Face.CODE, STRONG_PT) + width_mm(large, Face.CODE, PLACE_PT)
    # A part's number stays whole: only a running number of a day differs from its likes by its end.
    is_running = _RUNNING.fullmatch(number) is not None and number_mm <= words_mm
    said_number = (
        number_tail(number, small_pt=STRONG_PT, large_pt=PLACE_PT, width=words_mm)
        if is_running
        else paragraph(number, Face.CODE, PLACE_PT, words_mm)
    )
    number_mm = number_mm if is_running else width_mm(number, Face.CODE, PLACE_PT)
    name = [paragraph(title, Face.BOLD, PLACE_PT, words_mm), said_number]
    indent = width_mm(title, Face.BOLD, PLACE_PT) + 3
    if indent + number_mm <= words_mm:
        name = [beside((0.0, name[0]), (indent, name[1]))]
    said = item_lines([fact for fact in facts if fact], Face.TEXT, STRONG_PT, words_mm)
    below = [set_lines(said, Face.TEXT, STRONG_PT)] if said else []
    if strong:
        below.append(paragraph(strong, Face.BOLD, STRONG_PT, words_mm))
    words = above(*name, *below)
    top = beside((0.0, words), (width - bars.width_mm, bars.block)) if is_beside else above(words, gap(1.0), bars.block)
    rule = block(0.0, Strokes((((0.0, 0.0), (width, 0.0)),), 0.6))
    return above(top, gap(1.5), rule, gap(2.0))
