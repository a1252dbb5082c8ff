"""Block: its distances, its refusals and its exact walks."""

from collections.abc import Callable, Sequence
from itertools import pairwise, product

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fulfil import Block, shortest_walk
from fulfil.errors import RoomRefused
from fulfil.room.route import line_length_mm

Stops = list[tuple[int, int]]


@st.composite
def rooms_and_stops(draw: st.DrawFn, most: int = 8, off_aisle: bool = True) -> tuple[Block, Stops]:
    """Small blocks with uneven aisles, a bench anywhere on the front cross aisle, and stops also at aisle ends."""
    pitches = draw(st.lists(st.integers(1, 9), min_size=0, max_size=5))
    xs = [0]
    for pitch in pitches:
        xs.append(xs[-1] + pitch)
    length_mm = draw(st.integers(1, 20))
    bench_x_mm = draw(st.none() | st.integers(-5, xs[-1] + 5)) if off_aisle else None
    room = Block(tuple(xs), length_mm, draw(st.integers(0, len(xs) - 1)), bench_x_mm)
    stop = st.tuples(st.integers(0, len(xs) - 1), st.integers(0, length_mm))
    return room, draw(st.lists(stop, max_size=most))


def matrix(room: Block, stops: Sequence[tuple[int, int]]) -> list[list[int]]:
    """Distances between the bench and the different stops."""
    places = [None, *sorted(set(stops))]
    return [[room.distance_mm(a, b) for b in places] for a in places]


@given(rooms_and_stops())
@settings(deadline=None)
def test_walk_is_as_short_as_held_karp(least_tour: Callable[..., int], case: tuple[Block, Stops]) -> None:
    """The walk's length equals the shortest tour found by an independent exact method, and says it is proven."""
    room, stops = case
    walk = shortest_walk(room, stops)

    assert walk.length_mm == least_tour(matrix(room, stops)) == room.walk_length_mm(stops)
    assert walk.bound_mm == walk.length_mm
    assert walk.proven


@given(rooms_and_stops(most=25))
def test_path_is_a_walk_in_the_room(case: tuple[Block, Stops]) -> None:
    """The path leaves from and returns to the bench, keeps to the aisles, and is as long as the walk says."""
    room, stops = case
    walk = shortest_walk(room, stops)

    assert walk.path[0] == walk.path[-1] == room.bench_mm
    assert line_length_mm(walk.path) == walk.length_mm
    for (x1, y1), (x2, y2) in pairwise(walk.path):
        in_cross_aisle = y1 == y2 and y1 in (0, room.length_mm)
        in_aisle = x1 == x2 and x1 in room.aisle_x_mm and 0 <= min(y1, y2) <= max(y1, y2) <= room.length_mm
        assert in_cross_aisle or in_aisle


@given(rooms_and_stops(most=25))
def test_stops_come_in_the_order_of_the_path(case: tuple[Block, Stops]) -> None:
    """Every stop comes once, duplicates kept, and the places met along the path come in the same order."""
    room, stops = case
    walk = shortest_walk(room, stops)
    met: dict[tuple[int, int], None] = {}
    wanted = {room.point_mm(stop) for stop in stops}
    met.update(dict.fromkeys({walk.path[0]} & wanted))
    for (x1, y1), (x2, y2) in pairwise(walk.path):
        on = [(x, y) for x, y in wanted if min(x1, x2) <= x <= max(x1, x2) and min(y1, y2) <= y <= max(y1, y2)]
        met.update(dict.fromkeys(sorted(on, key=lambda p: abs(p[0] - x1) + abs(p[1] - y1))))

    assert sorted(walk.stops) == sorted(stops)
    assert list(dict.fromkeys(room.point_mm(stop) for stop in walk.stops)) == list(met)


@given(rooms_and_stops(most=12))
def test_input_order_does_not_matter(case: tuple[Block, Stops]) -> None:
    """The same stops give the same walk, in whatever order they are handed in."""
    room, stops = case

    assert shortest_walk(room, stops) == shortest_walk(room, sorted(stops))
    assert shortest_walk(room, stops) == shortest_walk(room, stops[::-1])


@given(rooms_and_stops(most=15))
def test_mirrored_room_has_the_same_length(case: tuple[Block, Stops]) -> None:
    """Left and right swapped: the same length."""
    room, stops = case
    last = len(room.aisle_x_mm) - 1
    bench_x = room.bench_mm[0]
    mirrored = Block(tuple(-x for x in reversed(room.aisle_x_mm)), room.length_mm, bench_x_mm=-bench_x)

    assert (
        shortest_walk(mirrored, [(last - aisle, y) for aisle, y in stops]).length_mm
        == shortest_walk(room, stops).length_mm
    )


@given(rooms_and_stops(most=15), st.integers(2, 1000))
def test_scaled_room_scales_the_length(case: tuple[Block, Stops], factor: int) -> None:
    """Every measure times a factor: the length times that factor, and the same stops in the same order."""
    room, stops = case
    scaled = Block(
        tuple(x * factor for x in room.aisle_x_mm),
        room.length_mm * factor,
        bench_x_mm=room.bench_mm[0] * factor,
    )
    walk, scaled_walk = (
        shortest_walk(room, stops),
        shortest_walk(scaled, [(aisle, y * factor) for aisle, y in stops]),
    )

    assert scaled_walk.length_mm == factor * walk.length_mm
    assert scaled_walk.stops == tuple((aisle, y * factor) for aisle, y in walk.stops)


