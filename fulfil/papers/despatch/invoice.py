"""The commercial invoice: what a despatch is worth, for the customs of its destination.

The particulars are those of the aligned invoice of the UN Layout Key (UNECE Recommendations 1 and 6): seller,
consignee, invoice number and date, order, transport, terms of delivery, countries of origin and destination, packages
with their masses, and for each line description, commodity code, origin, pieces, unit price and amount; total,
declaration, signature. The boxes aren't aligned to the millimetre.
"""

from collections.abc import Sequence
from dataclasses import replace

from fulfil.papers.document import document_leaves, document_pdf
from fulfil.papers.elements.address import address
from fulfil.papers.elements.columns import Column, filling, heading_row, row
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.pieces_cell import pieces_text
from fulfil.papers.elements.signature import signature
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, beside, ended, gap
from fulfil.papers.page import BODY_PT, STRONG_PT, TARGET_PT
from fulfil.papers.render import Leaf
from fulfil.papers.wrap import led_paragraph, paragraph
from fulfil.quantities import print_package_mass
from fulfil.records.settings import Paper
from fulfil.records.sheets.invoice import InvoiceRow, InvoiceSheet
from fulfil.standards import iso4217
from fulfil.standards.cn22 import print_kilograms

TITLE = "Commercial invoice"
_COLUMNS = (
    Column("line", 10.0, align="right"),
    Column("goods", 50.0),
    Column("HS code", 24.0, face=Face.CODE),
    Column("origin", 13.0, face=Face.BOLD),
    Column("pieces", 18.0, align="right"),
    Column("unit price", 24.0, align="right"),
    Column("amount", 26.0, align="right", face=Face.BOLD),
)


def pdf(sheets: Sequence[InvoiceSheet], *, page: Paper, printer_dpi: int = 300) -> bytes:
    """The invoices of the sheets in one file.

    Raises:
        PaperRefused: a text that can't be printed whole, or a bar code too long for the page.
    """
    return document_pdf(sheets, leaves, title=TITLE, page=page, printer_dpi=printer_dpi)


def leaves(sheet: InvoiceSheet, *, page: Paper, printer_dpi: int = 300) -> list[Leaf]:
    """The pages of one invoice."""
    order = f"order {sheet.order_number}" + (f" of {sheet.order_day}" if sheet.order_day else "")
    return document_leaves(
        sheet,
        TITLE,
        facts=(day_words(sheet.day), order),
        strong=f"{sheet.service} to {sheet.country_of_destination}",
        blocks=lambda width, _: _blocks(sheet, width),
        page=page,
        printer_dpi=printer_dpi,
    )


def _blocks(sheet: InvoiceSheet, width: float) -> list[Block]:
    money = {"amount": f"amount {sheet.currency}"}
    named = tuple(replace(one, heading=money.get(one.heading, one.heading)) for one in _COLUMNS)
    columns = filling(named, width, 1)
    headings = heading_row(columns)
    blocks = [above(_parties(sheet, width), gap(2.0), headings).kept()]
    for each in sheet.rows:
        made = row(columns, _cells(each, sheet.currency, columns[1].text_mm))
        blocks.append(Block(made.height_mm, made.parts, again=headings))
    return ended(blocks, _foot(sheet, width))


def _parties(sheet: InvoiceSheet, width: float) -> Block:
    half = width / 2
    seller = above(
        address("seller and consignor", sheet.from_lines, half - 6, BODY_PT),
        paragraph(sheet.from_contact, Face.TEXT, BODY_PT, half - 6),
    )
    buyer = above(
        address("buyer and consignee", sheet.to_lines, half), paragraph(sheet.to_contact, Face.TEXT, BODY_PT, half)
    )
    packages = ", ".join(
        each.number + ("" if each.gross_g is None else f" ({print_package_mass(each.gross_g)})")
        for each in sheet.packages
    )
    count = f"{len(sheet.packages)} package" + ("" if len(sheet.packages) == 1 else "s")
    gross = f", gross mass {sheet.gross_g.scaleb(-3):.3f} kg" if sheet.gross_g else ""
    facts = [
        f"terms of delivery: {sheet.terms}" if sheet.terms else "",
        f"country of destination: {sheet.country_of_destination}",
        f"countries of origin: {', '.join(sheet.countries_of_origin)}" if sheet.countries_of_origin else "",
        f"{count}, marks: {packages}",
        f"net mass {print_kilograms(sheet.net_g)} kg{gross}",
    ]  # fmt: skip
    said = [paragraph(fact, Face.TEXT, BODY_PT, width) for fact in facts if fact]
    return above(beside((0.0, seller), (half, buyer)), gap(2.5), *said)


def _cells(each: InvoiceRow, currency: str, goods_mm: float) -> list[str | Block]:
    return [
        str(each.line_no),
        led_paragraph(each.part_number, each.description, BODY_PT, goods_mm),
        each.hs_code,
        each.origin,
        pieces_text(each.pieces),
        f"{iso4217.from_minor(each.unit_price_minor, currency):f}",
        f"{iso4217.from_minor(each.amount_minor, currency):f}",
    ]


def _foot(sheet: InvoiceSheet, width: float) -> Block:
    total = f"invoice total {iso4217.print_money(sheet.total_minor, sheet.currency)}"
    pieces = pieces_text(sum(each.pieces for each in sheet.rows))
    lines = f"{len(sheet.rows)} line" + ("" if len(sheet.rows) == 1 else "s")
    return above(
        gap(3.0),
        paragraph(f"{lines} · {pieces} pieces", Face.TEXT, STRONG_PT, width),
        paragraph(total, Face.BOLD, TARGET_PT, width),
        gap(2.0),
        paragraph(sheet.declaration, Face.TEXT, BODY_PT, width),
        gap(2.0),
        signature("signature of the seller", width * 0.62),
    )
