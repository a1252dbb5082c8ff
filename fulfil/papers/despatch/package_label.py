"""The package label: where to, large; where from; which package of how many; the shop's licence plate in bars.

On A6 (105 × 148 mm) or 100 × 150 mm, one a page. The address is as large as fits, at least 8 pt.

>>> from fulfil.papers.door import pdf
>>> from fulfil.records.settings import Paper
>>> label = PackageLabelSheet(package_number="PK000042", order_number="O-1001", service="Parcel",
...     from_lines=("Example shop",), to_lines=("አዲስ", "JAPAN"), package_no=1, packages=1, gross_g=None)
>>> pdf([label], page=Paper.A4)  # doctest: +ELLIPSIS
Traceback (most recent call last):
    ...
fulfil.errors.PaperRefused: Cannot print 'አዲስ': expected characters of the font ...

The licence plate of a transport unit (ISO 15394:2017) is the shop's own package number, in plain Code 128.

>>> label = PackageLabelSheet(package_number="PK000042", order_number="O-1001", service="Parcel",
...     from_lines=("The shop",), to_lines=("Test Person", "PORTUGAL"), package_no=1, packages=2,
...     gross_g=Decimal("1250"))
>>> label.package_no, label.packages
(1, 2)
"""

from dataclasses import dataclass
from decimal import Decimal

from fulfil.papers.elements.bar_code import bar_code
from fulfil.papers.elements.caution_box import caution_box
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, Strokes, above, beside, block, gap
from fulfil.papers.kind import and_more
from fulfil.papers.labels import Labels
from fulfil.papers.page import (
    BODY_PT,
    NUMBER_PT,
    PLACE_PT,
    SMALL_PT,
    STRONG_PT,
    TARGET_PT,
    LabelSize,
    PageSize,
    label_page,
)
from fulfil.papers.sheet import Sheet
from fulfil.papers.wrap import fitting_paragraphs, paragraph
from fulfil.quantities import print_package_mass


@dataclass(frozen=True, kw_only=True)
class PackageLabelSheet(Sheet):
    """What the label of one package says: package ``package_no`` of ``packages``; addresses end with the country."""

    package_number: str
    order_number: str
    service: str
    from_lines: tuple[str, ...]
    to_lines: tuple[str, ...]
    package_no: int
    packages: int
    gross_g: Decimal | None
    notice: str = ""
    cautions: tuple[str, ...] = ()
    language: str = "en"


PAPER = Labels(
    sheet=PackageLabelSheet,
    name="Package label",
    file="package-labels",
    about=lambda labels: labels[0].order_number,
    shows="package_number",
    sizes=(LabelSize.PACKAGE_A6, LabelSize.PACKAGE_100_150, LabelSize.PACKAGE_102_152),
    face=lambda label, size, printer_dpi: _label(label, label_page(size), printer_dpi),
    title=lambda labels: f"Package label {labels[0].package_number}{and_more(labels)}",
    author=lambda label: label.from_lines[0],
    language=lambda label: label.language,
)

_BARS_MM = 22.0
_FROM_MM = 15.0
_LEAST_FROM_PT = 7.0
_LEAST_TO_PT = 8.0


def _label(label: PackageLabelSheet, page: PageSize, printer_dpi: int) -> Block:
    width, room = page.content_mm, page.room_mm
    rule = block(0.0, Strokes((((0.0, 0.0), (width, 0.0)),), 0.5))
    sender = above(
        paragraph("from", Face.TEXT, SMALL_PT, width),
        fitting_paragraphs(
            label.from_lines, Face.TEXT, BODY_PT, least_pt=_LEAST_FROM_PT, width=width, height=_FROM_MM + 6
        ),
        gap(1.0),
        rule,
        gap(1.0),
    )
    foot = above(_what(label, width), gap(1.5), rule, gap(2.0), _plate(label, width, printer_dpi))
    free = room - sender.height_mm - foot.height_mm
    to = paragraph("to", Face.TEXT, SMALL_PT, width)
    address = _to(label, width, free - to.height_mm - 2)
    filler = free - to.height_mm - address.height_mm
    return above(sender, to, address, gap(max(filler, 0.0)), foot)


def _to(label: PackageLabelSheet, width: float, height: float) -> Block:
    """The consignee as large as fits."""
    return fitting_paragraphs(label.to_lines, Face.BOLD, NUMBER_PT, least_pt=_LEAST_TO_PT, width=width, height=height)


def _what(label: PackageLabelSheet, width: float) -> Block:
    """Service, package i of k, order, mass, cautions, notice."""
    count = f"package {label.package_no} of {label.packages}"
    mass = "" if label.gross_g is None else f"{print_package_mass(label.gross_g)} gross"
    more = " · ".join(word for word in (f"order {label.order_number}", mass) if word)
    rule = block(0.0, Strokes((((0.0, 0.0), (width, 0.0)),), 0.5))
    return above(
        rule,
        gap(1.0),
        paragraph(label.service, Face.BOLD, TARGET_PT, width),
        paragraph(count, Face.BOLD, PLACE_PT, width),
        paragraph(more, Face.TEXT, STRONG_PT, width),
        gap(0.8),
        caution_box(label.cautions, width),
        paragraph(label.notice, Face.TEXT, SMALL_PT, width),
    )


def _plate(label: PackageLabelSheet, width: float, printer_dpi: int) -> Block:
    """The bar code in the middle, its text below."""
    bars = bar_code(label.package_number, printer_dpi=printer_dpi, most_mm=width, height_mm=_BARS_MM, text_pt=TARGET_PT)
    return beside(((width - bars.width_mm) / 2, bars.block))
