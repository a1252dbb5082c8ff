"""How short and how fast walks are, each against a reference in the same run.

Run ``python -m tests.benchmarks.walks [--cases N]``. References: Held and Karp's programme (exact), OR-Tools'
routing with its default settings, and networkx' Christofides tour; the last two only here, never at run time. Rooms
and stops are random with a fixed seed: ten aisles 2.5 m apart, blocks of 30 m or 10 m, stops evenly spread.
"""

import argparse
import time
from collections.abc import Callable, Sequence
from itertools import pairwise

import networkx as nx
import numpy as np
from numpy.typing import NDArray

from fulfil.room.block import Block
from fulfil.room.blocks import Blocks
from fulfil.room.kernel import BlockWalks
from fulfil.room.touring.held_karp import held_karp
from fulfil.room.walk import Stop

Room = Block | Blocks
AISLES = tuple(2500 * aisle for aisle in range(10))


def random_stops(rng: np.random.Generator, length_mm: int, stops: int) -> list[tuple[int, int]]:
    """Stops evenly spread over the room, in sections of 600 mm."""
    sections = length_mm // 600
    return [(int(rng.integers(10)), 300 + 600 * int(section)) for section in rng.integers(sections, size=stops)]


def way_table(room: Room, stops: Sequence[Stop]) -> NDArray[np.int64]:
    """Distances between the bench and the different stops."""
    places = [None, *sorted(set(stops))]
    return np.array([[0 if a == b else room.distance_mm(a, b) for b in places] for a in places], dtype=np.int64)


def timed(run: Callable[[], object], repeats: int = 3) -> float:
    """The best of a few times, in seconds."""
    best = float("inf")
    for _ in range(repeats):
        start = time.perf_counter()
        run()
        best = min(best, time.perf_counter() - start)
    return best


def or_tools_default(way: NDArray[np.int64]) -> int:
    """The length OR-Tools' routing finds with its default settings."""
    from ortools.constraint_solver import pywrapcp, routing_enums_pb2  # noqa: F401  (imports register enums)

    manager = pywrapcp.RoutingIndexManager(len(way), 1, 0)
    routing = pywrapcp.RoutingModel(manager)
    lengths = way.tolist()

    def leg(a: int, b: int) -> int:
        return int(lengths[manager.IndexToNode(a)][manager.IndexToNode(b)])

    routing.SetArcCostEvaluatorOfAllVehicles(routing.RegisterTransitCallback(leg))
    solution = routing.SolveWithParameters(pywrapcp.DefaultRoutingSearchParameters())
    return int(solution.ObjectiveValue())


def christofides(way: NDArray[np.int64]) -> int:
    """The length of networkx' Christofides tour."""
    graph: nx.Graph = nx.from_numpy_array(way + np.eye(len(way), dtype=np.int64))
    graph.remove_edges_from(list(nx.selfloop_edges(graph)))
    tour = nx.approximation.christofides(graph)
    return int(sum(way[a, b] for a, b in pairwise(tour)))


def equal_to_held_karp(room: Room, length_mm: int, cases: int, seed: int) -> None:
    """Count cases of 1 to 12 stops whose walk is as short as the exact reference."""
    rng = np.random.default_rng(seed)
    equal = 0
    for _ in range(cases):
        stops = random_stops(rng, length_mm, int(rng.integers(1, 13)))
        equal += room.shortest_walk(stops).length_mm == held_karp(way_table(room, stops))[0]
    print(f"  equal to Held and Karp, 1 to 12 stops: {equal} of {cases}")


def against_references(room: Room, length_mm: int, seed: int) -> None:
    """Thirty stops: our walk, its length alone, OR-Tools, Christofides; the same cases for all."""
    rng = np.random.default_rng(seed)
    lists = [random_stops(rng, length_mm, 30) for _ in range(200)]
    ours = [room.shortest_walk(stops).length_mm for stops in lists]
    walk_s = timed(lambda: [room.shortest_walk(stops) for stops in lists]) / len(lists)
    length_s = timed(lambda: [room.walk_length_mm(stops) for stops in lists]) / len(lists)
    print(f"  walk with route, 30 stops: {walk_s * 1e6:.0f} µs; length alone: {length_s * 1e6:.0f} µs")
    fastest_s = length_s
    if isinstance(room, Block):
        kernel = BlockWalks.of(room.aisle_x_mm, room.length_mm, room.bench_aisle, lists)
        kernel_mm = [kernel.length([number]) for number in range(len(lists))]
        if kernel_mm != ours:
            raise AssertionError("the compiled lengths differ from the walks'")
        fastest_s = timed(lambda: [kernel.length([number]) for number in range(len(lists))]) / len(lists)
        print(f"  compiled length, called from Python: {fastest_s * 1e6:.2f} µs")
    tables = [way_table(room, stops) for stops in lists[:40]]
    for name, reference in (("OR-Tools default", or_tools_default), ("Christofides", christofides)):
        start = time.perf_counter()
        theirs = [reference(table) for table in tables]
        seconds = (time.perf_counter() - start) / len(tables)
        above = sum(b / a - 1 for a, b in zip(ours, theirs, strict=False)) / len(tables)
        longer = sum(a > b for a, b in zip(ours, theirs, strict=False))
        print(
            f"  {name}: {seconds * 1e3:.1f} ms ({seconds / fastest_s:.0f} times ours), {above:.2%} longer on average; "
            f"ours longer in {longer} of {len(tables)}"
        )


def one_way_rooms(seed: int) -> None:
    """Thirty stops with two one-way aisles: how close the search comes to its own bound, how often it is proven."""
    rng = np.random.default_rng(seed)
    room = Blocks(AISLES, (0, 10000, 20000), (0, 0), one_way=((3, 1), (6, -1)))
    walks = []
    start = time.perf_counter()
    for _ in range(40):
        walks.append(room.shortest_walk(random_stops(rng, 20000, 30)))
    seconds = (time.perf_counter() - start) / len(walks)
    gap = sum(1 - walk.bound_mm / walk.length_mm for walk in walks) / len(walks)
    proven = sum(walk.proven for walk in walks)
    print(
        f"  search and bound: {seconds * 1e3:.0f} ms; mean gap to the bound {gap:.2%}; proven {proven} of {len(walks)}"
    )


def main() -> None:
    """Print every table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cases", type=int, default=10000, help="cases against Held and Karp, one block")
    cases = parser.parse_args().cases
    block = Block(AISLES, 30000)
    print("one block")
    equal_to_held_karp(block, 30000, cases, seed=1)
    against_references(block, 30000, seed=2)
    for crossings in (3, 4, 6):
        length_mm = 10000 * (crossings - 1)
        room = Blocks(AISLES, tuple(range(0, length_mm + 1, 10000)), (0, 0))
        start = time.perf_counter()
        room.walk_length_mm([(0, 300)])
        print(f"{crossings} cross aisles; tables made once in {time.perf_counter() - start:.2f} s")
        equal_to_held_karp(room, length_mm, max(cases // 10, 1), seed=3)
        against_references(room, length_mm, seed=4)
    print("3 cross aisles, 2 one-way aisles")
    one_way_rooms(seed=5)


if __name__ == "__main__":
    main()
