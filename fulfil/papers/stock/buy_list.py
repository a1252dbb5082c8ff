"""The buy list: what is to be ordered from each supplier, and the bar code to book it in when it comes.

>>> from datetime import date
>>> from fulfil.papers.door import pdf
>>> from fulfil.records.settings import Paper
>>> sheet = BuyListSheet(document_number="J-0007", shop_name="Example", day=date(2025, 3, 4), rows=())
>>> pdf([sheet], page=Paper.LETTER)[:5]
b'%PDF-'
"""

from dataclasses import dataclass
from itertools import groupby

from fulfil.papers.document import Document
from fulfil.papers.elements.columns import heading_row
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.turn import turn_line
from fulfil.papers.ink import Block, above, gap
from fulfil.papers.numbering import OfTheDay
from fulfil.papers.sheet import DocumentSheet
from fulfil.papers.stock.jobs import JobRow, job_columns, job_row, job_words


@dataclass(frozen=True, kw_only=True)
class BuyListSheet(DocumentSheet):
    """Jobs for suppliers: a heading wherever the supplier changes."""

    rows: tuple[JobRow, ...]

    @property
    def pieces(self) -> int:
        """Pieces still to come."""
        return sum(row.pieces - row.booked_pieces for row in self.rows)


NUMBERED = OfTheDay("JB")
PAPER = Document(
    sheet=BuyListSheet,
    name="Buy list",
    file="buy-list",
    about=lambda sheets: str(sheets[0].day),
    numbered=NUMBERED,
    facts=lambda sheet: (day_words(sheet.day),),
    strong=lambda sheet: job_words(sheet.rows, "to buy"),
    blocks=lambda sheet, space: _blocks(sheet, space.width_mm, space.printer_dpi),
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
