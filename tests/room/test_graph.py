"""WalkingGraph: odd rooms of corners and passages."""

from collections.abc import Callable

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fulfil import shortest_walk
from fulfil.errors import RoomRefused
from fulfil.room.graph import Corner, Passage, WalkingGraph

Stops = list[tuple[str, int]]


@st.composite
def graphs_and_stops(draw: st.DrawFn, most: int = 8) -> tuple[WalkingGraph, Stops]:
    """Connected odd rooms: a tree of passages and a few more, some one-way, lengths of their own."""
    size = draw(st.integers(2, 9))
    corners = tuple(Corner(f"c{k}", draw(st.integers(0, 50)), draw(st.integers(0, 50))) for k in range(size))
    pairs = [(draw(st.integers(0, k - 1)), k) for k in range(1, size)]
    more = st.tuples(st.integers(0, size - 1), st.integers(0, size - 1)).filter(lambda pair: pair[0] != pair[1])
    extra = draw(st.lists(more, max_size=6))
    one_way = draw(st.booleans())
    passages = tuple(
        Passage(f"p{k}", f"c{a}", f"c{b}", draw(st.integers(1, 30)), one_way and k >= len(pairs))
        for k, (a, b) in enumerate([*pairs, *extra])
    )
    end = draw(st.none() | st.sampled_from([corner.name for corner in corners]))
    room = WalkingGraph(corners, passages, "c0", end)
    stops = []
    for _ in range(draw(st.integers(0, most))):
        passage = draw(st.sampled_from(passages))
        stops.append((passage.name, draw(st.integers(0, passage.length_mm or 0))))
    return room, stops


def reference_distances(room: WalkingGraph, stops: Stops) -> list[list[int]]:
    """Distances by Dijkstra on a graph with one node a millimetre (reference library: networkx)."""
    graph: nx.DiGraph = nx.DiGraph()
    for passage in room.passages:
        assert passage.length_mm is not None
        line = [
            passage.from_corner,
            *((passage.name, mm) for mm in range(1, passage.length_mm)),
            passage.to_corner,
        ]
        nx.add_path(graph, line)
        if not passage.one_way:
            nx.add_path(graph, line[::-1])
    lengths = {passage.name: passage for passage in room.passages}

    def node(stop: tuple[str, int]) -> object:
        passage = lengths[stop[0]]
        return {0: passage.from_corner, passage.length_mm: passage.to_corner}.get(stop[1], stop)

    places = sorted(set(stops))
    leaving = [room.bench, *map(node, places)]
    arriving = [room.end or room.bench, *map(node, places)]
    return [[nx.shortest_path_length(graph, a, b) for b in arriving] for a in leaving]


@given(graphs_and_stops())
@settings(deadline=None, max_examples=150)
def test_walk_is_as_short_as_held_karp(least_tour: Callable[..., int], case: tuple[WalkingGraph, Stops]) -> None:
    """Distances and walks of odd rooms, one-way passages and another end included, equal independent ones."""
    room, stops = case
    table = reference_distances(room, stops)
    places = [None, *sorted(set(stops))]
    walk = shortest_walk(room, stops)

    assert [[room.distance_mm(a, b) for b in places] for a in places] == table
    assert walk.length_mm == (least_tour(table) if len(table) > 1 else table[0][0])
    assert sorted(walk.stops) == sorted(stops)
    assert walk.proven


def test_straight_passages_measure_themselves() -> None:
    """A passage without a length of its own is as long as the straight line, rounded: 3-4-5."""
    room = WalkingGraph((Corner("a", 0, 0), Corner("b", 3, 4)), (Passage("p", "a", "b"),), "a")

    assert room.shortest_walk([("p", 5)]).length_mm == 10
    assert room.point_mm(("p", 5)) == (3, 4)


def test_parallel_passages_make_a_round() -> None:
    """Two passages between the same corners: in by one, out by the other."""
    room = WalkingGraph(
        (Corner("a", 0, 0), Corner("b", 10, 0)),
        (Passage("front", "a", "b", 10), Passage("behind", "a", "b", 12)),
        "a",
    )

    assert room.shortest_walk([("front", 9), ("behind", 9)]).length_mm == 22


def test_many_stops_in_a_one_way_room_carry_a_bound() -> None:
    """Above 13 stops a one-way ring is searched; its bound meets the walk, so it is proven."""
    corners = tuple(Corner(f"c{k}", 10 * (k % 2), 10 * (k // 2)) for k in range(4))
    ring = [(0, 1), (1, 3), (3, 2), (2, 0)]
    passages = tuple(Passage(f"p{a}{b}", f"c{a}", f"c{b}", 10, one_way=True) for a, b in ring)
    room = WalkingGraph(corners, passages, "c0")
    stops = [(passage.name, mm) for passage in passages for mm in (1, 3, 5, 7)]
    walk = room.shortest_walk(stops[::-1])

    assert not room.always_proven
    assert walk.length_mm == 40
    assert walk.stops == tuple(stops)
    assert walk.proven


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (
            {"corners": (Corner("a", 0, 0), Corner("a", 1, 0))},
            "Cannot lay out corner 'a': expected every corner to have a name of its own.",
        ),
        ({"bench": "z"}, "Cannot put the bench at corner 'z': expected the name of a corner."),
        (
            {"passages": (Passage("p", "a", "z"),)},
            "Cannot lead passage p to corner 'z': expected the name of a corner.",
        ),
        (
            {"passages": (Passage("p", "a", "b", 0),)},
            "Cannot lay out passage 'p': expected two different corners and a length above 0 mm.",
        ),
        ({"passages": ()}, "Cannot lay out passages '()': expected at least one passage."),
    ],
)
def test_impossible_graphs_are_refused(arguments: dict[str, object], sentence: str) -> None:
    """A graph that can't exist is refused in one sentence with the value in it."""
    room = {
        "corners": (Corner("a", 0, 0), Corner("b", 9, 0)),
        "passages": (Passage("p", "a", "b"),),
        "bench": "a",
    }
    with pytest.raises(RoomRefused) as refusal:
        WalkingGraph(**{**room, **arguments})  # type: ignore[arg-type]

    assert str(refusal.value) == sentence


@pytest.mark.parametrize(
    ("stop", "sentence"),
    [
        (("q", 1), "Cannot place a stop in passage 'q': expected the name of a passage."),
        (("p", 10), "Cannot place stop '('p', 10)': expected a place from 0 to 9 mm along."),
        (3, "Cannot read stop '3': expected a pair (passage, along_mm)."),
    ],
)
def test_impossible_stops_are_refused(stop: object, sentence: str) -> None:
    """A stop in no passage is refused in one sentence."""
    room = WalkingGraph((Corner("a", 0, 0), Corner("b", 9, 0)), (Passage("p", "a", "b"),), "a")
    with pytest.raises(RoomRefused) as refusal:
        room.shortest_walk([stop])  # type: ignore[list-item]

    assert str(refusal.value) == sentence
