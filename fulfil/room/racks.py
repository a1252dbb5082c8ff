"""Where racks stand in a room of several blocks: on both sides of every aisle, clear of it and of the cross aisles.

>>> room = Blocks((0, 2500), (0, 9000, 20000), (0, 0))
>>> [(rack.low_mm, rack.high_mm) for rack in racks(room, 1000)][:2]
[((-1250, 500), (-500, 8500)), ((500, 500), (1250, 8500))]

Limits: racks aren't in a shop's records; they are taken to fill what the ways leave. How a room is drawn is known by
the papers.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from fulfil.room.blocks import Blocks
from fulfil.room.walk import Point


@dataclass(frozen=True)
class Rack:
    """A rack's outline: its corner with the smallest x and y, and the opposite one."""

    low_mm: Point
    high_mm: Point


def racks(room: Blocks, aisle_width_mm: int) -> tuple[Rack, ...]:
    """Racks on both sides of every aisle, up to half-way to the next; none along a closed piece of an aisle.

    ``aisle_width_mm`` is kept free around every middle line, but never more than two fifths of what lies between two
    aisles.
    """
    xs = room.aisle_x_mm
    gaps = [x2 - x1 for x1, x2 in pairwise(xs)]
    half = min([aisle_width_mm, *(2 * gap // 5 for gap in gaps)]) // 2
    at_wall = min([gap // 2 for gap in gaps], default=aisle_width_mm)
    outlines = []
    for aisle, (x, (low, high)) in enumerate(zip(xs, room.aisle_span_mm, strict=True)):
        reach = (
            gaps[aisle - 1] // 2 if aisle else at_wall,
            gaps[aisle] // 2 if aisle < len(gaps) else at_wall,
        )
        for since, to in _open_pieces(low, high, [(a, b) for at, a, b in room.closed if at == aisle]):
            cuts = [since, *(y for y in room.cross_y_mm if since < y < to), to]
            for y1, y2 in pairwise(cuts):
                y1, y2 = (y + sign * half if y in room.cross_y_mm else y for y, sign in ((y1, 1), (y2, -1)))
                if y1 < y2:
                    outlines.append(Rack((x - reach[0], y1), (x - half, y2)))
                    outlines.append(Rack((x + half, y1), (x + reach[1], y2)))
    return tuple(outlines)


def _open_pieces(low: int, high: int, closed: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    pieces = []
    for since, to in sorted(closed):
        if since > low:
            pieces.append((low, since))
        low = max(low, to)
    if low < high:
        pieces.append((low, high))
    return pieces
