"""Pages of marks into a PDF file: the last step of every paper.

The same pages give the same bytes (no clock, no chance), fonts are embedded, title, author and language are set.
Shapes are drawn first and texts over them, in the order given, which is the order in which a screen reader reads.

Limits: PDF 1.4 without a structure tree, so no claim of tagged accessibility (ISO 14289) or of PDF/A is made: the
twin (:mod:`fulfil.papers.twin`) is there for readers who need it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from io import BytesIO
from itertools import pairwise
from typing import Any

from fulfil.papers.faces import INVISIBLE, REPERTOIRE, Face, loaded
from fulfil.papers.ink import Bars, Box, Disc, Extent, Fill, Mark, Placed, Shape, Strokes, Text, extent_mm
from fulfil.papers.page import PageSize
from fulfil.papers.scripts.glyph_fonts import GlyphFonts
from fulfil.papers.scripts.script_order import as_seen
from fulfil.papers.scripts.shaping import has_other, runs
from fulfil.standards import code128

_PT = 72 / 25.4
_ROUND = 0.5523
"""Of a circle's radius: how far the handles of its four curves reach (ISO 32000-1 has no arcs)."""
_PAINT: dict[tuple[bool, bool], str] = {(True, False): "S", (False, True): "f", (True, True): "B", (False, False): "n"}


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


def render(leaves: Sequence[Leaf], *, title: str, author: str, language: str, dpi: int = 0) -> bytes:
    """The PDF file of the pages; with a printer's resolution, bars begin on its dots."""
    # Loaded late: who lays a page out draws none yet.
    from reportlab import rl_config
    from reportlab.pdfgen.canvas import Canvas

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
    others = GlyphFonts(canvas._doc)
    for leaf in leaves:
        canvas.setPageSize(_points(leaf.size))
        height = leaf.size.height_mm
        for x, y, marks in leaf.parts:
            for mark in marks:
                if not isinstance(mark, Text):
                    canvas._code.extend(_draw(_on_dots(mark, x, dpi), x, height - y))
        _write(canvas, leaf.parts, height, others)
        canvas.showPage()
    others.add()
    canvas.save()
    return out.getvalue()


def _faces(leaves: Sequence[Leaf]) -> list[Face]:
    """The faces that are used, in the order of their list; the first one always, since a page begins with it."""
    used = {mark.face for leaf in leaves for part in leaf.parts for mark in part.marks if isinstance(mark, Text)}
    return [face for face in Face if face in used or face is Face.TEXT]


def _points(size: PageSize) -> tuple[float, float]:
    return size.width_mm * _PT, size.height_mm * _PT


class _Pen:
    """Writes the texts of a page: each at a place of its own, the same text in the same bytes.

    Every file begins with the same characters in the same places of a font (:mod:`fulfil.papers.embedding`), so what
    such a text is in bytes is found once and kept; other texts are asked of the font, file by file.
    """

    def __init__(self, canvas: Any, others: GlyphFonts) -> None:
        self._document = canvas._doc
        self._others = others
        self.code: list[str] = ["BT 0 g"]
        self._font: tuple[Face, float, int] | None = None
        self._is_white = False

    def write(self, mark: Text, x: float, y: float) -> None:
        """One line of text at (x, y), in points."""
        if self._is_white != mark.is_white:
            self._is_white = mark.is_white
            self.code.append(f"{int(mark.is_white)} g")
        if has_other(mark.text):
            self._write_runs(mark, x, y)
            return
        self.code.append(f"1 0 0 1 {x:.3f} {y:.3f} Tm")
        self._show(mark)

    def _write_runs(self, mark: Text, x: float, y: float) -> None:
        """A line of several fonts, run by run; what it says as a whole stands beside it for who reads the file."""
        is_bold = mark.face is not Face.TEXT
        said = mark.text.translate(INVISIBLE).encode("utf-16-be").hex().upper()
        self.code.append(f"/Span <</ActualText <FEFF{said}>>> BDC")
        for run in runs(as_seen(mark.text), is_bold=is_bold):
            if run.script is None:
                part = mark._replace(text=run.text)
                self.code.append(f"1 0 0 1 {x:.3f} {y:.3f} Tm")
                self._show(part)
                x += sum(map(loaded(mark.face).widths.__getitem__, run.text)) * mark.size_pt
            else:
                self.code += self._others.written(run, x, y, mark.size_pt, is_bold=is_bold)
                self._font = None
                x += run.width * mark.size_pt
        self.code.append("EMC")

    def _show(self, mark: Text) -> None:
        """A text where the pen is."""
        for subset, words in self._encoded(mark.face, mark.text):
            if self._font != (mark.face, mark.size_pt, subset):
                self._font = (mark.face, mark.size_pt, subset)
                name = loaded(mark.face).font.getSubsetInternalName(subset, self._document)
                self.code.append(f"{name} {mark.size_pt:g} Tf")
            self.code.append(f"({words}) Tj")

    def _encoded(self, face: Face, text: str) -> tuple[tuple[int, str], ...]:
        kept = _KEPT[face]
        found = kept.get(text)
        if found is None:
            seen = text if text.isascii() else as_seen(text).translate(INVISIBLE)
            split = loaded(face).font.splitString(seen, self._document)
            found = tuple((subset, _escaped(words)) for subset, words in split)
            if _SHARED[face].issuperset(seen) and len(kept) < _MOST_KEPT:
                kept[text] = found
        return found


