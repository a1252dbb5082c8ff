"""What a scale can count: a page for the wall over the bench, large figures, one page a scale.

>>> CountingTable(sample_pieces=50, scatters=("0.5 %", "1 %"), rows=(("0.9 g", ("216", "97")),)).rows[0][1][1]
'97'
"""

from dataclasses import dataclass

from fulfil.papers.document import Document
from fulfil.papers.elements.caution_box import caution_box
from fulfil.papers.elements.columns import Column, heading_row, row
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, gap
from fulfil.papers.numbering import After
from fulfil.papers.page import BODY_PT, STRONG_PT, TARGET_PT
from fulfil.papers.sheet import DocumentSheet
from fulfil.papers.wrap import paragraph


@dataclass(frozen=True, kw_only=True)
class CountingTable:
    """One sample size: a column for each scatter (piece s.d. by unit weight), a row for each unit weight."""

    sample_pieces: int
    scatters: tuple[str, ...]
    rows: tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True, kw_only=True)
class CountingTableSheet(DocumentSheet):
    """One scale's page; ``plate`` repeats its plate, ``rules`` what holds at the bench."""

    scale: str
    plate: str
    tables: tuple[CountingTable, ...]
    rules: tuple[str, ...]
    risk_statement: str
    cautions: tuple[str, ...] = ()


NUMBERED = After("SCALE-")
PAPER = Document(
    sheet=CountingTableSheet,
    name="What this scale can count",
    file="counting-table",
    about=lambda _: "scales",
    numbered=NUMBERED,
    facts=lambda sheet: (day_words(sheet.day), sheet.plate),
    blocks=lambda sheet, space: _blocks(sheet, space.width_mm),
)


_FIRST_MM = 42.0


def _blocks(sheet: CountingTableSheet, width: float) -> list[Block]:
    blocks = [above(paragraph(sheet.risk_statement, Face.TEXT, BODY_PT, width), gap(2.0))]
    for table in sheet.tables:
        blocks.append(above(_table(table, width), gap(4.0)))
    blocks += [above(paragraph(rule, Face.TEXT, STRONG_PT, width), gap(1.0)) for rule in sheet.rules]
    blocks.append(caution_box(sheet.cautions, width))
    return blocks


def _table(table: CountingTable, width: float) -> Block:
    each = (width - _FIRST_MM) / len(table.scatters)
    heads = (
        Column("one piece weighs", _FIRST_MM),
        *(Column(f"piece s.d. {scatter}", each, align="right") for scatter in table.scatters),
    )
    cells = (
        Column("", _FIRST_MM, face=Face.BOLD, size_pt=TARGET_PT),
        *(Column("", each, align="right", face=Face.BOLD, size_pt=TARGET_PT) for _ in table.scatters),
    )
    heading = paragraph(
        f"Most pieces in one bag, unit weight from {table.sample_pieces} pieces", Face.BOLD, TARGET_PT, width
    )
    rows = (row(cells, (label, *counts)) for label, counts in table.rows)
    return above(heading, heading_row(heads), *rows)
