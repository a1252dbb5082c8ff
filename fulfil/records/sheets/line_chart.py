"""A picture of lines over two axes, its numbers computed already; a paper only places them.

>>> LineChart(x_label="pieces", y_label="g", x_ticks=(0.0, 10.0), y_ticks=(0.0, 5.0),
...           lines=(ChartLine(label="bag", points=((0.0, 0.0), (10.0, 5.0))),)).is_log
False
"""

from dataclasses import dataclass
from typing import Literal

LineKind = Literal["heavy", "light", "dashed", "dots"]


@dataclass(frozen=True, kw_only=True)
class ChartLine:
    """One line (or single dots): points as (x, y) in the units of the axes, by rising x."""

    label: str
    points: tuple[tuple[float, float], ...]
    kind: LineKind = "heavy"


@dataclass(frozen=True, kw_only=True)
class LineChart:
    """Lines between the first and last tick of both axes; what lies outside is drawn at the edge.

    Attributes:
        x_ticks, y_ticks: rising; with ``is_log`` all above zero and both axes logarithmic.
        rings: points to be ringed, such as where an alarm was raised.
    """

    x_label: str
    y_label: str
    x_ticks: tuple[float, ...]
    y_ticks: tuple[float, ...]
    lines: tuple[ChartLine, ...]
    rings: tuple[tuple[float, float], ...] = ()
    is_log: bool = False
