"""The checklist: what the second person does with every bag of a cart.

In the order of the cart's positions. A row says what must be weighed, looked at or counted, and has a box only for
what must be done: no box stays empty on a finished list.

>>> row = CheckBag(bag_code="42000017", cart_position=3, order_number="O-1001", part_number="WSH-0003",
...     description="Washer M3", family="washer", look_at="outer diameter 7 mm, flat",
...     look_alikes=("not 9 mm (WSH-0004)",), pieces=250, method=CountMethod.HAND)
>>> row.must_look
True
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import groupby

from fulfil.papers.document import Document
from fulfil.papers.elements.caution_box import caution_box, caution_line, framed
from fulfil.papers.elements.columns import Column, filling, heading_row, row, unruled
from fulfil.papers.elements.counted import counted
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.elements.marks import position_mark
from fulfil.papers.elements.part_cell import look_lines, looks, says_more
from fulfil.papers.elements.pieces_cell import pieces_cell
from fulfil.papers.elements.signature import signature
from fulfil.papers.elements.tick_box import TICK_MM, tick_box
from fulfil.papers.elements.weight_cell import weight_cell
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, Strokes, above, beside, block, ended, gap
from fulfil.papers.numbering import After
from fulfil.papers.page import BODY_PT, PLACE_PT, SMALL_PT, STRONG_PT, TARGET_PT
from fulfil.papers.sheet import DocumentSheet
from fulfil.papers.wrap import item_lines, paragraph, set_lines
from fulfil.records.plan import CountMethod


@dataclass(frozen=True, kw_only=True)
class CheckBag:
    """One bag to check.

    Attributes:
        look_at: what must be seen on the part, in a few words; empty where the eye has nothing to go by.
        look_alikes: what it is not, in few words: the parts that weight can't tell from it.
        second_look: why this bag is looked at twice.
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
    look_at: str = ""
    look_alikes: tuple[str, ...] = ()
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
        return bool(self.look_at or self.look_alikes)


@dataclass(frozen=True, kw_only=True)
class ChecklistSheet(DocumentSheet):
    """All bags of one cart, in the order of its positions; the checker isn't the picker."""

    walk_number: str
    cart_name: str
    rows: tuple[CheckBag, ...]
    risk_statement: str
    cautions: tuple[str, ...] = ()

    @property
    def bags(self) -> int:
        """Bags to check."""
        return len(self.rows)

    @property
    def bags_to_look_at(self) -> int:
        """Bags of which a person looks at the part itself: its family, size and finish."""
        return sum(row.must_look for row in self.rows)

    @property
    def bags_to_look_at_twice(self) -> int:
        """Bags with a reason for a second look."""
        return sum(bool(row.second_look) for row in self.rows)

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


_MARK_MM = 13.0
_COLUMNS = (
    Column("bag, part", 27.0, face=Face.CODE),
    Column("look at", 60.0),
    Column("pieces", 17.0, align="right"),
    Column("scale must show (with bag)", 39.0, align="right"),
    Column("count", 11.0, align="right"),
    Column("look", 11.0, align="right"),
)
_RULE = (
    "The checker is not the picker. A box stands only where something must be done. "
    "After 'not' stand parts that the scale can't tell from this one. "
    "The scale checks a count by the unit weight that filled the bag; ten pieces counted by hand and weighed check "
    "that too."
)


def _to_do(sheet: ChecklistSheet) -> list[str]:
    look, twice, hand = sheet.bags_to_look_at, sheet.bags_to_look_at_twice, sheet.bags_by_hand
    return [
        counted(sheet.bags, "bag"),
        "look at every one" if look == sheet.bags else f"{look} to look at",
        *([f"{twice} to look at twice"] if twice else []),
        f"{hand} to count by hand",
    ]


