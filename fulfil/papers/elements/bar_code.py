"""The bar code: Code 128 as vector bars of whole printer dots, quiet zones kept free.

>>> symbol = bar_code("PK000042", printer_dpi=300, most_mm=60)
>>> len(symbol.parts[0].marks), symbol.height_mm
(1, 5.2578)

The module is at least 0.25 mm, which office scanners read at arm's length, and down to 0.16 mm where the label
is too narrow for that; then the code is too long for the label, and refused.
"""

from decimal import Decimal

from fulfil.errors import PaperRefused
from fulfil.papers.ink import Bars, Block, block
from fulfil.standards import code128

WANTED_MODULE_MM = Decimal("0.25")
LEAST_MODULE_MM = Decimal("0.16")


def bar_code(text: str, *, printer_dpi: int, most_mm: float, height_mm: float = 0.0) -> Block:
    """The bars of ``text``, begun after the left quiet zone; at least as high as ISO/IEC 15417 asks.

    Raises:
        PaperRefused: the symbol with its quiet zones is wider than ``most_mm``.
        CodeRefused: Code 128 can't say ``text``.
    """
    symbol = code128.modules(text)
    for least in (WANTED_MODULE_MM, LEAST_MODULE_MM):
        module = code128.module_width_mm(printer_dpi, least)
        if code128.symbol_width_mm(symbol, module) <= most_mm:
            height = max(height_mm, float(code128.least_height_mm(symbol, module)))
            quiet = float(code128.QUIET_ZONE_MODULES * module)
            return block(height, Bars(quiet, 0.0, height, float(module), symbol, text))
    raise PaperRefused("print the bar code", text, f"{most_mm:.0f} mm to be enough for it; use a shorter number")


def bar_code_width_mm(text: str, *, printer_dpi: int) -> float:
    """How wide the symbol is with its quiet zones at the wanted module."""
    module = code128.module_width_mm(printer_dpi, WANTED_MODULE_MM)
    return float(code128.symbol_width_mm(code128.modules(text), module))
