"""The route map of a walk as plain geometry: what a drawing layer needs, in millimetres of the room.

The walk is drawn as a *lane* beside the middle of the passage, on the right of the walking direction, so that the
way out and the way back are two lines, and arrow heads say which way without colour. Stop numbers stand beside the
passage on the bin's side, pushed apart where they would overlap, each with a line to its stop.

>>> from fulfil.room.block import Block
>>> room = Block((0, 2500), 10000)
>>> picture = map_walk(room, room.shortest_walk([(1, 4000)]))
>>> [(mark.number, mark.at_mm) for mark in picture.stops]
[(1, (2500, 4000))]
>>> picture.lane_mm[:3]
((0, -125), (2625, -125), (2625, 4000))

Limits: no drawing library, no colours, no fonts: see :mod:`fulfil.room.svg` for one way to draw it. Passages of a
walking graph are drawn as straight lines, whatever their length.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot

from fulfil.room.block import Block
from fulfil.room.blocks import Blocks
from fulfil.room.graph import WalkingGraph
from fulfil.room.walk import Point, Stop, Walk

AnyRoom = Block | Blocks | WalkingGraph


@dataclass(frozen=True)
class FloorLine:
    """The middle line of a passage.

    ``passage`` is what stops call it, None for a cross aisle; ``name`` what the shop calls it, written at
    ``name_mm``: at an aisle's back end, on the left of an odd room's passage.
    """

    passage: int | str | None
    name: str
    from_mm: Point
    to_mm: Point
    name_mm: Point


@dataclass(frozen=True)
class Rack:
    """A rack's outline: its corner with the smallest x and y, and the opposite one."""

    low_mm: Point
    high_mm: Point


@dataclass(frozen=True)
class Arrow:
    """An arrow head: where its tip is, and the direction (dx, dy) it points to, of length 1000."""

    tip_mm: Point
    direction: Point


@dataclass(frozen=True)
class StopMark:
    """A stop with its number in walking order, where it is, and where its number is written."""

    number: int
    stop: Stop
    at_mm: Point
    label_mm: Point


@dataclass(frozen=True)
class RouteMap:
    """Everything on the map.

    Attributes:
        low_mm: corner of the drawing with the smallest x and y.
        high_mm: the opposite corner.
        floor: middle lines of aisles, cross aisles and passages.
        racks: outlines; empty for a walking graph.
        lane_mm: the walked line, beside the middle lines.
        arrows: along the lane, in walking order.
        stops: in walking order.
        bench_mm: where the walk starts.
        end_mm: where it ends.
        here_mm: where the reader stands, if anywhere else than at the bench.
        label_mm: the width of a stop's number.
    """

    low_mm: Point
    high_mm: Point
    floor: tuple[FloorLine, ...]
    racks: tuple[Rack, ...]
    lane_mm: tuple[Point, ...]
    arrows: tuple[Arrow, ...]
    stops: tuple[StopMark, ...]
    bench_mm: Point
    end_mm: Point
    here_mm: Point | None
    label_mm: int


