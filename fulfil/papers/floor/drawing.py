"""The route map: the room from above, the racks hatched, the walked line, the stops as numbered black discs.

The front of the room, where the bench stands, is at the lower edge. In a frame of a given height the plan is stretched
to it (a map of the way, not a scale drawing), so that narrow aisles stay readable; without a height it is to scale.

>>> sheet = RouteMapSheet.of_aisles(
...     aisles=(("1", 1500), ("2", 4000)), cross_aisle_y_mm=(0, 20000), bench_mm=(1500, 0),
...     stops=(MapStop(number=1, x_mm=1500, y_mm=5000),), path_mm=((1500, 0), (1500, 5000), (1500, 0)))
>>> route_map(sheet, 100, 80).height_mm
80.0
>>> route_map(sheet, 50).height_mm > 50  # 20 m by 5 m, to scale
True
"""

from collections.abc import Sequence
from itertools import pairwise
from math import hypot, sqrt

from fulfil.papers.elements.counted import counted
from fulfil.papers.faces import Face, width_mm
from fulfil.papers.floor.discs import DISC_PT, Spot, Wish, disc_half_mm, set_discs
from fulfil.papers.floor.line import XY, arrow_heads, to_the_right
from fulfil.papers.floor.passages import passage_marks, passage_name
from fulfil.papers.floor.route_map import MapRack, MapStop, MapVisits, RouteMapSheet
from fulfil.papers.ink import Block, Box, Disc, Extent, Mark, Shape, Strokes, block, extent_mm, text_at
from fulfil.papers.page import BODY_PT, SMALL_PT
from fulfil.papers.wrap import LEAST_PT, centred_in, fitting_size
from fulfil.records.place import Side

_NAMES_MM = 5.5
_BENCH_MM = 8.0
_EDGE_MM = 5.0
_RADIUS_MM = 2.7
_ASIDE_MM = 0.85
_HATCH_MM = 3.0
_SHORTEST_MM = 0.05
_LINE_MM = 0.7
_DOT_MM = 1.5
_NEAR_MM = 8.0
_HERE_MM = 3.2
_MOST_HIGH = 1.4
"""Of its width a plan to scale is at most so high, as a page is."""


class _Plan:
    """From millimetres on the floor to millimetres on the paper (x right, y *up* from the lower edge of the frame)."""

    def __init__(self, sheet: RouteMapSheet, width: float, height: float | None) -> None:
        xs = [x for rack in sheet.racks for x in (rack.x_mm, rack.x_mm + rack.width_mm)]
        ys = [y for rack in sheet.racks for y in (rack.y_mm, rack.y_mm + rack.depth_mm)]
        points = [sheet.bench_mm, *sheet.path_mm, *((stop.x_mm, stop.y_mm) for stop in sheet.stops)]
        points += [point for passage in sheet.passages for point in (passage.from_mm, passage.to_mm)]
        points += [(aisle.x_mm, y) for aisle in sheet.aisles for y in (aisle.front_mm, aisle.back_mm)]
        points += [(visits.x_mm, visits.y_mm) for visits in sheet.visits]
        points += [sheet.end_mm] if sheet.end_mm else []
        xs += [x for x, _ in points]
        ys += [y for _, y in points] + list(sheet.cross_aisle_y_mm)
        self.left, self.front = min(xs), min(ys)
        # Without racks at the walls the numbers need room of their own.
        self.edge = _EDGE_MM if sheet.racks else 2 * _EDGE_MM
        across_mm, deep_mm = max(max(xs) - self.left, 1), max(max(ys) - self.front, 1)
        self.x_scale = (width - 2 * self.edge) / across_mm
        below = _BENCH_MM + _NAMES_MM
        self.below = below
        around = below + _NAMES_MM + _EDGE_MM / 2
        if height is None:
            self.x_scale = min(self.x_scale, (_MOST_HIGH * width - around) / deep_mm)
            height = around + deep_mm * self.x_scale
        self.y_scale = (height - around) / deep_mm
        self.height = height
        self.width = width
        self.beside = self.edge + (width - 2 * self.edge - across_mm * self.x_scale) / 2

    def at(self, x_mm: int, y_mm: int) -> XY:
        return (
            self.beside + (x_mm - self.left) * self.x_scale,
            self.below + (y_mm - self.front) * self.y_scale,
        )

    def down(self, point: XY) -> XY:
        """From y upwards to the paper's y downwards."""
        return (point[0], self.height - point[1])


