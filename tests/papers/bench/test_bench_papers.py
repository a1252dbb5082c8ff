"""Recount slips and bench cards: inside their margins, scanned back by an independent reader, never too full."""

from dataclasses import replace
from datetime import date

import pypdfium2
import pytest
import zxingcpp

from fulfil.checking.entry import SAYS, Card, card_code, position_code
from fulfil.errors import PaperRefused
from fulfil.papers.bench import recount_slip
from fulfil.papers.bench.bench_card import BenchCardSheet
from fulfil.papers.bench.recount_slip import RecountSlipSheet
from fulfil.papers.door import pdf
from fulfil.papers.label_sheet import label_sheets
from fulfil.papers.page import LabelSize, label_page
from fulfil.records.settings import Paper

SLIP = RecountSlipSheet(
    slip_number="R2603020001", bag_code="B2603020017", bin_code="04L-07-2", order_number="260302-002",
    walk_number="W2603020001", cart_position=3, part_number="CS0042-Z", description="Cap screw M3 x 16, zinc",
    family="cap screw", size="M3 x 16", finish="zinc", pieces=250, window="231.50 – 233.10 g on BENCH-1, with the bag",
    saw="weighs 231.04 g, below the window 231.50 to 233.10 g for 250 pieces",
    likely=("One piece short: 249 of 250. Count again. (97%)",),
    steps=("Go to bin 04L-07-2 with the bag.", "Empty it, count again.", "Bring it back to the check bench."),
    which=1, most=3, legal_floor="Legal floor for prepacked lots: 250 pieces may be 3 short (OIML R 87).",
    cautions=("SHARP",), notice="Demo: all data invented.", day=date(2026, 3, 2),
)  # fmt: skip
LONG = replace(
    SLIP,
    bin_code="MAKE-ROOM-RACK-0012-LEFT-SECTION-04-L2",
    description="Escapement wheel with fifteen teeth, lapped and polished on both faces, hub of free-cutting brass, "
    * 2,
    likely=tuple(
        f"Another part may be in it: look at the finish, zinc, not brass, and at the size; number {n}. (33%)"
        for n in range(9)
    ),
    cautions=("SHARP", "LEADED-BRASS", "STATIC-SENSITIVE"),
)
CARDS = [
    *(BenchCardSheet(code=card_code(card), title=card.value, says=SAYS[card]) for card in Card),
    *(BenchCardSheet(code=position_code(n), title=f"position {n}") for n in (1, 10, 99)),
    BenchCardSheet(code="@anna", title="anna", says="badge", shop_name="Invented shop"),
]


def scanned(pdf: bytes) -> list[str]:
    """What a bar code reader finds on all pages."""
    found = []
    for page in pypdfium2.PdfDocument(pdf):
        found += [each.text for each in zxingcpp.read_barcodes(page.render(scale=300 / 72).to_pil())]
    return found


@pytest.mark.parametrize("slip", [SLIP, LONG, replace(SLIP, which=3, likely=(), window="", legal_floor="")])
@pytest.mark.parametrize("size", [recount_slip.SIZE, recount_slip.ON_SHEETS])
def test_a_slip_stays_inside_its_label_whatever_it_says(slip, size):
    """Small type, then fewer causes; where to go and what to do are always there."""
    page = label_page(size)
    block = recount_slip.recount_slip(slip, size=size, printer_dpi=300)
    texts = [mark.text for part in block.parts for mark in part.marks if hasattr(mark, "face")]

    assert block.height_mm == pytest.approx(page.room_mm)
    assert slip.bin_code in texts
    assert any(text.startswith("Bring it back") for text in texts)


def test_slips_are_scanned_back():
    """The bag's bar code, alone on a label and four on a page."""
    assert scanned(pdf([SLIP, LONG], page=Paper.A4)) == ["B2603020017", "B2603020017"]
    assert scanned(pdf([SLIP] * 4, page=Paper.LETTER, on_sheets=True)) == ["B2603020017"] * 4


def test_four_slips_stand_on_one_page():
    """Of A4 and of Letter."""
    block = recount_slip.recount_slip(SLIP, size=recount_slip.ON_SHEETS, printer_dpi=300)

    for page in Paper:
        assert len(label_sheets([block] * 4, size=recount_slip.ON_SHEETS, page=page)) == 1


def test_a_slip_that_can_t_be_cut_down_is_refused():
    """A reason without end: said, not cut."""
    with pytest.raises(PaperRefused, match="fit on its slip the bag 'B2603020017'"):
        pdf([replace(SLIP, saw="seen " * 900)], page=Paper.A4)


@pytest.mark.parametrize("page", list(Paper))
def test_every_card_is_scanned_back(page):
    """The bar code types exactly the card's text."""
    found = scanned(pdf(CARDS, page=page))

    assert sorted(found) == sorted(card.code for card in CARDS)


def test_cards_have_the_size_of_a_bank_card():
    """ISO/IEC 7810 ID-1: 85.60 × 53.98 mm, here to the next half millimetre in height."""
    size = label_page(LabelSize.CARD_ID_1)

    assert (size.width_mm, size.height_mm) == (85.6, 54.0)


def test_the_same_cards_give_the_same_bytes():
    """No clock, no chance."""
    assert pdf(CARDS, page=Paper.A4) == pdf(CARDS, page=Paper.A4)
