"""What lies on a page: marks with their places in millimetres from the top left corner, y downwards.

Papers don't draw; they make lists of marks, so that a test can ask for every box on a page, and page counts are
known before the first page is written. Black and white only: a mark is black, or white on black.

>>> mark = text_at(100.0, 20.0, "250", Face.BOLD, 10, align="right")
>>> [round(edge, 2) for edge in extent_mm(mark)]
[93.38, 17.42, 100.0, 20.0]
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf
from typing import Literal, NamedTuple, TypeAlias

from fulfil.papers.faces import CAP_HEIGHT, DESCENT, MM_PER_POINT, Face, printable, width_mm

Fill: TypeAlias = Literal["none", "black", "white"]
Extent: TypeAlias = tuple[float, float, float, float]


_FLAT = frozenset("ABCDEFGHIKLMNOPRSTUVWXYZ0123456789 .-–·")
"""Nothing of these reaches below the base line."""


class Text(NamedTuple):
    """One line of text; (x, y) is the left end of its base line."""

    x_mm: float
    y_mm: float
    text: str
    face: Face
    size_pt: float
    is_white: bool = False


class Box(NamedTuple):
    """A rectangle; ``line_mm`` 0 has no outline."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float
    line_mm: float = 0.0
    fill: Fill = "none"


class Disc(NamedTuple):
    """A circle around (x, y); ``says`` is shown on screens when a pointer rests on it, and printed nowhere."""

    x_mm: float
    y_mm: float
    radius_mm: float
    line_mm: float = 0.0
    fill: Fill = "none"
    says: str = ""


class Strokes(NamedTuple):
    """Open lines of one width, each a tuple of points."""

    lines: tuple[tuple[tuple[float, float], ...], ...]
    line_mm: float
    is_dashed: bool = False


class Shape(NamedTuple):
    """A filled polygon."""

    points: tuple[tuple[float, float], ...]
    fill: Fill = "black"


class Bars(NamedTuple):
    """The bars of a symbol, first module at x; its quiet zones are the papers' to keep free."""

    x_mm: float
    y_mm: float
    height_mm: float
    module_mm: float
    symbol: str
    text: str


Mark: TypeAlias = Text | Box | Disc | Strokes | Shape | Bars


class Placed(NamedTuple):
    """Marks moved right and down."""

    x_mm: float
    y_mm: float
    marks: tuple[Mark, ...]


@dataclass(frozen=True, slots=True)
class Block:
    """Marks with a height, to be stacked.

    Attributes:
        keeps_next: is never the last on a page.
        again: what is repeated above when this block starts a new page.
        notes: sentences that stand once at the foot of its page.
    """

    height_mm: float
    parts: tuple[Placed, ...] = ()
    keeps_next: bool = False
    again: "Block | None" = None
    notes: tuple[str, ...] = ()

    def moved(self, x_mm: float, y_mm: float) -> tuple[Placed, ...]:
        """The block's parts at a place."""
        if not x_mm and not y_mm:
            return self.parts
        return tuple(Placed(part.x_mm + x_mm, part.y_mm + y_mm, part.marks) for part in self.parts)

    def kept(self) -> "Block":
        """The same block, never parted from the next one."""
        return replace(self, keeps_next=True)


def ended(rows: Sequence[Block], end: Block, *, room_mm: float = inf) -> list[Block]:
    """Rows and what stands below them: totals and signatures never stand on a page without the last row.

    A last row that needs half of the ``room_mm`` of a page is left alone, so that both still find a place.
    """
    if rows and rows[-1].height_mm + end.height_mm > room_mm / 2:
        return [*rows, end]
    return [*rows[:-1], *(one.kept() for one in rows[-1:]), end]


def block(height_mm: float, *marks: Mark) -> Block:
    """A block of single marks."""
    return Block(height_mm, (Placed(0.0, 0.0, marks),))


def gap(height_mm: float) -> Block:
    """Nothing, for so many mm."""
    return Block(height_mm)


def above(*blocks: Block) -> Block:
    """Blocks under one another, as one block that isn't parted."""
    parts: list[Placed] = []
    y_mm = 0.0
    for each in blocks:
        parts.extend(each.moved(0.0, y_mm))
        y_mm += each.height_mm
    return Block(y_mm, tuple(parts))


def beside(*columns: tuple[float, Block]) -> Block:
    """Blocks side by side at their x, as high as the highest."""
    parts = tuple(part for x_mm, each in columns for part in each.moved(x_mm, 0.0))
    return Block(max((each.height_mm for _, each in columns), default=0.0), parts)


def text_at(
    x_mm: float,
    y_mm: float,
    text: str,
    face: Face,
    size_pt: float,
    *,
    align: Literal["left", "centre", "right"] = "left",
    is_white: bool = False,
) -> Text:
    """A line of text that begins, is centred, or ends at x, its base line at y."""
    if align == "left":
        return Text(x_mm, y_mm, printable(text, face), face, size_pt, is_white)
    width = width_mm(text, face, size_pt)
    return Text(x_mm - (width if align == "right" else width / 2), y_mm, text, face, size_pt, is_white)


def extent_mm(mark: Mark) -> Extent:
    """Left, top, right and bottom of a mark; of text from the capitals' top to the descenders' end."""
    if isinstance(mark, Text):
        high = CAP_HEIGHT * mark.size_pt * MM_PER_POINT
        low = 0.0 if _FLAT.issuperset(mark.text) else DESCENT * mark.size_pt * MM_PER_POINT
        right = mark.x_mm + width_mm(mark.text, mark.face, mark.size_pt)
        return (mark.x_mm, mark.y_mm - high, right, mark.y_mm + low)
    if isinstance(mark, Bars):
        width = len(mark.symbol) * mark.module_mm
        return (mark.x_mm, mark.y_mm, mark.x_mm + width, mark.y_mm + mark.height_mm)
    if isinstance(mark, Box):
        half = mark.line_mm / 2
        return (
            mark.x_mm - half,
            mark.y_mm - half,
            mark.x_mm + mark.width_mm + half,
            mark.y_mm + mark.height_mm + half,
        )
    if isinstance(mark, Disc):
        reach = mark.radius_mm + mark.line_mm / 2
        return (mark.x_mm - reach, mark.y_mm - reach, mark.x_mm + reach, mark.y_mm + reach)
    points = mark.points if isinstance(mark, Shape) else [point for line in mark.lines for point in line]
    xs, ys = zip(*points, strict=True)
    return (min(xs), min(ys), max(xs), max(ys))
