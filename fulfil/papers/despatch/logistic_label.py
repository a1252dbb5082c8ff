"""The logistic label: blocks of supplier, customer and carrier under one another, the SSCC lowest.

Blocks, their order and the sizes follow the GS1 Logistic Label Guideline (1.3, 2019) and the GS1 General
Specifications, 6.6: bars upright, module 0.495 mm or more, bars 31.75 mm high or more, the text of the SSCC always
beside them. An S10 item number stands with the carrier, as plain Code 128. Where there is no SSCC the shop's own
package number takes its place.

Limits: the figures 0.495 and 31.75 mm are quoted from memory; print quality (ISO/IEC 15416) needs a verifier.

>>> from fulfil.papers.despatch.package_label import PackageLabelSheet
>>> label = PackageLabelSheet(package_number="PK000042", order_number="O-1001", service="Parcel",
...     from_lines=("The shop",), to_lines=("Test Person", "PORTUGAL"), package_no=1, packages=1, gross_g=None)
>>> LogisticLabelSheet(label=label, sscc="395200012300000425").item_number
''
"""

from dataclasses import dataclass
from decimal import Decimal

from fulfil.errors import PaperRefused
from fulfil.papers.despatch.package_label import PackageLabelSheet
from fulfil.papers.elements.bar_code import bar_code
from fulfil.papers.elements.caution_box import caution_box
from fulfil.papers.faces import Face
from fulfil.papers.ink import Bars, Block, Strokes, above, beside, block, gap
from fulfil.papers.kind import and_more
from fulfil.papers.labels import Labels
from fulfil.papers.page import BODY_PT, PLACE_PT, SMALL_PT, STRONG_PT, TARGET_PT, LabelSize, PageSize, label_page
from fulfil.papers.sheet import Sheet
from fulfil.papers.wrap import fitting_paragraphs, fitting_size, paragraph, set_lines
from fulfil.quantities import print_package_mass
from fulfil.standards import code128, gs1


@dataclass(frozen=True, kw_only=True)
class LogisticLabelSheet(Sheet):
    """What the label says: the package label's words, and the numbers; each is empty where there is none."""

    label: PackageLabelSheet
    sscc: str = ""
    item_number: str = ""
    post_code: str = ""


PAPER = Labels(
    sheet=LogisticLabelSheet,
    name="Logistic label",
    file="logistic-labels",
    about=lambda labels: labels[0].label.order_number,
    shows="sscc",
    sizes=(LabelSize.PACKAGE_A6, LabelSize.PACKAGE_100_150, LabelSize.PACKAGE_102_152),
    face=lambda label, size, printer_dpi: _label(label, label_page(size), printer_dpi),
    title=lambda labels: f"Logistic label {labels[0].label.package_number}{and_more(labels)}",
    author=lambda label: label.label.from_lines[0],
    language=lambda label: label.label.language,
)

MODULE_MM = Decimal("0.495")
BARS_MM = 31.75
_ITEM_BARS_MM = 12.0
_FROM_MM = 14.0
_LEAST_PT = 7.0


def _label(sheet: LogisticLabelSheet, page: PageSize, printer_dpi: int) -> Block:
    width, room = page.content_mm, page.room_mm
    label = sheet.label
    supplier = above(
        paragraph("from", Face.TEXT, SMALL_PT, width),
        fitting_paragraphs(label.from_lines, Face.TEXT, BODY_PT, least_pt=_LEAST_PT, width=width, height=_FROM_MM),
    )
    foot = above(_carrier(sheet, width, printer_dpi), _rule(width), gap(1.5), _plate(sheet, width, printer_dpi))
    free = room - supplier.height_mm - foot.height_mm - 5.5
    to = fitting_paragraphs(label.to_lines, Face.BOLD, PLACE_PT, least_pt=_LEAST_PT, width=width, height=free)
    customer = above(paragraph("to", Face.TEXT, SMALL_PT, width), to)
    filler = max(room - supplier.height_mm - customer.height_mm - foot.height_mm - 1.0, 0.0)
    return above(supplier, gap(0.5), _rule(width), gap(0.5), customer, gap(filler), foot)


def _carrier(sheet: LogisticLabelSheet, width: float, printer_dpi: int) -> Block:
    label = sheet.label
    mass = "" if label.gross_g is None else f"{print_package_mass(label.gross_g)} gross"
    which = f"package {label.package_no} of {label.packages}"
    more = " · ".join(word for word in (which, f"order {label.order_number}", mass) if word)
    rows = [
        _rule(width),
        gap(0.5),
        paragraph(label.service, Face.BOLD, STRONG_PT, width),
        paragraph(more, Face.TEXT, BODY_PT, width),
        caution_box(label.cautions, width, SMALL_PT),
        paragraph(label.notice, Face.TEXT, _LEAST_PT, width),
    ]
    if sheet.item_number:
        bars = bar_code(
            sheet.item_number, printer_dpi=printer_dpi, most_mm=width, height_mm=_ITEM_BARS_MM, text_pt=STRONG_PT
        )
        rows += [gap(1.0), beside(((width - bars.width_mm) / 2, bars.block))]
    return above(*rows, gap(0.5))


def _plate(sheet: LogisticLabelSheet, width: float, printer_dpi: int) -> Block:
    """The SSCC in GS1-128 at the guideline's size; without one the shop's own number in plain Code 128."""
    if not sheet.sscc:
        number = sheet.label.package_number
        bars = bar_code(number, printer_dpi=printer_dpi, most_mm=width, height_mm=22.0, text_pt=TARGET_PT)
        return beside(((width - bars.width_mm) / 2, bars.block))
    elements = (gs1.Element("00", sheet.sscc),)
    symbol = code128.gs1_modules(gs1.element_string(elements))
    module = code128.module_width_mm(printer_dpi, MODULE_MM)
    wide = float(code128.symbol_width_mm(symbol, module))
    if wide > width:
        raise PaperRefused("print the SSCC", sheet.sscc, f"a label with {wide:.0f} mm between its margins")
    quiet = float(code128.QUIET_ZONE_MODULES * module)
    text = gs1.print_elements(elements)
    size = fitting_size(text, Face.CODE, PLACE_PT, least_pt=_LEAST_PT, width=wide - 2 * quiet)
    bars_block = block(BARS_MM, Bars(quiet, 0.0, BARS_MM, float(module), symbol, text))
    written = beside(((width - wide) / 2 + quiet, set_lines((text,), Face.CODE, size)))
    return above(
        paragraph("SSCC", Face.TEXT, SMALL_PT, width),
        written,
        gap(0.5),
        beside(((width - wide) / 2, bars_block)),
        paragraph(f"own number {sheet.label.package_number}", Face.TEXT, SMALL_PT, width),
    )


def _rule(width: float) -> Block:
    return block(0.0, Strokes((((0.0, 0.0), (width, 0.0)),), 0.5))
