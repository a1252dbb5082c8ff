"""Page and label sizes, margins, and the type scale.

Sizes are those of ISO 216 (A4, A5, A6) and ANSI/ASME Y14.1 (Letter). Margins leave what office printers can't reach
(common practice: 5 mm) and room for a clipboard's clip.

The type scale follows the eye: at arm's length, 600 to 700 mm, capitals of 20 minutes of arc are 3.5 to 4.1 mm high
(ISO 9241-303 asks for 16 at least and recommends 20 to 22; quoted from memory). With capitals of 0.73 of the type
size that is 14 to 16 pt for what is read from the cart, and 10 pt for what is read in the hand.

>>> import math
>>> capitals_mm = 16 * 25.4 / 72 * 0.73
>>> round(math.degrees(capitals_mm / 700) * 60, 1)
20.2
"""

from dataclasses import dataclass
from enum import StrEnum

from fulfil.records.settings import Paper

NUMBER_PT = 20.0
"""Bin codes, pieces: the two things that must never be misread."""
PLACE_PT = 16.0
"""Cart positions, titles."""
TARGET_PT = 14.0
"""Weights to be reached, headings between groups."""
STRONG_PT = 11.0
"""What a part looks like."""
BODY_PT = 10.0
"""Everything else that is read."""
SMALL_PT = 8.0
"""Column headings, page feet: looked up, not read."""


@dataclass(frozen=True)
class PageSize:
    """A page with its margins, all in mm; marks stay inside the margins."""

    width_mm: float
    height_mm: float
    side_mm: float
    top_mm: float
    bottom_mm: float

    @property
    def content_mm(self) -> float:
        """Width between the margins."""
        return self.width_mm - 2 * self.side_mm

    @property
    def room_mm(self) -> float:
        """Height between the margins."""
        return self.height_mm - self.top_mm - self.bottom_mm


class LabelSize(StrEnum):
    """Labels that come one by one from a label printer, width × height in mm."""

    BAG_60_40 = "60x40"
    BAG_50_25 = "50x25"
    PACKAGE_A6 = "105x148"
    PACKAGE_100_150 = "100x150"
    PACKAGE_102_152 = "102x152"
    CARD_ID_1 = "85.6x54"
    BIN_100_40 = "100x40"
    SLIP_100_132 = "100x132"


_PAPERS = {
    Paper.A4: PageSize(210.0, 297.0, 12.0, 10.0, 8.0),
    Paper.LETTER: PageSize(215.9, 279.4, 12.0, 10.0, 8.0),
}


_HALVES = {
    Paper.A4: PageSize(148.0, 210.0, 8.0, 8.0, 7.0),
    Paper.LETTER: PageSize(139.7, 215.9, 6.0, 8.0, 7.0),
}
"""ISO 216 A5, and half of a Letter page."""


def size_of(paper: Paper) -> PageSize:
    """The page of a paper."""
    return _PAPERS[paper]


def half_of(paper: Paper) -> PageSize:
    """Half the page of a paper, cut across."""
    return _HALVES[paper]


def label_page(size: LabelSize) -> PageSize:
    """The page of a single label."""
    width, height = (float(side) for side in size.split("x"))
    margin = 4.0 if height > 100 else 2.0 if height > 30 else 1.5
    return PageSize(width, height, margin, margin, margin)