def route_map(
    sheet: RouteMapSheet, width: float, height: float | None = None, *, here_mm: tuple[int, int] | None = None
) -> Block:
    """The map in a frame of ``width`` by ``height`` mm; without a height to scale.

    ``here_mm`` is where the reader stands, on the floor, if that is to be shown.
    """
    plan = _Plan(sheet, width, height)
    marks: list[Mark] = [Box(0.2, 0.2, width - 0.4, plan.height - 0.4, line_mm=0.4)]
    for rack in sheet.racks:
        marks += _rack(plan, rack)
    names = [*_names(plan, sheet)]
    for passage in sheet.passages:
        ends = (plan.at(*passage.from_mm), plan.at(*passage.to_mm))
        marks += passage_marks(*ends, is_one_way=passage.is_one_way, down=plan.down)
        names += passage_name(*ends, passage.name, down=plan.down)
    bench = _bench(plan, sheet)
    marks += names
    marks += _visits(plan, sheet)
    line = to_the_right([plan.at(*point) for point in sheet.path_mm], _ASIDE_MM)
    if len(line) > 1:
        marks.append(Strokes((tuple(map(plan.down, line)),), _LINE_MM))
        for head in arrow_heads(line, size=2.8, every=34.0):
            marks.append(Shape(tuple(map(plan.down, head))))
    marks += _stops(plan, sheet, [extent_mm(mark) for mark in (*names, *bench)], line)
    marks += bench
    if here_mm is not None:
        marks += _here(plan, here_mm)
    return block(float(plan.height), *marks)


def _visits(plan: _Plan, sheet: RouteMapSheet) -> list[Mark]:
    """Dots on the racks, their area in proportion to the visits; the most visited says how often."""
    most = max((visits.times for visits in sheet.visits), default=0)
    marks: list[Mark] = []
    half = _half_aisle(plan, sheet)
    for visits in sheet.visits:
        radius = max(0.25, _DOT_MM * sqrt(visits.times / most))
        x, y = _beside(plan, visits, half + _DOT_MM + 0.3)
        marks.append(Disc(*plan.down((x, y)), radius, fill="black", says=counted(visits.times, "visit")))
        if visits.times == most:
            words = str(most)
            base = plan.down((x, y - 0.36 * DISC_PT * 25.4 / 72))
            marks += [
                Disc(*plan.down((x, y)), disc_half_mm(words, _RADIUS_MM), fill="black"),
                text_at(*base, words, Face.BOLD, DISC_PT, align="centre", is_white=True),
            ]
            most += 1  # said once
    return marks


def _beside(plan: _Plan, at: MapStop | MapVisits, aside: float) -> XY:
    """The place on the paper beside a place of the floor, on its side as seen along its way."""
    x, y = plan.at(at.x_mm, at.y_mm)
    dx, dy = at.ahead_mm[0] * plan.x_scale, at.ahead_mm[1] * plan.y_scale
    length = hypot(dx, dy) or 1.0
    sign = {Side.LEFT: -1, Side.RIGHT: 1, None: 0}[at.side]
    return x + sign * aside * dy / length, y - sign * aside * dx / length


def _rack(plan: _Plan, rack: MapRack) -> list[Mark]:
    x0, y0 = plan.at(rack.x_mm, rack.y_mm)
    x1, y1 = plan.at(rack.x_mm + rack.width_mm, rack.y_mm + rack.depth_mm)
    corner = plan.down((x0, y1))
    strokes = tuple((plan.down(a), plan.down(b)) for a, b in hatching(x0, y0, x1, y1, _HATCH_MM))
    return (
        [Strokes(strokes, 0.1), Box(*corner, x1 - x0, y1 - y0, line_mm=0.25)]
        if strokes
        else [Box(*corner, x1 - x0, y1 - y0, line_mm=0.25)]
    )


