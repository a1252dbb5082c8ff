"""A page as black and white dots at a printer's resolution; bars are drawn on whole dots, not sampled.

>>> from fulfil.papers.ink import Bars, Placed
>>> from fulfil.papers.page import PageSize
>>> bars = Bars(1.03, 1.0, 5.0, 2 / 8, "1101", "x")
>>> page = dots(Leaf(PageSize(10.0, 8.0, 0, 0, 0), (Placed(0.0, 0.0, (bars,)),)), 203)
>>> page.width, page.height
(80, 64)
>>> "".join("#" if page.is_black(x, 20) else "." for x in range(20))
'........####..##....'

Text and lines are black where they cover half a dot. A bar begins at the dot nearest to its place, and every module is
the same number of dots: of bars whose module isn't a whole number of dots, none is drawn.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from fulfil.errors import PaperRefused
from fulfil.papers.ink import Bars, Mark, Placed
from fulfil.papers.render import Leaf, render
from fulfil.standards import code128

if TYPE_CHECKING:
    from PIL import Image, ImageDraw

_MM = 25.4
_HALF = 128
_NEAR_WHOLE = 0.02


@dataclass(frozen=True)
class Dots:
    """Rows of dots from the top; each row begins on a byte, the first dot is its highest bit, 1 is black."""

    width: int
    height: int
    dpi: int
    rows: bytes

    @property
    def row_bytes(self) -> int:
        """Bytes of one row."""
        return -(-self.width // 8)

    def is_black(self, x: int, y: int) -> bool:
        """Whether the dot in column ``x`` of row ``y`` is black."""
        return bool(self.rows[y * self.row_bytes + x // 8] >> (7 - x % 8) & 1)

    def image(self) -> "Image.Image":
        """As a picture, black on white."""
        from PIL import Image

        return Image.frombytes("1", (self.width, self.height), bytes(byte ^ 0xFF for byte in self.rows))


def dots(leaf: Leaf, dpi: int, *, right_mm: float = 0.0, down_mm: float = 0.0) -> Dots:
    """The page at ``dpi``, moved by what the printer is off.

    Raises:
        PaperRefused: a bar code whose module is no whole number of two dots or more: it was made for another printer.
    """
    # Loaded late: who lists what a printer would print draws nothing.
    import pypdfium2
    from PIL import Image, ImageDraw

    size = leaf.size
    per_mm = float(code128.dots_per_mm(dpi))
    width, height = (max(1, int(side * per_mm + 0.5)) for side in (size.width_mm, size.height_mm))
    moved = tuple(Placed(part.x_mm + right_mm, part.y_mm + down_mm, _but_bars(part.marks)) for part in leaf.parts)
    pdf = render([Leaf(size, moved)], title="page", author="fulfil", language="en")
    document = pypdfium2.PdfDocument(pdf)
    try:
        page = document[0]
        bitmap = page.render(scale=per_mm * _MM / 72, grayscale=True)
        image = bitmap.to_pil().convert("L").point(lambda grey: 0 if grey < _HALF else 255).convert("1")
    finally:
        document.close()
    picture = Image.new("1", (width, height), 1)
    picture.paste(image, (0, 0))
    pen = ImageDraw.Draw(picture)
    for part in leaf.parts:
        for mark in part.marks:
            if isinstance(mark, Bars):
                _draw(pen, mark, part.x_mm + right_mm, part.y_mm + down_mm, dpi)
    return Dots(width, height, dpi, bytes(byte ^ 0xFF for byte in _padded(picture).tobytes()))


def _padded(picture: "Image.Image") -> "Image.Image":
    """The picture on white up to a whole byte a row."""
    from PIL import Image

    width = -(-picture.width // 8) * 8
    padded = Image.new("1", (width, picture.height), 1)
    padded.paste(picture, (0, 0))
    return padded


def _but_bars(marks: tuple[Mark, ...]) -> tuple[Mark, ...]:
    return tuple(mark for mark in marks if not isinstance(mark, Bars))


def _draw(pen: "ImageDraw.ImageDraw", mark: Bars, x_mm: float, y_mm: float, dpi: int) -> None:
    per_mm = float(code128.dots_per_mm(dpi))
    module = mark.module_mm * per_mm
    each = round(module)
    if each < code128.LEAST_DOTS or abs(module - each) > _NEAR_WHOLE:
        expected = f"modules of {code128.LEAST_DOTS} whole dots or more at {dpi} dpi, not of {module:.2f} dots"
        raise PaperRefused("print the bar code", mark.text, f"{expected}; print the paper for this printer")
    left, top = round((mark.x_mm + x_mm) * per_mm), round((mark.y_mm + y_mm) * per_mm)
    bottom = top + round(mark.height_mm * per_mm) - 1
    for first, wide in code128.bars(mark.symbol):
        pen.rectangle((left + first * each, top, left + (first + wide) * each - 1, bottom), fill=0)