def map_walk(
    room: AnyRoom,
    walk: Walk,
    *,
    sides: Sequence[str] = (),
    here: Stop | None = None,
    aisle_names: Sequence[str] = (),
    aisle_width_mm: int = 1000,
    label_mm: int = 700,
) -> RouteMap:
    """The map of a walk.

    Args:
        room: the room of the walk.
        walk: as found by the room.
        sides: for each of the walk's stops "left" or "right", seen from the passage's beginning; empty: right.
        here: a stop to mark as the reader's place.
        aisle_names: what the shop calls its aisles; empty: their numbers. Passages have names of their own.
        aisle_width_mm: kept free of racks around every middle line; also measures the lanes.
        label_mm: how wide a stop's number is.
    """
    lane_mm = _lane(walk.path, aisle_width_mm // 8)
    marks = _marks(room, walk.stops, sides, aisle_width_mm // 2 + label_mm // 2, label_mm)
    floor = floor_lines(room, aisle_names, label_mm)
    outlines = racks(room, aisle_width_mm)
    corners = [
        *(point for line in floor for point in (line.from_mm, line.to_mm)),
        *(point for rack in outlines for point in (rack.low_mm, rack.high_mm)),
        *(mark.label_mm for mark in marks),
        *lane_mm,
    ]
    rim = aisle_width_mm // 2 + label_mm
    return RouteMap(
        low_mm=(min(x for x, _ in corners) - rim, min(y for _, y in corners) - rim),
        high_mm=(max(x for x, _ in corners) + rim, max(y for _, y in corners) + rim),
        floor=floor,
        racks=outlines,
        lane_mm=lane_mm,
        arrows=_arrows(lane_mm, aisle_width_mm),
        stops=marks,
        bench_mm=walk.path[0],
        end_mm=walk.path[-1],
        here_mm=None if here is None else room.point_mm(here),
        label_mm=label_mm,
    )


def floor_lines(room: AnyRoom, aisle_names: Sequence[str] = (), label_mm: int = 700) -> tuple[FloorLine, ...]:
    """The middle lines of the room's aisles or passages, named, then of its cross aisles."""
    if isinstance(room, WalkingGraph):
        points = room.network.points
        return tuple(
            FloorLine(
                passage.name,
                passage.name,
                points[link.a],
                points[link.b],
                _left_of(points[link.a], points[link.b], label_mm),
            )
            for passage, link in zip(room.passages, room.network.passages, strict=True)
        )
    names = aisle_names or [str(aisle) for aisle in range(len(room.aisle_x_mm))]
    if isinstance(room, Block):
        xs, length_mm = room.aisle_x_mm, room.length_mm
        ends = (min(xs[0], room.bench_mm[0]), max(xs[-1], room.bench_mm[0]))
        return (
            *(
                FloorLine(aisle, names[aisle], (x, 0), (x, length_mm), (x, length_mm + label_mm))
                for aisle, x in enumerate(xs)
            ),
            FloorLine(None, "", (ends[0], 0), (ends[1], 0), (ends[0], 0)),
            FloorLine(None, "", (xs[0], length_mm), (xs[-1], length_mm), (xs[0], length_mm)),
        )
    lines = []
    for aisle, (x, (low, high)) in enumerate(zip(room.aisle_x_mm, room.aisle_span_mm, strict=True)):
        for since, to in _open_pieces(low, high, [(a, b) for at, a, b in room.closed if at == aisle]):
            lines.append(FloorLine(aisle, names[aisle], (x, since), (x, to), (x, high + label_mm)))
    lines += [
        FloorLine(None, "", (left, y), (right, y), (left, y))
        for y, (left, right) in zip(room.cross_y_mm, room.cross_span_mm, strict=True)
    ]
    return tuple(lines)


def _left_of(a: Point, b: Point, mm: int) -> Point:
    """A point beside the middle of the line from ``a`` to ``b``, on the left."""
    length = hypot(b[0] - a[0], b[1] - a[1]) or 1.0
    middle = ((a[0] + b[0]) // 2, (a[1] + b[1]) // 2)
    return _moved(middle, ((a[1] - b[1]) / length, (b[0] - a[0]) / length), mm)


def _open_pieces(low: int, high: int, closed: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    pieces = []
    for since, to in sorted(closed):
        if since > low:
            pieces.append((low, since))
        low = max(low, to)
    if low < high:
        pieces.append((low, high))
    return pieces


def racks(room: AnyRoom, aisle_width_mm: int) -> tuple[Rack, ...]:
    """Racks on both sides of every aisle, up to half-way to the next, clear of the cross aisles."""
    if isinstance(room, WalkingGraph):
        return ()
    xs = room.aisle_x_mm
    gaps = [x2 - x1 for x1, x2 in pairwise(xs)]
    half = min([aisle_width_mm, *(2 * gap // 5 for gap in gaps)]) // 2
    at_wall = min([gap // 2 for gap in gaps], default=aisle_width_mm)
    crossings = (0, room.length_mm) if isinstance(room, Block) else room.cross_y_mm
    outlines = []
    for line in floor_lines(room):
        if line.passage is None:
            continue
        x = line.from_mm[0]
        aisle = xs.index(x)
        reach = (
            gaps[aisle - 1] // 2 if aisle else at_wall,
            gaps[aisle] // 2 if aisle < len(gaps) else at_wall,
        )
        low, high = line.from_mm[1], line.to_mm[1]
        cuts = [low, *(y for y in crossings if low < y < high), high]
        for y1, y2 in pairwise(cuts):
            y1, y2 = (y + sign * half if y in crossings else y for y, sign in ((y1, 1), (y2, -1)))
            if y1 < y2:
                outlines.append(Rack((x - reach[0], y1), (x - half, y2)))
                outlines.append(Rack((x + half, y1), (x + reach[1], y2)))
    return tuple(outlines)


def _lane(path: Sequence[Point], beside_mm: int) -> tuple[Point, ...]:
    """The path moved to the right of its direction; where it turns round, it goes across."""
    if len(path) < 2:
        return tuple(path)
    normals = []
    for (x1, y1), (x2, y2) in pairwise(path):
        length = hypot(x2 - x1, y2 - y1)
        normals.append(((y2 - y1) / length, (x1 - x2) / length))
    lane = [_moved(path[0], normals[0], beside_mm)]
    for point, one, two in zip(path[1:-1], normals[:-1], normals[1:], strict=True):
        along = 1 + one[0] * two[0] + one[1] * two[1]
        if along < 0.1:
            lane += [_moved(point, one, beside_mm), _moved(point, two, beside_mm)]
        else:
            lane.append(_moved(point, ((one[0] + two[0]) / along, (one[1] + two[1]) / along), beside_mm))
    lane.append(_moved(path[-1], normals[-1], beside_mm))
    return tuple(lane)


def _moved(point: Point, by: tuple[float, float], mm: int) -> Point:
    return round(point[0] + by[0] * mm), round(point[1] + by[1] * mm)


def _arrows(lane: Sequence[Point], aisle_width_mm: int) -> tuple[Arrow, ...]:
    """One arrow head on each piece long enough, more on long ones, evenly spread."""
    arrows = []
    for (x1, y1), (x2, y2) in pairwise(lane):
        length = hypot(x2 - x1, y2 - y1)
        heads = round(length / (8 * aisle_width_mm)) or int(length >= aisle_width_mm)
        for head in range(heads):
            share = (head + 0.5) / heads
            arrows.append(
                Arrow(
                    (round(x1 + (x2 - x1) * share), round(y1 + (y2 - y1) * share)),
                    (round(1000 * (x2 - x1) / length), round(1000 * (y2 - y1) / length)),
                )
            )
    return tuple(arrows)


def _marks(
    room: AnyRoom, stops: Sequence[Stop], sides: Sequence[str], beside_mm: int, label_mm: int
) -> tuple[StopMark, ...]:
    """Stops with places for their numbers: beside the passage, in the order along it, not overlapping."""
    lines = {line.passage: line for line in floor_lines(room)}
    rows: dict[tuple[int | str, str], list[int]] = {}
    for index, stop in enumerate(stops):
        side = sides[index] if sides else "right"
        rows.setdefault((stop[0], side), []).append(index)
    labels: dict[int, Point] = {}
    for (passage, side), indices in rows.items():
        line = lines[passage]
        (x1, y1), (x2, y2) = line.from_mm, line.to_mm
        length = hypot(x2 - x1, y2 - y1) or 1.0
        ux, uy = (x2 - x1) / length, (y2 - y1) / length
        sign = -1 if side == "left" else 1
        along = []
        for index in indices:
            x, y = room.point_mm(stops[index])
            along.append(((x - x1) * ux + (y - y1) * uy, index))
        along.sort()
        for (_, index), at in zip(along, spread([at for at, _ in along], label_mm), strict=True):
            base = (round(x1 + ux * at), round(y1 + uy * at))
            labels[index] = _moved(base, (sign * uy, -sign * ux), beside_mm)
    return tuple(StopMark(index + 1, stop, room.point_mm(stop), labels[index]) for index, stop in enumerate(stops))


def spread(wanted: Sequence[float], apart: float) -> list[float]:
    """Places as near as can be to the ascending wanted ones, in their order and at least ``apart`` from each other.

    Least squares by pooling neighbours that would overlap (isotonic regression; R. E. Barlow, H. D. Brunk, J. Am.
    Stat. Assoc. 67, 1972, 140-147, doi:10.1080/01621459.1972.10481216).

    >>> spread([0, 0, 10], 2)
    [-1.0, 1.0, 10.0]
    """
    pools: list[tuple[float, int]] = []
    for number, place in enumerate(wanted):
        mean, size = float(place - number * apart), 1
        while pools and pools[-1][0] >= mean:
            before, count = pools.pop()
            mean, size = (before * count + mean * size) / (count + size), count + size
        pools.append((mean, size))
    levels = [mean for mean, size in pools for _ in range(size)]
    return [level + number * apart for number, level in enumerate(levels)]
