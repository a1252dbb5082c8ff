"""Where the numbers go on a route map: beside their bins, moved a little where they would overlap.

Rule *first number first*: discs are set in the order of their numbers, each at the free place nearest to its bin (along
the aisle before sideways, towards the back before the front). Where no place is free within reach, neighbours of
consecutive numbers in one rack share a disc ('7–9'); the walk passes them together anyway.

>>> [(round(spot.x_mm, 1), round(spot.y_mm, 1), spot.words) for spot in set_discs(
...     [Wish("1", 10, 10, "a"), Wish("2", 10, 11, "a")], radius_mm=2.5, width_mm=50, height_mm=50)]
[(10, 10, '1'), (10, 15.5, '2')]
"""

from collections.abc import Sequence
from dataclasses import dataclass

from fulfil.papers.faces import Face, width_mm

_GAP_MM = 0.5
_STEP_MM = 0.5
_REACH_MM = 14.0
_SIDE_STEPS_MM = (0.0, 1.0, -1.0, 2.0, -2.0)
DISC_PT = 9.0


@dataclass(frozen=True)
class Wish:
    """A number and where its disc would best be; ``rack`` is equal for neighbours that may share a disc."""

    words: str
    x_mm: float
    y_mm: float
    rack: str


@dataclass(frozen=True)
class Spot:
    """A disc's place; it is ``half_mm`` wide to either side of x and ``radius_mm`` high to either side of y."""

    words: str
    x_mm: float
    y_mm: float
    half_mm: float
    radius_mm: float
    wish: Wish


def set_discs(wishes: Sequence[Wish], *, radius_mm: float, width_mm: float, height_mm: float) -> list[Spot]:
    """Places without overlap inside the area; discs are merged where they would not all find one."""
    groups = [[wish] for wish in wishes]
    while True:
        spots = _set([_merged(group) for group in groups], radius_mm, width_mm, height_mm)
        if spots is not None:
            return spots
        fewer = _merge_nearest(groups)
        if len(fewer) == len(groups):
            return _set_anyhow([_merged(group) for group in groups], radius_mm)
        groups = fewer


def _half(words: str, radius: float) -> float:
    need = width_mm(words, Face.BOLD, DISC_PT) / 2 + 0.45
    return radius if need <= radius else need + 0.4


def _merged(group: list[Wish]) -> Wish:
    first, last = group[0], group[-1]
    if first is last:
        return first
    middle = group[len(group) // 2]
    return Wish(f"{first.words}–{last.words}", middle.x_mm, middle.y_mm, first.rack)


def _merge_nearest(groups: list[list[Wish]]) -> list[list[Wish]]:
    """The two consecutive groups of one rack that lie nearest become one."""
    pairs = [
        (abs(a[-1].y_mm - b[0].y_mm), i)
        for i, (a, b) in enumerate(zip(groups, groups[1:], strict=False))
        if a[-1].rack == b[0].rack
    ]
    if not pairs:
        return groups
    _, i = min(pairs)
    return [*groups[:i], groups[i] + groups[i + 1], *groups[i + 2 :]]


def _set(wishes: list[Wish], radius: float, width: float, height: float) -> list[Spot] | None:
    spots: list[Spot] = []
    for wish in wishes:
        half = _half(wish.words, radius)
        for dx, dy in _displacements():
            x, y = wish.x_mm + dx, wish.y_mm + dy
            if not (half <= x <= width - half and radius <= y <= height - radius):
                continue
            if all(_is_clear(x, y, half, radius, spot) for spot in spots):
                spots.append(Spot(wish.words, x, y, half, radius, wish))
                break
        else:
            return None
    return spots


def _set_anyhow(wishes: list[Wish], radius: float) -> list[Spot]:
    """Nothing left to merge and no room: numbers stand at their bins, each one still on the list itself."""
    return [Spot(w.words, w.x_mm, w.y_mm, _half(w.words, radius), radius, w) for w in wishes]


def _displacements() -> list[tuple[float, float]]:
    steps = int(_REACH_MM / _STEP_MM)
    along = [0.0] + [sign * i * _STEP_MM for i in range(1, steps + 1) for sign in (1, -1)]
    return [(dx, dy) for dx in _SIDE_STEPS_MM for dy in along]


def _is_clear(x: float, y: float, half: float, radius: float, spot: Spot) -> bool:
    dx, dy = abs(x - spot.x_mm), abs(y - spot.y_mm)
    if half == radius and spot.half_mm == spot.radius_mm:
        least = radius + spot.radius_mm + _GAP_MM
        return dx * dx + dy * dy >= least * least
    return dx >= half + spot.half_mm + _GAP_MM or dy >= radius + spot.radius_mm + _GAP_MM
