"""Blocks: rooms with several cross aisles, dead ends, closed pieces, one-way aisles and the bench anywhere."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Any

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fulfil import Block, shortest_walk
from fulfil.errors import RoomRefused
from fulfil.room.blocks import Blocks
from fulfil.room.route import line_length_mm
from fulfil.room.touring.tour import walk_by_tour

Stops = list[tuple[int, int]]


@st.composite
def rooms(draw: st.DrawFn, one_way: bool = False, ends_elsewhere: bool = True) -> Blocks:
    """Small rooms: uneven aisles, dead ends, stubs beyond the outer cross aisles, a closed piece, any bench."""
    xs = sorted(draw(st.sets(st.integers(0, 30), min_size=1, max_size=5)))
    ys = sorted(draw(st.sets(st.integers(0, 40), min_size=2, max_size=4)))
    spans = []
    for _ in xs:
        low, high = draw(
            st.sampled_from([(ys[0], ys[-1]), (ys[0], ys[-1] - 1), (ys[0] - 3, ys[-1] + 2), (ys[0], ys[1])])
        )
        spans.append((low, max(high, low + 1)))
    closed = []
    if draw(st.booleans()):
        aisle = draw(st.integers(0, len(xs) - 1))
        low = draw(st.integers(spans[aisle][0], spans[aisle][1] - 1))
        closed.append((aisle, low, draw(st.integers(low + 1, spans[aisle][1]))))
    directed = [(draw(st.integers(0, len(xs) - 1)), draw(st.sampled_from([1, -1])))] if one_way else []

    def point() -> tuple[int, int]:
        if draw(st.booleans()):
            return draw(st.integers(xs[0], xs[-1])), ys[0]
        aisle = draw(st.integers(0, len(xs) - 1))
        return xs[aisle], draw(st.integers(ys[0], min(spans[aisle][1], ys[-1])))

    try:
        return Blocks(
            tuple(xs),
            tuple(ys),
            bench_mm=point(),
            end_mm=point() if ends_elsewhere and draw(st.booleans()) else None,
            aisle_span_mm=tuple(spans),
            closed=tuple(closed),
            one_way=tuple(directed),
        )
    except RoomRefused:  # the bench came to stand in the closed piece
        return Blocks(tuple(xs), tuple(ys), bench_mm=(xs[0], ys[0]))


def reachable_stops(draw: Callable[..., Any], room: Blocks, most: int) -> Stops:
    """Stops that a walk can reach; those in closed pieces and cut-off dead ends are left out."""
    stops = []
    for _ in range(draw(st.integers(0, most))):
        aisle = draw(st.integers(0, len(room.aisle_x_mm) - 1))
        stop = (aisle, draw(st.integers(*room.aisle_span_mm[aisle])))
        try:
            if room.is_reachable(stop):
                stops.append(stop)
        except RoomRefused:
            continue
    return stops


@st.composite
def rooms_and_stops(draw: st.DrawFn, most: int = 8, ends_elsewhere: bool = True) -> tuple[Blocks, Stops]:
    """Two-way rooms with stops that can be reached."""
    room = draw(rooms(ends_elsewhere=ends_elsewhere))
    return room, reachable_stops(draw, room, most)


@st.composite
def one_way_rooms_and_stops(draw: st.DrawFn) -> tuple[Blocks, Stops]:
    """Rooms with a one-way aisle and stops that can be reached."""
    room = draw(rooms(one_way=True))
    return room, reachable_stops(draw, room, 7)


def matrix(room: Blocks, stops: Sequence[tuple[int, int]]) -> list[list[int]]:
    """Distances between bench and stops; a way that doesn't exist is very long."""

    def way(a: tuple[int, int] | None, b: tuple[int, int] | None) -> int:
        try:
            return room.distance_mm(a, b)
        except RoomRefused:
            return 10**9

    places = [None, *sorted(set(stops))]
    return [[way(a, b) for b in places] for a in places]


@given(rooms_and_stops())
@settings(deadline=None, max_examples=150)
def test_walk_is_as_short_as_held_karp(least_tour: Callable[..., int], case: tuple[Blocks, Stops]) -> None:
    """The sweep's length equals the independent exact method's, also when walks end elsewhere than they start."""
    room, stops = case
    table = matrix(room, stops)
    expected = least_tour(table) if len(table) > 1 else table[0][0]
    if expected >= 10**9:
        with pytest.raises(RoomRefused):
            shortest_walk(room, stops)
        return
    walk = shortest_walk(room, stops)

    assert room.always_proven
    assert walk.length_mm == expected == room.walk_length_mm(stops)
    assert walk.proven


