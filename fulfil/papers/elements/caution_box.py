"""Cautions and notices: a heavy frame and a sign, so that they stay cautions on a photocopy.

>>> caution_box(("Leaded brass: wash your hands.",), 100).height_mm > 5
True
"""

import re
from collections.abc import Sequence

from fulfil.papers.faces import MM_PER_POINT, Face
from fulfil.papers.ink import Block, Box, Shape, above, beside, block, gap, text_at
from fulfil.papers.page import BODY_PT
from fulfil.papers.wrap import paragraph

_SIGN = 1.15
_INSET = 1.0


def caution_sign(size_pt: float) -> Block:
    """A black triangle with a white exclamation mark, as high as a line of ``size_pt``."""
    high = _SIGN * size_pt * MM_PER_POINT
    wide = high * 1.1
    mark_pt = size_pt * 0.85
    base = high - 0.16 * high
    mark = text_at(wide / 2, base, "!", Face.BOLD, max(mark_pt, 7.0), align="centre", is_white=True)
    return block(high, Shape(((wide / 2, 0.0), (wide, high), (0.0, high))), mark)


def caution_line(text: str, width: float, size_pt: float = BODY_PT) -> Block:
    """The sign and one sentence, without a frame."""
    indent = _SIGN * size_pt * MM_PER_POINT * 1.1 + 1.2
    return beside((0.0, caution_sign(size_pt)), (indent, paragraph(text, Face.BOLD, size_pt, width - indent)))


def caution_words(cautions: Sequence[str]) -> list[str]:
    """What stands beside the sign at a stop: each caution's own word; its sentence is at the foot of the page.

    >>> caution_words(["SHARP: wear gloves.", "LEADED BRASS (about 3 % lead): wash your hands.", "Keep dry."])
    ['SHARP · LEADED BRASS · see below']
    """
    words = [re.sub(r" *\([^)]*\)", "", caution.split(". ")[0]).partition(":") for caution in cautions]
    said = [word.strip() if colon and len(word) <= _LONGEST_WORD else _BELOW for word, colon, _ in words]
    return [" · ".join(dict.fromkeys(said))] if said else []


_LONGEST_WORD = 40
_BELOW = "see below"


def caution_box(cautions: Sequence[str], width: float, size_pt: float = BODY_PT) -> Block:
    """All cautions in one heavy frame; no cautions give nothing."""
    if not cautions:
        return gap(0.0)
    inside = above(*(caution_line(text, width - 4 * _INSET, size_pt) for text in cautions))
    return framed(inside, width, line_mm=0.8)


def framed(inside: Block, width: float, *, line_mm: float) -> Block:
    """A block with a frame of the full width around it."""
    height = inside.height_mm + 2 * _INSET
    frame = block(height, Box(line_mm / 2, line_mm / 2, width - line_mm, height - line_mm, line_mm=line_mm))
    shifted = above(gap(_INSET), beside((2 * _INSET, inside)))
    return beside((0.0, frame), (0.0, shifted))
