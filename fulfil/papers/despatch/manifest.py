"""The manifest: what is handed to one service, package by package, and signed for.

A box to tick at each package, so that driver and shop count the same; totals, and both signatures below the last row.
"""

from collections.abc import Sequence

from fulfil.papers.document import document_leaves, document_pdf
from fulfil.papers.elements.address import address
from fulfil.papers.elements.caution_box import caution_box
from fulfil.papers.elements.columns import Column, filling, heading_row, row
from fulfil.papers.elements.counted import counted
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.signature import signature
from fulfil.papers.elements.tick_box import tick_box
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, beside, ended, gap
from fulfil.papers.page import BODY_PT, STRONG_PT, TARGET_PT
from fulfil.papers.render import Leaf
from fulfil.papers.wrap import paragraph
from fulfil.quantities import print_package_mass
from fulfil.records.settings import Paper
from fulfil.records.sheets.manifest import ManifestRow, ManifestSheet

TITLE = "Manifest"
_COLUMNS = (
    Column("no.", 11.0, align="right"),
    Column("package", 34.0, face=Face.CODE),
    Column("order", 26.0),
    Column("consignee", 40.0),
    Column("country", 15.0, face=Face.BOLD),
    Column("gross", 22.0, align="right"),
    Column("given", 13.0, align="right"),
)


def pdf(sheets: Sequence[ManifestSheet], *, page: Paper, printer_dpi: int = 300) -> bytes:
    """The manifests of the sheets in one file.

    Raises:
        PaperRefused: a text that can't be printed whole, or a bar code too long for the page.
    """
    return document_pdf(sheets, leaves, title=TITLE, page=page, printer_dpi=printer_dpi)


def leaves(sheet: ManifestSheet, *, page: Paper, printer_dpi: int = 300) -> list[Leaf]:
    """The pages of one manifest."""
    collection = f"collection {sheet.cut_off:%H:%M}" if sheet.cut_off else ""
    return document_leaves(
        sheet,
        TITLE,
        facts=(day_words(sheet.day), collection),
        strong=sheet.service,
        blocks=lambda width, _: _blocks(sheet, width),
        page=page,
        printer_dpi=printer_dpi,
    )


def _blocks(sheet: ManifestSheet, width: float) -> list[Block]:
    columns = filling(_COLUMNS, width, 3)
    headings = heading_row(columns)
    half = width / 2
    totals = above(
        paragraph(counted(sheet.packages, "package"), Face.BOLD, TARGET_PT, half),
        paragraph(f"{print_package_mass(sheet.gross_g)} gross", Face.BOLD, TARGET_PT, half),
        paragraph(sheet.state_sentence, Face.TEXT, BODY_PT, half),
    )
    first = above(
        beside((0.0, address("from", sheet.from_lines, half - 6, BODY_PT)), (half, totals)),
        gap(1.5),
        caution_box(sheet.cautions, width),
        gap(1.5),
        headings,
    )
    blocks = [first.kept()]
    for number, each in enumerate(sheet.rows, start=1):
        made = row(columns, _cells(number, each, columns))
        blocks.append(Block(made.height_mm, made.parts, again=headings))
    return ended(blocks, _hand_over(sheet, width))


def _cells(number: int, each: ManifestRow, columns: Sequence[Column]) -> list[str | Block]:
    to_mm = columns[3].text_mm
    town = " ".join(word for word in (each.post_code, each.town) if word)
    to = [paragraph(each.consignee, Face.TEXT, BODY_PT, to_mm), paragraph(town, Face.TEXT, BODY_PT, to_mm)]
    to += [paragraph(each.flags, Face.BOLD, BODY_PT, to_mm)] if each.flags else []
    return [
        str(number),
        each.package_number,
        each.order_number,
        above(*to),
        each.country,
        print_package_mass(each.gross_g),
        tick_box(6.5),
    ]


def _hand_over(sheet: ManifestSheet, width: float) -> Block:
    words = (
        f"{counted(sheet.packages, 'package')} · {print_package_mass(sheet.gross_g)} gross · {sheet.document_number}"
    )
    half = width / 2 - 4
    lines = beside(
        (0.0, signature("handed over by (shop)", half)), (width - half, signature("received by (carrier)", half))
    )
    said = [paragraph(sheet.declaration, Face.TEXT, BODY_PT, width)] if sheet.declaration else []
    return above(gap(3.0), paragraph(words, Face.BOLD, STRONG_PT, width), *said, gap(3.0), lines)
