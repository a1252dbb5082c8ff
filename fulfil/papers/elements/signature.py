"""The signature line: who, and when.

>>> signature("Handed over by", 80).height_mm
16.0
"""

from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, Strokes, block, text_at
from fulfil.papers.page import SMALL_PT

_HEIGHT_MM = 16.0
_LINE_MM = 11.0


def signature(who: str, width: float) -> Block:
    """A line to sign on, named below, with a shorter one for day and time."""
    split = width * 0.62
    lines = (((0.0, _LINE_MM), (split, _LINE_MM)), ((split + 4, _LINE_MM), (width, _LINE_MM)))
    below = _LINE_MM + 3.6
    return block(
        _HEIGHT_MM,
        Strokes(lines, 0.3),
        text_at(0.0, below, who, Face.TEXT, SMALL_PT),
        text_at(split + 4, below, "day, time", Face.TEXT, SMALL_PT),
    )
