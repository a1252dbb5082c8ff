"""Where the numbers go on a route map: beside their bins, moved a little where they would overlap.

Rule *first number first*: discs are set in the order of their numbers, each at the free place nearest to its bin (along
the aisle before sideways, towards the back before the front). Where no place is free within reach, neighbours of
consecutive numbers in one rack share a disc ('7–9'); the walk passes them together anyway.

>>> [(round(spot.x_mm, 1), round(spot.y_mm, 1), spot.words) for spot in set_discs(
...     [Wish("1", 10, 10, "a"), Wish("2", 10, 11, "a")], radius_mm=2.5, width_mm=50, height_mm=50)]
[(10.0, 10.0, '1'), (10.0, 15.5, '2')]
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from fulfil.papers.faces import Face, width_mm

_GAP_MM = 0.5
_FRAME_MM = 1.2
_STEP_MM = 0.5
_REACH_MM = 14.0
_NEAR_MM = 10.0
_SIDE_STEPS_MM = (0.0, 1.0, -1.0, 2.0, -2.0, 3.0, -3.0, 4.0, -4.0)
_SIDE_MM = 4.0
DISC_PT = 9.0
_MOST_DISCS = 120
_Edges = tuple[float, float, float, float]


@dataclass(frozen=True)
class Wish:
    """A number and where its disc would best be.

    ``rack`` is equal for neighbours that may share a disc, ``aisle`` for those that must where even that isn't enough.
    """

    words: str
    x_mm: float
    y_mm: float
    rack: str
    aisle: str = ""


@dataclass(frozen=True)
class Spot:
    """A disc's place; it is ``half_mm`` wide to either side of x and ``radius_mm`` high to either side of y."""

    words: str
    x_mm: float
    y_mm: float
    half_mm: float
    radius_mm: float
    wish: Wish


@dataclass(frozen=True)
class _Area:
    """Where discs may stand."""

    radius_mm: float
    width_mm: float
    height_mm: float
    taken: tuple[_Edges, ...]
    better_free: tuple[_Edges, ...] = ()

    def around(self, wish: Wish, half: float, reach: float) -> "_Area":
        """The same area with only what is taken within reach of a disc."""
        x_mm, y_mm = _SIDE_MM + half, reach + self.radius_mm
        near = [
            tuple(
                edge
                for edge in edges
                if edge[0] - x_mm < wish.x_mm < edge[2] + x_mm and edge[1] - y_mm < wish.y_mm < edge[3] + y_mm
            )
            for edges in (self.taken, self.better_free)
        ]
        return _Area(self.radius_mm, self.width_mm, self.height_mm, *near)

    def all_free(self) -> "_Area":
        """The same area where what is better free is taken too."""
        return _Area(self.radius_mm, self.width_mm, self.height_mm, self.taken + self.better_free)

    def is_free(self, x: float, y: float, half: float) -> bool:
        """Whether a disc lies inside, clear of the frame and of what is taken."""
        radius, edge = self.radius_mm, self.radius_mm + _FRAME_MM
        aside = half + _FRAME_MM
        if not (aside <= x <= self.width_mm - aside and edge <= y <= self.height_mm - edge):
            return False
        return not any(
            left - half < x < right + half and low - radius < y < high + radius for left, low, right, high in self.taken
        )


def set_discs(
    wishes: Sequence[Wish],
    *,
    radius_mm: float,
    width_mm: float,
    height_mm: float,
    taken: Sequence[_Edges] = (),
    better_free: Sequence[_Edges] = (),
) -> list[Spot]:
    """Places without overlap inside the area; discs are merged where they would not all find one.

    ``taken`` are areas to keep clear of: left, lower, right and upper edge; so are those that are ``better_free``,
    such as the walked line, where a disc finds a place within reach.
    """
    area = _Area(radius_mm, width_mm, height_mm, tuple(taken), tuple(better_free))
    groups = [[wish] for wish in wishes]
    while len(groups) > _MOST_DISCS and len(fewer := _merge_nearest(groups)) < len(groups):
        groups = fewer
    while True:
        spots = _set([_merged(group) for group in groups], area, _REACH_MM)
        if spots is not None:
            return spots
        fewer = _merge_nearest(groups)
        if len(fewer) == len(groups):
            break
        groups = fewer
    left = [_merged(group) for group in groups]
    return _set(left, area, height_mm) or _set_anyhow(left, radius_mm)


