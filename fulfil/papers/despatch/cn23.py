"""The customs declaration CN 23: a page for postal packages of greater value or of many kinds of goods.

The particulars are those of the form of the Universal Postal Union: sender, addressee, references, and for each kind
of goods description, pieces, net mass, value, commodity code and origin; totals, category, comments, undertaking.
The order and look are this shop's own; the form's box numbers aren't printed.
"""

from dataclasses import dataclass, replace

from fulfil.papers.despatch.customs import (
    NUMBERED,
    TITLE,
    UNDERTAKING,
    CustomsRow,
    CustomsSheet,
    in_both,
    ticked,
)
from fulfil.papers.document import Document
from fulfil.papers.elements.address import address
from fulfil.papers.elements.bar_code import bar_code
from fulfil.papers.elements.columns import Column, filling, heading_row, row
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.pieces_cell import pieces_text
from fulfil.papers.elements.signature import signature
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, beside, ended, gap
from fulfil.papers.page import BODY_PT, STRONG_PT
from fulfil.papers.wrap import paragraph
from fulfil.standards import iso4217
from fulfil.standards.cn22 import print_kilograms


@dataclass(frozen=True, kw_only=True)
class Cn23Sheet(CustomsSheet):
    """A package's declaration on a page."""

    form: str = "CN 23"


PAPER = Document(
    sheet=Cn23Sheet,
    name=TITLE,
    file="customs-cn23",
    about=lambda sheets: sheets[0].order_number,
    numbered=NUMBERED,
    facts=lambda sheet: (f"order {sheet.order_number}", f"invoice {sheet.invoice_number}", day_words(sheet.day)),
    strong=lambda _: in_both("may be opened officially"),
    blocks=lambda sheet, space: _blocks(sheet, space.width_mm, space.printer_dpi),
    title=lambda sheet: f"{TITLE} {sheet.form}",
)

_COLUMNS = (
    Column("no.", 9.0, align="right"),
    Column(in_both("contents in detail"), 50.0),
    Column(in_both("pieces"), 18.0, align="right"),
    Column(in_both("net kg"), 20.0, align="right"),
    Column(in_both("value"), 28.0, align="right"),
    Column(in_both("HS code"), 32.0, align="right", face=Face.CODE),
    Column(in_both("origin"), 16.0, align="right", face=Face.BOLD),
)


def _blocks(sheet: CustomsSheet, width: float, printer_dpi: int) -> list[Block]:
    columns = filling(_COLUMNS, width, 1)
    headings = heading_row(columns)
    blocks = [above(_parties(sheet, width, printer_dpi), gap(2.0), headings).kept()]
    for number, each in enumerate(sheet.rows, start=1):
        made = row(columns, _cells(number, sheet, each))
        blocks.append(Block(made.height_mm, made.parts, again=headings))
    bold = tuple(replace(one, face=Face.BOLD) for one in columns)
    pieces = pieces_text(sum(each.pieces for each in sheet.rows))
    value = iso4217.print_money(sheet.value_minor, sheet.currency)
    total = row(bold, ("", "total", pieces, print_kilograms(sheet.net_g), value, "", ""), rule_mm=0.5)
    return ended(blocks, above(total, _foot(sheet, width)))


def _parties(sheet: CustomsSheet, width: float, printer_dpi: int) -> Block:
    half = width / 2
    bars = bar_code(sheet.item_number, printer_dpi=printer_dpi, most_mm=half - 4, height_mm=12.0, text_pt=STRONG_PT)
    sender = above(
        address(in_both("sender"), sheet.from_lines, half - 6, BODY_PT),
        paragraph(sheet.from_contact, Face.TEXT, BODY_PT, half - 6),
        _reference("sender's customs reference", sheet.sender_reference, half - 6),
    )
    to = above(
        address(in_both("addressee"), sheet.to_lines, half - 6),
        paragraph(sheet.importer_contact, Face.TEXT, BODY_PT, half - 6),
        _reference("importer's reference", sheet.importer_reference, half - 6),
    )
    item = above(
        paragraph("item", Face.TEXT, BODY_PT, half),
        bars.block,
        gap(1.5),
        ticked(in_both(sheet.category), STRONG_PT, half),
        paragraph(f"{in_both('gross mass')} {sheet.gross_g.scaleb(-3):.3f} kg", Face.BOLD, STRONG_PT, half),
        paragraph(sheet.sdr_sentence, Face.TEXT, BODY_PT, half - 6),
    )
    return beside((0.0, above(to, gap(3.0), sender)), (half, item))


def _cells(number: int, sheet: CustomsSheet, each: CustomsRow) -> list[str]:
    return [
        str(number),
        each.description,
        pieces_text(each.pieces),
        print_kilograms(each.net_g),
        f"{iso4217.from_minor(each.value_minor, sheet.currency):f}",
        each.hs_code,
        each.origin,
    ]


def _foot(sheet: CustomsSheet, width: float) -> Block:
    said = [paragraph(f"{in_both('comments')}: {comment}", Face.TEXT, BODY_PT, width) for comment in sheet.comments]
    return above(
        gap(3.0),
        *said,
        *(
            [paragraph(f"{in_both('postal charges')}: {sheet.postage}", Face.TEXT, BODY_PT, width)]
            if sheet.postage
            else []
        ),
        *([_said("designated operator", sheet.operator, width)] if sheet.operator else []),
        _said("licence, certificate", "none stated", width),
        gap(2.0),
        paragraph(UNDERTAKING, Face.TEXT, BODY_PT, width),
        gap(2.0),
        beside((0.0, signature(in_both("sender's signature"), width / 2)), (width / 2 + 8, _office(width / 2 - 8))),
    )


def _office(width: float) -> Block:
    words = f"{in_both('office of origin')}, {in_both('date of posting')}:"
    return above(gap(2.0), paragraph(words, Face.TEXT, BODY_PT, width))


def _reference(caption: str, said: str, width: float) -> Block:
    """A reference with its caption; where there is none, the caption stands for a pen."""
    return _said(caption, said or "________", width)


def _said(caption: str, words: str, width: float) -> Block:
    return paragraph(f"{in_both(caption)}: {words}", Face.TEXT, BODY_PT, width)
