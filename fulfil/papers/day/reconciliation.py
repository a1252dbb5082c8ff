"""The reconciliation: do the sums agree, what differs, and who has said what about it.

Every difference has its money, as far as it is known; the dearest stands first.

>>> DifferenceRow(code="1A2B3C4D", cause="billed weight", subject="package P1", says="…", do="…").outcome
''
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from fulfil.papers.document import Document
from fulfil.papers.elements.caution_box import caution_box, framed
from fulfil.papers.elements.columns import Column, filling, heading_row, row, table
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.signature import signature
from fulfil.papers.elements.tick_box import tick_box
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, beside, ended, gap
from fulfil.papers.numbering import OfTheDay
from fulfil.papers.page import BODY_PT, STRONG_PT, TARGET_PT
from fulfil.papers.sheet import DocumentSheet
from fulfil.papers.wrap import paragraph


@dataclass(frozen=True, kw_only=True)
class DifferenceRow:
    """One difference; ``money`` has its currency, ``outcome`` says who settled or carried it over."""

    code: str
    cause: str
    subject: str
    says: str
    do: str
    money: str = ""
    outcome: str = ""


@dataclass(frozen=True, kw_only=True)
class SumRow:
    """Two sums that must agree, written already, and whether they do."""

    label: str
    ours: str
    theirs: str
    agrees: bool


@dataclass(frozen=True, kw_only=True)
class ReconciliationSheet(DocumentSheet):
    """One day: ``state_sentence`` says whether it is closed; ``costs`` are (order, packages, ours, billed)."""

    state_sentence: str
    is_closed: bool
    sums: tuple[SumRow, ...]
    differences: tuple[DifferenceRow, ...]
    costs: tuple[tuple[str, str, str, str], ...] = ()

    @property
    def open_differences(self) -> int:
        """Differences that nobody has settled or carried over yet."""
        return sum(not row.outcome for row in self.differences)


NUMBERED = OfTheDay("R", "01")
PAPER = Document(
    sheet=ReconciliationSheet,
    name="Reconciliation",
    file="reconciliation",
    about=lambda sheets: str(sheets[0].day),
    numbered=NUMBERED,
    facts=lambda sheet: (day_words(sheet.day),),
    blocks=lambda sheet, space: _blocks(sheet, space.width_mm),
)


_GUTTER_MM = 8.0


def _blocks(sheet: ReconciliationSheet, width: float) -> list[Block]:
    blocks = [above(_state(sheet, width), gap(2.0)), *_sums(sheet.sums, width), gap(4.0)]
    if sheet.differences:
        columns = filling(
            (
                Column("code", 27.0, face=Face.CODE),
                Column("money", 31.0, align="right", face=Face.BOLD, size_pt=STRONG_PT),
                Column("what differs", 60.0),
                Column("done", 9.0, align="right"),
            ),
            width,
            2,
        )
        headings = heading_row(columns)
        title = paragraph("Differences, largest amount first", Face.BOLD, TARGET_PT, width)
        blocks.append(above(title, headings).kept())
        for each in sheet.differences:
            made = row(columns, _cells(each, columns[2].text_mm))
            blocks.append(Block(made.height_mm, made.parts, again=headings))
        blocks.append(gap(4.0))
    if sheet.costs:
        blocks += _costs(sheet, width)
    return ended(blocks, above(gap(2.0), signature("reconciled by", width * 0.6)))


def _state(sheet: ReconciliationSheet, width: float) -> Block:
    if sheet.is_closed or not sheet.open_differences:
        return framed(paragraph(sheet.state_sentence, Face.BOLD, TARGET_PT, width - 4), width, line_mm=0.3)
    return caution_box((sheet.state_sentence,), width, TARGET_PT)


def _sums(sums: Sequence[SumRow], width: float) -> list[Block]:
    columns = filling(
        (
            Column("", 60.0, size_pt=STRONG_PT),
            Column("our books", 42.0, align="right", size_pt=STRONG_PT),
            Column("billed or counted", 42.0, align="right", size_pt=STRONG_PT),
            Column("agrees", 20.0, align="right", face=Face.BOLD, size_pt=STRONG_PT),
        ),
        width,
        0,
    )
    rows = [row(columns, (each.label, each.ours, each.theirs, "yes" if each.agrees else "NO")) for each in sums]
    return table(heading_row(columns), rows)


def _cells(each: DifferenceRow, says_mm: float) -> list[str | Block]:
    said = [
        paragraph(f"{each.subject}: {each.cause}", Face.BOLD, BODY_PT, says_mm),
        paragraph(f"{each.says}.", Face.TEXT, BODY_PT, says_mm),
    ]
    last = f"{each.outcome}." if each.outcome else f"Do: {each.do}."
    said.append(paragraph(last, Face.TEXT if each.outcome else Face.BOLD, BODY_PT, says_mm))
    return [each.code, each.money or "–", above(*said), "yes" if each.outcome else tick_box(6.5)]


def _costs(sheet: ReconciliationSheet, width: float) -> list[Block]:
    """Two orders a row, side by side; what was billed otherwise than agreed is bold."""
    half = (width - _GUTTER_MM) / 2
    columns = filling(
        (
            Column("order", 28.0),
            Column("packages", 16.0, align="right"),
            Column("as agreed", 24.0, align="right"),
            Column("as billed", 24.0, align="right"),
        ),
        half,
        0,
    )
    differs = (*columns[:3], replace(columns[3], face=Face.BOLD))
    made = [row(columns if cells[2] == cells[3] else differs, cells) for cells in sheet.costs]
    pairs = [
        beside((0.0, made[i]), *((half + _GUTTER_MM, one) for one in made[i + 1 : i + 2]))
        for i in range(0, len(made), 2)
    ]
    head = heading_row(columns)
    heads = beside((0.0, head), *([(half + _GUTTER_MM, head)] if made[1:] else []))
    title = paragraph("Cost of shipping by order", Face.BOLD, TARGET_PT, width)
    return [title.kept(), *table(heads, pairs)]
