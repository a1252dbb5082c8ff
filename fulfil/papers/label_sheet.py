"""Labels on a sheet of paper: a grid, filled row by row, with hair lines to cut along and page x of y below.

>>> label_grid(LabelSize.BAG_60_40, Paper.A4)
LabelGrid(columns=3, rows=7, left_mm=15.0, top_mm=5.0, across_mm=0.0, down_mm=0.0)

Limits: the grid is made for plain paper that is cut; a sheet of ready-cut labels needs the maker's own measures, which
are a :class:`LabelGrid` too.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from fulfil.errors import PaperRefused
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, Mark, Placed, Strokes, text_at
from fulfil.papers.page import LabelSize, PageSize, label_page, size_of
from fulfil.papers.render import Leaf
from fulfil.papers.wrap import LEAST_PT
from fulfil.records.settings import Paper

_TOP_MM = 5.0
_FOOT_MM = 10.0
_COUNT_MM = 6.0


@dataclass(frozen=True)
class LabelGrid:
    """Where labels stand on a sheet: columns and rows, and the corner of the first, in mm.

    ``across_mm`` and ``down_mm`` are from one label to the next, 0: the label's own sides. A maker's sheet with
    gaps between its labels says them, and has no lines to cut along.
    """

    columns: int
    rows: int
    left_mm: float
    top_mm: float
    across_mm: float = 0.0
    down_mm: float = 0.0


def label_grid(size: LabelSize, page: Paper) -> LabelGrid:
    """As many labels as the sheet holds, centred from left to right."""
    label, sheet = label_page(size), size_of(page)
    columns = int((sheet.width_mm - 10) // label.width_mm)
    rows = int((sheet.height_mm - _TOP_MM - _FOOT_MM) // label.height_mm)
    return LabelGrid(columns, rows, (sheet.width_mm - columns * label.width_mm) / 2, _TOP_MM)


def label_sheets(
    blocks: Sequence[Block], *, size: LabelSize, page: Paper, first: int = 1, grid: LabelGrid | None = None
) -> list[Leaf]:
    """Pages of labels; the first label goes to place ``first`` (from 1, row by row).

    Raises:
        PaperRefused: the sheet has no place ``first``.
    """
    label, sheet = label_page(size), size_of(page)
    where = grid or label_grid(size, page)
    each = where.columns * where.rows
    if not 1 <= first <= each:
        raise PaperRefused("begin a sheet of labels at place", first, f"a place from 1 to {each}")
    pages = -(-(len(blocks) + first - 1) // each)
    leaves = []
    for number in range(pages):
        cuts = () if where.across_mm or where.down_mm else _cuts(where, label, sheet, number + 1, pages)
        parts: list[Placed] = [Placed(0.0, 0.0, cuts)]
        for i, block in enumerate(blocks):
            place = i + first - 1 - number * each
            if 0 <= place < each:
                row, column = divmod(place, where.columns)
                x = where.left_mm + column * (where.across_mm or label.width_mm) + label.side_mm
                y = where.top_mm + row * (where.down_mm or label.height_mm) + label.top_mm
                parts.extend(block.moved(x, y))
        leaves.append(Leaf(sheet, tuple(parts)))
    return leaves


def _cuts(grid: LabelGrid, label: PageSize, sheet: PageSize, number: int, pages: int) -> tuple[Mark, ...]:
    right = grid.left_mm + grid.columns * label.width_mm
    bottom = grid.top_mm + grid.rows * label.height_mm
    down = [grid.left_mm + i * label.width_mm for i in range(grid.columns + 1)]
    across = [grid.top_mm + i * label.height_mm for i in range(grid.rows + 1)]
    lines = (
        *(((x, grid.top_mm), (x, bottom)) for x in down),
        *(((grid.left_mm, y), (right, y)) for y in across),
    )
    count = text_at(
        right, sheet.height_mm - _COUNT_MM, f"page {number} of {pages}", Face.TEXT, LEAST_PT + 1, align="right"
    )
    return (Strokes(lines, 0.1), count)
