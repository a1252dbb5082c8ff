"""The commercial invoice: what a despatch is worth, for the customs of its destination.

The particulars are those of the aligned invoice of the UN Layout Key (UNECE Recommendations 1 and 6): seller,
consignee, invoice number and date, order, transport, terms of delivery, countries of origin and destination, packages
with their masses, and for each line description, commodity code, origin, pieces, unit price and amount; total,
declaration, signature. The boxes aren't aligned to the millimetre.

>>> row = InvoiceRow(line_no=1, part_number="SCR-0016", description="steel cap screws", pieces=250, unit_price_minor=6,
...                  hs_code="731815", origin="DE")
>>> row.amount_minor
1500
"""

from dataclasses import dataclass, replace
from decimal import Decimal

from fulfil.papers.despatch.packed_package import PackedPackage
from fulfil.papers.document import Document
from fulfil.papers.elements.address import address
from fulfil.papers.elements.columns import Column, filling, heading_row, row
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.pieces_cell import pieces_text
from fulfil.papers.elements.signature import signature
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, beside, ended, gap
from fulfil.papers.numbering import After
from fulfil.papers.page import BODY_PT, STRONG_PT, TARGET_PT
from fulfil.papers.sheet import DocumentSheet
from fulfil.papers.wrap import led_paragraph, paragraph
from fulfil.quantities import print_package_mass
from fulfil.standards import iso4217
from fulfil.standards.cn22 import print_kilograms


@dataclass(frozen=True, kw_only=True)
class InvoiceRow:
    """One order line as far as it is sent; prices in minor units."""

    line_no: int
    part_number: str
    description: str
    pieces: int
    unit_price_minor: int
    hs_code: str = ""
    origin: str = ""

    @property
    def amount_minor(self) -> int:
        """Pieces times unit price."""
        return self.pieces * self.unit_price_minor


@dataclass(frozen=True, kw_only=True)
class InvoiceSheet(DocumentSheet):
    """What one despatch of an order is worth, for the customs of the destination.

    ``terms`` are the terms of delivery with their named place and edition; ``net_g`` the net mass in whole grams.
    """

    order_number: str
    order_day: str = ""
    from_lines: tuple[str, ...]
    from_contact: str = ""
    to_lines: tuple[str, ...]
    to_contact: str = ""
    service: str
    country_of_destination: str
    countries_of_origin: tuple[str, ...]
    terms: str = ""
    currency: str
    rows: tuple[InvoiceRow, ...]
    packages: tuple[PackedPackage, ...]
    net_g: int
    declaration: str = ""

    @property
    def total_minor(self) -> int:
        """The invoice total."""
        return sum(row.amount_minor for row in self.rows)

    @property
    def gross_g(self) -> Decimal:
        """Gross mass of the packages that were weighed."""
        return sum((package.gross_g for package in self.packages if package.gross_g is not None), Decimal(0))


NUMBERED = After("I", instead_of="P")
PAPER = Document(
    sheet=InvoiceSheet,
    name="Invoice",
    title=lambda _: "Commercial invoice",
    file="customs-invoice",
    about=lambda sheets: sheets[0].order_number,
    numbered=NUMBERED,
    facts=lambda sheet: (day_words(sheet.day), _order(sheet)),
    strong=lambda sheet: f"{sheet.service} to {sheet.country_of_destination}",
    blocks=lambda sheet, space: _blocks(sheet, space.width_mm),
)


_COLUMNS = (
    Column("line", 10.0, align="right"),
    Column("goods", 50.0),
    Column("HS code", 24.0, face=Face.CODE),
    Column("origin", 13.0, face=Face.BOLD),
    Column("pieces", 18.0, align="right"),
    Column("unit price", 24.0, align="right"),
    Column("amount", 26.0, align="right", face=Face.BOLD),
)


def _order(sheet: InvoiceSheet) -> str:
    return f"order {sheet.order_number}" + (f" of {sheet.order_day}" if sheet.order_day else "")


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
