"""From passages walked once or twice to one line on the floor.

A closed walk exists along a connected set of passages exactly when every point is met by an even number of them
(Euler 1741); Hierholzer's method (Math. Ann. 6, 1873, 30-32, doi:10.1007/BF01442866) finds it in linear time.

Named rules. *Straight on*: at a crossing the walk goes straight on if it can, turns round only if it must, and
otherwise goes to the point with the smallest (x, y). *Low stops first*: a closed walk may be walked both ways; of
the two, the one whose stops in order read smaller is taken.

>>> points = [(0, 0), (0, 5), (5, 5), (5, 0)]
>>> euler_trail(points, [(0, 1, 1), (1, 2, 1), (2, 3, 1), (3, 0, 1)], 0)
[0, 1, 2, 3, 0]
>>> bends([(0, 0), (0, 2), (0, 5), (5, 5), (0, 5)])
((0, 0), (0, 5), (5, 5), (0, 5))
"""

from collections.abc import Iterable, Sequence
from itertools import pairwise

from fulfil.room.walk import Point, Stop


def euler_trail(points: Sequence[Point], edges: Iterable[tuple[int, int, int]], start: int) -> list[int]:
    """The points' numbers in walking order, using every edge as often as it says.

    Args:
        points: place of each numbered point.
        edges: (point, point, times walked); both directions count alike; the same pair may come again.
        start: where the trail begins. It ends there too, or at the one other point with an odd number of edges.
    """
    left: dict[int, dict[int, int]] = {start: {}}
    for a, b, times in edges:
        if times:
            at_a = left.setdefault(a, {})
            at_b = left.setdefault(b, {})
            at_a[b] = at_a.get(b, 0) + times
            at_b[a] = at_b.get(a, 0) + times
    stack, trail = [start], []
    while stack:
        here = stack[-1]
        onward = left[here]
        if not onward:
            trail.append(stack.pop())
            continue
        there = next(iter(onward))
        if len(onward) > 1:
            there = _choose(points, stack[-2] if len(stack) > 1 else None, here, onward)
        back = left[there]
        times = onward[there] - 1
        if times:
            onward[there] = back[here] = times
        else:
            del onward[there], back[here]
        stack.append(there)
    trail.reverse()
    return trail


def _choose(points: Sequence[Point], before: int | None, here: int, onward: Iterable[int]) -> int:
    """Rule *straight on*."""
    if before is None:
        return min(onward, key=lambda there: points[there])
    (x0, y0), (x1, y1) = points[before], points[here]
    dx, dy = x1 - x0, y1 - y0

    def rank(there: int) -> tuple[int, Point]:
        x2, y2 = points[there]
        ex, ey = x2 - x1, y2 - y1
        goes_straight = dx * ey == dy * ex and dx * ex + dy * ey > 0
        return (0 if goes_straight else 2 if there == before else 1, points[there])

    return min(onward, key=rank)


def bends(line: Iterable[Point]) -> tuple[Point, ...]:
    """The line with every point left out at which it goes straight on."""
    kept: list[Point] = []
    for x2, y2 in line:
        if kept and kept[-1] == (x2, y2):
            continue
        if len(kept) > 1:
            (x0, y0), (x1, y1) = kept[-2], kept[-1]
            dx, dy, ex, ey = x1 - x0, y1 - y0, x2 - x1, y2 - y1
            if dx * ey == dy * ex and dx * ex + dy * ey > 0:
                kept.pop()
        kept.append((x2, y2))
    return tuple(kept)


def stops_along(trail: Iterable[int], stops_at: dict[int, list[Stop]]) -> tuple[Stop, ...]:
    """The stops in the order in which the trail first comes past them."""
    return tuple(stop for point in dict.fromkeys(trail) for stop in stops_at.get(point, ()))


def lay_out(
    points: Sequence[Point],
    edges: Iterable[tuple[int, int, int]],
    start: int,
    stops_at: dict[int, list[Stop]],
) -> tuple[tuple[Stop, ...], tuple[Point, ...]]:
    """Stops in walking order and the bends of the line, by the two rules of this module."""
    trail = euler_trail(points, edges, start)
    stops = stops_along(trail, stops_at)
    if trail[0] == trail[-1]:
        backwards = stops_along(reversed(trail), stops_at)
        if backwards < stops:
            trail.reverse()
            stops = backwards
    return stops, bends([points[point] for point in trail])


def line_length_mm(path: Sequence[Point]) -> int:
    """The length of a line whose pieces all run along x or y.

    >>> line_length_mm([(0, 0), (0, 5), (5, 5)])
    10
    """
    return sum(abs(x1 - x0) + abs(y1 - y0) for (x0, y0), (x1, y1) in pairwise(path))