@given(one_way_rooms_and_stops())
@settings(deadline=None, max_examples=100)
def test_one_way_walk_is_as_short_as_held_karp(least_tour: Callable[..., int], case: tuple[Blocks, Stops]) -> None:
    """With one-way aisles the walk is still exact up to the stated number of stops, or refused if there is none."""
    room, stops = case
    table = matrix(room, stops)
    expected = least_tour(table) if len(table) > 1 else table[0][0]
    if expected >= 10**9:
        with pytest.raises(RoomRefused):
            shortest_walk(room, stops)
        return

    assert shortest_walk(room, stops).length_mm == expected


@given(rooms_and_stops(most=20, ends_elsewhere=False))
@settings(deadline=None)
def test_path_is_a_walk_in_the_room(case: tuple[Blocks, Stops]) -> None:
    """The path starts and ends at the bench, runs along aisles and cross aisles only, and has the walk's length."""
    room, stops = case
    walk = shortest_walk(room, stops)

    assert walk.path[0] == walk.path[-1] == room.bench_mm
    assert line_length_mm(walk.path) == walk.length_mm
    assert sorted(walk.stops) == sorted(stops)
    for (x1, y1), (x2, y2) in pairwise(walk.path):
        if x1 == x2:
            low, high = room.aisle_span_mm[room.aisle_x_mm.index(x1)]
            assert low <= min(y1, y2) <= max(y1, y2) <= high
            for aisle, shut_from, shut_to in room.closed:
                if room.aisle_x_mm[aisle] == x1:
                    assert max(y1, y2) <= shut_from or shut_to <= min(y1, y2)
        else:
            assert y1 == y2
            assert y1 in room.cross_y_mm


@given(rooms_and_stops(most=10, ends_elsewhere=False))
@settings(deadline=None)
def test_mirrored_and_turned_rooms_have_the_same_length(case: tuple[Blocks, Stops]) -> None:
    """Left and right swapped, or front and back: the same length."""
    room, stops = case
    aisles = len(room.aisle_x_mm)

    def flip(value: tuple[int, int]) -> tuple[int, int]:
        return -value[1], -value[0]

    mirrored = Blocks(
        tuple(-x for x in reversed(room.aisle_x_mm)),
        room.cross_y_mm,
        (-room.bench_mm[0], room.bench_mm[1]),
        aisle_span_mm=room.aisle_span_mm[::-1],
        cross_span_mm=tuple(flip(span) for span in room.cross_span_mm),
        closed=tuple((aisles - 1 - aisle, low, high) for aisle, low, high in room.closed),
    )
    turned = Blocks(
        room.aisle_x_mm,
        tuple(-y for y in reversed(room.cross_y_mm)),
        (room.bench_mm[0], -room.bench_mm[1]),
        aisle_span_mm=tuple(flip(span) for span in room.aisle_span_mm),
        cross_span_mm=room.cross_span_mm[::-1],
        closed=tuple((aisle, -high, -low) for aisle, low, high in room.closed),
    )
    expected = room.walk_length_mm(stops)

    assert mirrored.walk_length_mm([(aisles - 1 - aisle, y) for aisle, y in stops]) == expected
    assert turned.walk_length_mm([(aisle, -y) for aisle, y in stops]) == expected


@given(rooms_and_stops(most=10, ends_elsewhere=False), st.data())
@settings(deadline=None)
def test_one_more_stop_never_shortens(case: tuple[Blocks, Stops], data: st.DataObject) -> None:
    """Monotone: an added stop leaves the walk as long or makes it longer."""
    room, stops = case
    more = reachable_stops(data.draw, room, 1)

    assert room.walk_length_mm([*stops, *more]) >= room.walk_length_mm(stops)


