"""Walks in rooms where no sweep is possible: one-way passages, or many corners in sight at once.

Up to :data:`fulfil.room.touring.held_karp.MOST_STOPS` different stops the walk is exact. Above, it comes from
:mod:`fulfil.room.touring.tour_search`, with the proven bound of :mod:`fulfil.room.touring.tour_bound`; up to
:data:`MOST_PROVEN` stops :mod:`fulfil.room.touring.tour_proof` then mostly proves it the shortest, or finds the
shortest.

Rule among equal walks: the stops' order that reads smallest (exact), or the first found (search). Stops that the
walk comes past earlier are listed there.
"""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from scipy.sparse.csgraph import dijkstra

from fulfil.errors import RoomRefused
from fulfil.room.network import UNREACHABLE, Network, Place, one_step_lengths, whole_table
from fulfil.room.route import bends, stops_along
from fulfil.room.touring.held_karp import MOST_STOPS, held_karp
from fulfil.room.touring.tour_bound import tour_bound
from fulfil.room.touring.tour_proof import prove_tour
from fulfil.room.touring.tour_search import search_tour
from fulfil.room.walk import Stop, Walk

MOST_PROVEN = 60
"""Up to this many different stops a searched walk is also tried to be proven the shortest."""


def walk_by_tour(network: Network, placed: Sequence[tuple[Place, Stop]], *, proves: bool = True) -> Walk:
    """A short walk through the stops, each given with its place; refused if one can't be reached.

    Args:
        network: corners and passages.
        placed: the stops.
        proves: whether to spend work on proving a searched walk the shortest; without, its bound is quick and weak.
    """
    if not placed and network.start == network.end:
        return Walk(0, (), (network.points[network.start],), 0)
    cut = network.cut(placed)
    points = sorted(cut.stops_at, key=lambda point: cut.stops_at[point][0])
    corners = [network.start, *points, network.end]
    table, before = dijkstra(
        one_step_lengths(len(cut.points), network.steps(cut)),
        directed=True,
        indices=corners[:-1],
        return_predecessors=True,
    )
    way_mm = whole_table(table[:, corners])
    for row, point in enumerate(points, start=1):
        if max(way_mm[0, row], way_mm[row, -1]) >= UNREACHABLE:
            raise RoomRefused("walk to stop", cut.stops_at[point][0], "a way from the bench and back")
    if way_mm[0, -1] >= UNREACHABLE:
        raise RoomRefused("walk to stop", "end", "a way from the bench and back")
    # From the last stop the tour closes at the end, which stands for the start: column 0 holds ways to the end.
    closed = way_mm[:, :-1].copy()
    closed[:, 0] = way_mm[:, -1]
    no_way = 1 + int(np.where(closed < UNREACHABLE, closed, 0).max(axis=1).sum())
    closed = np.minimum(closed, no_way)
    order: list[int] = []
    if not points:
        length_mm = int(way_mm[0, -1])
    elif len(points) <= MOST_STOPS:
        length_mm, order = held_karp(closed)
    else:
        length_mm, order = search_tour(closed)
    if length_mm >= no_way:
        raise RoomRefused("walk to stops", [cut.stops_at[point][0] for point in points], "an order open to walk")
    bound_mm = length_mm
    if len(points) > MOST_STOPS:
        bound_mm = tour_bound(closed, length_mm)
        if proves and len(points) <= MOST_PROVEN:
            length_mm, order, bound_mm = prove_tour(closed, length_mm, order, bound_mm)
    trail = [network.start]
    for row, following in pairwise([0, *order, len(corners) - 1]):
        leg = [corners[following]]
        while leg[-1] != corners[row]:
            leg.append(int(before[row, leg[-1]]))
        trail.extend(leg[-2::-1])
    return Walk(
        length_mm=length_mm,
        stops=stops_along(trail, cut.stops_at),
        path=bends([cut.points[point] for point in trail]),
        bound_mm=bound_mm,
    )
