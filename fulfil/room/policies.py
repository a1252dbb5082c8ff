"""Five rules of thumb for walking one block, for comparison with the shortest walk.

The rules and their names are those of the literature (R. W. Hall, IIE Trans. 25, 1993, 76-87,
doi:10.1080/07408179308964306; C. G. Petersen, Int. J. Oper. Prod. Manag. 17, 1997, 1098-1111,
doi:10.1108/01443579710177860; K. J. Roodbergen, R. de Koster, Int. J. Prod. Res. 39, 2001, 1865-1883,
doi:10.1080/00207540110028128). Each walks from the bench to one end of the stops, on to the other, and back:

- *S-shape*: right through every aisle with stops; the last one in and out if their number is odd;
- *return*: in and out of every aisle from the front;
- *midpoint*: first and last aisle right through; the others from the nearer end up to the middle;
- *largest gap*: the same, but leaving out the largest gap instead of turning at the middle;
- *combined*: right through or in and out, aisle by aisle, whatever is best (by dynamic programming).

>>> from fulfil.room.block import Block
>>> for line in compare(Block((0, 5, 10), 10), [(0, 2), (0, 8), (1, 5), (2, 9)]):
...     print(line.policy, line.length_mm, f"{line.above_shortest:.0%}")
shortest 42 0%
S-shape 58 38%
return 64 52%
midpoint 50 19%
largest gap 50 19%
combined 50 19%

Limits: one block; the rules know no more of the bench than how far it stands from the first and the last aisle.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from fulfil.room.block import Block
from fulfil.room.walk import Stop

_Aisles = list[list[int]]


@dataclass(frozen=True)
class Comparison:
    """One rule's walk beside the shortest: its length, and how far above as a fraction of the shortest."""

    policy: str
    length_mm: int
    above_shortest: float


def compare(room: Block, stops: Sequence[Stop]) -> tuple[Comparison, ...]:
    """The shortest walk and every rule's, in the order of this module's list."""
    shortest_mm = room.shortest_walk(stops).length_mm
    lengths = [("shortest", shortest_mm), *((name, policy_length_mm(name, room, stops)) for name in POLICIES)]
    return tuple(
        Comparison(name, length_mm, (length_mm - shortest_mm) / shortest_mm if shortest_mm else 0.0)
        for name, length_mm in lengths
    )


def policy_length_mm(policy: str, room: Block, stops: Sequence[Stop]) -> int:
    """The length of the walk by one of :data:`POLICIES`."""
    rows: dict[int, set[int]] = {}
    for stop in stops:
        x, y = room.point_mm(stop)
        rows.setdefault(x, set()).add(y)
    if not rows:
        return 0
    bench_x = room.bench_mm[0]
    along = 2 * (max(*rows, bench_x) - min(*rows, bench_x))
    return along + POLICIES[policy]([sorted(rows[x]) for x in sorted(rows)], room.length_mm)


def _s_shape(aisles: _Aisles, length_mm: int) -> int:
    if len(aisles) % 2 == 0:
        return len(aisles) * length_mm
    return (len(aisles) - 1) * length_mm + 2 * aisles[-1][-1]


def _return(aisles: _Aisles, length_mm: int) -> int:
    return sum(2 * ys[-1] for ys in aisles)


def _first_and_last(aisles: _Aisles, length_mm: int, inner: Callable[[list[int]], int]) -> int:
    if len(aisles) == 1:
        return 2 * aisles[0][-1]
    return 2 * length_mm + sum(inner(ys) for ys in aisles[1:-1])


def _midpoint(aisles: _Aisles, length_mm: int) -> int:
    def inner(ys: list[int]) -> int:
        front = max((y for y in ys if 2 * y <= length_mm), default=0)
        back = min((y for y in ys if 2 * y > length_mm), default=length_mm)
        return 2 * front + 2 * (length_mm - back)

    return _first_and_last(aisles, length_mm, inner)


def _largest_gap(aisles: _Aisles, length_mm: int) -> int:
    def inner(ys: list[int]) -> int:
        return 2 * (length_mm - max(b - a for a, b in pairwise([0, *ys, length_mm])))

    return _first_and_last(aisles, length_mm, inner)


def _combined(aisles: _Aisles, length_mm: int) -> int:
    at_front, at_back = 0, sum(2 * length_mm for _ in aisles) + 1
    for ys in aisles:
        at_front, at_back = (
            min(at_front + 2 * ys[-1], at_back + length_mm),
            min(at_front + length_mm, at_back + 2 * (length_mm - ys[0])),
        )
    return at_front


POLICIES: dict[str, Callable[[_Aisles, int], int]] = {
    "S-shape": _s_shape,
    "return": _return,
    "midpoint": _midpoint,
    "largest gap": _largest_gap,
    "combined": _combined,
}
