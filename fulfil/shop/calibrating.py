"""Where a label printer's dots lie on its labels: printed, measured with a ruler, moved.

The calibration label has a frame on the label's margins. Printed, its left and upper line are as far from the label's
edges as it says, or the printer is off by the difference: *Rule* new shift = old shift + said - measured, on each axis,
in tenths of a millimetre, as a ruler is read. Printed again it should be right; what is left is added the same way.

>>> printer = PrinterRecord(name="bags", dpi=203, media="60x40", papers="bag-labels", language="zpl", right_mm=0.5)
>>> moved(printer, from_left_mm=3.2, from_top_mm=1.5)
(-0.7, 0.5)

Limits: rolls of labels only, printed as dots. A sheet of labels has its corner in its media; a page printed as PDF is
the print system's to place.
"""

from datetime import datetime

from fulfil.errors import PaperRefused, StateRefused
from fulfil.papers.bench import calibration
from fulfil.papers.page import LabelSize, label_page
from fulfil.papers.raster.dots import dots
from fulfil.papers.raster.languages import written
from fulfil.papers.raster.media import media
from fulfil.records.equipment import PrinterRecord
from fulfil.records.revised import revised
from fulfil.shop.printers import ENDINGS, PDF, Printing, set_printer
from fulfil.shop.sending import destination
from fulfil.store.shop import Shop


def calibration_for(printer: PrinterRecord) -> Printing:
    """The calibration label as the printer takes it, drawn where its shift puts it now.

    Raises:
        StateRefused: it isn't a printer of labels from a roll, as dots.
    """
    leaf = calibration.label_leaf(_labels_of(printer), dpi=printer.dpi)
    page = dots(leaf, printer.dpi, right_mm=printer.right_mm, down_mm=printer.down_mm)
    name = f"{printer.name}-calibration.{ENDINGS[printer.language]}"
    return Printing(name, written(printer.language, [page]), destination(printer.sends_to))


def shift_printer(
    shop: Shop, name: str, *, from_left_mm: float, from_top_mm: float, at: datetime, person: str
) -> PrinterRecord:
    """Moves a printer's dots by what was measured: from the label's edges to the frame's left and upper line.

    Raises:
        UnknownRefused: no such printer.
        StateRefused: it isn't a printer of labels from a roll, as dots.
        PaperRefused: a distance that can't be on the label.
    """
    with shop.reading() as books:
        printer = books.need(PrinterRecord, name)
    right_mm, down_mm = moved(printer, from_left_mm=from_left_mm, from_top_mm=from_top_mm)
    shifted = revised(printer, {"right_mm": right_mm, "down_mm": down_mm})
    return set_printer(shop, shifted, at=at, person=person)


def moved(printer: PrinterRecord, *, from_left_mm: float, from_top_mm: float) -> tuple[float, float]:
    """The shift to the right and down that puts the frame where it belongs.

    Raises:
        StateRefused: it isn't a printer of labels from a roll, as dots.
        PaperRefused: a distance that can't be on the label.
    """
    label = label_page(_labels_of(printer))
    for measured, most in ((from_left_mm, label.width_mm), (from_top_mm, label.height_mm)):
        if not 0 <= measured < most:
            raise PaperRefused(
                "move dots by a frame at", f"{measured:g} mm", f"0 to {most:g} mm, measured on the label"
            )
    right_mm = printer.right_mm + label.side_mm - from_left_mm
    down_mm = printer.down_mm + label.top_mm - from_top_mm
    return round(right_mm, 1), round(down_mm, 1)


def _labels_of(printer: PrinterRecord) -> LabelSize:
    lies_in = media(printer.media)
    if lies_in.size is None or lies_in.grid is not None:
        raise StateRefused("calibrate printer", f"{printer.name}, {printer.media}", "a printer with a roll of labels")
    if printer.language == PDF:
        raise StateRefused("calibrate printer", f"{printer.name}, drawn as PDF", "one that is drawn as dots")
    return lies_in.size
