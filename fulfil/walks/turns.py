"""How a picker comes to each stop: which aisle or passage, from which end, and on which hand the bin then is.

>>> from fulfil.records.place import ElementKind, RoomElement
>>> from fulfil.walks.floor import floor_of
>>> floor = floor_of([RoomElement(kind=ElementKind.AISLE, name="1", x_mm=0),
...     RoomElement(kind=ElementKind.AISLE, name="2", x_mm=5), RoomElement(kind=ElementKind.BENCH, name="bench"),
...     RoomElement(kind=ElementKind.CROSS_AISLE, name="front"),
...     RoomElement(kind=ElementKind.CROSS_AISLE, name="back", y_mm=10)])
>>> path = [(0, 0), (0, 10), (5, 10), (5, 4), (5, 10)]
>>> [approach.sentence for approach in approaches(floor, path, [(0, 3), (0, 8), (1, 4)])]
['Aisle 1, from the front', '', 'Aisle 2, from the back']

Limits: told from the line on the floor. Where two passages of an odd room are drawn on one another, the one entered is
taken to be the one that the stop is in.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot

from fulfil.records.place import Side
from fulfil.room.walk import Point, Stop
from fulfil.walks.floor import Floor, Way

Leg = tuple[Point, Point]

_OFF_MM = 2.0
"""Places along a slanting passage are rounded to whole millimetres; nearer to the line than this is on it."""


@dataclass(frozen=True)
class Approach:
    """``sentence`` is empty while the picker goes on one way the same direction.

    ``is_onward``: as the places along the way are counted, in an aisle towards the back.
    """

    sentence: str
    is_onward: bool

    def hand(self, side: Side) -> Side:
        """The hand on which a bin is for the picker who comes along; ``side`` is seen from the way's beginning."""
        if self.is_onward:
            return side
        return Side.LEFT if side is Side.RIGHT else Side.RIGHT


def approaches(floor: Floor, path: Sequence[Point], stops: Sequence[Stop]) -> list[Approach]:
    """One approach for each stop; ``stops`` in walking order, each first passed on ``path`` after the one before."""
    legs: list[Leg] = list(pairwise(path)) or [(path[0], path[0])]
    found: list[Approach] = []
    leg, before = 0, -1
    name: object = None
    for stop in stops:
        way = floor.ways[stop[0]]
        at = floor.room.point_mm(stop)
        while not _passes(legs[leg], at) and leg < len(legs) - 1:
            leg += 1
        is_onward = _along(way, legs[leg]) > 0 or (_along(way, legs[leg]) == 0 and _from_beginning(way, at) == 0)
        goes_on = name == stop[0] and all(_is_on(way, one) for one in legs[before : leg + 1])
        sentence = ""
        if not goes_on:
            sentence = _entering(floor, way, legs, leg, is_onward)
        elif found[-1].is_onward != is_onward:
            sentence = f"Turn round in {floor.way_word} {way.name}"
        found.append(Approach(sentence, is_onward))
        name, before = stop[0], leg
    return found


def _entering(floor: Floor, way: Way, legs: Sequence[Leg], leg: int, is_onward: bool) -> str:
    """Which way, from which of its named places, and where to, if the place doesn't say that already."""
    first = leg
    while first > 0 and _is_on(way, legs[first - 1]) and (_along(way, legs[first - 1]) > 0) == is_onward:
        first -= 1
    length = _length(way)
    entered = min(max(_from_beginning(way, legs[first][0]), 0.0), length)
    # Places are counted along the passage, which may be longer than its line on the floor.
    scale = max([1, *way.crossings]) / length if floor.way_word == "passage" and length else 1.0
    named = {along_mm: words for along_mm, words in way.crossings.items() if abs(along_mm / scale - entered) <= _OFF_MM}
    sentence = f"{floor.way_word.capitalize()} {way.name}"
    if named:
        sentence += f", from {next(iter(named.values()))}"
    ahead = [(along_mm if is_onward else -along_mm, words) for along_mm, words in way.crossings.items()]
    is_between = bool(named) and min(ahead)[1] not in named.values()
    if (is_between or not named) and ahead:
        sentence += f" towards {max(ahead)[1]}"
    return sentence


def _passes(leg: Leg, at: Point) -> bool:
    """Whether a point lies on a leg."""
    (x1, y1), (x2, y2) = leg
    dx, dy = x2 - x1, y2 - y1
    length2 = dx * dx + dy * dy
    share = 0.0 if not length2 else min(1.0, max(0.0, ((at[0] - x1) * dx + (at[1] - y1) * dy) / length2))
    return hypot(at[0] - x1 - share * dx, at[1] - y1 - share * dy) <= _OFF_MM


def _length(way: Way) -> float:
    return hypot(way.to_mm[0] - way.from_mm[0], way.to_mm[1] - way.from_mm[1])


def _from_beginning(way: Way, at: Point) -> float:
    """How far along the way's line a point lies."""
    length = _length(way) or 1.0
    (x1, y1), (x2, y2) = way.from_mm, way.to_mm
    return ((at[0] - x1) * (x2 - x1) + (at[1] - y1) * (y2 - y1)) / length


def _along(way: Way, leg: Leg) -> float:
    """Above 0 if the leg leads along the way, below 0 if against it, 0 across."""
    (x1, y1), (x2, y2) = leg
    ahead = (way.to_mm[0] - way.from_mm[0]) * (x2 - x1) + (way.to_mm[1] - way.from_mm[1]) * (y2 - y1)
    return float(ahead) if _is_on(way, leg) else 0.0


def _is_on(way: Way, leg: Leg) -> bool:
    """Whether a leg runs on the way's line, and along it rather than across."""
    (x1, y1), (x2, y2) = way.from_mm, way.to_mm
    dx, dy = x2 - x1, y2 - y1
    length = hypot(dx, dy) or 1.0
    off = [abs((x - x1) * dy - (y - y1) * dx) / length for x, y in leg]
    return max(off) <= _OFF_MM
