"""The walking network under every room that is more than one block: corners, passages, and the ways between them.

Corners are numbered points of the floor; a passage joins two corners, is so many millimetres long, and may be open
one way only. A *place* is (passage, millimetres along it from its first corner). Rooms translate their stops into
places; the methods for walks know nothing else of the room.

>>> square = Network(points=((0, 0), (9, 0), (9, 5)), passages=(Link(0, 1, 9), Link(1, 2, 5)), start=0, end=0)
>>> square.distance_mm((0, 4), (1, 5))
10
>>> square.distance_mm(None, (1, 1))
10

Limits: below 2^53 mm all told, so that distances are exact.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise
from typing import TYPE_CHECKING, TypeAlias

from fulfil.room.walk import Point, Stop

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray
    from scipy.sparse import csr_array

Place: TypeAlias = tuple[int, int]

UNREACHABLE = 1 << 53
"""Stands for 'no way' in distance tables; longer than any way."""


@dataclass(frozen=True)
class Link:
    """A passage: a way from corner ``a`` to corner ``b`` and, unless ``one_way``, back."""

    a: int
    b: int
    length_mm: int
    one_way: bool = False


@dataclass(frozen=True)
class Cut:
    """The network cut at the places of some stops, for laying out a walk.

    Attributes:
        points: the corners' points, then those of the stops.
        chains: for each passage with stops, the (along_mm, point number) from its first corner to its second.
        stops_at: the stops at each point number.
    """

    points: tuple[Point, ...]
    chains: Mapping[int, Sequence[tuple[int, int]]]
    stops_at: dict[int, list[Stop]] = field(default_factory=dict)


@dataclass(frozen=True)
class Network:
    """Corners and passages of a room, the corner where walks start and the one where they end."""

    points: tuple[Point, ...]
    passages: tuple[Link, ...]
    start: int
    end: int

    @property
    def is_two_way(self) -> bool:
        """Whether every passage is open in both directions."""
        return not any(passage.one_way for passage in self.passages)

    @cached_property
    def corner_distance_mm(self) -> "NDArray[np.int64]":
        """Shortest ways between corners, [from, to], whole millimetres."""
        lengths = one_step_lengths(
            len(self.points), ((way.a, way.b, way.length_mm, way.one_way) for way in self.passages)
        )
        from scipy.sparse.csgraph import dijkstra

        return whole_table(dijkstra(lengths, directed=True))

    def distance_mm(self, a: Place | None, b: Place | None) -> int:
        """The shortest way from ``a`` to ``b``, :data:`UNREACHABLE` if there is none; None stands for the bench.

        Ways leave from the bench's start and arrive at its end.
        """
        table = self.corner_distance_mm
        leaving = [(self.start, 0)] if a is None else self._leaving(a)
        arriving = [(self.end, 0)] if b is None else self._arriving(b)
        least = min(out + int(table[i, j]) + into for i, out in leaving for j, into in arriving)
        if a is not None and b is not None and a[0] == b[0]:
            ahead = b[1] - a[1]
            if ahead >= 0 or not self.passages[a[0]].one_way:
                least = min(least, abs(ahead))
        return min(least, UNREACHABLE)

    def _leaving(self, place: Place) -> list[tuple[int, int]]:
        way = self.passages[place[0]]
        ahead = [(way.b, way.length_mm - place[1])]
        return ahead if way.one_way and place[1] > 0 else [(way.a, place[1]), *ahead]

    def _arriving(self, place: Place) -> list[tuple[int, int]]:
        way = self.passages[place[0]]
        ahead = [(way.a, place[1])]
        return ahead if way.one_way and place[1] < way.length_mm else [*ahead, (way.b, way.length_mm - place[1])]

    def is_reachable(self, place: Place) -> bool:
        """Whether a walk can go from the start to the place and on to the end."""
        return max(self.distance_mm(None, place), self.distance_mm(place, None)) < int(UNREACHABLE)

    def point_mm(self, place: Place) -> Point:
        """The place's point on the floor; on a passage longer than its straight line, in proportion, rounded down."""
        way = self.passages[place[0]]
        (x1, y1), (x2, y2) = self.points[way.a], self.points[way.b]
        return (
            x1 + (x2 - x1) * place[1] // way.length_mm,
            y1 + (y2 - y1) * place[1] // way.length_mm,
        )

    def cut(self, placed: Iterable[tuple[Place, Stop]]) -> Cut:
        """The network cut at these stops; a stop at the very end of a passage is at its corner."""
        alongs: dict[int, set[int]] = {}
        placed = list(placed)
        for (passage, along_mm), _ in placed:
            alongs.setdefault(passage, set()).add(along_mm)
        points = list(self.points)
        number: dict[Place, int] = {}
        chains: dict[int, list[tuple[int, int]]] = {}
        for passage in sorted(alongs):
            way = self.passages[passage]
            chain = [(0, way.a)]
            for along_mm in sorted(alongs[passage]):
                if 0 < along_mm < way.length_mm:
                    chain.append((along_mm, len(points)))
                    points.append(self.point_mm((passage, along_mm)))
            chain.append((way.length_mm, way.b))
            chains[passage] = chain
            number.update({(passage, along_mm): point for along_mm, point in chain})
        stops_at: dict[int, list[Stop]] = {}
        for place, stop in placed:
            stops_at.setdefault(number[place], []).append(stop)
        for stops in stops_at.values():
            stops.sort()
        return Cut(tuple(points), chains, stops_at)

    def steps(self, cut: Cut) -> list[tuple[int, int, int, bool]]:
        """Every stretch of the cut network: (from point, to point, mm, one way)."""
        stretches: list[tuple[int, int, int, bool]] = []
        for number, way in enumerate(self.passages):
            chain = cut.chains.get(number, ((0, way.a), (way.length_mm, way.b)))
            stretches.extend((i, j, to - since, way.one_way) for (since, i), (to, j) in pairwise(chain))
        return stretches


def one_step_lengths(size: int, steps: Iterable[tuple[int, int, int, bool]]) -> "csr_array":
    """Sparse matrix of single steps (from, to, mm, one way); of parallel ones the shortest."""
    least: dict[tuple[int, int], int] = {}
    for a, b, length_mm, one_way in steps:
        for pair in ((a, b),) if one_way else ((a, b), (b, a)):
            least[pair] = min(length_mm, least.get(pair, length_mm))
    pairs = sorted(least)
    import numpy as np  # loaded late, as SciPy: who lists a walk's stops measures none
    from scipy.sparse import csr_array

    rows, columns = np.array(pairs, dtype=np.int32).reshape(-1, 2).T
    return csr_array((np.array([float(least[pair]) for pair in pairs]), (rows, columns)), shape=(size, size))


def whole_table(table: "NDArray[np.float64]") -> "NDArray[np.int64]":
    """Distances as whole millimetres; endless ones become :data:`UNREACHABLE`."""
    import numpy as np

    whole: NDArray[np.int64] = np.where(np.isfinite(table), table, float(UNREACHABLE)).astype(np.int64)
    return whole
