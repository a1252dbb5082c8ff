"""A line chart in black: a legend, a frame, ticks with numbers, lines told apart by weight and dashes.

Its numbers are computed already; a paper only places them.

>>> chart = LineChart(x_label="n", y_label="N", x_ticks=(1.0, 10.0), y_ticks=(1.0, 10.0, 100.0), is_log=True,
...                   lines=(ChartLine(label="fine", points=((1.0, 2.0), (10.0, 50.0))),))
>>> line_chart(chart, 120, 50).height_mm
50

>>> LineChart(x_label="pieces", y_label="g", x_ticks=(0.0, 10.0), y_ticks=(0.0, 5.0),
...           lines=(ChartLine(label="bag", points=((0.0, 0.0), (10.0, 5.0))),)).is_log
False
"""

from dataclasses import dataclass
from math import log10
from typing import Literal

from fulfil.papers.faces import CAP_HEIGHT, MM_PER_POINT, Face, width_mm
from fulfil.papers.ink import Block, Box, Disc, Mark, Strokes, block, text_at
from fulfil.papers.page import SMALL_PT
from fulfil.papers.wrap import line_mm

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


_LINE_MM = {"heavy": 0.6, "light": 0.25, "dashed": 0.35, "dots": 0.0}
_DOT_MM = 0.45
_MANY = 100
"""Longer series are drawn half as wide: pointed corners of wide lines would reach out of the frame."""
_TICK_MM = 1.2
_LEGEND_MM = 7.0
_GAP_MM = 1.0


def line_chart(chart: LineChart, width: float, height: float) -> Block:
    """The chart, ``width`` by ``height`` mm, labels and legend included."""
    pitch, capital = line_mm(SMALL_PT), CAP_HEIGHT * SMALL_PT * MM_PER_POINT
    numbers_mm = max(width_mm(_number(tick), Face.TEXT, SMALL_PT) for tick in chart.y_ticks)
    left, right = numbers_mm + _TICK_MM + _GAP_MM, width - width_mm(_number(chart.x_ticks[-1]), Face.TEXT, SMALL_PT) / 2
    top, bottom = pitch + _GAP_MM, height - 2 * pitch - _TICK_MM

    def x_mm(value: float) -> float:
        return left + (right - left) * _share(value, chart.x_ticks, chart.is_log)

    def y_mm(value: float) -> float:
        return bottom - (bottom - top) * _share(value, chart.y_ticks, chart.is_log)

    marks: list[Mark] = [Box(left, top, right - left, bottom - top, line_mm=0.25)]
    for tick in chart.x_ticks:
        marks.append(Strokes((((x_mm(tick), bottom), (x_mm(tick), bottom + _TICK_MM)),), 0.25))
        base = bottom + _TICK_MM + 0.4 + capital
        marks.append(text_at(x_mm(tick), base, _number(tick), Face.TEXT, SMALL_PT, align="centre"))
    for tick in chart.y_ticks:
        y = y_mm(tick)
        marks.append(Strokes((((left - _TICK_MM, y), (left, y)),), 0.25))
        marks.append(text_at(left - _TICK_MM - 0.4, y + capital / 2, _number(tick), Face.TEXT, SMALL_PT, align="right"))
    for line in chart.lines:
        marks += _drawn(line, [(x_mm(x), y_mm(y)) for x, y in line.points])
    marks += [Disc(x_mm(x), y_mm(y), 1.4, line_mm=0.4) for x, y in chart.rings]
    marks.append(text_at(right, height - 0.8, chart.x_label, Face.TEXT, SMALL_PT, align="right"))
    marks += _legend(chart, left, capital, width)
    return block(height, *marks)


def _drawn(line: ChartLine, points: list[tuple[float, float]]) -> list[Mark]:
    thin = 0.5 if len(points) > _MANY else 1.0
    if line.kind == "dots":
        return [Disc(x, y, thin * _DOT_MM, fill="black") for x, y in points]
    if len(points) < 2:
        return [Disc(x, y, _DOT_MM, line_mm=0.2) for x, y in points]
    return [Strokes((tuple(points),), thin * _LINE_MM[line.kind], is_dashed=line.kind == "dashed")]


def _legend(chart: LineChart, left: float, capital: float, width: float) -> list[Mark]:
    """What is up the side, then a piece of each line with its name, on one row above the frame."""
    marks: list[Mark] = [text_at(0.0, capital, chart.y_label, Face.TEXT, SMALL_PT)]
    x = max(left, width_mm(chart.y_label, Face.TEXT, SMALL_PT) + 4.0)
    for line in chart.lines:
        if not line.label:
            continue
        label_mm = width_mm(line.label, Face.TEXT, SMALL_PT)
        if x + _LEGEND_MM + label_mm > width:
            break
        ends = [(x, capital / 2), (x + _LEGEND_MM - 2.0, capital / 2)]
        marks += _drawn(line, ends[1:] if line.kind == "dots" else ends)
        marks.append(text_at(x + _LEGEND_MM - 0.8, capital, line.label, Face.TEXT, SMALL_PT))
        x += _LEGEND_MM + label_mm + 3.0
    return marks


def _share(value: float, ticks: tuple[float, ...], is_log: bool) -> float:
    """Where a value lies between the first and the last tick, 0 to 1; at the edge where it lies outside."""
    low, high = ticks[0], ticks[-1]
    if is_log:
        value, low, high = log10(max(value, low)), log10(low), log10(high)
    return min(1.0, max(0.0, (value - low) / (high - low)))


def _number(tick: float) -> str:
    return f"{tick:.0f}" if tick == int(tick) else f"{tick:g}"
