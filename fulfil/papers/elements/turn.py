"""The turn between two groups of stops, spelled out: 'Aisle 4, from the back'.

>>> turn_line("Aisle 4, from the back", 186).height_mm > 7
True
"""

from fulfil.papers.faces import MM_PER_POINT, Face
from fulfil.papers.ink import Block, Shape, Strokes, above, beside, block, gap
from fulfil.papers.page import TARGET_PT
from fulfil.papers.wrap import paragraph

_SIGN_MM = 5.0


def turn_line(words: str, width: float, *, is_continued: bool = False) -> Block:
    """A black arrow, the words in bold, a rule below; 'continued' on the pages after."""
    high = 0.73 * TARGET_PT * MM_PER_POINT
    top = 0.2 * TARGET_PT * MM_PER_POINT
    arrow = block(high + top, Shape(((0.0, top), (high * 0.95, top + high / 2), (0.0, top + high))))
    rule = block(0.0, Strokes((((0.0, 0.0), (width, 0.0)),), 0.5))
    text = paragraph(f"{words} – continued" if is_continued else words, Face.BOLD, TARGET_PT, width - _SIGN_MM)
    return above(gap(0.8), beside((0.0, arrow), (_SIGN_MM, text)), gap(0.6), rule)
