r"""Dots as printers read them: as a picture in PDF, or by the graphics command of three languages of label printers.

A label is sent as one picture, so that nothing depends on the printer's own fonts and bar codes. The commands are those
of the languages' public command references (quoted from memory):

* ``zpl``: ``^GFA`` with the dots in hexadecimal digits, 1 is black; ``^XA`` and ``^XZ`` around each label;
* ``epl``: ``GW`` with raw bytes, 0 is black; ``N`` clears the label, ``P1`` prints it;
* ``tspl``: ``BITMAP`` with raw bytes, 0 is black; ``SIZE`` and ``GAP`` before, ``PRINT 1`` after.

>>> from fulfil.papers.raster.dots import Dots
>>> two = Dots(12, 2, 203, bytes([0b11110000, 0b00010000, 0b00000000, 0b00000000]))
>>> written("zpl", [two])
b'^XA^PW12^LL2^LH0,0^FO0,0^GFA,4,4,2,F0100000^FS^XZ\n'
>>> written("epl", [two])
b'\nN\nq12\nQ2,24\nGW0,0,2,2,\x0f\xef\xff\xff\nP1\n'
>>> written("tspl", [two])[:48]
b'SIZE 1.5 mm,0.3 mm\r\nGAP 2 mm,0 mm\r\nDIRECTION 1\r\n'

Limits: no printer was at hand; the bytes were read back and decoded, not printed.
"""

import time
from collections.abc import Callable, Sequence
from io import BytesIO

from fulfil.errors import PaperRefused
from fulfil.papers.raster.dots import Dots

_GAP = 24
"""Dots between two labels on the roll, for the language that asks (3 mm at 203 dpi, common practice)."""


def _zpl(page: Dots) -> bytes:
    count = page.row_bytes * page.height
    head = f"^XA^PW{page.width}^LL{page.height}^LH0,0^FO0,0^GFA,{count},{count},{page.row_bytes},"
    return head.encode() + page.rows.hex().upper().encode() + b"^FS^XZ\n"


def _epl(page: Dots) -> bytes:
    head = f"\nN\nq{page.width}\nQ{page.height},{_GAP}\nGW0,0,{page.row_bytes},{page.height},"
    return head.encode() + _inverted(page) + b"\nP1\n"


def _tspl(page: Dots) -> bytes:
    width, height = (f"{side * 25.4 / page.dpi:.1f}" for side in (page.width, page.height))
    head = f"SIZE {width} mm,{height} mm\r\nGAP 2 mm,0 mm\r\nDIRECTION 1\r\nCLS\r\n"
    command = f"BITMAP 0,0,{page.row_bytes},{page.height},0,"
    return (head + command).encode() + _inverted(page) + b"\r\nPRINT 1\r\n"


def _inverted(page: Dots) -> bytes:
    return bytes(byte ^ 0xFF for byte in page.rows)


def _picture_pdf(pages: Sequence[Dots]) -> bytes:
    """A PDF file of pictures, one a page, the same bytes for the same dots."""
    out = BytesIO()
    first, *more = (page.image() for page in pages)
    then = time.gmtime(0)
    first.save(
        out,
        "PDF",
        resolution=float(pages[0].dpi),
        save_all=True,
        append_images=more,
        creationDate=then,
        modDate=then,
        producer="fulfil",
    )
    return out.getvalue()


def _each(write: Callable[[Dots], bytes]) -> Callable[[Sequence[Dots]], bytes]:
    return lambda pages: b"".join(map(write, pages))


_WRITERS: dict[str, Callable[[Sequence[Dots]], bytes]] = {
    "picture": _picture_pdf,
    "zpl": _each(_zpl),
    "epl": _each(_epl),
    "tspl": _each(_tspl),
}
LANGUAGES = tuple(_WRITERS)
"""Of dots; ``picture`` is a PDF file."""


def written(language: str, pages: Sequence[Dots]) -> bytes:
    """The pages as one file in a printer's language.

    Raises:
        PaperRefused: an unknown language.
    """
    if language not in _WRITERS:
        raise PaperRefused("write dots in the language", language, ", ".join(LANGUAGES))
    return _WRITERS[language](pages)
