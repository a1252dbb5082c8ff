"""The route map as an SVG file: a plain floor plan that prints in black and white.

Racks are hatched, the walk is one thick line with arrow heads, stops are numbered circles tied to their places, the
bench is a filled square, and the reader's place a diamond that says so. The same map gives the same text, byte for
byte. Format: Scalable Vector Graphics 1.1, W3C Recommendation 2011.

>>> from fulfil.room.block import Block
>>> from fulfil.room.map import map_walk
>>> room = Block((0, 2500), 10000)
>>> text = svg_map(map_walk(room, room.shortest_walk([(1, 4000)])), title="Walk 1")
>>> text.startswith("<svg xmlns"), text.count("<circle"), "<title>Walk 1</title>" in text
(True, 1, True)

Limits: measures are those of the room in millimetres; the file says how wide it wants to be, any viewer scales it.
"""

from collections.abc import Iterable, Mapping
from html import escape
from math import isqrt

from fulfil.room.map import AnyRoom, FloorLine, Rack, RouteMap, map_walk
from fulfil.room.walk import Point, Stop, Walk

_HATCH = (
    '<defs><pattern id="rack" width="240" height="240" patternUnits="userSpaceOnUse" '
    'patternTransform="rotate(45)"><rect width="240" height="240" fill="#fff"/>'
    '<line x1="0" y1="0" x2="0" y2="240" stroke="#999" stroke-width="50"/></pattern></defs>'
)


def svg_map(picture: RouteMap, *, title: str, width_mm: int = 180) -> str:
    """The map of a walk.

    Args:
        picture: from :func:`fulfil.room.map.map_walk`.
        title: what viewers and screen readers call it.
        width_mm: how wide the drawing wants to be on paper.
    """
    size = picture.label_mm
    parts = [*_floor(picture.racks, picture.floor, size)]
    if len(picture.lane_mm) > 1:
        parts.append(
            f'<polyline points="{_points(picture.lane_mm)}" fill="none" stroke="#000" '
            f'stroke-width="{size // 8}" stroke-linejoin="round"/>'
        )
    parts += _names(picture.floor, size)
    for arrow in picture.arrows:
        (x, y), (dx, dy) = arrow.tip_mm, arrow.direction
        back, side = size // 2, size // 4
        tail = (x - dx * back // 1000, y - dy * back // 1000)
        wings = [
            (tail[0] - dy * side // 1000, tail[1] + dx * side // 1000),
            (tail[0] + dy * side // 1000, tail[1] - dx * side // 1000),
        ]
        parts.append(f'<polygon points="{_points([(x, y), *wings])}" fill="#000"/>')
    parts += [
        f'<line x1="{mark.at_mm[0]}" y1="{-mark.at_mm[1]}" x2="{mark.label_mm[0]}" y2="{-mark.label_mm[1]}" '
        f'stroke="#000" stroke-width="{size // 20}"/>'
        for mark in picture.stops
    ]
    for mark in picture.stops:
        x, y = mark.label_mm
        digits = str(mark.number)
        parts.append(
            f'<circle cx="{x}" cy="{-y}" r="{size * 9 // 20}" fill="#fff" stroke="#000" stroke-width="{size // 14}"/>'
        )
        parts.append(_text(digits, (x, y), size * (11 if len(digits) < 3 else 8) // 20, "middle"))
    parts += _bench(picture.bench_mm, size, "bench")
    if picture.end_mm != picture.bench_mm:
        parts += _bench(picture.end_mm, size, "end")
    if picture.here_mm is not None:
        x, y = picture.here_mm
        r = size * 2 // 3
        diamond = _points([(x, y + r), (x + r, y), (x, y - r), (x - r, y)])
        parts.append(f'<polygon points="{diamond}" fill="#fff" stroke="#000" stroke-width="{size // 8}"/>')
        parts.append(_text("you are here", (x + r, y + r), size * 11 // 20, "start"))
    return _file(parts, picture.low_mm, picture.high_mm, title, width_mm)


def svg_visits(room: AnyRoom, visits: Mapping[Stop, int], *, title: str, width_mm: int = 180) -> str:
    """How often each stop was visited, as dots whose area grows with the number; the most visited says how often."""
    plan = map_walk(room, Walk(0, (), (room.bench_mm,), 0))
    size = plan.label_mm
    most = max(visits.values(), default=1)
    parts = [*_floor(plan.racks, plan.floor, size), *_names(plan.floor, size)]
    for stop in sorted(visits):
        if visits[stop] > 0:
            x, y = room.point_mm(stop)
            radius = max(size // 20, isqrt(size * size * visits[stop] // most) // 2)
            parts.append(
                f'<circle cx="{x}" cy="{-y}" r="{radius}" fill="#000" fill-opacity="0.6">'
                f"<title>{escape(str(stop[0]))}, {stop[1]} mm: {visits[stop]}</title></circle>"
            )
    for stop in sorted(stop for stop in visits if visits[stop] == most)[:1]:
        x, y = room.point_mm(stop)
        parts.append(_text(str(most), (x + size, y), size * 11 // 20, "middle"))
    parts += _bench(plan.bench_mm, size, "bench")
    return _file(parts, plan.low_mm, plan.high_mm, title, width_mm)


def _file(parts: Iterable[str], low: Point, high: Point, title: str, width_mm: int) -> str:
    width, height = high[0] - low[0], high[1] - low[1]
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="{width_mm}mm" '
        f'height="{width_mm * height // width}mm" viewBox="{low[0]} {-high[1]} {width} {height}" '
        'font-family="sans-serif">'
    )
    return "\n".join([head, f"<title>{escape(title)}</title>", _HATCH, *parts, "</svg>", ""])


def _floor(racks: Iterable[Rack], floor: Iterable[FloorLine], size: int) -> Iterable[str]:
    for rack in racks:
        (x1, y1), (x2, y2) = rack.low_mm, rack.high_mm
        yield (
            f'<rect x="{x1}" y="{-y2}" width="{x2 - x1}" height="{y2 - y1}" fill="url(#rack)" '
            f'stroke="#666" stroke-width="{size // 30}"/>'
        )
    for line in floor:
        (x1, y1), (x2, y2) = line.from_mm, line.to_mm
        yield (
            f'<line x1="{x1}" y1="{-y1}" x2="{x2}" y2="{-y2}" stroke="#999" stroke-width="{size // 30}" '
            f'stroke-dasharray="{size // 3} {size // 3}"/>'
        )


def _names(floor: Iterable[FloorLine], size: int) -> Iterable[str]:
    """Each name once, also where a closed piece cuts an aisle in two."""
    for name, place in dict.fromkeys((line.name, line.name_mm) for line in floor if line.name):
        yield _text(name, place, size * 11 // 20, "middle")


def _bench(at: Point, size: int, word: str) -> list[str]:
    x, y = at
    half = size // 3
    return [
        f'<rect x="{x - half}" y="{-y - half}" width="{2 * half}" height="{2 * half}" fill="#000"/>',
        _text(word, (x, y - size), size * 11 // 20, "middle"),
    ]


def _text(words: str, at: Point, size: int, anchor: str) -> str:
    return (
        f'<text x="{at[0]}" y="{-at[1] + size * 7 // 20}" font-size="{size}" text-anchor="{anchor}" '
        f'fill="#000" stroke="#fff" stroke-width="{size // 5}" paint-order="stroke">'
        f"{escape(words)}</text>"
    )


def _points(points: Iterable[Point]) -> str:
    return " ".join(f"{x},{-y}" for x, y in points)
