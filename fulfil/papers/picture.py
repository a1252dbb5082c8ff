r"""A block of marks as a PNG picture, for screens and messages; on paper it stays vector.

Drawn four times as large and made smaller, in grey, so that thin lines stay lines. The same marks give the same bytes
with the same release of the picture library.

>>> from fulfil.papers.ink import block
>>> png(block(10.0, Box(1.0, 1.0, 8.0, 8.0, line_mm=0.5)), 10.0)[:8]
b'\x89PNG\r\n\x1a\n'
"""

from functools import cache
from importlib.resources import files
from io import BytesIO
from itertools import pairwise
from typing import Any

from PIL import Image, ImageDraw, ImageFont

from fulfil.papers.faces import FILES, MM_PER_POINT, Face
from fulfil.papers.ink import Block, Box, Disc, Fill, Mark, Shape, Strokes, Text
from fulfil.papers.scripts.script_order import as_seen
from fulfil.papers.wrap import LEAST_PT

_OVER = 4
_MARGIN_MM = 2.0
DASH_MM = 1.2
_BLACK, _WHITE = 0, 255


def png(drawn: Block, width_mm: float, *, dpi: int = 150) -> bytes:
    """The block on white, ``width_mm`` wide, with a margin of 2 mm around it."""
    scale = dpi / 25.4 * _OVER
    size = (round((width_mm + 2 * _MARGIN_MM) * scale), round((drawn.height_mm + 2 * _MARGIN_MM) * scale))
    image = Image.new("L", size, _WHITE)
    pen = ImageDraw.Draw(image)
    for x, y, marks in drawn.moved(_MARGIN_MM, _MARGIN_MM):
        for mark in sorted(marks, key=lambda mark: isinstance(mark, Text)):
            _draw(pen, mark, x, y, scale)
    small = image.resize((size[0] // _OVER, size[1] // _OVER), Image.Resampling.LANCZOS)
    out = BytesIO()
    small.save(out, "PNG", dpi=(dpi, dpi))
    return out.getvalue()


def _draw(pen: ImageDraw.ImageDraw, mark: Mark, x: float, y: float, scale: float) -> None:
    def at(left: float, top: float) -> tuple[float, float]:
        return ((x + left) * scale, (y + top) * scale)

    if isinstance(mark, Text):
        font = _font(mark.face, max(mark.size_pt, LEAST_PT) * MM_PER_POINT * scale)
        pen.text(
            at(mark.x_mm, mark.y_mm),
            as_seen(mark.text),
            fill=_WHITE if mark.is_white else _BLACK,
            font=font,
            anchor="ls",
        )
    elif isinstance(mark, Box):
        corner = at(mark.x_mm + mark.width_mm, mark.y_mm + mark.height_mm)
        _shape(pen.rectangle, [at(mark.x_mm, mark.y_mm), corner], mark.fill, mark.line_mm * scale)
    elif isinstance(mark, Disc):
        r = mark.radius_mm
        corners = [at(mark.x_mm - r, mark.y_mm - r), at(mark.x_mm + r, mark.y_mm + r)]
        _shape(pen.ellipse, corners, mark.fill, mark.line_mm * scale)
    elif isinstance(mark, Strokes):
        for line in mark.lines:
            pieces = _dashes(line) if mark.is_dashed else [line]
            for piece in pieces:
                pen.line([at(px, py) for px, py in piece], fill=_BLACK, width=max(1, round(mark.line_mm * scale)))
    elif isinstance(mark, Shape):
        pen.polygon([at(px, py) for px, py in mark.points], fill=_BLACK if mark.fill == "black" else _WHITE)


def _shape(draw: Any, corners: list[tuple[float, float]], fill: Fill, line: float) -> None:
    inside = {"black": _BLACK, "white": _WHITE}.get(fill)
    outline = _BLACK if line > 0 else None
    draw(corners, fill=inside, outline=outline, width=max(1, round(line)))


def _dashes(line: tuple[tuple[float, float], ...]) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """The line in dashes as long as the gaps between them."""
    pieces = []
    walked, is_dash = 0.0, True
    for (x0, y0), (x1, y1) in pairwise(line):
        length = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
        done = 0.0
        while done < length:
            step = min(DASH_MM - walked, length - done)
            if is_dash:
                a, b = done / length, (done + step) / length
                pieces.append(((x0 + a * (x1 - x0), y0 + a * (y1 - y0)), (x0 + b * (x1 - x0), y0 + b * (y1 - y0))))
            done += step
            walked += step
            if walked >= DASH_MM - 1e-9:
                walked, is_dash = 0.0, not is_dash
    return pieces


@cache
def _font(face: Face, pixels: float) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(BytesIO((files("fulfil.papers.fonts") / FILES[face]).read_bytes()), size=pixels)
