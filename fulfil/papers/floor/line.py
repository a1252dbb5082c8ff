"""The walked line on a route map: kept to the right, so that there and back are two lines, with arrow heads.

>>> [tuple(round(c, 2) for c in point) for point in to_the_right([(0, 0), (0, 10), (0, 0)], 1)]
[(1.0, 0.0), (1.0, 10.0), (-1.0, 10.0), (-1.0, 0.0)]
>>> [tuple(round(c, 2) for c in point) for point in to_the_right([(0, 0), (0, 10), (10, 10)], 1)]
[(1.0, 0.0), (1.0, 9.0), (10.0, 9.0)]

Points are in a plane whose y grows upwards (towards the back of the room).
"""

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import TypeAlias

XY: TypeAlias = tuple[float, float]


def to_the_right(points: Sequence[XY], aside: float) -> list[XY]:
    """The line moved ``aside`` to the right of the direction in which it is walked; corners meet, turns get a cap."""
    legs = [(a, b) for a, b in pairwise(points) if a != b]
    normals = []
    for (x0, y0), (x1, y1) in legs:
        length = math.hypot(x1 - x0, y1 - y0)
        normals.append(((y1 - y0) / length, -(x1 - x0) / length))
    if not legs:
        return list(points[:1])
    moved: list[XY] = [_shift(legs[0][0], normals[0], aside)]
    for (_, corner), (nx, ny), (mx, my) in zip(legs, normals, normals[1:], strict=False):
        along = 1 + nx * mx + ny * my
        if along < 0.2:
            moved += [_shift(corner, (nx, ny), aside), _shift(corner, (mx, my), aside)]
        else:
            moved.append(_shift(corner, ((nx + mx) / along, (ny + my) / along), aside))
    moved.append(_shift(legs[-1][1], normals[-1], aside))
    return moved


def _shift(point: XY, normal: XY, by: float) -> XY:
    return (point[0] + normal[0] * by, point[1] + normal[1] * by)


def arrow_heads(points: Sequence[XY], *, size: float, every: float) -> list[tuple[XY, XY, XY]]:
    """Triangles pointing the way along each leg that is long enough: one for each ``every`` begun.

    Each stands a little before the middle of its share, so that those of the way back stand elsewhere.

    >>> len(arrow_heads([(0, 0), (0, 30)], size=2, every=20))
    2
    """
    heads = []
    for (x0, y0), (x1, y1) in pairwise(points):
        length = math.hypot(x1 - x0, y1 - y0)
        if length < 2.5 * size:
            continue
        ux, uy = (x1 - x0) / length, (y1 - y0) / length
        count = math.ceil(length / every)
        for i in range(count):
            at = length * (i + 0.4) / count + size / 2
            tip = (x0 + ux * at, y0 + uy * at)
            back = (tip[0] - ux * size, tip[1] - uy * size)
            half = size * 0.45
            heads.append((tip, (back[0] - uy * half, back[1] + ux * half), (back[0] + uy * half, back[1] - ux * half)))
    return heads
