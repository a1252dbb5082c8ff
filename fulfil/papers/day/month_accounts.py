"""A month's accounts: charges by service and country, goods by country; every figure is a sum of the shop's books.

>>> MonthAccountsSheet.__mro__[1].__name__
'DocumentSheet'
"""

from collections.abc import Sequence
from dataclasses import dataclass

from fulfil.papers.document import Document
from fulfil.papers.elements.caution_box import caution_box
from fulfil.papers.elements.columns import Column, filling, heading_row, row, table
from fulfil.papers.elements.signature import signature
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, ended, gap
from fulfil.papers.numbering import OfTheDay
from fulfil.papers.page import STRONG_PT, TARGET_PT
from fulfil.papers.sheet import DocumentSheet
from fulfil.papers.wrap import paragraph


@dataclass(frozen=True, kw_only=True)
class MonthAccountsSheet(DocumentSheet):
    """One month, ``day`` is its first; cells are written already.

    Attributes:
        charges: service, country, currency, packages, gross kg, agreed, billed, not billed, settled, expected credit.
        goods: country, currency, orders, value.
        caution: what these sums are not.
    """

    month: str
    charges: tuple[tuple[str, ...], ...]
    goods: tuple[tuple[str, ...], ...]
    caution: str


NUMBERED = OfTheDay("A", "01")
PAPER = Document(
    sheet=MonthAccountsSheet,
    name="Month's accounts",
    file="month-accounts",
    about=lambda sheets: f"{sheets[0].day:%Y-%m}",
    numbered=NUMBERED,
    facts=lambda sheet: (sheet.month,),
    blocks=lambda sheet, space: _blocks(sheet, space.width_mm),
)

_CHARGES = (
    Column("service", 18.0, face=Face.BOLD),
    Column("to", 10.0, face=Face.BOLD),
    Column("", 12.0),
    Column("packages", 18.0, align="right"),
    Column("gross kg", 22.0, align="right"),
    Column("agreed", 22.0, align="right"),
    Column("billed", 22.0, align="right"),
    Column("not billed", 18.0, align="right"),
    Column("settled", 20.0, align="right"),
    Column("credit expected", 22.0, align="right", face=Face.BOLD),
)
_GOODS = (
    Column("to", 14.0, face=Face.BOLD, size_pt=STRONG_PT),
    Column("", 16.0, size_pt=STRONG_PT),
    Column("orders", 22.0, align="right", size_pt=STRONG_PT),
    Column("value of the goods", 46.0, align="right", face=Face.BOLD, size_pt=STRONG_PT),
)


def _blocks(sheet: MonthAccountsSheet, width: float) -> list[Block]:
    blocks: list[Block] = []
    for title, columns, rows in (
        ("Charges by service and country", filling(_CHARGES, width, 0), sheet.charges),
        ("Goods by country, at the orders' prices", _GOODS, sheet.goods),
    ):
        if rows:
            blocks += [paragraph(title, Face.BOLD, TARGET_PT, width).kept(), *_table(columns, rows), gap(5.0)]
    if not blocks:
        blocks.append(paragraph("Nothing left with a manifest in this month.", Face.TEXT, TARGET_PT, width))
    return ended(
        blocks, above(caution_box((sheet.caution,), width, STRONG_PT), gap(3.0), signature("checked by", width * 0.6))
    )


def _table(columns: Sequence[Column], rows: Sequence[tuple[str, ...]]) -> list[Block]:
    return table(heading_row(columns), [row(columns, cells) for cells in rows])