def hatching(x0: float, y0: float, x1: float, y1: float, step: float) -> list[tuple[XY, XY]]:
    """Lines at 45° inside a rectangle, ``step`` mm apart along x.

    >>> hatching(0, 0, 2, 1, 1)
    [((0, 0), (1, 1)), ((1, 0), (2, 1))]
    """
    found = []
    # Each line is x - y = c; c runs over the multiples of the step, so that neighbouring racks match.
    c = ((x0 - y1) // step + 1) * step
    while c < x1 - y0:
        start = (max(x0, y0 + c), max(y0, x0 - c))
        end = (min(x1, y1 + c), min(y1, x1 - c))
        if end[0] - start[0] > _SHORTEST_MM:
            found.append((start, end))
        c += step
    return found


def _names(plan: _Plan, sheet: RouteMapSheet) -> list[Mark]:
    """Aisle names at both ends, as large as the gap between aisles allows."""
    marks: list[Mark] = []
    bench_x, _ = plan.at(*sheet.bench_mm)
    xs = sorted(aisle.x_mm for aisle in sheet.aisles)
    room = min([(b - a) * plan.x_scale for a, b in pairwise(xs)], default=plan.width / 2) - 1
    sizes = [_name_size(aisle.name, room) for aisle in sheet.aisles]
    for aisle, size in zip(sheet.aisles, sizes, strict=True):
        x, front = plan.at(aisle.x_mm, aisle.front_mm)
        back = plan.at(aisle.x_mm, aisle.back_mm)[1]
        if not size:
            continue
        half = width_mm(aisle.name, Face.BOLD, size) / 2
        # The post of the bench goes down between the names.
        beside_post = x - half - 1.0 if abs(x - bench_x) < half + 1.0 else x
        for middle, y in ((beside_post, front - _NAMES_MM + 0.6), (x, back + _EDGE_MM / 2 + 0.6)):
            marks.append(text_at(*plan.down((middle, y)), aisle.name, Face.BOLD, size, align="centre"))
    return marks


def _name_size(name: str, room: float) -> float:
    if width_mm(name, Face.BOLD, LEAST_PT) > room:
        return 0.0
    return fitting_size(name, Face.BOLD, BODY_PT + 1, least_pt=LEAST_PT, width=room)


def _wish(plan: _Plan, stop: MapStop, half_aisle: float) -> Wish:
    x, y = _beside(plan, stop, half_aisle + _RADIUS_MM + 0.2)
    way = stop.way or str(stop.x_mm)
    return Wish(str(stop.number), x, y, f"{way}{stop.side}", way)


def _half_aisle(plan: _Plan, sheet: RouteMapSheet) -> float:
    """From an aisle's middle to the nearest rack, on the paper."""
    gaps = [
        min(abs(rack.x_mm - aisle.x_mm), abs(rack.x_mm + rack.width_mm - aisle.x_mm))
        for aisle in sheet.aisles
        for rack in sheet.racks
    ]
    return min(gaps, default=0) * plan.x_scale if sheet.aisles else 1.6


def _stops(plan: _Plan, sheet: RouteMapSheet, taken: Sequence[Extent], line: Sequence[XY]) -> list[Mark]:
    half = _half_aisle(plan, sheet)
    true_places = {str(stop.number): plan.at(stop.x_mm, stop.y_mm) for stop in sheet.stops}
    wishes = [_wish(plan, stop, half) for stop in sheet.stops]
    free = [(left, plan.height - bottom, right, plan.height - top) for left, top, right, bottom in taken]
    spots = set_discs(
        wishes,
        radius_mm=_RADIUS_MM,
        width_mm=plan.width,
        height_mm=plan.height,
        taken=free,
        better_free=_along(line),
    )
    marks: list[Mark] = []
    for spot in spots:
        first, _, last = spot.words.partition("–")
        for number in (first, last or first):
            marks.append(Strokes(((plan.down((spot.x_mm, spot.y_mm)), plan.down(true_places[number])),), 0.4))
    for spot in spots:
        marks += _disc(plan, spot)
    return marks


def _along(line: Sequence[XY]) -> list[tuple[float, float, float, float]]:
    """The walked line as narrow areas, for its legs up and down or across the page; slanting ones are left out."""
    legs = [(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1])) for a, b in pairwise(line)]
    straight = [leg for leg in legs if min(leg[2] - leg[0], leg[3] - leg[1]) < _LINE_MM]
    half = _LINE_MM / 2 + 0.2
    return [(left - half, low - half, right + half, high + half) for left, low, right, high in straight]


