"""Drift charts: one part's lot or one scale, the moving average beside the cumulative sums, under one sentence."""

from fulfil.papers.elements.caution_box import caution_line
from fulfil.papers.elements.line_chart import line_chart
from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above, beside, gap
from fulfil.papers.page import BODY_PT, STRONG_PT
from fulfil.papers.wrap import paragraph
from fulfil.records.sheets.drift_chart import DriftChartSheet

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
