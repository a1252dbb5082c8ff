"""Columns: a row of cells under headings, ruled off by hair lines.

>>> columns = (Column("part", 60), Column("pieces", 30, align="right"))
>>> round(row(columns, ("Cap screw M3", "250")).height_mm, 2)
5.83
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from fulfil.papers.faces import MM_PER_POINT, Face
from fulfil.papers.ink import Block, Placed, Strokes, Text, above, beside, block, gap, text_at
from fulfil.papers.page import BODY_PT, SMALL_PT
from fulfil.papers.wrap import FIRST_BASE_LINE, LEAST_PT, fitting_size, line_mm, lines

_PAD_MM = 0.8
_BETWEEN_MM = 2.0
_LEAD_MM = 2.0


@dataclass(frozen=True)
class Column:
    """A column: its heading, its width in mm (with the gap to the next), how its text is set.

    ``lead_mm`` stays free at its left: :func:`filling` keeps a word that begins away from a figure that ends.
    """

    heading: str
    width_mm: float
    align: Literal["left", "centre", "right"] = "left"
    face: Face = Face.TEXT
    size_pt: float = BODY_PT
    lead_mm: float = 0.0

    @property
    def text_mm(self) -> float:
        """Width for text."""
        return self.width_mm - self.lead_mm - _BETWEEN_MM


def _cell(column: Column, text: str, *, wraps: bool = False) -> Block:
    size = column.size_pt
    if column.align == "right" and not wraps:
        size = fitting_size(text, column.face, size, least_pt=LEAST_PT, width=column.text_mm)
    texts = lines(text, column.face, size, column.text_mm)
    x = {"left": 0.0, "centre": column.text_mm / 2, "right": column.text_mm}[column.align]
    pitch, first = line_mm(column.size_pt), FIRST_BASE_LINE * column.size_pt * MM_PER_POINT
    marks: tuple[Text, ...] = tuple(
        text_at(x, first + i * pitch, line, column.face, size, align=column.align) for i, line in enumerate(texts)
    )
    return Block(len(texts) * pitch, (Placed(0.0, 0.0, marks),))


def row(
    columns: Sequence[Column],
    cells: Sequence[str | Block],
    *,
    rule_mm: float = 0.15,
    below: Block | None = None,
) -> Block:
    """One row, as high as its highest cell, ``below`` under all of them, and a rule."""
    width = sum(column.width_mm for column in columns)
    rule = block(0.0, Strokes((((0.0, 0.0), (width, 0.0)),), rule_mm))
    return above(gap(_PAD_MM), unruled(columns, cells), below or gap(0.0), gap(_PAD_MM), rule)


def unruled(columns: Sequence[Column], cells: Sequence[str | Block]) -> Block:
    """The cells side by side."""
    placed: list[tuple[float, Block]] = []
    x = 0.0
    for column, cell in zip(columns, cells, strict=True):
        placed.append((x + column.lead_mm, _cell(column, cell) if isinstance(cell, str) else cell))
        x += column.width_mm
    return beside(*placed)


def table(headings: Block, rows: Sequence[Block]) -> list[Block]:
    """Rows under their headings, which stand again at the top of each new page."""
    return [headings.kept(), *(replace(each, again=headings if i else None) for i, each in enumerate(rows))]


def heading_row(columns: Sequence[Column]) -> Block:
    """The headings, small, over a heavier rule."""
    small = tuple(replace(each, face=Face.TEXT, size_pt=SMALL_PT) for each in columns)
    # A heading may wrap where a number must not; all stand on the rule.
    made = [_cell(each, each.heading, wraps=True) for each in small]
    high = max(each.height_mm for each in made)
    return row(small, [above(gap(high - each.height_mm), each) for each in made], rule_mm=0.5)


def filling(columns: Sequence[Column], width: float, which: int) -> tuple[Column, ...]:
    """The columns with column ``which`` widened so that all fill ``width`` mm."""
    rest = width - sum(each.width_mm for each in columns)
    made = []
    for i, each in enumerate(columns):
        follows_figures = i > 0 and columns[i - 1].align == "right" and each.align == "left"
        wide = each.width_mm + rest if i == which else each.width_mm
        made.append(replace(each, width_mm=wide, lead_mm=_LEAD_MM if follows_figures else 0.0))
    return tuple(made)
