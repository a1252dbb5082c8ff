"""The manifest: what is handed to one service, package by package, and signed for.

A box to tick at each package, so that driver and shop count the same; totals, and both signatures below the last row.

>>> row = ManifestRow(package_number="PK000042", order_number="O-1001", consignee="Test Person", town="Lisboa",
...                   post_code="1000-001", country="PT", gross_g=Decimal("1250"))
>>> row.flags
''
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, time
from decimal import Decimal

from fulfil.papers.document import Document
from fulfil.papers.elements.address import address
from fulfil.papers.elements.caution_box import caution_box
from fulfil.papers.elements.columns import Column, filling, heading_row, row
from fulfil.papers.elements.counted import counted
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.signature import signature
from fulfil.papers.elements.tick_box import tick_box
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, beside, ended, gap
from fulfil.papers.page import BODY_PT, STRONG_PT, TARGET_PT
from fulfil.papers.sheet import DocumentSheet
from fulfil.papers.wrap import paragraph
from fulfil.quantities import print_grams, print_package_mass


@dataclass(frozen=True, kw_only=True)
class ManifestRow:
    """One package; ``flags`` are short words such as 'customs' or 'lift by two'."""

    package_number: str
    order_number: str
    consignee: str
    town: str
    post_code: str = ""
    country: str
    gross_g: Decimal
    flags: str = ""


@dataclass(frozen=True, kw_only=True)
class ManifestSheet(DocumentSheet):
    """One collection of one service; ``state_sentence`` says whether and when it was closed and by whom.

    ``cut_off`` is when it is collected, ``collected_on`` the day where that is another one than its own. ``edition`` is
    that of its drawing, so that a closed one is printed as it was: before 2, packages above 2 kg stood in kilograms
    among others in grams, and the boxes to tick were called 'given'.
    """

    service: str
    cut_off: time | None = None
    collected_on: date | None = None
    from_lines: tuple[str, ...]
    rows: tuple[ManifestRow, ...]
    state_sentence: str
    declaration: str = ""
    cautions: tuple[str, ...] = ()
    edition: int = 2

    @property
    def packages(self) -> int:
        """Packages handed over."""
        return len(self.rows)

    @property
    def gross_g(self) -> Decimal:
        """Gross mass of all packages."""
        return sum((row.gross_g for row in self.rows), Decimal(0))


PAPER = Document(
    sheet=ManifestSheet,
    name="Manifest",
    file="manifest",
    about=lambda sheets: sheets[0].document_number,
    facts=lambda sheet: (day_words(sheet.day), _collection(sheet)),
    strong=lambda sheet: sheet.service,
    blocks=lambda sheet, space: _blocks(sheet, space.width_mm),
    repeats_head=True,
)


def _collection(sheet: ManifestSheet) -> str:
    if sheet.cut_off is None:
        return ""
    day = f"{day_words(sheet.collected_on)}, " if sheet.collected_on else ""
    return f"collection {day}{sheet.cut_off:%H:%M}"


_COLUMNS = (
    Column("no.", 11.0, align="right"),
    Column("package", 34.0, face=Face.CODE),
    Column("order", 26.0),
    Column("consignee", 40.0),
    Column("country", 15.0, face=Face.BOLD),
    Column("gross", 22.0, align="right"),
    Column("handed over", 13.0, align="right"),
)
_GIVEN = Column("given", 13.0, align="right")


def _blocks(sheet: ManifestSheet, width: float) -> list[Block]:
    columns = filling((*_COLUMNS[:-1], _GIVEN) if sheet.edition < 2 else _COLUMNS, width, 3)
    headings = heading_row(columns)
    half = width / 2
    totals = above(
        paragraph(counted(sheet.packages, "package"), Face.BOLD, TARGET_PT, half),
        paragraph(f"{print_package_mass(sheet.gross_g)} gross", Face.BOLD, TARGET_PT, half),
        paragraph(sheet.state_sentence, Face.TEXT, BODY_PT, half),
    )
    first = above(
        beside((0.0, address("from", sheet.from_lines, half - 6, BODY_PT)), (half, totals)),
        gap(1.5),
        caution_box(sheet.cautions, width),
        gap(1.5),
        headings,
    )
    blocks = [first.kept()]
    for number, each in enumerate(sheet.rows, start=1):
        made = row(columns, _cells(number, each, columns, print_grams if sheet.edition >= 2 else print_package_mass))
        blocks.append(Block(made.height_mm, made.parts, again=headings))
    return ended(blocks, _hand_over(sheet, width))


def _cells(
    number: int, each: ManifestRow, columns: Sequence[Column], mass_words: Callable[[Decimal], str]
) -> list[str | Block]:
    to_mm = columns[3].text_mm
    town = " ".join(word for word in (each.post_code, each.town) if word)
    to = [paragraph(each.consignee, Face.TEXT, BODY_PT, to_mm), paragraph(town, Face.TEXT, BODY_PT, to_mm)]
    to += [paragraph(each.flags, Face.BOLD, BODY_PT, to_mm)] if each.flags else []
    return [
        str(number),
        each.package_number,
        each.order_number,
        above(*to),
        each.country,
        mass_words(each.gross_g),
        tick_box(6.5),
    ]


def _hand_over(sheet: ManifestSheet, width: float) -> Block:
    words = (
        f"{counted(sheet.packages, 'package')} · {print_package_mass(sheet.gross_g)} gross · {sheet.document_number}"
    )
    half = width / 2 - 4
    lines = beside(
        (0.0, signature("handed over by (shop)", half)), (width - half, signature("received by (carrier)", half))
    )
    said = [paragraph(sheet.declaration, Face.TEXT, BODY_PT, width)] if sheet.declaration else []
    return above(gap(3.0), paragraph(words, Face.BOLD, STRONG_PT, width), *said, gap(3.0), lines)
