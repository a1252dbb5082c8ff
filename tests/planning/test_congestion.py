"""The simulation of narrow aisles (:mod:`tests.benchmarks.people.congestion`), by hand."""

import pytest

from fulfil.room.time_model import TimeModel
from tests.benchmarks.people.congestion import MODEL, ROOM, STOP_S, Visit, visits_of, went

HOME = Visit(10, -1, 0, 0)


def test_who_comes_to_an_aisle_in_use_waits_at_its_end():
    """Each is 80 s in aisle 1: together the second waits 80 s; 80 s later nobody waits, and the end is the same."""
    walks = [[[Visit(10, 1, 80, 0), HOME]]] * 2
    ones = [[[1.0, 1.0]]] * 2

    assert went(walks, ones, begins_s=[0, 0], is_narrow=True) == (80, 180)
    assert went(walks, ones, begins_s=[0, 80], is_narrow=True) == (0, 180)
    assert went(walks, ones, begins_s=[0, 0], is_narrow=False) == (0, 100)


def test_nobody_waits_in_different_aisles():
    """One in aisle 1, one in aisle 2; stops take their time and their luck."""
    walks = [[[Visit(10, 1, 80, 2), HOME]], [[Visit(10, 2, 80, 0), HOME]]]

    waited, ended = went(walks, [[[0.5, 1.0]], [[1.0, 1.0]]], begins_s=[0, 0], is_narrow=True)

    assert (waited, ended) == (0, 100 + STOP_S)


def test_a_walk_is_its_way_its_aisles_and_its_stops():
    """Metres of all visits are the walk's; each stop is served once, in the aisle where it is."""
    stops = [(0, 3000), (2, 3000), (2, 27000), (3, 15000)]
    walk = ROOM.shortest_walk(stops)

    visits = visits_of(walk)

    assert sum(one.way_s + one.walk_s for one in visits) - MODEL.set_up_s == pytest.approx(
        walk.length_mm / TimeModel().speed_mm_s
    )
    served = {}
    for one in visits:
        served[one.aisle] = served.get(one.aisle, 0) + one.stops
    assert {aisle: count for aisle, count in served.items() if count} == {0: 1, 2: 2, 3: 1}
