"""The replenishment list: what to fetch from reserve bins in the evening, and which picking bins to fill with it.

Two parts, each in walking order: first all that is fetched, counted as it is taken out, then all that is filled. What
was fetched under a number is filled from that number, so nothing is counted twice. Scan the bin before you reach in.

>>> from datetime import date
>>> from fulfil.papers.door import pdf
>>> from fulfil.records.settings import Paper
>>> fetch = FetchRow(no=1, bin_code="R-02-4", part_number="GEA-0012", description="Gear, 24 teeth", pieces=200,
...                  counts=(("2 bags of 100", "40.00 – 43.48 g", "with bag, aim at 41.74"),))
>>> fill = FillRow(bin_code="03L-02-1", part_number="GEA-0012", description="Gear, 24 teeth", pieces=200, nos=(1,))
>>> sheet = ReplenishmentListSheet(document_number="RL260302", shop_name="Example", day=date(2026, 3, 2), for_days=5,
...     fetch=(fetch,), fill=(fill,), fetch_m="62 m", fill_m="48 m")
>>> pdf([sheet], page=Paper.LETTER)[:5]
b'%PDF-'
"""

from collections.abc import Sequence
from dataclasses import dataclass

from fulfil.papers.document import Document
from fulfil.papers.elements.bar_code import bar_code
from fulfil.papers.elements.caution_box import caution_box, caution_line
from fulfil.papers.elements.columns import Column, filling, heading_row, row
from fulfil.papers.elements.counted import counted
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.part_cell import looks, part_cell
from fulfil.papers.elements.pieces_cell import pieces_cell
from fulfil.papers.elements.tick_box import tick_box
from fulfil.papers.elements.turn import turn_line
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, gap
from fulfil.papers.numbering import OfTheDay
from fulfil.papers.page import BODY_PT, PLACE_PT, SMALL_PT
from fulfil.papers.sheet import DocumentSheet
from fulfil.papers.wrap import paragraph


@dataclass(frozen=True, kw_only=True)
class FetchRow:
    """What to take from one reserve bin; ``counts`` are lines of words: how many, the window, at what to aim.

    ``why`` says what is left in the picking bins and what a day takes.
    """

    no: int
    bin_code: str
    part_number: str
    description: str
    family: str = ""
    size: str = ""
    finish: str = ""
    lot: str = ""
    pieces: int
    counts: tuple[tuple[str, str, str], ...] = ()
    why: str = ""
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class FillRow:
    """A picking bin, and under which numbers its pieces were fetched."""

    bin_code: str
    part_number: str
    description: str
    pieces: int
    nos: tuple[int, ...]


@dataclass(frozen=True, kw_only=True)
class ReplenishmentListSheet(DocumentSheet):
    """An evening's refills: fetched in the order of the first walk, filled in that of the second."""

    for_days: int
    fetch: tuple[FetchRow, ...]
    fill: tuple[FillRow, ...]
    fetch_m: str = ""
    fill_m: str = ""
    cautions: tuple[str, ...] = ()


NUMBERED = OfTheDay("RL")
PAPER = Document(
    sheet=ReplenishmentListSheet,
    name="Replenishment list",
    file="replenishment-list",
    about=lambda sheets: str(sheets[0].day),
    numbered=NUMBERED,
    facts=lambda sheet: (
        f"{day_words(sheet.day)}, evening",
        f"enough for {counted(sheet.for_days, 'usual day')}" if sheet.fetch else "",
    ),
    strong=lambda sheet: _what(sheet),
    blocks=lambda sheet, space: _blocks(sheet, space.width_mm, space.printer_dpi),
)
_FETCH = (
    Column("no.", 9.0, align="right", face=Face.BOLD),
    Column("scan the reserve bin", 46.0),
    Column("part", 44.0),
    Column("pieces", 20.0, align="right"),
    Column("count", 50.0),
    Column("done", 9.0, align="right"),
)
_FILL = (
    Column("scan the picking bin", 46.0),
    Column("part", 70.0),
    Column("pieces", 24.0, align="right"),
    Column("fetched under", 29.0, align="right", face=Face.BOLD),
    Column("done", 9.0, align="right"),
)
_PIECES_MM = 6.5


def _what(sheet: ReplenishmentListSheet) -> str:
    pieces = sum(each.pieces for each in sheet.fetch)
    if not sheet.fetch:
        return "nothing to fill up"
    return f"{counted(pieces, 'piece')} from {counted(len(sheet.fetch), 'reserve bin')}"


def _blocks(sheet: ReplenishmentListSheet, width: float, printer_dpi: int) -> list[Block]:
    if not sheet.fetch:
        return []
    fetch, fill = filling(_FETCH, width, 2), filling(_FILL, width, 1)
    first = _part(f"1. Fetch: {sheet.fetch_m}", fetch, [_fetched(each, fetch, printer_dpi) for each in sheet.fetch])
    then = _part(f"2. Fill: {sheet.fill_m}", fill, [_filled(each, fill, printer_dpi) for each in sheet.fill])
    book = paragraph("Book each move: fulfil stock move RESERVE-BIN PICKING-BIN PIECES.", Face.TEXT, SMALL_PT, width)
    return [caution_box(sheet.cautions, width), *first, gap(3.0), *then, above(gap(2.0), book)]


def _part(title: str, columns: Sequence[Column], rows: Sequence[Block]) -> list[Block]:
    headings = heading_row(columns)
    turn = above(turn_line(title, columns[0].width_mm + sum(one.width_mm for one in columns[1:])), headings)
    return [turn.kept(), *(one if i == 0 else Block(one.height_mm, one.parts, again=headings)
                           for i, one in enumerate(rows))]  # fmt: skip


def _bars(code: str, column: Column, printer_dpi: int) -> Block:
    return bar_code(code, printer_dpi=printer_dpi, most_mm=column.text_mm, height_mm=8.0, text_pt=BODY_PT).block


def _fetched(each: FetchRow, columns: Sequence[Column], printer_dpi: int) -> Block:
    part_mm, count_mm = columns[2].text_mm, columns[4].text_mm
    part = [part_cell(each.part_number, each.description, looks(each.family, each.size, each.finish), part_mm)]
    part += [paragraph(text, Face.TEXT, SMALL_PT, part_mm) for text in (_lot(each), each.why) if text]
    part += [caution_line(text, part_mm, SMALL_PT) for text in each.cautions]
    count: list[Block] = []
    for how, window, aim in each.counts:
        words = ((how, Face.TEXT), (window, Face.BOLD), (aim, Face.TEXT))
        count += [paragraph(text, face, BODY_PT, count_mm) for text, face in words if text]
    pieces = pieces_cell(each.pieces, columns[3].text_mm, PLACE_PT, high_mm=_PIECES_MM)
    return row(
        columns, (str(each.no), _bars(each.bin_code, columns[1], printer_dpi), above(*part), pieces, above(*count),
                  tick_box())
    )  # fmt: skip


def _lot(each: FetchRow) -> str:
    return f"lot {each.lot}" if each.lot else ""


def _filled(each: FillRow, columns: Sequence[Column], printer_dpi: int) -> Block:
    part = part_cell(each.part_number, each.description, "", columns[1].text_mm)
    pieces = pieces_cell(each.pieces, columns[2].text_mm, PLACE_PT, high_mm=_PIECES_MM)
    nos = ", ".join(str(no) for no in each.nos)
    return row(columns, (_bars(each.bin_code, columns[0], printer_dpi), part, pieces, nos, tick_box()))
