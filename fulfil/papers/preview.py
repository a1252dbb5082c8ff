"""PDF pages as PNG pictures (ISO/IEC 15948), for a look before printing; any PDF file, no other program.

Grey by default, as a photocopier sees it. The same file gives the same pictures.

>>> from fulfil.papers.ink import Disc, Placed
>>> from fulfil.papers.page import PageSize
>>> from fulfil.papers.render import Leaf, render
>>> dot = Leaf(PageSize(20.0, 10.0, 1.0, 1.0, 1.0), (Placed(0.0, 0.0, (Disc(5, 5, 2, fill="black"),)),))
>>> pdf = render([dot, dot], title="Dots", author="fulfil", language="en")
>>> [picture[1:4] for picture in pictures(pdf, dpi=100)]
[b'PNG', b'PNG']
>>> pictures(pdf, dpi=100, pages=[3])
Traceback (most recent call last):
    ...
fulfil.errors.PaperRefused: Cannot show page '3': expected a page from 1 to 2.
"""

from collections.abc import Sequence
from io import BytesIO

import pypdfium2

from fulfil.errors import PaperRefused

LEAST_DPI, MOST_DPI = 20, 1200


def pictures(pdf: bytes, *, dpi: int = 150, pages: Sequence[int] = (), in_colour: bool = False) -> list[bytes]:
    """One PNG file a page; ``pages`` count from 1, none means all.

    Raises:
        PaperRefused: ``pdf`` is no PDF file, it hasn't got such a page, or ``dpi`` is out of range.
    """
    if not LEAST_DPI <= dpi <= MOST_DPI:
        raise PaperRefused("show a page at", f"{dpi} dpi", f"{LEAST_DPI} to {MOST_DPI} dpi")
    try:
        document = pypdfium2.PdfDocument(pdf)
    except pypdfium2.PdfiumError as error:
        raise PaperRefused("show", pdf[:20].decode("latin-1"), f"a PDF file ({error})") from None
    try:
        count = len(document)
        for page in pages:
            if not 1 <= page <= count:
                raise PaperRefused("show page", page, f"a page from 1 to {count}")
        return [_picture(document, page - 1, dpi, in_colour) for page in pages or range(1, count + 1)]
    finally:
        document.close()


def _picture(document: pypdfium2.PdfDocument, index: int, dpi: int, in_colour: bool) -> bytes:
    page = document[index]
    bitmap = page.render(scale=dpi / 72, grayscale=not in_colour)
    out = BytesIO()
    bitmap.to_pil().save(out, "PNG", dpi=(dpi, dpi))
    bitmap.close()
    page.close()
    return out.getvalue()
