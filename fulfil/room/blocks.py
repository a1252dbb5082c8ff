"""Several blocks: parallel aisles and any number of cross aisles, dead ends, closed pieces, one-way aisles.

Aisle j runs along y at x = ``aisle_x_mm[j]``; cross aisle k runs along x at y = ``cross_y_mm[k]``. An aisle may
stop short of a cross aisle (a dead end) or reach beyond it, a cross aisle may be shorter than the room is wide, and
the bench stands anywhere on an aisle or cross aisle. A stop is ``(aisle, y_mm)``; left and right bins at one y are
one stop.

>>> room = Blocks(aisle_x_mm=(0, 5, 10), cross_y_mm=(0, 10, 20), bench_mm=(0, 0))
>>> walk = room.shortest_walk([(0, 4), (1, 6), (1, 14), (2, 9)])
>>> walk.length_mm, walk.stops
(50, ((0, 4), (2, 9), (1, 14), (1, 6)))
>>> Blocks((0, 5), (0, 10), bench_mm=(2, 3))
Traceback (most recent call last):
    ...
fulfil.errors.RoomRefused: Cannot put the bench at '(2, 3)': expected a point on an aisle or a cross aisle.

Limits: exact for any number of stops while at most six corners are in sight (six cross aisles, or six aisles) and
no aisle is one-way; beyond, see :mod:`fulfil.room.touring.tour`.
"""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from fulfil.errors import RoomRefused
from fulfil.room.block import whole_mm
from fulfil.room.network import Link, Network, Place
from fulfil.room.network_room import NetworkRoom
from fulfil.room.walk import Point, Stop

Span = tuple[int, int]