_ASCII = frozenset(map(chr, range(32, 127)))
_SHARED = {face: _ASCII if face is Face.CODE else _ASCII | frozenset(REPERTOIRE) for face in Face}
_KEPT: dict[Face, dict[str, tuple[tuple[int, str], ...]]] = {face: {} for face in Face}
_MOST_KEPT = 50_000
_ESCAPES = {code: f"\\{code:03o}" for code in (*range(32), *range(127, 256))} | {
    ord(sign): f"\\{sign}" for sign in "\\()"
}


def _escaped(words: bytes) -> str:
    """A string as it stands in a file (ISO 32000-1, 7.3.4.2)."""
    return words.decode("latin-1").translate(_ESCAPES)


def _write(canvas: Any, parts: Sequence[Placed], height: float, others: GlyphFonts) -> None:
    pen = _Pen(canvas, others)
    for x, y, marks in parts:
        for mark in marks:
            if isinstance(mark, Text):
                pen.write(mark, (mark.x_mm + x) * _PT, (height - mark.y_mm - y) * _PT)
    canvas._code.append("\n".join([*pen.code, "ET"]))


def _on_dots(mark: Mark, x: float, dpi: int) -> Mark:
    """Bars moved to the nearest dot, so that a printer rounds all their edges alike."""
    if not dpi or not isinstance(mark, Bars):
        return mark
    per_mm = float(code128.dots_per_mm(dpi))
    return mark._replace(x_mm=round((mark.x_mm + x) * per_mm) / per_mm - x)


def _draw(mark: Mark, x: float, top: float) -> Iterator[str]:
    """The operators of a shape; ``x`` moves it right, ``top`` is the height of its y = 0 above the page's foot (mm)."""
    if isinstance(mark, Bars):
        left, bottom = (x + mark.x_mm) * _PT, (top - mark.y_mm - mark.height_mm) * _PT
        yield f"q 0 g 1 0 0 1 {left:.3f} {bottom:.3f} cm"
        yield _bars(mark.symbol, mark.module_mm, mark.height_mm)
        yield "f Q"
    elif isinstance(mark, Box):
        yield _ink(mark.line_mm, mark.fill)
        left, bottom = (x + mark.x_mm) * _PT, (top - mark.y_mm - mark.height_mm) * _PT
        yield f"{left:.3f} {bottom:.3f} {mark.width_mm * _PT:.3f} {mark.height_mm * _PT:.3f} re"
        yield _PAINT[mark.line_mm > 0, mark.fill != "none"]
    elif isinstance(mark, Disc):
        yield _ink(mark.line_mm, mark.fill)
        yield _circle((x + mark.x_mm) * _PT, (top - mark.y_mm) * _PT, mark.radius_mm * _PT)
        yield _PAINT[mark.line_mm > 0, mark.fill != "none"]
    elif isinstance(mark, Shape):
        yield _ink(0, mark.fill)
        yield from _path((mark.points,), x, top)
        yield "h f"
    elif isinstance(mark, Strokes):
        yield _ink(mark.line_mm, "none")
        if mark.is_dashed:
            yield f"[{_DASH_PT:.3f} {_DASH_PT:.3f}] 0 d"
        yield from _path(mark.lines, x, top)
        yield "S [] 0 d" if mark.is_dashed else "S"


_DASH_PT = 1.2 * _PT


@lru_cache(maxsize=4_000)
def _bars(symbol: str, module_mm: float, height_mm: float) -> str:
    """The bars of a symbol from its lower left corner on."""
    high = height_mm * _PT
    module = module_mm * _PT
    return "\n".join(
        f"{first * module:.3f} 0 {width * module:.3f} {high:.3f} re" for first, width in code128.bars(symbol)
    )


def _ink(line_mm: float, fill: Fill) -> str:
    line = f"{line_mm * _PT:.3f} w " if line_mm > 0 else ""
    return line if fill == "none" else f"{line}{0 if fill == 'black' else 1} g"


def _circle(x: float, y: float, radius: float) -> str:
    """Four curves, from the right counter-clockwise."""
    near, far = radius * _ROUND, radius
    turns = ((1, 0), (0, 1), (-1, 0), (0, -1), (1, 0))
    curves = [f"{x + far:.3f} {y:.3f} m"]
    for (ax, ay), (bx, by) in pairwise(turns):
        curves.append(
            f"{x + far * ax + near * bx:.3f} {y + far * ay + near * by:.3f} "
            f"{x + far * bx + near * ax:.3f} {y + far * by + near * ay:.3f} {x + far * bx:.3f} {y + far * by:.3f} c"
        )
    return " ".join([*curves, "h"])


def _path(lines: Sequence[Sequence[tuple[float, float]]], x: float, top: float) -> Iterator[str]:
    for points in lines:
        for i, (px, py) in enumerate(points):
            yield f"{(x + px) * _PT:.3f} {(top - py) * _PT:.3f} {'l' if i else 'm'}"
