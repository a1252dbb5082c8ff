"""The shortest walk in one block, exactly, by the dynamic programme of Ratliff and Rosenthal.

H. D. Ratliff, A. S. Rosenthal: Order-picking in a rectangular warehouse: a solvable case of the traveling salesman
problem. Operations Research 31 (1983) 507-521, doi:10.1287/opre.31.3.507. The sweep goes through the aisles from left
to right. Of what was walked so far only three facts matter: whether an even or odd number of passages meets the
current aisle's back and front end, and whether what was walked is in one piece. That leaves seven states:

====== ===== ====== ========================
state  back  front  pieces
====== ===== ====== ========================
S0     none  none   none: nothing walked yet
S1     odd   odd    one
S2     even  none   one
S3     none  even   one
S4     even  even   one
S5     even  even   two
S6     none  none   one, finished
====== ===== ====== ========================

In each aisle the walk goes through once, in and out from the front, in and out from the back, from both ends leaving
out the largest gap, or not at all. Going through twice never pays in one block (Revenant, Cambazard, Catusse,
arXiv:2405.15464).

Rule among equal walks, *fewest turns*: the one that turns the cart round in aisles least often; then the one
found first with the options in the order of ``_THROUGH`` and ``_ACROSS``: through before front before back.
What is left of choice is settled by the rules of :mod:`fulfil.room.route`.

>>> walk_block((0, 1), 10, (0, 0), [((1, 4), (1, 4))]).path
((0, 0), (1, 0), (1, 4), (1, 0), (0, 0))

Limits: one length for all aisles; start and end at the same bench on the front cross aisle.
"""

from collections.abc import Sequence
from itertools import pairwise
from typing import TypeAlias

from fulfil.room.route import lay_out
from fulfil.room.walk import Point, Stop, Walk

_PASS, _FRONT, _BACK, _GAP, _NONE = range(5)

# State after an aisle, by state before it: pass, from the front, from the back, around the largest gap, nothing.
# -1 is no walk. A finished walk (S6) takes no further stop.
_THROUGH = (
    (1, 3, 2, 5, 0),
    (4, 1, 1, 1, 1),
    (1, 5, 2, 5, 2),
    (1, 3, 5, 5, 3),
    (1, 4, 4, 4, 4),
    (1, 5, 5, 5, 5),
    (-1, -1, -1, -1, 6),
)

# Between two aisles: times along the front and the back cross aisle, and the states (before, after).
# From S4 a piece walked twice along one cross aisle only leaves the other end behind.
_ACROSS = (
    (1, 1, ((1, 1),)),
    (2, 0, ((3, 3), (4, 3))),
    (0, 2, ((2, 2), (4, 2))),
    (2, 2, ((2, 5), (3, 5), (4, 4), (5, 5))),
    (0, 0, ((0, 0), (2, 6), (3, 6), (4, 6), (6, 6))),
)
_CLOSED = (2, 3, 4, 6)

# Costs carry the length above and the number of turns below this bit, so that one comparison settles both.
_TURN_BITS = 32
_NO_WALK = 1 << 120

_Stage: TypeAlias = list[tuple[int, int]]
_Column: TypeAlias = tuple[int, list[int]]


def walk_block(
    aisle_x_mm: Sequence[int], length_mm: int, bench_mm: Point, placed: Sequence[tuple[Point, Stop]]
) -> Walk:
    """The shortest walk through the stops, each given with its place (x, y); the room was checked before."""
    columns = _columns(aisle_x_mm, bench_mm, [point for point, _ in placed])
    cost, chosen = _sweep(columns, aisle_x_mm, length_mm)
    points: dict[Point, int] = {}
    edges: list[tuple[int, int, int]] = []

    def add(line: Sequence[Point], times: int) -> None:
        numbers = [points.setdefault(point, len(points)) for point in line]
        edges.extend((a, b, times) for a, b in pairwise(numbers))

    add([bench_mm], 0)
    for (x, ys), (option, _) in zip(columns, chosen, strict=True):
        for low, high, times in _walked(option, ys, length_mm):
            add([(x, y) for y in sorted({low, *ys, high}) if low <= y <= high], times)
    for ((x1, _), (x2, _)), (_, across) in zip(pairwise(columns), chosen, strict=False):
        front, back, _ = _ACROSS[across]
        add([(x1, 0), (x2, 0)], front)
        add([(x1, length_mm), (x2, length_mm)], back)
    stops_at: dict[int, list[Stop]] = {}
    for point, stop in placed:
        stops_at.setdefault(points[point], []).append(stop)
    stops, path = lay_out(list(points), edges, points[bench_mm], stops_at)
    return Walk(length_mm=cost >> _TURN_BITS, stops=stops, path=path, bound_mm=cost >> _TURN_BITS)


