"""A block of marks as an SVG file, for screens and for programs that draw; any viewer scales it.

Lines stay lines and letters stay letters, of a face that the viewer has; each text is set as wide as on paper. The same
marks give the same text, byte for byte. Format: Scalable Vector Graphics 1.1, W3C Recommendation 2011.

>>> from fulfil.papers.ink import block
>>> text = svg(block(10.0, Box(1.0, 1.0, 8.0, 8.0, line_mm=0.5)), 10.0, title="A & B")
>>> text.startswith("<svg xmlns"), "<title>A &amp; B</title>" in text, text.count("<rect")
(True, True, 1)
"""

from collections.abc import Iterator
from html import escape

from fulfil.papers.faces import MM_PER_POINT, Face, width_mm
from fulfil.papers.ink import Bars, Block, Box, Disc, Fill, Mark, Shape, Strokes, Text
from fulfil.papers.picture import DASH_MM
from fulfil.standards import code128

_FAMILIES = {
    Face.TEXT: 'font-family="sans-serif"',
    Face.BOLD: 'font-family="sans-serif" font-weight="bold"',
    Face.CODE: 'font-family="monospace" font-weight="bold"',
}


def svg(drawn: Block, width_mm: float, *, title: str) -> str:
    """The block on nothing, ``width_mm`` wide; ``title`` is what viewers and screen readers call it."""
    size = f"{width_mm:g} {drawn.height_mm:.2f}"
    wide, high = size.split()
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="{wide}mm" height="{high}mm" '
        f'viewBox="0 0 {size}">'
    )
    marks = [(mark, part.x_mm, part.y_mm) for part in drawn.parts for mark in part.marks]
    marks.sort(key=lambda one: isinstance(one[0], Text))
    drawing = [line for mark, x, y in marks for line in _draw(mark, x, y)]
    return "\n".join([head, f"<title>{escape(title)}</title>", *drawing, "</svg>", ""])


def _draw(mark: Mark, x: float, y: float) -> Iterator[str]:
    if isinstance(mark, Text):
        wide = width_mm(mark.text, mark.face, mark.size_pt)
        fill = "#fff" if mark.is_white else "#000"
        yield (
            f'<text x="{x + mark.x_mm:.2f}" y="{y + mark.y_mm:.2f}" font-size="{mark.size_pt * MM_PER_POINT:.2f}" '
            f'{_FAMILIES[mark.face]} fill="{fill}" textLength="{wide:.2f}" lengthAdjust="spacingAndGlyphs">'
            f"{escape(mark.text)}</text>"
        )
    elif isinstance(mark, Box):
        yield (
            f'<rect x="{x + mark.x_mm:.2f}" y="{y + mark.y_mm:.2f}" width="{mark.width_mm:.2f}" '
            f'height="{mark.height_mm:.2f}" {_ink(mark.fill, mark.line_mm)}/>'
        )
    elif isinstance(mark, Disc):
        says = f"<title>{escape(mark.says)}</title>" if mark.says else ""
        yield (
            f'<circle cx="{x + mark.x_mm:.2f}" cy="{y + mark.y_mm:.2f}" r="{mark.radius_mm:.2f}" '
            f"{_ink(mark.fill, mark.line_mm)}>{says}</circle>"
        )
    elif isinstance(mark, Strokes):
        dashes = f' stroke-dasharray="{DASH_MM:g}"' if mark.is_dashed else ""
        lines = " ".join(f"M{_points(line, x, y)}" for line in mark.lines)
        yield f'<path d="{lines}" {_ink("none", mark.line_mm)}{dashes}/>'
    elif isinstance(mark, Shape):
        yield f'<polygon points="{_points(mark.points, x, y)}" {_ink(mark.fill, 0.0)}/>'
    elif isinstance(mark, Bars):
        for first, width in code128.bars(mark.symbol):
            left = x + mark.x_mm + first * mark.module_mm
            yield from _draw(Box(left, y + mark.y_mm, width * mark.module_mm, mark.height_mm, fill="black"), 0.0, 0.0)


def _ink(fill: Fill, line_mm: float) -> str:
    inside = {"black": "#000", "white": "#fff", "none": "none"}[fill]
    return f'fill="{inside}"' + (f' stroke="#000" stroke-width="{line_mm:g}"' if line_mm > 0 else "")


def _points(points: tuple[tuple[float, float], ...], x: float, y: float) -> str:
    return " ".join(f"{x + px:.2f},{y + py:.2f}" for px, py in points)
