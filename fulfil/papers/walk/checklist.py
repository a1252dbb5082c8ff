"""The checklist: what the second person does besides scanning and weighing every bag of a cart.

By exception: a bag that the scale proves, and with which the walk can have mixed nothing that would pass in its place,
isn't listed. A row says what must be looked at, in words that tell the part from what it isn't, or that the pieces must
be counted; it has a box only for what must be done. Where length decides, both lengths are drawn to scale: lay one
piece on the line. In the order of the cart's positions.

>>> row = CheckBag(bag_code="42000017", cart_position=3, order_number="O-1001", part_number="WSH-0003",
...     description="Washer M3", family="washer", pieces=250, method=CountMethod.HAND,
...     look_alikes=(NotThis(words="M3, not M4: 2 mm shorter", part_numbers=("WSH-0004",), right_mm=7, wrong_mm=9),))
>>> row.must_look
True
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from fulfil.papers.document import Document
from fulfil.papers.elements.caution_box import caution_box, caution_line, caution_words, framed
from fulfil.papers.elements.columns import Column, filling, heading_row, row, unruled
from fulfil.papers.elements.counted import counted
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.marks import position_mark
from fulfil.papers.elements.number_tail import number_tail
from fulfil.papers.elements.part_cell import look_lines, looks, says_more
from fulfil.papers.elements.pieces_cell import pieces_cell
from fulfil.papers.elements.scale_line import MOST_MM, scale_lines
from fulfil.papers.elements.signature import signature
from fulfil.papers.elements.tick_box import TICK_MM, tick_box
from fulfil.papers.elements.weight_cell import window_cell
from fulfil.papers.faces import MM_PER_POINT, Face
from fulfil.papers.ink import Block, above, beside, block, ended, gap, text_at
from fulfil.papers.numbering import After
from fulfil.papers.page import BODY_PT, PLACE_PT, STRONG_PT
from fulfil.papers.sheet import DocumentSheet
from fulfil.papers.wrap import FIRST_BASE_LINE, item_lines, line_mm, lines, paragraph, set_lines
from fulfil.records.plan import CountMethod


@dataclass(frozen=True, kw_only=True)
class NotThis:
    """What a part is not: the difference in words, the parts that have it, lengths to be drawn (0: none)."""

    words: str
    part_numbers: tuple[str, ...]
    right_mm: int = 0
    wrong_mm: int = 0


@dataclass(frozen=True, kw_only=True)
class CheckBag:
    """One bag of which more must be done than to scan and weigh it.

    Attributes:
        look_alikes: what it must be told from by eye.
        second_look: why else it is looked at.
        how: what hands do where the scale is tared.
    """

    bag_code: str
    cart_position: int
    order_number: str
    part_number: str
    description: str
    family: str
    size: str = ""
    finish: str = ""
    look_alikes: tuple[NotThis, ...] = ()
    second_look: tuple[str, ...] = ()
    pieces: int
    method: CountMethod
    target_g: Decimal | None = None
    lower_g: Decimal | None = None
    upper_g: Decimal | None = None
    scale: str = ""
    how: str = ""
    note: str = ""
    cautions: tuple[str, ...] = ()

    @property
    def must_look(self) -> bool:
        """Whether a person must look at the part itself."""
        return bool(self.look_alikes or self.second_look)


@dataclass(frozen=True, kw_only=True)
class ChecklistSheet(DocumentSheet):
    """The bags of one cart of which more must be done, by its positions; ``all_bags`` are scanned and weighed.

    The checker isn't the picker.
    """

    walk_number: str
    cart_name: str
    all_bags: int
    rows: tuple[CheckBag, ...]
    risk_statement: str
    cautions: tuple[str, ...] = ()

    @property
    def bags_to_look_at(self) -> int:
        """Bags of which a person looks at the part itself."""
        return sum(row.must_look for row in self.rows)

    @property
    def bags_by_hand(self) -> int:
        """Bags whose pieces are counted by hand."""
        return sum(row.method is CountMethod.HAND for row in self.rows)


NUMBERED = After("C", instead_of="W")
PAPER = Document(
    sheet=ChecklistSheet,
    name="Checklist",
    file="checklist",
    about=lambda sheets: sheets[0].walk_number,
    numbered=NUMBERED,
    facts=lambda sheet: (f"walk {sheet.walk_number}", sheet.cart_name, day_words(sheet.day)),
    strong=lambda sheet: " · ".join(_to_do(sheet)),
    blocks=lambda sheet, space: _blocks(sheet, space.width_mm),
)


_COLUMNS = (
    Column("cart pos.", 13.0),
    Column("bag, part", 31.0, face=Face.CODE),
    Column("what to look at", 50.0),
    Column("pieces", 18.0, align="right"),
    Column("scale must show", 44.0, align="right"),
    Column("count", 10.0, align="right"),
    Column("look", 10.0, align="right"),
)
_RULE = (
    "Scan every bag and weigh it: its label says what the scale must show. Where the label says 'tared' or 'pour', put "
    "an empty cup on, TARE to 0, and weigh the pieces in it. Do more only for the bags below. The checker is not the "
    "picker. "
    "The bag was filled by the same unit weight: to check that too, count ten pieces by hand and weigh them."
)
_NOTHING = "No bag of this cart needs more than that."


def _to_do(sheet: ChecklistSheet) -> list[str]:
    return [
        f"{counted(sheet.all_bags, 'bag')} to scan and weigh",
        f"{sheet.bags_to_look_at} to look at",
        f"{sheet.bags_by_hand} to count by hand",
    ]


def _blocks(sheet: ChecklistSheet, width: float) -> list[Block]:
    columns = filling(_COLUMNS, width, 2)
    headings = heading_row(columns)
    rule = _RULE if sheet.rows else f"{_RULE} {_NOTHING}"
    first = above(paragraph(rule, Face.TEXT, BODY_PT, width), gap(0.8), caution_box(sheet.cautions, width), gap(1.0))
    blocks = [above(first, headings).kept()] if sheet.rows else [first]
    for i, bag in enumerate(sheet.rows):
        made = replace(_row(bag, columns), notes=bag.cautions)
        blocks.append(made if i == 0 else replace(made, again=headings))
    end = above(
        gap(2.0),
        paragraph(sheet.risk_statement, Face.TEXT, BODY_PT, width),
        gap(1.0),
        signature(f"all {counted(sheet.all_bags, 'bag')} checked by", width * 0.6),
    )
    return ended(blocks, end)


def _row(bag: CheckBag, columns: Sequence[Column]) -> Block:
    """One bag: where it stands and its numbers at the left, all that is seen, weighed and done beside them."""
    mark_mm, bag_mm, part_mm, pieces_mm, weight_mm, *boxes = (column.text_mm for column in columns)
    numbers = above(
        number_tail(bag.bag_code, small_pt=BODY_PT, large_pt=PLACE_PT, width=bag_mm),
        paragraph(bag.part_number, Face.CODE, BODY_PT, bag_mm),
    )
    window = window_cell(bag.method, bag.target_g, bag.lower_g, bag.upper_g, weight_mm)
    scale = _right(bag.scale, weight_mm)
    wide = Column("", sum(column.width_mm for column in columns[2:]))
    part, below = _part(bag, part_mm), _below(bag, wide.width_mm)
    # What is as short in the part's own column has room beside the window; a drawing to scale needs the width.
    narrow = _below(bag, part_mm)
    if not any(each.right_mm for each in bag.look_alikes) and narrow.height_mm <= below.height_mm:
        part, below = above(part, narrow), gap(0.0)
    cells = (
        part,
        pieces_cell(bag.pieces, pieces_mm, PLACE_PT, high_mm=8.0),
        above(gap(-0.8), window, gap(-0.8), scale),
        _box(is_wanted=bag.method is CountMethod.HAND, width=boxes[0]),
        _box(is_wanted=bag.must_look, width=boxes[1]),
    )
    beside_it = above(unruled(columns[2:], cells), below)
    position = position_mark(bag.cart_position, mark_mm, PLACE_PT, high_mm=8.0)
    return row((*columns[:2], wide), (position, numbers, beside_it))


def _right(text: str, width: float) -> Block:
    """Text that ends at the right, wrapped where it is long."""
    pitch, base = line_mm(BODY_PT), FIRST_BASE_LINE * BODY_PT * MM_PER_POINT
    rows = lines(text, Face.TEXT, BODY_PT, width)
    marks = (text_at(width, base + i * pitch, row, Face.TEXT, BODY_PT, align="right") for i, row in enumerate(rows))
    return block(len(rows) * pitch, *marks)


def _part(bag: CheckBag, width: float) -> Block:
    """What the part looks like, and its description where that says more."""
    look = looks(bag.family, bag.size, bag.finish)
    more = bag.description if says_more(bag.description, look) else ""
    return above(look_lines(look, STRONG_PT, width), paragraph(more, Face.TEXT, BODY_PT, width))


def _below(bag: CheckBag, width: float) -> Block:
    """The sign of its cautions; what tells it from others, to scale; why else it is looked at; what hands do."""
    rows = [caution_line(sign, width) for sign in caution_words(bag.cautions)]
    alike = [f"{each.words} ({', '.join(each.part_numbers)})" for each in bag.look_alikes]
    rows.append(set_lines(item_lines(alike, Face.BOLD, BODY_PT, width), Face.BOLD, BODY_PT))
    drawn = [each for each in bag.look_alikes if 0 < max(each.right_mm, each.wrong_mm) <= min(MOST_MM, width - 28)]
    rows += [scale_lines(each.right_mm, each.wrong_mm) for each in drawn[:1]]
    if bag.second_look:
        why = paragraph(f"LOOK: {'; '.join(bag.second_look)}", Face.BOLD, STRONG_PT, width - 4)
        rows += [gap(0.4), framed(why, width, line_mm=0.6)]
    rows += [paragraph(bag.how, Face.BOLD, BODY_PT, width), paragraph(bag.note, Face.TEXT, BODY_PT, width)]
    return above(*rows)


def _box(*, is_wanted: bool, width: float) -> Block:
    return beside((width - TICK_MM, tick_box())) if is_wanted else gap(0.0)