@given(rooms_and_stops(most=10, ends_elsewhere=False), st.integers(1, 29))
@settings(deadline=None)
def test_another_cross_aisle_never_lengthens(case: tuple[Blocks, Stops], y: int) -> None:
    """A further cross aisle only opens ways: no walk gets longer."""
    room, stops = case
    if y in room.cross_y_mm or not room.cross_y_mm[0] < y < room.cross_y_mm[-1]:
        return
    more = replace(room, cross_y_mm=tuple(sorted([*room.cross_y_mm, y])), cross_span_mm=())

    assert more.walk_length_mm(stops) <= room.walk_length_mm(stops)


@given(st.integers(1, 6), st.integers(2, 20), st.data())
@settings(deadline=None)
def test_two_cross_aisles_are_one_block(aisles: int, length_mm: int, data: st.DataObject) -> None:
    """With two cross aisles the sweep and Ratliff and Rosenthal's programme, written apart, agree."""
    xs = tuple(7 * aisle + aisle % 3 for aisle in range(aisles))
    bench = data.draw(st.integers(0, aisles - 1))
    stop = st.tuples(st.integers(0, aisles - 1), st.integers(0, length_mm))
    stops = data.draw(st.lists(stop, max_size=25))
    several = Blocks(xs, (0, length_mm), (xs[bench], 0))

    assert several.walk_length_mm(stops) == shortest_walk(Block(xs, length_mm, bench), stops).length_mm


@given(rooms(), st.data())
@settings(deadline=None, max_examples=50)
def test_distances_agree_with_networkx(room: Blocks, data: st.DataObject) -> None:
    """Distances equal Dijkstra's on a graph with one node for each millimetre (reference library: networkx)."""
    graph: nx.Graph = nx.Graph()
    for aisle, x in enumerate(room.aisle_x_mm):
        low, high = room.aisle_span_mm[aisle]
        for y in range(low, high):
            if not any(a == aisle and shut <= y < shut_to for a, shut, shut_to in room.closed):
                graph.add_edge((x, y), (x, y + 1))
    for y, (left, right) in zip(room.cross_y_mm, room.cross_span_mm, strict=True):
        for x in range(left, right):
            graph.add_edge((x, y), (x + 1, y))
    a, b = (reachable_stops(data.draw, room, 1) for _ in range(2))
    if a and b:
        start, end = ((room.aisle_x_mm[aisle], y) for aisle, y in (a[0], b[0]))

        assert room.distance_mm(a[0], b[0]) == nx.shortest_path_length(graph, start, end)


def test_middle_cross_aisle_shortens_the_walk() -> None:
    """By hand: three aisles 5 apart, cross aisles at 0, 10 and 20; 10 up, 10 across, 1 down and up, and back: 50."""
    walk = Blocks((0, 5, 10), (0, 10, 20), (0, 0)).shortest_walk([(0, 4), (1, 6), (1, 14), (2, 9)])

    assert walk.length_mm == 10 + 10 + 2 * 1 + 5 + 2 * 4 + 10 + 5


def test_dead_end_is_left_the_way_it_was_entered() -> None:
    """An aisle that stops short of the back is walked in and out from the front."""
    room = Blocks((0, 5), (0, 10), (0, 0), aisle_span_mm=((0, 10), (0, 8)))
    walk = room.shortest_walk([(0, 9), (1, 7)])

    assert walk.length_mm == 2 * 9 + 2 * 5 + 2 * 7


def test_one_way_aisle_is_walked_its_way() -> None:
    """An aisle open towards the front only is entered from the back."""
    room = Blocks((0, 5), (0, 10), (0, 0), one_way=((1, -1),))
    walk = room.shortest_walk([(1, 3)])

    assert walk.path == ((0, 0), (0, 10), (5, 10), (5, 0), (0, 0))
    assert walk.length_mm == 30


def test_walk_may_end_elsewhere() -> None:
    """Start at the front left, end at the back right: the walk passes once through an aisle."""
    room = Blocks((0, 5), (0, 10), (0, 0), end_mm=(5, 10))
    walk = room.shortest_walk([(1, 4), (0, 2)])

    assert walk.length_mm == 19
    assert (walk.path[0], walk.path[-1]) == ((0, 0), (5, 10))
    assert walk.stops == ((0, 2), (1, 4))
    assert room.shortest_walk([]).length_mm == 15


def test_bench_in_the_middle_of_an_aisle() -> None:
    """A bench in mid-aisle with stops on both sides: out and back each way, no cross aisle needed."""
    assert Blocks((0, 5), (0, 10), (0, 5)).shortest_walk([(0, 3), (0, 8)]).length_mm == 2 * 2 + 2 * 3


