"""Two lengths drawn to scale, one under the other: lay a piece on the line that it must be as long as.

>>> round(scale_lines(19, 23).height_mm, 1)
9.5

Limits: true only where the page is printed at its full size; the calibration paper shows whether a printer does.
"""

from fulfil.papers.faces import MM_PER_POINT, Face
from fulfil.papers.ink import Block, Mark, Strokes, block, text_at
from fulfil.papers.page import BODY_PT

MOST_MM = 90
"""Longer pieces are told apart without a line."""
_ROW_MM = 4.5
_END_MM = 1.4


def scale_lines(right_mm: int, wrong_mm: int) -> Block:
    """A heavy line as long as the right part with its length, a thin one as long as the wrong part."""
    marks: list[Mark] = []
    for i, (length, line, words) in enumerate(
        ((right_mm, 0.7, f"{right_mm} mm"), (wrong_mm, 0.25, f"not {wrong_mm} mm"))
    ):
        y = i * _ROW_MM + 2.2
        face = Face.TEXT if i else Face.BOLD
        ends = tuple(((x, y - _END_MM), (x, y + _END_MM)) for x in (line / 2, length - line / 2))
        marks += [
            Strokes((((0.0, y), (float(length), y)), *ends), line),
            text_at(max(right_mm, wrong_mm) + 2.0, y + 0.36 * BODY_PT * MM_PER_POINT, words, face, BODY_PT),
        ]
    return block(2 * _ROW_MM + 0.5, *marks)
