"""Drift charts: one part's lot or one scale, the moving average beside the cumulative sums, under one sentence.

>>> DriftChartSheet(heading="Scale BENCH-1", sentence="Quiet.", is_out=False, average=None, sums=None).is_out
False
"""

from dataclasses import dataclass

from fulfil.papers.elements.caution_box import caution_line
from fulfil.papers.elements.line_chart import LineChart, line_chart
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, beside, gap
from fulfil.papers.page import BODY_PT, STRONG_PT
from fulfil.papers.wrap import paragraph


@dataclass(frozen=True, kw_only=True)
class DriftChartSheet:
    """One part's lot or one scale; charts are None where too few weighings would make a picture."""

    heading: str
    sentence: str
    is_out: bool
    average: LineChart | None
    sums: LineChart | None


_HEIGHT_MM = 42.0
_BETWEEN_MM = 6.0


def drift_chart(sheet: DriftChartSheet, width: float) -> Block:
    """The chart as one block that isn't parted; an alarm's sentence has the caution sign."""
    says = caution_line(sheet.sentence, width) if sheet.is_out else paragraph(sheet.sentence, Face.TEXT, BODY_PT, width)
    heading = paragraph(sheet.heading, Face.BOLD, STRONG_PT, width)
    if sheet.average is None or sheet.sums is None:
        return above(heading, says, gap(2.0))
    half = (width - _BETWEEN_MM) / 2
    pictures = beside(
        (0.0, line_chart(sheet.average, half, _HEIGHT_MM)),
        (half + _BETWEEN_MM, line_chart(sheet.sums, half, _HEIGHT_MM)),
    )
    return above(heading, says, gap(1.5), pictures, gap(3.0))
