"""Pages of marks into a PDF file: the last step of every paper.

The same pages give the same bytes (no clock, no chance), fonts are embedded, title, author and language are set.
Shapes are drawn first and texts over them, in the order given, which is the order in which a screen reader reads.

Limits: PDF 1.4 without a structure tree, so no claim of tagged accessibility (ISO 14289) or of PDF/A is made: the
twin (:mod:`fulfil.papers.twin`) is there for readers who need it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import Any

from reportlab import rl_config
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.textobject import PDFTextObject

from fulfil.papers.embedding import REPERTOIRE
from fulfil.papers.faces import INVISIBLE, Face, loaded
from fulfil.papers.ink import Bars, Box, Disc, Extent, Fill, Mark, Placed, Shape, Strokes, Text, extent_mm
from fulfil.papers.page import PageSize
from fulfil.standards import code128

_PT = 72 / 25.4
_MODES: dict[Fill, dict[str, int]] = {"none": {"fill": 0}, "black": {"fill": 1}, "white": {"fill": 1}}


@dataclass(frozen=True)
class Leaf:
    """One page: its size and what lies on it."""

    size: PageSize
    parts: tuple[Placed, ...]

    def marks(self) -> list[tuple[Mark, Extent]]:
        """Every mark with its extent on the page, in mm."""
        found: list[tuple[Mark, Extent]] = []
        for x, y, marks in self.parts:
            for mark in marks:
                left, top, right, bottom = extent_mm(mark)
                found.append((mark, (left + x, top + y, right + x, bottom + y)))
        return found


def render(leaves: Sequence[Leaf], *, title: str, author: str, language: str) -> bytes:
    """The PDF file of the pages."""
    # Plain compressed streams: letters that only carry old text-only mail would cost a fifth more.
    rl_config.useA85 = 0
    out = BytesIO()
    canvas = Canvas(
        out,
        pagesize=_points(leaves[0].size),
        invariant=1,
        pageCompression=1,
        lang=language,
        initialFontName=loaded(Face.TEXT).name,
        initialFontSize=10,
    )
    for face in _faces(leaves):
        loaded(face).font.begin(canvas._doc, "" if face is Face.CODE else REPERTOIRE)
    canvas.setTitle(title)
    canvas.setAuthor(author)
    canvas.setSubject(title)
    canvas.setCreator("fulfil")
    for leaf in leaves:
        canvas.setPageSize(_points(leaf.size))
        height = leaf.size.height_mm
        for x, y, marks in leaf.parts:
            for mark in marks:
                if not isinstance(mark, Text):
                    _draw(canvas, mark, x, height - y)
        _write(canvas, leaf.parts, height)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _faces(leaves: Sequence[Leaf]) -> list[Face]:
    """The faces that are used, in the order of their list; the first one always, since a page begins with it."""
    used = {mark.face for leaf in leaves for part in leaf.parts for mark in part.marks if isinstance(mark, Text)}
    return [face for face in Face if face in used or face is Face.TEXT]


def _points(size: PageSize) -> tuple[float, float]:
    return size.width_mm * _PT, size.height_mm * _PT


class _Pen(PDFTextObject):  # type: ignore[misc]  # the library has no types
    """Writes each line at a place of its own, so that the library needn't reckon where the last one ended."""

    def at(self, x: float, y: float) -> None:
        """Goes to (x, y), in points, to a thousandth."""
        self._code.append(f"1 0 0 1 {x:.3f} {y:.3f} Tm")

    def textOut(self, text: str) -> None:  # noqa: N802 - the library's name
        """Writes a line."""
        self._code.append(self._formatText(text))


def _write(canvas: Any, parts: Sequence[Placed], height: float) -> None:
    pen = _Pen(canvas)
    pen.setFillGray(0)
    font: tuple[Face, float] | None = None
    is_white = False
    for x, y, marks in parts:
        for mark in marks:
            if isinstance(mark, Text):
                if font != (mark.face, mark.size_pt):
                    font = (mark.face, mark.size_pt)
                    pen.setFont(loaded(mark.face).name, mark.size_pt)
                if is_white != mark.is_white:
                    is_white = mark.is_white
                    pen.setFillGray(1 if is_white else 0)
                pen.at((mark.x_mm + x) * _PT, (height - mark.y_mm - y) * _PT)
                pen.textOut(mark.text if mark.text.isascii() else mark.text.translate(INVISIBLE))
    canvas.drawText(pen)


def _draw(canvas: Any, mark: Mark, x: float, top: float) -> None:
    """Draw a shape; ``x`` moves it right, ``top`` is the height of its y = 0 above the page's lower edge (mm)."""
    if isinstance(mark, Bars):
        path = canvas.beginPath()
        bottom = (top - mark.y_mm - mark.height_mm) * _PT
        for first, width in code128.bars(mark.symbol):
            left = (x + mark.x_mm + first * mark.module_mm) * _PT
            path.rect(left, bottom, width * mark.module_mm * _PT, mark.height_mm * _PT)
        canvas.setFillGray(0)
        canvas.drawPath(path, stroke=0, fill=1)
    elif isinstance(mark, Box):
        _pen(canvas, mark.line_mm, mark.fill)
        canvas.rect(
            (x + mark.x_mm) * _PT,
            (top - mark.y_mm - mark.height_mm) * _PT,
            mark.width_mm * _PT,
            mark.height_mm * _PT,
            stroke=int(mark.line_mm > 0),
            **_MODES[mark.fill],
        )
    elif isinstance(mark, Disc):
        _pen(canvas, mark.line_mm, mark.fill)
        canvas.circle(
            (x + mark.x_mm) * _PT,
            (top - mark.y_mm) * _PT,
            mark.radius_mm * _PT,
            stroke=int(mark.line_mm > 0),
            **_MODES[mark.fill],
        )
    elif isinstance(mark, Shape):
        _pen(canvas, 0, mark.fill)
        _path(canvas, (mark.points,), x, top, stroke=0, fill=1)
    elif isinstance(mark, Strokes):
        _pen(canvas, mark.line_mm, "none")
        canvas.setDash([1.2 * _PT, 1.2 * _PT] if mark.is_dashed else [])
        _path(canvas, mark.lines, x, top, stroke=1, fill=0)
        if mark.is_dashed:
            canvas.setDash([])


def _pen(canvas: Any, line_mm: float, fill: Fill) -> None:
    if line_mm > 0:
        canvas.setLineWidth(line_mm * _PT)
    if fill != "none":
        canvas.setFillGray(0 if fill == "black" else 1)


def _path(
    canvas: Any,
    lines: Sequence[Sequence[tuple[float, float]]],
    x: float,
    top: float,
    *,
    stroke: int,
    fill: int,
) -> None:
    path = canvas.beginPath()
    for points in lines:
        for i, (px, py) in enumerate(points):
            (path.lineTo if i else path.moveTo)((x + px) * _PT, (top - py) * _PT)
        if fill:
            path.close()
    canvas.drawPath(path, stroke=stroke, fill=fill)
