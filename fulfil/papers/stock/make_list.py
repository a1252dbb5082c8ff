"""The make list: what the make-room is to make, the most urgent first, with the weight to cast or cut.

>>> from datetime import date
>>> from fulfil.papers.door import pdf
>>> from fulfil.records.settings import Paper
>>> sheet = MakeListSheet(document_number="J-0007", shop_name="Example", day=date(2025, 3, 4), rows=())
>>> pdf([sheet], page=Paper.LETTER)[:5]
b'%PDF-'
"""

from dataclasses import dataclass

from fulfil.papers.document import Document
from fulfil.papers.elements.columns import heading_row
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.ink import Block
from fulfil.papers.numbering import OfTheDay
from fulfil.papers.sheet import DocumentSheet
from fulfil.papers.stock.jobs import JobRow, job_columns, job_row, job_words


@dataclass(frozen=True, kw_only=True)
class MakeListSheet(DocumentSheet):
    """Jobs for the make-room, the most urgent first."""

    rows: tuple[JobRow, ...]

    @property
    def pieces(self) -> int:
        """Pieces still to make."""
        return sum(row.pieces - row.booked_pieces for row in self.rows)


NUMBERED = OfTheDay("JM")
PAPER = Document(
    sheet=MakeListSheet,
    name="Make list",
    file="make-list",
    about=lambda sheets: str(sheets[0].day),
    numbered=NUMBERED,
    facts=lambda sheet: (day_words(sheet.day),),
    strong=lambda sheet: job_words(sheet.rows, "to make"),
    blocks=lambda sheet, space: _blocks(sheet, space.width_mm, space.printer_dpi),
)


def _blocks(sheet: MakeListSheet, width: float, printer_dpi: int) -> list[Block]:
    columns = job_columns(width)
    headings = heading_row(columns)
    made = [job_row(each, columns, printer_dpi) for each in sheet.rows]
    blocks = [headings.kept()] if made else []
    return blocks + [one if i == 0 else Block(one.height_mm, one.parts, again=headings) for i, one in enumerate(made)]
