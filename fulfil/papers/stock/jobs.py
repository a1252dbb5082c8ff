"""What the make list and the buy list share: a row for each job, its bar code beside it to book the pieces in.

The one says what is to be made next door, the other what is to be bought from whom.

>>> row = JobRow(job_number="J2603020001", part_number="GEA-0012", description="Gear, 24 teeth", pieces=12,
...              orders=("O-1001 (12)",), due="Mon 2 Mar, 15:30")
>>> row.weight
''
"""

from collections.abc import Sequence
from dataclasses import dataclass

from fulfil.papers.elements.bar_code import bar_code
from fulfil.papers.elements.caution_box import caution_line
from fulfil.papers.elements.columns import Column, filling, row
from fulfil.papers.elements.counted import counted
from fulfil.papers.elements.part_cell import looks, says_more
from fulfil.papers.elements.pieces_cell import pieces_cell, pieces_text
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, gap
from fulfil.papers.page import BODY_PT, PLACE_PT, SMALL_PT
from fulfil.papers.wrap import led_paragraph, paragraph


@dataclass(frozen=True, kw_only=True)
class JobRow:
    """One job: ``weight`` is what to cast or cut, ``packs`` how many to buy; ``due`` the time; all written already."""

    job_number: str
    part_number: str
    description: str
    size: str = ""
    finish: str = ""
    pieces: int
    booked_pieces: int = 0
    due: str = ""
    orders: tuple[str, ...] = ()
    weight: str = ""
    packs: str = ""
    supplier: str = ""
    reason: str = ""
    cautions: tuple[str, ...] = ()


BARS_MM = 46.0
_COLUMNS = (
    Column("part", 60.0),
    Column("pieces", 24.0, align="right"),
    Column("for, by when", 48.0),
    Column("scan to book in", BARS_MM),
)


def job_columns(width: float) -> tuple[Column, ...]:
    """The columns of both lists."""
    return filling(_COLUMNS, width, 0)


def job_words(rows: Sequence[JobRow], what: str) -> str:
    """How much there is to do: ``'2 jobs · 1230 pieces to make'``."""
    still = sum(each.pieces - each.booked_pieces for each in rows)
    return f"{counted(len(rows), 'job')} · {counted(still, 'piece')} {what}" if rows else f"nothing {what}"


def job_row(each: JobRow, columns: Sequence[Column], printer_dpi: int) -> Block:
    """One job."""
    part_mm, for_mm = columns[0].text_mm, columns[2].text_mm
    part = [led_paragraph(each.part_number, each.description, BODY_PT, part_mm)]
    look = looks("", each.size, each.finish)
    texts = (look if says_more(look, each.description) else "", each.reason)
    part += [paragraph(text, Face.TEXT, BODY_PT, part_mm) for text in texts if text]
    part += [caution_line(text, part_mm, SMALL_PT) for text in each.cautions]
    open_pieces = each.pieces - each.booked_pieces
    pieces = pieces_cell(open_pieces, columns[1].text_mm, PLACE_PT, high_mm=6.5)
    asked = [paragraph(text, face, BODY_PT, for_mm) for text, face in _for(each) if text]
    bars = bar_code(
        each.job_number, printer_dpi=printer_dpi, most_mm=columns[3].text_mm, height_mm=8.0, text_pt=BODY_PT
    )
    return row(columns, (above(*part), pieces, above(*asked) if asked else gap(0.0), bars.block))


def _for(each: JobRow) -> tuple[tuple[str, Face], ...]:
    return (
        (f"by {each.due}" if each.due else "", Face.BOLD),
        (each.weight, Face.BOLD),
        (each.packs, Face.BOLD),
        (", ".join(each.orders), Face.TEXT),
        (_booked(each), Face.TEXT),
    )


def _booked(each: JobRow) -> str:
    """How many of how many have come already."""
    return f"{pieces_text(each.booked_pieces)} of {pieces_text(each.pieces)} booked in" if each.booked_pieces else ""
