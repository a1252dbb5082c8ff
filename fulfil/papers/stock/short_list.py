"""The short list: what can't be had today, first what the make-room makes, then what is bought, by supplier.

The order of rows is the sheet's; a heading stands wherever supply or supplier changes.

>>> from datetime import date
>>> from fulfil.papers.door import pdf
>>> from fulfil.records.settings import Paper
>>> sheet = ShortListSheet(document_number="S-0007", shop_name="Example", day=date(2025, 3, 4), rows=())
>>> pdf([sheet], page=Paper.LETTER)[:5]
b'%PDF-'

>>> row = ShortRow(part_number="GEA-0012", description="Gear, 24 teeth", pieces=12, supply=Supply.MAKE,
...                waiting=(WaitingOrder(order_number="O-1001", pieces=12),))
>>> row.supplier
''
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from fulfil.papers.document import Document
from fulfil.papers.elements.caution_box import caution_box
from fulfil.papers.elements.columns import Column, filling, heading_row, row
from fulfil.papers.elements.counted import counted
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.part_cell import looks, says_more
from fulfil.papers.elements.pieces_cell import pieces_cell, pieces_text
from fulfil.papers.elements.tick_box import tick_box
from fulfil.papers.elements.turn import turn_line
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, gap
from fulfil.papers.numbering import OfTheDay
from fulfil.papers.page import BODY_PT, PLACE_PT
from fulfil.papers.sheet import DocumentSheet
from fulfil.papers.wrap import led_paragraph, paragraph
from fulfil.records.part import Supply


@dataclass(frozen=True, kw_only=True)
class WaitingOrder:
    """An order that waits for pieces of a part."""

    order_number: str
    pieces: int
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class ShortRow:
    """One part that is short: ``pieces`` are missing, made next door or bought from ``supplier``."""

    part_number: str
    description: str
    size: str = ""
    finish: str = ""
    pieces: int
    supply: Supply
    supplier: str = ""
    waiting: tuple[WaitingOrder, ...]
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class ShortListSheet(DocumentSheet):
    """All shorts of a day, grouped by the order given: a new heading wherever supply or supplier changes."""

    rows: tuple[ShortRow, ...]
    cautions: tuple[str, ...] = ()

    @property
    def pieces_to_make(self) -> int:
        """Pieces for the make-room."""
        return sum(row.pieces for row in self.rows if row.supply is Supply.MAKE)

    @property
    def pieces_held(self) -> int:
        """Pieces of orders that are on hold, or wait for something else that is said of them."""
        return sum(order.pieces for row in self.rows for order in row.waiting if order.note)

    @property
    def pieces_to_buy(self) -> int:
        """Pieces to be ordered from suppliers."""
        return sum(row.pieces for row in self.rows if row.supply is Supply.BUY)


NUMBERED = OfTheDay("S", "01")
PAPER = Document(
    sheet=ShortListSheet,
    name="Short list",
    file="short-list",
    about=lambda sheets: str(sheets[0].day),
    numbered=NUMBERED,
    facts=lambda sheet: (day_words(sheet.day),),
    strong=lambda sheet: _pieces(sheet) if sheet.rows else "nothing is short",
    blocks=lambda sheet, space: _blocks(sheet, space.width_mm),
)


_MOST_WAITING = 40
_COLUMNS = (
    Column("part", 60.0),
    Column("pieces short", 26.0, align="right"),
    Column("orders waiting (pieces)", 58.0),
    Column("done", 9.0, align="right"),
)


def _pieces(sheet: ShortListSheet) -> str:
    held = f" · {pieces_text(sheet.pieces_held)} of these for orders on hold" if sheet.pieces_held else ""
    return f"{counted(sheet.pieces_to_make, 'piece')} to make · {counted(sheet.pieces_to_buy, 'piece')} to buy{held}"


def _blocks(sheet: ShortListSheet, width: float) -> list[Block]:
    columns = filling(_COLUMNS, width, 0)
    headings = heading_row(columns)
    blocks = [above(caution_box(sheet.cautions, width), headings).kept()] if sheet.rows else []
    for heading, rows in groupby(sheet.rows, key=_heading):
        turn = above(gap(1.5), turn_line(heading, width))
        blocks.append(Block(turn.height_mm, turn.parts, keeps_next=True, again=headings))
        again = above(headings, turn_line(heading, width, is_continued=True))
        made = [row(columns, cells) for each in rows for cells in _rows(each, columns)]
        blocks += [one if i == 0 else Block(one.height_mm, one.parts, again=again) for i, one in enumerate(made)]
    return blocks or [caution_box(sheet.cautions, width)]


def _heading(each: ShortRow) -> str:
    if each.supply is Supply.MAKE:
        return "Make"
    return f"Buy from {each.supplier}" if each.supplier else "Buy, no supplier known"


def _rows(each: ShortRow, columns: Sequence[Column]) -> list[list[str | Block]]:
    """The part's row; where very many orders wait, more rows that repeat its number."""
    chunks = [each.waiting[i : i + _MOST_WAITING] for i in range(0, len(each.waiting), _MOST_WAITING)] or [()]
    number = paragraph(f"{each.part_number} – continued", Face.TEXT, BODY_PT, columns[0].text_mm)
    found = [_cells(each, chunks[0], columns)]
    for chunk in chunks[1:]:
        found.append([number, "", ", ".join(_waiting(order) for order in chunk), gap(0.0)])
    return found


def _cells(each: ShortRow, orders: Sequence[WaitingOrder], columns: Sequence[Column]) -> list[str | Block]:
    part_mm = columns[0].text_mm
    part = [led_paragraph(each.part_number, each.description, BODY_PT, part_mm)]
    look = looks("", each.size, each.finish)
    texts = (look if says_more(look, each.description) else "", each.note)
    part += [paragraph(text, Face.TEXT, BODY_PT, part_mm) for text in texts if text]
    waiting = ", ".join(_waiting(order) for order in orders)
    return [
        above(*part),
        pieces_cell(each.pieces, columns[1].text_mm, PLACE_PT, high_mm=6.5),
        waiting,
        tick_box(6.5),
    ]


def _waiting(order: WaitingOrder) -> str:
    note = f", {order.note}" if order.note else ""
    return f"{order.order_number} ({pieces_text(order.pieces)}{note})"
