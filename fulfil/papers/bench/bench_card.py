"""Bench cards: one card a command, a cart position or a person, with a bar code that types it; many on a page.

A card has the size of a bank card (ISO/IEC 7810 ID-1, 85.6 × 54 mm): it goes into a common sleeve and lies flat under
the scanner. The title is large, because the hand looks for it; the bar code stands low, with room around it.

>>> BenchCardSheet(code="*UNDO", title="undo", says="take the last verdict back").title
'undo'
"""

from dataclasses import dataclass

from fulfil.papers.elements.bar_code import bar_code
from fulfil.papers.faces import MM_PER_POINT, Face
from fulfil.papers.ink import Block, above, beside, block, gap, text_at
from fulfil.papers.labels import Labels
from fulfil.papers.page import SMALL_PT, STRONG_PT, LabelSize, label_page
from fulfil.papers.sheet import Sheet
from fulfil.papers.wrap import FIRST_BASE_LINE, LEAST_PT, centred_in, fitting_size, line_mm, lines, paragraph


@dataclass(frozen=True, kw_only=True)
class BenchCardSheet(Sheet):
    """One card: what the bar code types, what it is called, what it does; ``shop_name`` stands on badges."""

    code: str
    title: str
    says: str = ""
    shop_name: str = ""


SIZE = LabelSize.CARD_ID_1
PAPER = Labels(
    sheet=BenchCardSheet,
    name="Bench card",
    file="bench-cards",
    about=lambda _: "",
    shows="code",
    on_sheets=(SIZE,),
    face=lambda card, _, printer_dpi: bench_card(card, printer_dpi=printer_dpi),
    title=lambda _: "Bench cards",
    author=lambda card: card.shop_name or "fulfil",
)

_TITLE_PT = 26.0
_TITLE_MM = 13.0
_BARS_MM = 20.0


def bench_card(card: BenchCardSheet, *, printer_dpi: int) -> Block:
    """One card's face inside its margins."""
    size = label_page(SIZE)
    width = size.content_mm
    title_pt = fitting_size(card.title, Face.BOLD, _TITLE_PT, least_pt=LEAST_PT, width=width)
    title = block(
        _TITLE_MM, text_at(width / 2, centred_in(_TITLE_MM, title_pt), card.title, Face.BOLD, title_pt, align="centre")
    )
    shop = paragraph(card.shop_name, Face.TEXT, SMALL_PT, width) if card.shop_name else gap(0.0)
    said = lines(card.says, Face.TEXT, STRONG_PT, width)
    pitch, first = line_mm(STRONG_PT), FIRST_BASE_LINE * STRONG_PT * MM_PER_POINT
    says = block(
        len(said) * pitch,
        *(
            text_at(width / 2, first + i * pitch, line, Face.TEXT, STRONG_PT, align="centre")
            for i, line in enumerate(said)
        ),
    )
    bars = bar_code(card.code, printer_dpi=printer_dpi, most_mm=width, height_mm=_BARS_MM, text_pt=STRONG_PT)
    foot = beside(((width - bars.width_mm) / 2, bars.block))
    filler = size.room_mm - title.height_mm - shop.height_mm - says.height_mm - foot.height_mm
    return above(shop, title, says, gap(max(filler, 0.0)), foot)