def disc_half_mm(words: str, radius: float) -> float:
    """Half the width of a disc that says ``words``: its radius, or more where they need it."""
    need = width_mm(words, Face.BOLD, DISC_PT) / 2 + 0.45
    return radius if need <= radius else need + 0.4


def _merged(group: list[Wish]) -> Wish:
    first, last = group[0], group[-1]
    if first is last:
        return first
    middle = group[len(group) // 2]
    rack = first.rack if first.rack == last.rack else ""
    return Wish(f"{first.words}–{last.words}", middle.x_mm, middle.y_mm, rack, first.aisle)


def _merge_nearest(groups: list[list[Wish]]) -> list[list[Wish]]:
    """The two consecutive groups of one rack that lie nearest become one; of one aisle, if no rack has two."""
    for key in ("rack", "aisle"):
        pairs = [
            (abs(a[-1].y_mm - b[0].y_mm), i)
            for i, (a, b) in enumerate(pairwise(groups))
            if getattr(a[-1], key) == getattr(b[0], key) != ""
        ]
        if pairs:
            _, i = min(pairs)
            return [*groups[:i], groups[i] + groups[i + 1], *groups[i + 2 :]]
    return groups


def _set(wishes: list[Wish], area: _Area, reach: float) -> list[Spot] | None:
    spots: list[Spot] = []
    radius = area.radius_mm
    for wish in wishes:
        half = disc_half_mm(wish.words, radius)
        here = area.around(wish, half, reach)
        near = [
            spot
            for spot in spots
            if abs(spot.x_mm - wish.x_mm) < _SIDE_MM + half + spot.half_mm + _GAP_MM
            and abs(spot.y_mm - wish.y_mm) < reach + radius + spot.radius_mm + _GAP_MM
        ]
        place = _place(wish, half, near, here.all_free(), _displacements(_NEAR_MM if reach == _REACH_MM else reach))
        place = place or _place(wish, half, near, here, _displacements(reach))
        if place is None:
            return None
        spots.append(Spot(wish.words, *place, half, radius, wish))
    return spots


def _place(
    wish: Wish, half: float, near: Sequence[Spot], area: _Area, moves: Sequence[tuple[float, float]]
) -> tuple[float, float] | None:
    for dx, dy in moves:
        x, y = wish.x_mm + dx, wish.y_mm + dy
        if area.is_free(x, y, half) and all(_is_clear(x, y, half, area.radius_mm, spot) for spot in near):
            return x, y
    return None


def _set_anyhow(wishes: list[Wish], radius: float) -> list[Spot]:
    """Nothing left to merge and no room: numbers stand at their bins, each one still on the list itself."""
    return [Spot(w.words, w.x_mm, w.y_mm, disc_half_mm(w.words, radius), radius, w) for w in wishes]


@cache
def _displacements(reach: float) -> list[tuple[float, float]]:
    steps = int(reach / _STEP_MM)
    along = [0.0] + [sign * i * _STEP_MM for i in range(1, steps + 1) for sign in (1, -1)]
    return [(dx, dy) for dx in _SIDE_STEPS_MM for dy in along]


def _is_clear(x: float, y: float, half: float, radius: float, spot: Spot) -> bool:
    dx, dy = abs(x - spot.x_mm), abs(y - spot.y_mm)
    if half == radius and spot.half_mm == spot.radius_mm:
        least = radius + spot.radius_mm + _GAP_MM
        return dx * dx + dy * dy >= least * least
    return dx >= half + spot.half_mm + _GAP_MM or dy >= radius + spot.radius_mm + _GAP_MM
