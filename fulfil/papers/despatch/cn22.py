"""The customs declaration CN 22: an A6 label beside the address, for postal packages of small value.

The particulars are those of the form of the Universal Postal Union (category, and for each kind of goods description,
pieces, net mass, value, commodity code and origin; totals; undertaking, date and signature; sender's name and address).
The order and look are this shop's own.

Limits: the words of the undertaking are quoted from memory; a post may ask for its own form.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from fulfil.papers.despatch.cn23 import Cn23Sheet
from fulfil.papers.despatch.customs import (
    NUMBERED,
    SIGNED,
    TITLE,
    UNDERTAKING,
    CustomsRow,
    CustomsSheet,
    in_both,
    ticked,
)
from fulfil.papers.elements.bar_code import bar_code
from fulfil.papers.elements.columns import Column, heading_row, row
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, Strokes, above, beside, block, gap, text_at
from fulfil.papers.kind import and_more
from fulfil.papers.labels import Labels
from fulfil.papers.page import BODY_PT, SMALL_PT, STRONG_PT, TARGET_PT, LabelSize, PageSize, label_page
from fulfil.papers.sheet import recast
from fulfil.papers.wrap import fitting_paragraphs, paragraph
from fulfil.standards import iso4217
from fulfil.standards.cn22 import print_kilograms


@dataclass(frozen=True, kw_only=True)
class Cn22Sheet(CustomsSheet):
    """A package's declaration on a label."""

    form: str = "CN 22"

    def on_a_page(self) -> Cn23Sheet:
        """The same on a page: a CN 23 is right for any value."""
        return recast(self, Cn23Sheet, form="CN 23")


PAPER = Labels(
    sheet=Cn22Sheet,
    name=TITLE,
    file="customs-cn22",
    about=lambda sheets: sheets[0].order_number,
    numbered=NUMBERED,
    sizes=(LabelSize.PACKAGE_A6, LabelSize.PACKAGE_100_150, LabelSize.PACKAGE_102_152),
    face=lambda sheet, size, printer_dpi: _label(sheet, label_page(size), printer_dpi),
    title=lambda sheets: f"{TITLE} {sheets[0].form} {sheets[0].document_number}{and_more(sheets)}",
    author=lambda sheet: sheet.shop_name,
    language=lambda sheet: sheet.language,
)

_FEW = 3
"""Up to so many kinds of goods are set in larger letters."""


def _columns(sheet: CustomsSheet) -> tuple[Column, ...]:
    size = BODY_PT if len(sheet.rows) <= _FEW else SMALL_PT
    return (
        Column("contents in detail", 37.0, size_pt=size),
        Column("pieces", 12.0, align="right", size_pt=size),
        Column("net kg", 13.0, align="right", size_pt=size),
        Column(f"value {sheet.currency}", 17.0, align="right", size_pt=size),
        Column("HS code, origin", 18.0, size_pt=size),
    )


def _label(sheet: CustomsSheet, page: PageSize, printer_dpi: int) -> Block:
    """Head, goods and foot; the sender gets the room that they leave."""
    width = page.content_mm
    head = _head(sheet, width, printer_dpi)
    columns = _columns(sheet)
    goods = above(heading_row(columns), *(_goods(columns, sheet, each) for each in sheet.rows), _total(columns, sheet))
    foot = _foot(sheet, width)
    free = page.room_mm - head.height_mm - goods.height_mm - foot.height_mm - 1.0
    sender = fitting_paragraphs(
        ("from " + sheet.from_lines[0], *sheet.from_lines[1:]),
        Face.TEXT, STRONG_PT, least_pt=7.0, width=width, height=free,
    )  # fmt: skip
    return above(head, goods, gap(1.0), sender, gap(max(free - sender.height_mm, 0.0)), foot)


def _head(sheet: CustomsSheet, width: float, printer_dpi: int) -> Block:
    bars = bar_code(sheet.item_number, printer_dpi=printer_dpi, most_mm=width * 0.6, height_mm=8.0, text_pt=SMALL_PT)
    words_mm = width - bars.width_mm - 1
    words = above(
        paragraph(sheet.form, Face.BOLD, TARGET_PT, words_mm),
        paragraph(in_both("customs declaration"), Face.BOLD, SMALL_PT, words_mm),
        paragraph(in_both("may be opened officially"), Face.BOLD, SMALL_PT, words_mm),
    )
    top = beside((0.0, words), (width - bars.width_mm, bars.block))
    references = f"order {sheet.order_number}"
    if sheet.invoice_number:
        references = f"invoice {sheet.invoice_number} · {references}"
    if sheet.operator:
        references = f"{sheet.operator} · {references}"
    for caption, said in (("sender", sheet.sender_reference), ("importer", sheet.importer_reference)):
        references += f" · {caption}'s reference {said}" if said else ""
    return above(
        top,
        gap(1.0),
        _rule(width),
        gap(0.8),
        ticked(in_both(sheet.category), BODY_PT, width),
        paragraph(references, Face.TEXT, SMALL_PT, width),
        gap(0.8),
    )


def _goods(columns: Sequence[Column], sheet: CustomsSheet, each: CustomsRow) -> Block:
    return row(
        columns,
        (
            each.description,
            str(each.pieces),
            print_kilograms(each.net_g),
            f"{iso4217.from_minor(each.value_minor, sheet.currency):f}",
            f"{each.hs_code} {each.origin}",
        ),
    )


def _total(columns: Sequence[Column], sheet: CustomsSheet) -> Block:
    bold = tuple(replace(each, face=Face.BOLD) for each in columns)
    value = f"{iso4217.from_minor(sheet.value_minor, sheet.currency):f}"
    pieces = str(sum(each.pieces for each in sheet.rows))
    return row(bold, ("total", pieces, print_kilograms(sheet.net_g), value, ""), rule_mm=0.5)


def _foot(sheet: CustomsSheet, width: float) -> Block:
    gross = f"gross {sheet.gross_g.scaleb(-3):.3f} kg"
    words = [gross + (f" · {sheet.sdr_sentence}" if sheet.sdr_sentence else ""), *sheet.comments, UNDERTAKING]
    said = [paragraph(word, Face.TEXT, 7.0, width) for word in words]
    line = block(
        11.0,
        Strokes((((0.0, 7.5), (width * 0.68, 7.5)), ((width * 0.72, 7.5), (width, 7.5))), 0.3),
        text_at(0.0, 10.6, in_both(SIGNED), Face.TEXT, 7.0),
        text_at(width * 0.72, 6.5, f"{sheet.day:%Y-%m-%d}", Face.TEXT, SMALL_PT),
    )
    return above(_rule(width), gap(0.6), *said, line, paragraph(sheet.notice, Face.TEXT, 7.0, width))


def _rule(width: float) -> Block:
    return block(0.0, Strokes((((0.0, 0.0), (width, 0.0)),), 0.5))
