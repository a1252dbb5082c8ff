"""Rules of thumb that need no block: never shorter than the shortest walk, and as a reference library walks them."""

from typing import Any

import networkx
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from networkx.algorithms.approximation import greedy_tsp

from fulfil.room.block import Block
from fulfil.room.blocks import Blocks
from fulfil.room.graph import Corner, Passage, WalkingGraph
from fulfil.room.rules_of_thumb import ANYWHERE, bin_order_mm, nearest_next_mm

RING = WalkingGraph(
    (Corner("bench", 0, 0), Corner("a", 9000, 0), Corner("b", 9000, 9000), Corner("c", 0, 9000)),
    (
        Passage("p", "bench", "a", one_way=True),
        Passage("q", "a", "b"),
        Passage("r", "b", "c"),
        Passage("s", "c", "bench", one_way=True),
    ),
    "bench",
)
IN_AISLES = st.tuples(st.integers(0, 2), st.integers(0, 20000))
ROOMS: Any = {
    "one block": (Block((0, 3000, 8000), 20000), IN_AISLES),
    "three cross aisles": (Blocks((0, 3000, 8000), (0, 9000, 20000), (0, 0)), IN_AISLES),
    "one-way ring": (RING, st.tuples(st.sampled_from("pqrs"), st.integers(0, 9000))),
}


@pytest.mark.parametrize("kind", ROOMS)
@given(chosen=st.data())
def test_no_rule_is_shorter_than_the_shortest_walk(kind: str, chosen: st.DataObject) -> None:
    """In any room, one-way passages included; no stops are no walk."""
    room, stop = ROOMS[kind]
    stops = chosen.draw(st.lists(stop, unique=True, max_size=7))

    for rule in ANYWHERE.values():
        assert rule(room, stops) >= room.shortest_walk(stops).length_mm
        assert rule(room, []) == 0


def test_bin_order_is_the_sum_of_its_legs() -> None:
    """Up the first aisle to 2 m, back and over to 5 m in the next, back: 2 + 2 + 3 + 5 + 5 + 3 m."""
    assert bin_order_mm(Block((0, 3000), 20000), [(0, 2000), (1, 5000)]) == 20000


@pytest.mark.parametrize("seed", range(20))
def test_nearest_next_is_the_greedy_tour_of_networkx(seed: int) -> None:
    """networkx.approximation.greedy_tsp is the nearest-neighbour tour; odd millimetres leave no ties."""
    rng = np.random.default_rng(seed)
    room = Blocks((0, 3001, 8003, 9997), (0, 9011, 20023), (0, 0))
    stops = sorted({(int(rng.integers(4)), int(rng.integers(1, 20023))) for _ in range(8)})
    graph = networkx.Graph()
    places = [None, *stops]
    for one, a in enumerate(places):
        for other, b in enumerate(places[:one]):
            graph.add_edge(one, other, weight=room.distance_mm(a, b))

    tour = greedy_tsp(graph, source=0)

    assert nearest_next_mm(room, stops) == networkx.path_weight(graph, tour, "weight")
