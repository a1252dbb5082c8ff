"""The count sheet: bins to count, with a box for the figure that is found, and never the figure that the books hold.

Whoever counts must not be led by what should be there (common practice of blind counts). Scan the bin's bar code to
book the count.

>>> from datetime import date
>>> from fulfil.papers.door import pdf
>>> from fulfil.records.settings import Paper
>>> row = CountRow(bin_code="03R-02-4", part_number="GEA-0012", description="Gear, 24 teeth", family="gear")
>>> sheet = CountSheet(document_number="Z26030201", shop_name="Example", day=date(2026, 3, 2), why="empty by the books",
...     rows=(row,))
>>> pdf([sheet], page=Paper.LETTER)[:5]
b'%PDF-'
"""

from collections.abc import Sequence
from dataclasses import dataclass

from fulfil.papers.document import Document
from fulfil.papers.elements.bar_code import bar_code
from fulfil.papers.elements.caution_box import caution_line
from fulfil.papers.elements.columns import Column, filling, heading_row, row, table
from fulfil.papers.elements.counted import counted
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.part_cell import looks, part_cell
from fulfil.papers.ink import Block, Box, above, block
from fulfil.papers.numbering import OfTheDay
from fulfil.papers.page import BODY_PT, SMALL_PT
from fulfil.papers.sheet import DocumentSheet


@dataclass(frozen=True, kw_only=True)
class CountRow:
    """One bin: its code, and what the part in it looks like."""

    bin_code: str
    part_number: str
    description: str
    family: str = ""
    size: str = ""
    finish: str = ""
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class CountSheet(DocumentSheet):
    """Bins in the order in which they hang, and why they are counted."""

    why: str
    rows: tuple[CountRow, ...]


NUMBERED = OfTheDay("Z", "01")
PAPER = Document(
    sheet=CountSheet,
    name="Count sheet",
    file="count-sheet",
    about=lambda sheets: str(sheets[0].day),
    numbered=NUMBERED,
    facts=lambda sheet: (day_words(sheet.day), "Write what you count, 0 too; then scan the bin and book it."),
    strong=lambda sheet: _what(sheet),
    blocks=lambda sheet, space: _blocks(sheet, space.width_mm, space.printer_dpi),
)
BOX_MM = (30.0, 11.0)
_COLUMNS = (Column("scan the bin", 52.0), Column("part", 60.0), Column("counted, pieces", BOX_MM[0] + 2.0))


def _what(sheet: CountSheet) -> str:
    return (
        f"{counted(len(sheet.rows), 'bin')} {sheet.why}: is anything in them?" if sheet.rows else f"no bin {sheet.why}"
    )


def _blocks(sheet: CountSheet, width: float, printer_dpi: int) -> list[Block]:
    columns = filling(_COLUMNS, width, 1)
    return table(heading_row(columns), [_row(each, columns, printer_dpi) for each in sheet.rows]) if sheet.rows else []


def _row(each: CountRow, columns: Sequence[Column], printer_dpi: int) -> Block:
    bars = bar_code(each.bin_code, printer_dpi=printer_dpi, most_mm=columns[0].text_mm, height_mm=8.0, text_pt=BODY_PT)
    look = looks(each.family, each.size, each.finish)
    part_mm = columns[1].text_mm
    part = [part_cell(each.part_number, each.description, look, part_mm)]
    part += [caution_line(text, part_mm, SMALL_PT) for text in each.cautions]
    return row(columns, (bars.block, above(*part), block(BOX_MM[1], Box(0.0, 0.0, *BOX_MM, line_mm=0.5))))
