"""Euler trails and lines on the floor."""

from collections import Counter
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from fulfil.room.route import bends, euler_trail, line_length_mm


@given(st.lists(st.integers(0, 6), min_size=1, max_size=30), st.booleans())
def test_trail_uses_every_edge_as_often_as_told(visits: list[int], returns: bool) -> None:
    """Any walk's edges, handed in as a multiset, come back as one trail with the same edges and ends."""
    points = [(k % 3, k // 3) for k in range(7)]
    visits = [a for a, b in zip(visits, [*visits[1:], -1], strict=True) if a != b]
    if returns and visits[0] != visits[-1]:
        visits.append(visits[0])
    edges = Counter(frozenset(pair) for pair in pairwise(visits))
    trail = euler_trail(points, [(*sorted(pair), times) for pair, times in edges.items()], visits[0])

    assert Counter(frozenset(pair) for pair in pairwise(trail)) == edges
    assert trail[0] == visits[0]
    if edges:
        assert trail[-1] == visits[-1]


@given(st.lists(st.tuples(st.booleans(), st.integers(-3, 3)), max_size=20))
def test_bends_keep_the_length(moves: list[tuple[bool, int]]) -> None:
    """Leaving out points where the line goes straight on changes no length, and doubling back stays."""
    line = [(0, 0)]
    for across, step in moves:
        x, y = line[-1]
        line.append((x + step, y) if across else (x, y + step))

    assert line_length_mm(bends(line)) == line_length_mm(line)
    assert bends(line)[0] == line[0]
    assert bends(line)[-1] == line[-1]


def test_straight_on_at_a_crossing() -> None:
    """At a crossing with all four ways open the trail goes straight on."""
    points = [(1, 1), (0, 1), (2, 1), (1, 0), (1, 2)]
    edges = [(0, 1, 1), (0, 2, 1), (0, 3, 1), (0, 4, 1), (1, 3, 1), (2, 4, 1)]
    trail = euler_trail(points, edges, 1)

    assert trail in ([1, 0, 2, 4, 0, 3, 1], [1, 3, 0, 4, 2, 0, 1])
