"""The buy list: what is to be ordered from each supplier, and the bar code to book it in when it comes.

>>> from datetime import date
>>> sheet = BuyListSheet(document_number="J-0007", shop_name="Example", day=date(2025, 3, 4), rows=())
>>> pdf([sheet], page=Paper.LETTER)[:5]
b'%PDF-'
"""

from collections.abc import Sequence
from itertools import groupby

from fulfil.papers.document import document_leaves, document_pdf
from fulfil.papers.elements.columns import heading_row
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.turn import turn_line
from fulfil.papers.ink import Block, above, gap
from fulfil.papers.render import Leaf
from fulfil.papers.stock.jobs import job_columns, job_row, job_words
from fulfil.records.settings import Paper
from fulfil.records.sheets.job_list import BuyListSheet

TITLE = "Buy list"


def pdf(sheets: Sequence[BuyListSheet], *, page: Paper, printer_dpi: int = 300) -> bytes:
    """The buy lists of the sheets in one file.

    Raises:
        PaperRefused: a text that can't be printed whole, or a bar code too long for its column.
    """
    return document_pdf(sheets, leaves, title=TITLE, page=page, printer_dpi=printer_dpi)


def leaves(sheet: BuyListSheet, *, page: Paper, printer_dpi: int = 300) -> list[Leaf]:
    """The pages of one buy list."""
    return document_leaves(
        sheet,
        TITLE,
        facts=(day_words(sheet.day),),
        strong=job_words(sheet.rows, "to buy"),
        blocks=lambda width, _: _blocks(sheet, width, printer_dpi),
        page=page,
        printer_dpi=printer_dpi,
    )


def _blocks(sheet: BuyListSheet, width: float, printer_dpi: int) -> list[Block]:
    columns = job_columns(width)
    headings = heading_row(columns)
    blocks: list[Block] = []
    for supplier, rows in groupby(sheet.rows, key=lambda row: row.supplier):
        heading = f"Buy from {supplier}" if supplier else "No supplier known"
        turn = above(gap(1.5), turn_line(heading, width), headings)
        blocks.append(turn.kept())
        again = above(turn_line(heading, width, is_continued=True), headings)
        made = [job_row(each, columns, printer_dpi) for each in rows]
        blocks += [one if i == 0 else Block(one.height_mm, one.parts, again=again) for i, one in enumerate(made)]
    return blocks