def block_length_mm(aisle_x_mm: Sequence[int], length_mm: int, bench_mm: Point, points: Sequence[Point]) -> int:
    """Only the length of the shortest walk through these points."""
    return _sweep(_columns(aisle_x_mm, bench_mm, points), aisle_x_mm, length_mm)[0] >> _TURN_BITS


def _columns(aisle_x_mm: Sequence[int], bench_mm: Point, points: Sequence[Point]) -> list[_Column]:
    """Aisles and bench from the first to the last that must be met: (x, its points' y ascending, each once)."""
    required: dict[int, set[int]] = {bench_mm[0]: {0}}
    for x, y in points:
        required.setdefault(x, set()).add(y)
    first, last = min(required), max(required)
    xs = sorted({bench_mm[0], *(x for x in aisle_x_mm if first <= x <= last)})
    return [(x, sorted(required.get(x, ()))) for x in xs]


def _options(ys: Sequence[int], length_mm: int, is_aisle: bool) -> list[tuple[int, int]]:
    """The ways to serve one aisle's points, as (option, cost); ``ys`` ascending, each once."""
    if not is_aisle:
        return [(_FRONT, 0)]
    if not ys:
        return [(_PASS, length_mm << _TURN_BITS), (_NONE, 0)]
    low, high = ys[0], ys[-1]
    options = [
        (_PASS, length_mm << _TURN_BITS),
        (_FRONT, (2 * high << _TURN_BITS) + (high > 0)),
        (_BACK, (2 * (length_mm - low) << _TURN_BITS) + (low < length_mm)),
    ]
    if len(ys) > 1:
        gap = max(b - a for a, b in pairwise(ys))
        options.append((_GAP, (2 * (length_mm - gap) << _TURN_BITS) + 2))
    return options


def _sweep(columns: Sequence[_Column], aisle_x_mm: Sequence[int], length_mm: int) -> tuple[int, list[tuple[int, int]]]:
    """Least cost, and for each column the option taken there and the one taken towards the next."""
    costs = [0] + [_NO_WALK] * 6
    through: list[_Stage] = []
    across: list[_Stage] = []
    for column, (x, ys) in enumerate(columns):
        choices = _options(ys, length_mm, x in aisle_x_mm)
        after = [_NO_WALK] * 7
        came: _Stage = [(-1, -1)] * 7
        for state in range(7):
            if costs[state] < _NO_WALK:
                for option, extra in choices:
                    to = _THROUGH[state][option]
                    if to >= 0 and costs[state] + extra < after[to]:
                        after[to] = costs[state] + extra
                        came[to] = (state, option)
        through.append(came)
        costs = after
        if column + 1 < len(columns):
            step = (columns[column + 1][0] - x) << _TURN_BITS
            after = [_NO_WALK] * 7
            came = [(-1, -1)] * 7
            for number, (front, back, leads) in enumerate(_ACROSS):
                extra = (front + back) * step
                for state, to in leads:
                    if costs[state] + extra < after[to]:
                        after[to] = costs[state] + extra
                        came[to] = (state, number)
            across.append(came)
            costs = after
    state = min(_CLOSED, key=lambda closed: costs[closed])
    least = costs[state]
    chosen: list[tuple[int, int]] = []
    for column in reversed(range(len(columns))):
        crossing = -1
        if column < len(across):
            state, crossing = across[column][state]
        state, option = through[column][state]
        chosen.append((option, crossing))
    chosen.reverse()
    return least, chosen


def _walked(option: int, ys: Sequence[int], length_mm: int) -> list[tuple[int, int, int]]:
    """The stretches of an aisle that an option walks, as (from y, to y, times)."""
    if option == _PASS:
        return [(0, length_mm, 1)]
    if option == _FRONT:
        return [(0, ys[-1], 2)]
    if option == _BACK:
        return [(ys[0], length_mm, 2)]
    if option == _GAP:
        below, above = max(pairwise(ys), key=lambda ends: ends[1] - ends[0])
        return [(0, below, 2), (above, length_mm, 2)]
    return []
