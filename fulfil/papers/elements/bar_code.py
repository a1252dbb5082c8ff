"""The bar code: Code 128 as vector bars of whole printer dots, quiet zones kept free.

>>> plain = bar_code("PK000042", printer_dpi=300, most_mm=60)
>>> round(plain.width_mm, 2), round(plain.quiet_mm, 2), round(plain.block.height_mm, 2)
(30.73, 2.54, 5.0)

The module is at least 0.25 mm, which office scanners read at arm's length, and down to 0.16 mm where the label
is too narrow for that; if that isn't enough, the code is too long for the label, and refused.

Limits: print quality (ISO/IEC 15416) needs a verifier and the printed symbol; no grade is claimed.
"""

from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from fulfil.errors import PaperRefused
from fulfil.papers.faces import Face
from fulfil.papers.ink import Bars, Block, above, beside, block
from fulfil.papers.wrap import LEAST_PT, fitting_size, set_lines
from fulfil.standards import code128

WANTED_MODULE_MM = Decimal("0.25")
LEAST_MODULE_MM = Decimal("0.16")


@dataclass(frozen=True)
class BarCode:
    """A symbol as a block: the bars begin after the left quiet zone, ``width_mm`` has both quiet zones."""

    block: Block
    width_mm: float
    quiet_mm: float


@lru_cache(maxsize=4_000)
def bar_code(text: str, *, printer_dpi: int, most_mm: float, height_mm: float = 0.0, text_pt: float = 0.0) -> BarCode:
    """The bars of ``text``, at least as high as ISO/IEC 15417 asks; ``text_pt`` prints the text below them.

    A label asks for the same symbol at several places before one fits: it is made once.

    Raises:
        PaperRefused: the symbol with its quiet zones is wider than ``most_mm``.
        CodeRefused: Code 128 can't say ``text``.
    """
    symbol = code128.modules(text)
    for least in (WANTED_MODULE_MM, LEAST_MODULE_MM):
        module = code128.module_width_mm(printer_dpi, least)
        width = float(code128.symbol_width_mm(symbol, module))
        if width <= most_mm:
            height = max(height_mm, float(code128.least_height_mm(symbol, module)))
            quiet = float(code128.QUIET_ZONE_MODULES * module)
            made = block(height, Bars(quiet, 0.0, height, float(module), symbol, text))
            if text_pt:
                size = fitting_size(text, Face.CODE, text_pt, least_pt=LEAST_PT, width=most_mm - quiet)
                made = above(made, beside((quiet, set_lines((text,), Face.CODE, size))))
            return BarCode(made, width, quiet)
    expected = (
        f"{most_mm:.0f} mm to be enough for it, at {printer_dpi} dpi it needs {width:.0f} mm; "
        "use a shorter number, a larger label or a finer printer"
    )
    raise PaperRefused("print the bar code", text, expected)
