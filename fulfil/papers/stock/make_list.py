"""The make list: what the make-room is to make, the most urgent first, with the weight to cast or cut.

>>> from datetime import date
>>> sheet = MakeListSheet(document_number="J-0007", shop_name="Example", day=date(2025, 3, 4), rows=())
>>> pdf([sheet], page=Paper.LETTER)[:5]
b'%PDF-'
"""

from collections.abc import Sequence

from fulfil.papers.document import document_leaves, document_pdf
from fulfil.papers.elements.columns import heading_row
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.ink import Block
from fulfil.papers.render import Leaf
from fulfil.papers.stock.jobs import job_columns, job_row, job_words
from fulfil.records.settings import Paper
from fulfil.records.sheets.job_list import MakeListSheet

TITLE = "Make list"


def pdf(sheets: Sequence[MakeListSheet], *, page: Paper, printer_dpi: int = 300) -> bytes:
    """The make lists of the sheets in one file.

    Raises:
        PaperRefused: a text that can't be printed whole, or a bar code too long for its column.
    """
    return document_pdf(sheets, leaves, title=TITLE, page=page, printer_dpi=printer_dpi)


def leaves(sheet: MakeListSheet, *, page: Paper, printer_dpi: int = 300) -> list[Leaf]:
    """The pages of one make list."""
    return document_leaves(
        sheet,
        TITLE,
        facts=(day_words(sheet.day),),
        strong=job_words(sheet.rows, "to make"),
        blocks=lambda width, _: _blocks(sheet, width, printer_dpi),
        page=page,
        printer_dpi=printer_dpi,
    )


def _blocks(sheet: MakeListSheet, width: float, printer_dpi: int) -> list[Block]:
    columns = job_columns(width)
    headings = heading_row(columns)
    made = [job_row(each, columns, printer_dpi) for each in sheet.rows]
    blocks = [headings.kept()] if made else []
    return blocks + [one if i == 0 else Block(one.height_mm, one.parts, again=headings) for i, one in enumerate(made)]
