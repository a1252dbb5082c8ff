"""Passages of an odd room on a route map: dashed lines with their names, chevrons where they are open one way only.

>>> [len(mark.lines) for mark in passage_marks((0, 0), (30, 0), is_one_way=True, down=lambda point: point)]
[1, 2]
>>> passage_name((0, 0), (30, 0), "P1", down=lambda point: point)[0].text
'P1'
"""

from collections.abc import Callable
from math import hypot

from fulfil.papers.faces import MM_PER_POINT, Face
from fulfil.papers.floor.line import XY
from fulfil.papers.ink import Mark, Strokes, text_at
from fulfil.papers.page import BODY_PT

_ASIDE_MM = 4.4
_CHEVRON_MM = 1.5
_EVERY_MM = 18.0


def passage_marks(start: XY, end: XY, *, is_one_way: bool, down: Callable[[XY], XY]) -> list[Mark]:
    """The dashed line from ``start`` to ``end``; two chevrons or more say that it leads only there."""
    marks: list[Mark] = [Strokes(((down(start), down(end)),), 0.2, True)]
    length = hypot(end[0] - start[0], end[1] - start[1])
    if not is_one_way or not length:
        return marks
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    count = max(2, round(length / _EVERY_MM))
    chevrons = []
    for number in range(count):
        at = length * (number + 0.7) / count
        x, y = start[0] + ux * at, start[1] + uy * at
        wings = [
            (x - ux * _CHEVRON_MM + side * uy * _CHEVRON_MM, y - uy * _CHEVRON_MM - side * ux * _CHEVRON_MM)
            for side in (1, -1)
        ]
        chevrons.append((down(wings[0]), down((x, y)), down(wings[1])))
    return [*marks, Strokes(tuple(chevrons), 0.5)]


def passage_name(start: XY, end: XY, name: str, *, down: Callable[[XY], XY]) -> list[Mark]:
    """The name beside the middle of the passage, to the left of its direction or above."""
    if not name:
        return []
    length = hypot(end[0] - start[0], end[1] - start[1]) or 1.0
    x = (start[0] + end[0]) / 2 - _ASIDE_MM * (end[1] - start[1]) / length
    y = (start[1] + end[1]) / 2 + _ASIDE_MM * (end[0] - start[0]) / length
    return [text_at(*down((x, y - 0.36 * BODY_PT * MM_PER_POINT)), name, Face.BOLD, BODY_PT, align="centre")]