def test_wide_room_says_that_it_is_not_always_proven() -> None:
    """Beyond the sweep's reach a walk carries its bound, and says proven only if the bound meets it."""
    room = Blocks(tuple(range(0, 80, 10)), tuple(range(0, 80, 10)), (0, 0))
    stops = [(aisle, 7 * aisle % 10 + 10 * k + 3) for aisle in range(8) for k in (1, 4)]
    walk = room.shortest_walk(stops)

    assert not room.always_proven
    assert 0 < walk.bound_mm <= walk.length_mm
    assert line_length_mm(walk.path) == walk.length_mm
    assert walk == room.shortest_walk(stops[::-1])


@given(rooms_and_stops(most=7))
@settings(deadline=None, max_examples=40)
def test_sweep_and_tour_agree(case: tuple[Blocks, Stops]) -> None:
    """Two methods, one length: the sweep, and Held and Karp's programme on the cut network."""
    room, stops = case
    try:
        walk = room.shortest_walk(stops)
    except RoomRefused:
        return

    assert walk_by_tour(room.network, [(room.place(stop), stop) for stop in stops]).length_mm == walk.length_mm


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (
            {"cross_y_mm": (3, 3)},
            "Cannot lay out blocks with cross_y_mm '(3, 3)': expected at least one, each above the one before.",
        ),
        (
            {"bench_mm": (2, 3)},
            "Cannot put the bench at '(2, 3)': expected a point on an aisle or a cross aisle.",
        ),
        ({"bench_mm": 4}, "Cannot put the bench at '4': expected a pair (x_mm, y_mm)."),
        (
            {"aisle_span_mm": ((0, 10),)},
            "Cannot read aisle_span_mm '((0, 10),)': expected one pair for each of 2.",
        ),
        (
            {"aisle_span_mm": ((0, 10), (5, 5))},
            "Cannot read aisle_span_mm '(5, 5)': expected from below to.",
        ),
        ({"closed": ((2, 1, 3),)}, "Cannot close or direct aisle '2': expected an aisle from 0 to 1."),
        (
            {"one_way": ((0, 2),)},
            "Cannot direct an aisle '2': expected 1 towards higher y or -1 towards lower y.",
        ),
    ],
)
def test_impossible_rooms_are_refused(arguments: dict[str, Any], sentence: str) -> None:
    """A room that can't exist is refused in one sentence with the value in it."""
    usual: dict[str, Any] = {"aisle_x_mm": (0, 5), "cross_y_mm": (0, 10), "bench_mm": (0, 0)}
    with pytest.raises(RoomRefused) as refusal:
        Blocks(**usual | arguments)

    assert str(refusal.value) == sentence


@pytest.mark.parametrize(
    ("stop", "sentence"),
    [
        ((5, 1), "Cannot place a stop in aisle '5': expected an aisle from 0 to 1."),
        ((1, 9), "Cannot place stop '(1, 9)': expected y from 0 to 8 mm, in no closed piece of the aisle."),
        ((0, 4), "Cannot place stop '(0, 4)': expected y from 0 to 10 mm, in no closed piece of the aisle."),
        ((0, 1.5), "Cannot read y_mm of a stop '1.5': expected a whole number of millimetres."),
    ],
)
def test_impossible_stops_are_refused(stop: tuple[int, int], sentence: str) -> None:
    """A stop outside the aisles or in a closed piece is refused in one sentence."""
    room = Blocks((0, 5), (0, 10), (0, 0), aisle_span_mm=((0, 10), (0, 8)), closed=((0, 3, 6),))
    with pytest.raises(RoomRefused) as refusal:
        room.shortest_walk([stop])

    assert str(refusal.value) == sentence


def test_unreachable_stop_is_refused() -> None:
    """A stop in a piece of aisle that is closed off on both sides is named in the refusal."""
    room = Blocks((0, 5), (0, 10), (0, 0), closed=((1, 0, 2), (1, 8, 10)))
    with pytest.raises(RoomRefused) as refusal:
        room.shortest_walk([(0, 3), (1, 5)])

    assert str(refusal.value) == "Cannot walk to stop '(1, 5)': expected a way from the bench and back."