@dataclass(frozen=True)
class Blocks(NetworkRoom):
    """A room of parallel aisles and cross aisles.

    Attributes:
        aisle_x_mm: where each aisle stands, ascending.
        cross_y_mm: where each cross aisle runs, ascending.
        bench_mm: the bench's place (x, y), on an aisle or a cross aisle.
        end_mm: where walks end, if not at the bench.
        aisle_span_mm: for each aisle (from y, to y); empty: all from the first to the last cross aisle.
        cross_span_mm: for each cross aisle (from x, to x); empty: all from the first to the last aisle, and on to
            the bench and end if these stand beside.
        closed: pieces of aisles that nobody can walk: (aisle, from y, to y).
        one_way: aisles open one way only: (aisle, 1 towards higher y or -1 towards lower y).

    Raises:
        RoomRefused: the measures don't make a room.
    """

    aisle_x_mm: tuple[int, ...]
    cross_y_mm: tuple[int, ...]
    bench_mm: Point
    end_mm: Point | None = None
    aisle_span_mm: tuple[Span, ...] = ()
    cross_span_mm: tuple[Span, ...] = ()
    closed: tuple[tuple[int, int, int], ...] = ()
    one_way: tuple[tuple[int, int], ...] = ()

    def __post_init__(self) -> None:
        def keep(name: str, value: object) -> None:
            object.__setattr__(self, name, value)

        for name in ("aisle_x_mm", "cross_y_mm"):
            lines = tuple(whole_mm(value, name) for value in getattr(self, name))
            if not lines or any(one >= two for one, two in pairwise(lines)):
                raise RoomRefused(f"lay out blocks with {name}", lines, "at least one, each above the one before")
            keep(name, lines)
        keep("bench_mm", _point(self.bench_mm, "bench"))
        keep("end_mm", None if self.end_mm is None else _point(self.end_mm, "end"))
        beside = [point for point in (self.bench_mm, self.end_mm) if point]
        whole_aisle = (self.cross_y_mm[0], self.cross_y_mm[-1])
        widths = []
        for y in self.cross_y_mm:
            xs = [*self.aisle_x_mm, *(x for x, at in beside if at == y)]
            widths.append((min(xs), max(xs)))
        keep(
            "aisle_span_mm",
            _spans(self.aisle_span_mm, [whole_aisle] * len(self.aisle_x_mm), "aisle_span_mm"),
        )
        keep("cross_span_mm", _spans(self.cross_span_mm, widths, "cross_span_mm"))
        keep("closed", tuple((aisle, *_span(ends, "closed")) for aisle, *ends in self.closed))
        keep("one_way", tuple((aisle, way) for aisle, way in self.one_way))
        for aisle in [*(piece[0] for piece in self.closed), *(piece[0] for piece in self.one_way)]:
            self._known(aisle, "close or direct aisle")
        for _, way in self.one_way:
            if way not in (1, -1):
                raise RoomRefused("direct an aisle", way, "1 towards higher y or -1 towards lower y")
        for point, what in ((self.bench_mm, "bench"), (self.end_mm, "end")):
            if point and point not in self.network.points:
                raise RoomRefused(f"put the {what} at", point, "a point on an aisle or a cross aisle")

    def _known(self, aisle: object, attempted: str) -> None:
        if isinstance(aisle, bool) or not isinstance(aisle, int) or not 0 <= aisle < len(self.aisle_x_mm):
            raise RoomRefused(attempted, aisle, f"an aisle from 0 to {len(self.aisle_x_mm) - 1}")

    @cached_property
    def _laid_out(self) -> tuple[Network, list[list[tuple[int, int]]]]:
        """The network, and for each aisle its (lowest y, link), ascending."""
        marks = [point for point in (self.bench_mm, self.end_mm) if point]
        number: dict[Point, int] = {}
        links: list[Link] = []
        links_of: list[list[tuple[int, int]]] = []
        direction = dict(self.one_way)
        for aisle, (x, (low, high)) in enumerate(zip(self.aisle_x_mm, self.aisle_span_mm, strict=True)):
            shut = sorted((low_y, high_y) for at, low_y, high_y in self.closed if at == aisle)
            crossings = [
                y for y, (left, right) in zip(self.cross_y_mm, self.cross_span_mm, strict=True) if left <= x <= right
            ]
            ys = {low, high, *crossings, *(y for at, y in marks if at == x), *(y for ends in shut for y in ends)}
            corners = sorted(y for y in ys if low <= y <= high and not any(a < y < b for a, b in shut))
            links_of.append([])
            for y1, y2 in pairwise(corners):
                if any(a <= y1 and y2 <= b for a, b in shut):
                    continue
                a, b = (number.setdefault((x, y), len(number)) for y in (y1, y2))
                links_of[aisle].append((y1, len(links)))
                way = direction.get(aisle, 0)
                links.append(Link(a, b, y2 - y1, way != 0) if way >= 0 else Link(b, a, y2 - y1, True))
        for y, (left, right) in zip(self.cross_y_mm, self.cross_span_mm, strict=True):
            xs = sorted({at for at, on in (*number, *marks) if on == y and left <= at <= right})
            for x1, x2 in pairwise(xs):
                a, b = (number.setdefault((x, y), len(number)) for x in (x1, x2))
                links.append(Link(a, b, x2 - x1))
        start = number.get(self.bench_mm, 0)
        end = start if self.end_mm is None else number.get(self.end_mm, 0)
        return Network(tuple(number), tuple(links), start, end), links_of

    @cached_property
    def network(self) -> Network:
        """The room's corners and passages."""
        return self._laid_out[0]

    def sweep_orders(self) -> tuple[Sequence[int], Sequence[int]]:
        """Aisle by aisle, and cross aisle by cross aisle."""
        points = self.network.points
        corners = range(len(points))
        return (
            sorted(corners, key=lambda k: points[k]),
            sorted(corners, key=lambda k: (points[k][1], points[k][0])),
        )

    def place(self, stop: Stop) -> Place:
        """The stop's link of the network and how far along it, refused if it lies in no aisle."""
        try:
            aisle, y_mm = stop
            aisle, y_mm = whole_mm(aisle, "aisle of a stop"), whole_mm(y_mm, "y_mm of a stop")
        except RoomRefused:
            raise
        except (TypeError, ValueError):
            raise RoomRefused("read stop", stop, "a pair (aisle, y_mm)") from None
        self._known(aisle, "place a stop in aisle")
        links_of = self._laid_out[1][aisle]
        at = bisect_right(links_of, (y_mm, len(self.network.passages))) - 1
        for low, number in links_of[max(at - 1, 0) : at + 1][::-1]:
            link = self.network.passages[number]
            if low <= y_mm <= low + link.length_mm:
                runs_up = self.network.points[link.a][1] == low
                return number, y_mm - low if runs_up else low + link.length_mm - y_mm
        low, high = self.aisle_span_mm[aisle]
        raise RoomRefused("place stop", stop, f"y from {low} to {high} mm, in no closed piece of the aisle")


def _point(value: object, what: str) -> Point:
    if not isinstance(value, tuple) or len(value) != 2:
        raise RoomRefused(f"put the {what} at", value, "a pair (x_mm, y_mm)")
    return whole_mm(value[0], f"x_mm of the {what}"), whole_mm(value[1], f"y_mm of the {what}")


def _span(value: Sequence[object], name: str) -> Span:
    if len(value) != 2:
        raise RoomRefused(f"read {name}", value, "a pair (from, to)")
    low, high = whole_mm(value[0], name), whole_mm(value[1], name)
    if low > high or (low == high and name != "cross_span_mm"):
        raise RoomRefused(f"read {name}", (low, high), "from below to")
    return low, high


def _spans(given: Sequence[Span], usual: Sequence[Span], name: str) -> tuple[Span, ...]:
    if given and len(given) != len(usual):
        raise RoomRefused(f"read {name}", given, f"one pair for each of {len(usual)}")
    return tuple(_span(ends, name) for ends in given) if given else tuple(usual)
