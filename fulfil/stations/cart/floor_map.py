"""The room from above for a small screen: racks, the walked line, the stops; a disc is done, a frame is to do.

The front of the room, where the bench stands, is at the lower edge, as on the pick list. A room that is
much deeper than wide is pressed together, since it is a map and no scale drawing.

>>> from fulfil.papers.floor.route_map import MapStop, RouteMapSheet
>>> sheet = RouteMapSheet.of_aisles(
...     aisles=(("1", 1500), ("2", 4000)), cross_aisle_y_mm=(0, 20000), bench_mm=(1500, 0),
...     stops=(MapStop(number=1, x_mm=1500, y_mm=5000),), path_mm=((1500, 0), (1500, 5000), (1500, 0)))
>>> drawn = floor_map(sheet, frozenset())
>>> drawn.count("<rect"), 'id="at-1" class="todo"' in drawn
(4, True)
"""

from collections.abc import Collection
from dataclasses import dataclass

from markupsafe import Markup, escape

from fulfil.papers.floor.route_map import RouteMapSheet

_WIDE = 100.0
_MOST_HIGH = 0.8
_LEAST_HIGH = 0.35
_EDGE = 6.0


@dataclass(frozen=True)
class _Plan:
    """From the floor to the drawing."""

    left: int
    front: int
    x_scale: float
    y_scale: float
    high: float

    def at(self, x_mm: int, y_mm: int) -> tuple[str, str]:
        x = _EDGE + (x_mm - self.left) * self.x_scale
        y = self.high - _EDGE - (y_mm - self.front) * self.y_scale
        return f"{x:.1f}", f"{y:.1f}"


def floor_map(sheet: RouteMapSheet, done: Collection[int]) -> Markup:
    """The room with its way and stops; ``done`` are numbers of stops where nothing is left to pick."""
    plan = _plan(sheet)
    marks = []
    for rack in sheet.racks:
        x, _ = plan.at(rack.x_mm, 0)
        _, y = plan.at(0, rack.y_mm + rack.depth_mm)
        wide, high = rack.width_mm * plan.x_scale, rack.depth_mm * plan.y_scale
        marks.append(f'<rect x="{x}" y="{y}" width="{wide:.1f}" height="{high:.1f}" class="rack"/>')
    for passage in sheet.passages:
        (x1, y1), (x2, y2) = plan.at(*passage.from_mm), plan.at(*passage.to_mm)
        marks.append(f'<line x1="{x1}" y1="{y1}" x2="{x2}" y2="{y2}" class="passage"/>')
    way = " ".join(",".join(plan.at(*point)) for point in sheet.path_mm)
    marks.append(f'<polyline points="{way}" class="way"/>')
    for aisle in sheet.aisles:
        x, y = plan.at(aisle.x_mm, aisle.back_mm)
        marks.append(f'<text x="{x}" y="{float(y) - 3:.1f}" text-anchor="middle">{escape(aisle.name)}</text>')
    x, y = plan.at(*sheet.bench_mm)
    marks.append(f'<path d="M{x} {y}m-3.2 0h6.4v5h-6.4z" class="bench"/>')
    for stop in sheet.stops:
        x, y = plan.at(stop.x_mm, stop.y_mm)
        shape = "done" if stop.number in done else "todo"
        marks.append(
            f'<g id="at-{stop.number}" class="{shape}"><rect x="{float(x) - 1.1:.1f}" y="{float(y) - 1.1:.1f}" '
            f'width="2.2" height="2.2"/><circle cx="{x}" cy="{y}" r="1.2"/>'
            f'<path d="M{x} {y}m-5 0a5 5 0 1 0 10 0a5 5 0 1 0 -10 0" class="ring"/></g>'
        )
    said = f"Map of the walk with {len(sheet.stops)} stops; the ring is where you are."
    drawn = "".join(marks)
    return Markup(  # noqa: S704
        f'<svg class="floor" viewBox="0 0 {_WIDE:.0f} {plan.high:.1f}" role="img" aria-label="{said}">{drawn}</svg>'
    )


def _plan(sheet: RouteMapSheet) -> _Plan:
    points = [sheet.bench_mm, *sheet.path_mm, *((stop.x_mm, stop.y_mm) for stop in sheet.stops)]
    points += [point for passage in sheet.passages for point in (passage.from_mm, passage.to_mm)]
    points += [(aisle.x_mm, y) for aisle in sheet.aisles for y in (aisle.front_mm, aisle.back_mm)]
    points += [corner for rack in sheet.racks for corner in (
        (rack.x_mm, rack.y_mm), (rack.x_mm + rack.width_mm, rack.y_mm + rack.depth_mm))]  # fmt: skip
    xs, ys = [x for x, _ in points], [y for _, y in points]
    wide_mm, deep_mm = max(max(xs) - min(xs), 1), max(max(ys) - min(ys), 1)
    x_scale = (_WIDE - 2 * _EDGE) / wide_mm
    share = min(_MOST_HIGH, max(_LEAST_HIGH, deep_mm / wide_mm))
    inner = share * (_WIDE - 2 * _EDGE)
    return _Plan(min(xs), min(ys), x_scale, inner / deep_mm, inner + 2 * _EDGE)