@given(rooms_and_stops(most=15), st.data())
def test_one_more_stop_never_shortens(case: tuple[Block, Stops], data: st.DataObject) -> None:
    """Monotone: an added stop leaves the walk as long or makes it longer."""
    room, stops = case
    aisle = data.draw(st.integers(0, len(room.aisle_x_mm) - 1))
    y_mm = data.draw(st.integers(0, room.length_mm))

    assert shortest_walk(room, [*stops, (aisle, y_mm)]).length_mm >= shortest_walk(room, stops).length_mm


@given(rooms_and_stops(most=6), st.integers(0, 5))
@settings(deadline=None)
def test_walking_an_aisle_twice_never_helps(
    least_tour: Callable[..., int], case: tuple[Block, Stops], aisle: int
) -> None:
    """Going through an aisle twice may be left out in one block (Revenant, Cambazard, Catusse, arXiv:2405.15464).

    The oracle may use any aisle as often as it likes and still finds nothing shorter than the programme without it.
    """
    room, stops = case
    aisle %= len(room.aisle_x_mm)
    through = [(aisle, 0), (aisle, room.length_mm)]

    assert shortest_walk(room, [*stops, *through]).length_mm == least_tour(matrix(room, [*stops, *through]))


@given(rooms_and_stops(most=2))
def test_distances_agree_with_networkx(case: tuple[Block, Stops]) -> None:
    """Distances equal Dijkstra's on the room's graph (reference library: networkx)."""
    room, stops = case
    graph: nx.Graph = nx.Graph()
    places = [room.bench_mm, *(room.point_mm(stop) for stop in stops)]
    xs = sorted({*room.aisle_x_mm, room.bench_mm[0]})
    for y in (0, room.length_mm):
        for x1, x2 in pairwise(xs):
            graph.add_edge((x1, y), (x2, y), weight=x2 - x1)
    for x in room.aisle_x_mm:
        ys = sorted({0, room.length_mm, *(y for px, y in places if px == x)})
        for y1, y2 in pairwise(ys):
            graph.add_edge((x, y1), (x, y2), weight=y2 - y1)
    for a, b in product([None, *stops], repeat=2):
        start, end = (room.bench_mm if stop is None else room.point_mm(stop) for stop in (a, b))

        assert room.distance_mm(a, b) == nx.dijkstra_path_length(graph, start, end)


def test_equal_walks_turn_least() -> None:
    """Of two equally long walks the one that turns the cart round in fewer aisles is taken."""
    room = Block((0, 2), 10)
    walk = shortest_walk(room, [(0, 5), (1, 3), (1, 6)])

    assert walk.length_mm == 24
    assert walk.path == ((0, 0), (0, 10), (2, 10), (2, 0), (0, 0))


def test_of_two_directions_the_low_stops_come_first() -> None:
    """A closed walk is walked in the direction whose stops read smaller."""
    walk = shortest_walk(Block((0, 2), 10), [(1, 9), (0, 1), (0, 9), (1, 1)])

    assert walk.stops == ((0, 1), (0, 9), (1, 9), (1, 1))


def test_walk_without_stops_stays_at_the_bench() -> None:
    """No stop, no way: the walk is the bench alone."""
    walk = shortest_walk(Block((0, 3000), 10000, bench_aisle=1), [])

    assert (walk.length_mm, walk.stops, walk.path) == (0, (), ((3000, 0),))


def test_bench_off_every_aisle() -> None:
    """A bench between two aisles, or beside them, is walked to along the front cross aisle."""
    assert shortest_walk(Block((0, 10), 10, bench_x_mm=4), [(0, 1), (1, 1)]).length_mm == 24
    assert shortest_walk(Block((0, 10), 10, bench_x_mm=-7), [(0, 1)]).path == (
        (-7, 0),
        (0, 0),
        (0, 1),
        (0, 0),
        (-7, 0),
    )


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (
            {"aisle_x_mm": (), "length_mm": 5},
            "Cannot lay out a block with aisle_x_mm '()': expected at least one aisle.",
        ),
        (
            {"aisle_x_mm": (0, 0), "length_mm": 5},
            "Cannot lay out a block with aisle_x_mm '(0, 0)': expected every x above the one before.",
        ),
        (
            {"aisle_x_mm": (0, 1.5), "length_mm": 5},
            "Cannot read aisle_x_mm '1.5': expected a whole number of millimetres.",
        ),
        (
            {"aisle_x_mm": (0,), "length_mm": 0},
            "Cannot lay out a block with length_mm '0': expected a length above 0 mm.",
        ),
        (
            {"aisle_x_mm": (0, 1), "length_mm": 5, "bench_aisle": 2},
            "Cannot put the bench at aisle '2': expected an aisle from 0 to 1.",
        ),
    ],
)
def test_impossible_blocks_are_refused(arguments: dict[str, object], sentence: str) -> None:
    """A block that can't exist is refused in one sentence with the value in it."""
    with pytest.raises(RoomRefused) as refusal:
        Block(**arguments)  # type: ignore[arg-type]

    assert str(refusal.value) == sentence


@pytest.mark.parametrize(
    ("stop", "sentence"),
    [
        (
            (2, 5),
            "Cannot place stop '(2, 5)': expected an aisle from 0 to 1 and y from 0 to 10 mm.",
        ),
        (
            (0, 11),
            "Cannot place stop '(0, 11)': expected an aisle from 0 to 1 and y from 0 to 10 mm.",
        ),
        ((0, 2.5), "Cannot read y_mm of a stop '2.5': expected a whole number of millimetres."),
        (7, "Cannot read stop '7': expected a pair (aisle, y_mm)."),
    ],
)
def test_impossible_stops_are_refused(stop: object, sentence: str) -> None:
    """A stop outside the room is refused in one sentence with the value in it."""
    with pytest.raises(RoomRefused) as refusal:
        shortest_walk(Block((0, 4), 10), [stop])  # type: ignore[list-item]

    assert str(refusal.value) == sentence