def _disc(plan: _Plan, spot: Spot) -> list[Mark]:
    x, y = plan.down((spot.x_mm, spot.y_mm))
    halo = 0.35
    size = DISC_PT
    if spot.half_mm == spot.radius_mm:
        size = fitting_size(spot.words, Face.BOLD, DISC_PT, least_pt=LEAST_PT, width=2 * spot.radius_mm - 0.4)
        shapes: list[Mark] = [
            Disc(x, y, spot.radius_mm + halo, fill="white"),
            Disc(x, y, spot.radius_mm, fill="black"),
        ]
    else:
        shapes = [
            Box(
                x - spot.half_mm - more,
                y - spot.radius_mm - more,
                2 * (spot.half_mm + more),
                2 * (spot.radius_mm + more),
                fill="white" if more else "black",
            )
            for more in (halo, 0.0)
        ]
    base = y - spot.radius_mm + centred_in(2 * spot.radius_mm, size)
    return [*shapes, text_at(x, base, spot.words, Face.BOLD, size, align="centre", is_white=True)]


def _bench(plan: _Plan, sheet: RouteMapSheet) -> list[Mark]:
    """The bench and, if walks end elsewhere, the end."""
    if sheet.end_mm is None or sheet.end_mm == sheet.bench_mm:
        return _signed(plan, sheet.bench_mm, "BENCH: start and end")
    return [*_signed(plan, sheet.bench_mm, "BENCH: start"), *_signed(plan, sheet.end_mm, "END of the walk")]


def _here(plan: _Plan, at_mm: tuple[int, int]) -> list[Mark]:
    """A diamond where the reader stands, and the words that say so."""
    x, y = plan.at(*at_mm)
    outer, inner = (
        tuple(plan.down(corner) for corner in ((x, y + r), (x + r, y), (x, y - r), (x - r, y)))
        for r in (_HERE_MM, _HERE_MM - 1.0)
    )
    words = "you are here"
    left = min(x + _HERE_MM + 0.5, plan.width - width_mm(words, Face.BOLD, SMALL_PT + 1) - 1.0)
    base = plan.down((left, y + _HERE_MM))
    return [Shape(outer), Shape(inner, "white"), text_at(*base, words, Face.BOLD, SMALL_PT + 1)]


def _signed(plan: _Plan, at_mm: tuple[int, int], words: str) -> list[Mark]:
    """A place with its name in a box: below the plan if it lies at the front, with a post up to it; else close by."""
    x, y = plan.at(*at_mm)
    words_mm = width_mm(words, Face.BOLD, SMALL_PT + 1) + 4
    left = min(max(x - words_mm / 2, 1.0), plan.width - words_mm - 1.0)
    is_at_front = y - plan.below < _NEAR_MM
    top = plan.below - _NAMES_MM - 0.3 if is_at_front else y - 2.4
    high = 5.6
    low_left = plan.down((left, top))
    base = low_left[1] + centred_in(high, SMALL_PT + 1)
    marks: list[Mark] = []
    if y > top:
        marks.append(Strokes(((plan.down((x, y)), plan.down((x, top))),), 0.7))
    marks += [
        Disc(*plan.down((x, y)), 1.3, line_mm=0.7, fill="white"),
        Box(low_left[0], low_left[1], words_mm, high, line_mm=0.7, fill="white"),
        text_at(low_left[0] + words_mm / 2, base, words, Face.BOLD, SMALL_PT + 1, align="centre"),
    ]
    return marks
