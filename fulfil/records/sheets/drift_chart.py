"""A drift chart as it stands in the day report: the moving average, the cumulative sums, and what they say.

>>> DriftChartSheet(heading="Scale BENCH-1", sentence="Quiet.", is_out=False, average=None, sums=None).is_out
False
"""

from dataclasses import dataclass

from fulfil.records.sheets.line_chart import LineChart


@dataclass(frozen=True, kw_only=True)
class DriftChartSheet:
    """One part's lot or one scale; charts are None where too few weighings would make a picture."""

    heading: str
    sentence: str
    is_out: bool
    average: LineChart | None
    sums: LineChart | None
