"""A page as a picture (PNG, ISO/IEC 15948), in black, white and the greys between at the edges.

Drawn four times as large and made smaller, so that edges are smooth; the same page gives the same bytes.

>>> from fulfil.papers.ink import Disc, Placed
>>> from fulfil.papers.page import PageSize
>>> leaf = Leaf(PageSize(20.0, 10.0, 1.0, 1.0, 1.0), (Placed(0.0, 0.0, (Disc(5, 5, 2, fill="black"),)),))
>>> picture(leaf, dpi=100)[1:4]
b'PNG'
"""

from collections.abc import Sequence
from functools import cache
from importlib.resources import as_file, files
from io import BytesIO

from PIL import Image, ImageDraw, ImageFont

from fulfil.papers.faces import FILES, Face
from fulfil.papers.ink import Bars, Box, Disc, Fill, Mark, Shape, Strokes, Text
from fulfil.papers.render import Leaf
from fulfil.standards import code128

_FINER = 4
_DASH_MM = 1.2
_GREY = {"black": 0, "white": 255}


def picture(leaf: Leaf, *, dpi: int) -> bytes:
    """The PNG file of a page."""
    scale = dpi / 25.4 * _FINER
    size = (round(leaf.size.width_mm * scale), round(leaf.size.height_mm * scale))
    image = Image.new("L", size, 255)
    pen = _Pen(ImageDraw.Draw(image), scale)
    for is_text in (False, True):  # as on the paper, texts lie on top
        for x, y, marks in leaf.parts:
            for mark in marks:
                if isinstance(mark, Text) == is_text:
                    pen.draw(mark, x, y)
    out = BytesIO()
    small = image.resize((size[0] // _FINER, size[1] // _FINER), Image.Resampling.BOX)
    small.save(out, "PNG", dpi=(dpi, dpi), optimize=True)
    return out.getvalue()


@cache
def _font(face: Face, pixels: int) -> ImageFont.FreeTypeFont:
    with as_file(files("fulfil.papers.fonts") / FILES[face]) as path:
        return ImageFont.truetype(str(path), pixels)


class _Pen:
    """Draws marks, millimetres from the page's top left corner."""

    def __init__(self, paper: ImageDraw.ImageDraw, scale: float) -> None:
        self.paper = paper
        self.scale = scale

    def draw(self, mark: Mark, x: float, y: float) -> None:
        if isinstance(mark, Text):
            at = self._at(mark.x_mm + x, mark.y_mm + y)
            font = _font(mark.face, round(mark.size_pt * 25.4 / 72 * self.scale))
            self.paper.text(at, mark.text, fill=255 if mark.is_white else 0, font=font, anchor="ls")
        elif isinstance(mark, Box):
            right, low = mark.x_mm + mark.width_mm, mark.y_mm + mark.height_mm
            corners = (*self._at(mark.x_mm + x, mark.y_mm + y), *self._at(right + x, low + y))
            self.paper.rectangle(corners, _grey(mark.fill), *self._outline(mark.line_mm))
        elif isinstance(mark, Disc):
            cx, cy, r = mark.x_mm + x, mark.y_mm + y, mark.radius_mm + mark.line_mm / 2
            around = (*self._at(cx - r, cy - r), *self._at(cx + r, cy + r))
            self.paper.ellipse(around, _grey(mark.fill), *self._outline(mark.line_mm))
        elif isinstance(mark, Shape):
            self.paper.polygon([self._at(px + x, py + y) for px, py in mark.points], _grey(mark.fill))
        elif isinstance(mark, Strokes):
            for line in mark.lines:
                points = [self._at(px + x, py + y) for px, py in line]
                for piece in self._dashes(points) if mark.is_dashed else [points]:
                    self.paper.line(piece, 0, max(1, round(mark.line_mm * self.scale)), joint="curve")
        else:
            self._bars(mark, x, y)

    def _at(self, x_mm: float, y_mm: float) -> tuple[float, float]:
        return x_mm * self.scale, y_mm * self.scale

    def _outline(self, line_mm: float) -> tuple[int | None, int]:
        return (0, max(1, round(line_mm * self.scale))) if line_mm else (None, 0)

    def _dashes(self, points: Sequence[tuple[float, float]]) -> list[list[tuple[float, float]]]:
        """A line of two points in pieces as long as the gaps between them."""
        (x0, y0), (x1, y1) = points[0], points[-1]
        length = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
        dash = _DASH_MM * self.scale
        pieces = []
        for number in range(int(length / dash / 2) + 1):
            a, b = (min(1.0, share * dash / length) if length else 0.0 for share in (2 * number, 2 * number + 1))
            pieces.append([(x0 + (x1 - x0) * t, y0 + (y1 - y0) * t) for t in (a, b)])
        return pieces

    def _bars(self, mark: Bars, x: float, y: float) -> None:
        for first, width in code128.bars(mark.symbol):
            left = mark.x_mm + x + first * mark.module_mm
            top = mark.y_mm + y
            corners = (*self._at(left, top), *self._at(left + width * mark.module_mm, top + mark.height_mm))
            self.paper.rectangle(corners, 0)


def _grey(fill: Fill) -> int | None:
    return _GREY.get(fill)
