"""The day's figures as pictures: each with a bar for today beside those of the days before, and what is usual.

>>> FigureRow(name="walking", today="2.4 h", usual="2.9 h", bars=(0.9, -1.0, 0.7)).bars[-1]
0.7

Today's bar is black and the last one; a day of which nothing was written down has a short stroke instead of a bar. The
words beside say the same, for whoever can't see the picture.
"""

from dataclasses import dataclass

from fulfil.papers.document import Document
from fulfil.papers.elements.columns import Column, filling, heading_row, row, table
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, Box, Strokes, above, block, gap
from fulfil.papers.numbering import OfTheDay
from fulfil.papers.page import BODY_PT, STRONG_PT, TARGET_PT
from fulfil.papers.sheet import DocumentSheet
from fulfil.papers.wrap import paragraph


@dataclass(frozen=True, kw_only=True)
class FigureRow:
    """One figure: its words, today's value, the usual one, and a bar a day, oldest first, today last.

    ``bars`` are heights from 0 to 1; below 0 nothing is known of the day.
    """

    name: str
    today: str
    usual: str
    bars: tuple[float, ...]


@dataclass(frozen=True, kw_only=True)
class DayFiguresSheet(DocumentSheet):
    """The day against those before it.

    Attributes:
        sentence: against how many days.
        groups: heading and rows of each.
        pairs: part wanted, part likely taken, bags; most first.
        remarks: what the figures are, and aren't.
    """

    sentence: str
    groups: tuple[tuple[str, tuple[FigureRow, ...]], ...]
    pairs: tuple[tuple[str, str, str], ...] = ()
    remarks: tuple[str, ...] = ()


NUMBERED = OfTheDay("F", "01")
PAPER = Document(
    sheet=DayFiguresSheet,
    name="Figures of the day",
    file="day-figures",
    about=lambda sheets: str(sheets[0].day),
    numbered=NUMBERED,
    facts=lambda sheet: (day_words(sheet.day),),
    blocks=lambda sheet, space: _blocks(sheet, space.width_mm),
)

_HEIGHT_MM = 9.0
_PICTURE = 0.42
"""Of the width."""
_COLUMNS = (
    Column("", 44.0, size_pt=STRONG_PT),
    Column("today", 26.0, align="right", face=Face.BOLD, size_pt=TARGET_PT),
    Column("usual", 24.0, align="right", size_pt=STRONG_PT),
    Column("the days before, and today in black", 60.0),
)
_PAIRS = (
    Column("wanted", 40.0, face=Face.BOLD, size_pt=STRONG_PT),
    Column("likely taken", 40.0, size_pt=STRONG_PT),
    Column("bags", 20.0, size_pt=STRONG_PT),
)


def _blocks(sheet: DayFiguresSheet, width: float) -> list[Block]:
    columns = filling(_COLUMNS, width, 3)
    blocks = [paragraph(sheet.sentence, Face.TEXT, STRONG_PT, width), gap(3.0)]
    for heading, rows in sheet.groups:
        blocks.append(paragraph(heading, Face.BOLD, TARGET_PT, width).kept())
        blocks += table(heading_row(columns), [_row(each, columns) for each in rows])
        blocks.append(gap(3.0))
    if sheet.pairs:
        title = paragraph("Mixed up with one another, over all these days", Face.BOLD, TARGET_PT, width)
        blocks += [title.kept(), *table(heading_row(_PAIRS), [row(_PAIRS, pair) for pair in sheet.pairs]), gap(3.0)]
    return blocks + [paragraph(each, Face.TEXT, BODY_PT, width) for each in sheet.remarks]


def _row(each: FigureRow, columns: tuple[Column, ...]) -> Block:
    return row(columns, (each.name, each.today, each.usual, bars(each.bars, columns[-1].text_mm)))


def bars(heights: tuple[float, ...], width: float) -> Block:
    """A bar a day on one line, the last one black.

    >>> drawn = bars((0.5, -1.0, 1.0), 30.0)
    >>> drawn.height_mm, [mark.fill for mark in drawn.parts[0].marks if isinstance(mark, Box)]
    (10.0, ['none', 'black'])
    """
    step = min(width / max(len(heights), 1), 8.0)
    wide, foot = step * 0.65, _HEIGHT_MM + 0.5
    marks: list[Box | Strokes] = []
    for place, height in enumerate(heights):
        x_mm, is_today = place * step, place == len(heights) - 1
        if height < 0:
            marks.append(Strokes((((x_mm + wide / 3, foot - 1.0), (x_mm + wide * 2 / 3, foot - 1.0)),), 0.3))
            continue
        tall = max(0.3, height * _HEIGHT_MM)
        marks.append(Box(x_mm, foot - tall, wide, tall, 0.25, "black" if is_today else "none"))
    marks.append(Strokes((((0.0, foot), (step * len(heights), foot)),), 0.25))
    return above(block(foot + 0.5, *marks))