def _blocks(sheet: ChecklistSheet, width: float) -> list[Block]:
    columns = filling(_COLUMNS, width, 1)
    headings = heading_row(columns)
    first = above(
        paragraph(_RULE, Face.TEXT, BODY_PT, width),
        paragraph(sheet.risk_statement, Face.TEXT, BODY_PT, width),
        gap(0.8),
        caution_box(sheet.cautions, width),
        gap(1.0),
        headings,
    )
    blocks = [first.kept()]
    for (position, order), rows in groupby(sheet.rows, key=lambda row: (row.cart_position, row.order_number)):
        bags = list(rows)
        plain = _position(position, order, len(bags), "", width)
        again = above(headings, _position(position, order, len(bags), " – continued", width))
        blocks.append(Block(plain.height_mm, plain.parts, keeps_next=True, again=headings))
        for i, bag in enumerate(bags):
            made = _row(bag, columns)
            blocks.append(made if i == 0 else Block(made.height_mm, made.parts, again=again))
    return ended(blocks, above(gap(4.0), signature("checked by", width * 0.6)))


def _position(position: int, order: str, bags: int, more: str, width: float) -> Block:
    words = f"{order} · {counted(bags, 'bag')}{more}"
    rule = block(0.0, Strokes((((0.0, 0.0), (width, 0.0)),), 0.5))
    order_words = above(gap(1.2), paragraph(words, Face.BOLD, TARGET_PT, width - _MARK_MM - 2))
    mark = position_mark(position, _MARK_MM, PLACE_PT, high_mm=8.4)
    return above(gap(1.5), beside((0.0, mark), (_MARK_MM + 2, order_words)), gap(0.5), rule)


def _row(bag: CheckBag, columns: Sequence[Column]) -> Block:
    """One bag: its numbers at the left, all that is seen, weighed and done beside them."""
    bag_mm, part_mm, pieces_mm, weight_mm, box_mm = (columns[i].text_mm for i in range(5))
    numbers = [paragraph(text, Face.CODE, BODY_PT, bag_mm) for text in (bag.bag_code, bag.part_number)]
    if bag.scale:
        numbers.append(paragraph(f"scale {bag.scale}", Face.TEXT, SMALL_PT, bag_mm))
    weight = weight_cell(
        bag.method,
        bag.target_g,
        bag.lower_g,
        bag.upper_g,
        weight_mm,
        target_pt=SMALL_PT,
        window_pt=13.0,
        leads="window",
    )
    cells = (
        _part(bag, part_mm),
        pieces_cell(bag.pieces, pieces_mm, PLACE_PT, high_mm=7.0),
        weight,
        _box(is_wanted=True, width=box_mm),
        _box(is_wanted=bag.must_look, width=box_mm),
    )
    wide = Column("", sum(column.width_mm for column in columns[1:]))
    beside_it = above(unruled(columns[1:], cells), _below(bag, wide.width_mm))
    return row((columns[0], wide), (above(*numbers), beside_it))


def _part(bag: CheckBag, width: float) -> Block:
    """What the part looks like, and its description where that says more."""
    look = looks(bag.family, bag.size, bag.finish)
    more = bag.description if says_more(bag.description, look) else ""
    return above(look_lines(look, STRONG_PT, width), paragraph(more, Face.TEXT, BODY_PT, width))


def _below(bag: CheckBag, width: float) -> Block:
    """What it is not, what else is known of it, a second look in a frame, cautions."""
    rows: list[Block] = []
    if says_more(bag.look_at, looks(bag.family, bag.size, bag.finish)):
        rows.append(paragraph(f"look: {bag.look_at}", Face.BOLD, BODY_PT, width))
    if bag.how:
        rows.append(paragraph(bag.how, Face.BOLD, STRONG_PT, width))
    items = (*([bag.note] if bag.note else []), *bag.look_alikes)
    rows.append(set_lines(item_lines(items, Face.TEXT, BODY_PT, width), Face.TEXT, BODY_PT))
    if bag.second_look:
        why = paragraph(f"LOOK TWICE: {'; '.join(bag.second_look)}", Face.BOLD, STRONG_PT, width - 4)
        rows += [gap(0.4), framed(why, width, line_mm=0.6)]
    rows += [caution_line(text, width) for text in bag.cautions]
    return above(*rows)


def _box(*, is_wanted: bool, width: float) -> Block:
    return beside((width - TICK_MM, tick_box())) if is_wanted else gap(0.0)
