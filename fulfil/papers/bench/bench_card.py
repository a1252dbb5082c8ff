"""Bench cards: one card a command, a cart position or a person, with a bar code that types it; many on a page.

A card has the size of a bank card (ISO/IEC 7810 ID-1, 85.6 × 54 mm): it goes into a common sleeve and lies flat under
the scanner. The title is large, because the hand looks for it; the bar code stands low, with room around it.
"""

from collections.abc import Sequence

from fulfil.papers.elements.bar_code import bar_code
from fulfil.papers.faces import MM_PER_POINT, Face
from fulfil.papers.ink import Block, above, beside, block, gap, text_at
from fulfil.papers.label_sheet import label_sheets
from fulfil.papers.page import SMALL_PT, STRONG_PT, LabelSize, label_page
from fulfil.papers.render import Leaf, render
from fulfil.papers.wrap import FIRST_BASE_LINE, LEAST_PT, centred_in, fitting_size, line_mm, lines, paragraph
from fulfil.records.settings import Paper
from fulfil.records.sheets.bench_card import BenchCardSheet

TITLE = "Bench cards"
SIZE = LabelSize.CARD_ID_1
_TITLE_PT = 26.0
_TITLE_MM = 13.0
_BARS_MM = 20.0


def pdf(cards: Sequence[BenchCardSheet], *, page: Paper, printer_dpi: int = 300) -> bytes:
    """All cards on as many pages as they need, with marks to cut along.

    Raises:
        PaperRefused: a name too long for a card, or a character that the font lacks.
    """
    pages = leaves(cards, page=page, printer_dpi=printer_dpi)
    return render(pages, title=TITLE, author=cards[0].shop_name or "fulfil", language="en")


def leaves(cards: Sequence[BenchCardSheet], *, page: Paper, printer_dpi: int = 300) -> list[Leaf]:
    """The cards' pages."""
    return label_sheets([bench_card(card, printer_dpi=printer_dpi) for card in cards], size=SIZE, page=page)


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
