"""A block laid out from the right, for papers in a language that is read from right to left.

Each mark keeps its size and changes sides: the first column stands at the right, and what began at the left margin ends
at the right one. Signs inside a line are ordered by :mod:`fulfil.papers.scripts.script_order`.

>>> from fulfil.papers.faces import Face
>>> from fulfil.papers.ink import block, text_at
>>> left = block(5.0, text_at(0.0, 4.0, "250", Face.BOLD, 10))
>>> (seen,) = mirrored(left, 100.0).parts[0].marks
>>> round(extent_mm(seen)[2], 2)
100.0
"""

from collections.abc import Sequence
from dataclasses import replace

from fulfil.papers.ink import Bars, Block, Box, Disc, Mark, Placed, Shape, Text, extent_mm
from fulfil.papers.phrases import begins_at_the_right


def from_its_side(blocks: Sequence[Block], language: str, width_mm: float) -> list[Block]:
    """The blocks as a reader of the language begins them: from the right where it is read so."""
    if not begins_at_the_right(language):
        return list(blocks)
    return [mirrored(each, width_mm) for each in blocks]


def mirrored(laid_out: Block, width_mm: float) -> Block:
    """The block of ``width_mm`` with left and right exchanged, its headings on later pages too."""
    again = None if laid_out.again is None else mirrored(laid_out.again, width_mm)
    parts = tuple(
        Placed(0.0, part.y_mm, tuple(_mirrored(mark, width_mm - part.x_mm) for mark in part.marks))
        for part in laid_out.parts
    )
    return replace(laid_out, parts=parts, again=again)


def _mirrored(mark: Mark, right_mm: float) -> Mark:
    """The mark in a frame whose right edge, seen from the mark's own left one, is at ``right_mm``."""
    if isinstance(mark, Text | Bars):
        return mark._replace(x_mm=right_mm - extent_mm(mark)[2])
    if isinstance(mark, Box):
        return mark._replace(x_mm=right_mm - mark.x_mm - mark.width_mm)
    if isinstance(mark, Disc):
        return mark._replace(x_mm=right_mm - mark.x_mm)
    if isinstance(mark, Shape):
        return mark._replace(points=tuple((right_mm - x, y) for x, y in mark.points))
    return mark._replace(lines=tuple(tuple((right_mm - x, y) for x, y in line) for line in mark.lines))
