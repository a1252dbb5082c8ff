"""The packing list: for the person who opens the package.

What was ordered, what is inside, what follows; who sends it, to whom, in which packages; on half a page where it fits.
Columns that would be zero in every row aren't printed. The fixed words and the cautions of goods are printed in the
consignee's language, English beside them; nothing stands here that is meant for the shop's own people.

Its particulars are those of a despatch advice (UN document type 351): who, to whom, for which order, by which
service, in how many packages, and for each line what was ordered and what is inside. Prices aren't needed.

>>> line = PackingLine(line_no=1, part_number="SCR-0016", description="Cap screw", ordered=300, inside=250,
...                    to_follow=50)
>>> line.sent_before
0
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from fulfil.papers.despatch.packed_package import PackedPackage
from fulfil.papers.document import Document, Half
from fulfil.papers.elements.address import address
from fulfil.papers.elements.caution_box import caution_line, caution_words
from fulfil.papers.elements.columns import Column, filling, heading_row, row
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.mirrored import from_its_side
from fulfil.papers.elements.pieces_cell import pieces_text
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, beside, ended, gap
from fulfil.papers.numbering import After
from fulfil.papers.page import BODY_PT, STRONG_PT
from fulfil.papers.phrases import beside_english
from fulfil.papers.sheet import DocumentSheet
from fulfil.papers.wrap import led_paragraph, paragraph
from fulfil.quantities import print_package_mass


@dataclass(frozen=True, kw_only=True)
class PackingLine:
    """One order line: ``ordered`` = ``inside`` + ``to_follow`` + ``sent_before`` + ``cancelled``.

    ``cautions`` are for who uses the part, in the consignee's language; never those of the shop's own benches.
    """

    line_no: int
    part_number: str
    description: str
    ordered: int
    inside: int
    to_follow: int = 0
    sent_before: int = 0
    cancelled: int = 0
    bags: int = 0
    note: str = ""
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class PackingListSheet(DocumentSheet):
    """What is sent for one order.

    ``from_lines`` and ``to_lines`` are whole addresses, one line each, the country last; ``contact`` says whom to
    ask; ``remarks`` are sentences for the consignee. ``also_in`` is the language (BCP 47) in which the fixed words are
    printed beside English; empty for English alone.
    """

    order_number: str
    service: str
    from_lines: tuple[str, ...]
    to_lines: tuple[str, ...]
    lines: tuple[PackingLine, ...]
    packages: tuple[PackedPackage, ...]
    contact: str = ""
    remarks: tuple[str, ...] = ()
    also_in: str = ""

    @property
    def pieces_inside(self) -> int:
        """Pieces in all packages."""
        return sum(line.inside for line in self.lines)

    @property
    def pieces_to_follow(self) -> int:
        """Pieces that are still owed."""
        return sum(line.to_follow for line in self.lines)


NUMBERED = After("L", instead_of="P")
PAPER = Document(
    sheet=PackingListSheet,
    name="Packing list",
    file="packing-list",
    about=lambda sheets: sheets[0].order_number,
    numbered=NUMBERED,
    facts=lambda sheet: (
        f"{beside_english('order', sheet.also_in)} {sheet.order_number}",
        day_words(sheet.day),
        sheet.service,
    ),
    blocks=lambda sheet, space: from_its_side(_blocks(sheet, space.width_mm), sheet.also_in, space.width_mm),
    head=lambda sheet: beside_english("Packing list", sheet.also_in),
    half=Half.WHERE_IT_FITS,
    notes_in=lambda sheet: sheet.also_in,
)


_COUNTS = (
    ("ordered", "ordered"),
    ("inside", "inside"),
    ("to follow", "to_follow"),
    ("sent before", "sent_before"),
    ("cancelled", "cancelled"),
)
_ALWAYS = ("ordered", "inside")


def _blocks(sheet: PackingListSheet, width: float) -> list[Block]:
    counts = [
        (heading, field)
        for heading, field in _COUNTS
        if heading in _ALWAYS or any(getattr(line, field) for line in sheet.lines)
    ]
    numbers = tuple(
        Column(
            beside_english(heading, sheet.also_in),
            _count_mm(sheet, width),
            align="right",
            face=Face.BOLD if heading == "inside" else Face.TEXT,
        )
        for heading, _ in counts
    )
    columns = filling(
        (
            Column(beside_english("line", sheet.also_in), 14.0, align="right"),
            Column(beside_english("part", sheet.also_in), 40.0),
            *numbers,
        ),
        width,
        1,
    )
    headings = heading_row(columns)
    blocks = [*_first(sheet, width), headings.kept()]
    for line in sheet.lines:
        made = row(columns, _cells(line, [field for _, field in counts], columns[1].text_mm, sheet.also_in))
        blocks.append(replace(made, again=headings, notes=line.cautions))
    return ended(blocks, above(gap(3.0), _total(sheet, width)))


def _first(sheet: PackingListSheet, width: float) -> list[Block]:
    half = width / 2
    to, sender = (beside_english(phrase, sheet.also_in) for phrase in ("to", "from"))
    addresses = beside(
        (0.0, address(to, sheet.to_lines, half - 6)), (half, address(sender, sheet.from_lines, half, BODY_PT))
    )
    packages = f"{beside_english('packages', sheet.also_in)}: " + ", ".join(_package(each) for each in sheet.packages)
    words = [packages, sheet.contact, *sheet.remarks] if sheet.packages else [sheet.contact, *sheet.remarks]
    sentences = [paragraph(text, Face.TEXT, BODY_PT, width) for text in words if text]
    return [above(addresses, gap(2.5)), *sentences, gap(1.5)]


def _count_mm(sheet: PackingListSheet, width: float) -> float:
    """Width of a count's column: for both languages, and less on half a page."""
    return min(26.0 if sheet.also_in else 20.0, 0.16 * width)


def _package(package: PackedPackage) -> str:
    mass = "" if package.gross_g is None else f" ({print_package_mass(package.gross_g)})"
    return f"{package.number}{mass}"


def _cells(line: PackingLine, fields: Sequence[str], part_mm: float, also_in: str) -> list[str | Block]:
    part = [led_paragraph(line.part_number, line.description, BODY_PT, part_mm)]
    bags = f"{beside_english('bags', also_in)}: {line.bags}" if line.bags > 1 else ""
    more = " · ".join(word for word in (bags, line.note) if word)
    part += [paragraph(more, Face.TEXT, BODY_PT, part_mm)] if more else []
    part += [caution_line(sign, part_mm) for sign in caution_words(line.cautions)]
    counts = [getattr(line, field) for field in fields]
    return [
        str(line.line_no),
        above(*part),
        *(
            pieces_text(count) if count or field in ("ordered", "inside") else "–"
            for field, count in zip(fields, counts, strict=True)
        ),
    ]


def _total(sheet: PackingListSheet, width: float) -> Block:
    totals = {"lines": len(sheet.lines), "pieces inside": sheet.pieces_inside}
    if sheet.pieces_to_follow:
        totals["pieces to follow"] = sheet.pieces_to_follow
    words = [f"{beside_english(phrase, sheet.also_in)}: {pieces_text(count)}" for phrase, count in totals.items()]
    rows = words if sheet.also_in else [" · ".join(words)]
    return above(*(paragraph(text, Face.BOLD, STRONG_PT, width) for text in rows))
