"""The route map: discs, the walked line, the hatched racks."""

import math

from hypothesis import given
from hypothesis import strategies as st

from fulfil.papers.floor.discs import Wish, set_discs
from fulfil.papers.floor.drawing import hatching, route_map
from fulfil.papers.floor.line import arrow_heads, to_the_right
from fulfil.papers.ink import Disc, Shape, Strokes, Text
from tests.papers import invented

AISLES = st.lists(st.tuples(st.integers(0, 9), st.integers(0, 100), st.booleans()), min_size=1, max_size=60).map(
    lambda stops: [
        Wish(str(i), 10.0 + 11 * aisle + (3.5 if right else -3.5), 5.0 + y, f"{aisle}{right}", str(aisle))
        for i, (aisle, y, right) in enumerate(stops, start=1)
    ]
)


@given(AISLES)
def test_discs_stay_inside_and_apart(wishes):
    """However the stops lie, no two discs touch and none leaves the map."""
    spots = set_discs(wishes, radius_mm=2.7, width_mm=120, height_mm=118)
    for spot in spots:
        assert spot.half_mm - 1e-9 <= spot.x_mm <= 120 - spot.half_mm + 1e-9
        assert 2.7 - 1e-9 <= spot.y_mm <= 118 - 2.7 + 1e-9
    for i, a in enumerate(spots):
        for b in spots[i + 1 :]:
            dx, dy = abs(a.x_mm - b.x_mm), abs(a.y_mm - b.y_mm)
            if a.half_mm == b.half_mm == 2.7:
                assert math.hypot(dx, dy) >= 5.4
            else:
                assert dx >= a.half_mm + b.half_mm or dy >= 5.4


@given(AISLES)
def test_every_stop_is_on_a_disc(wishes):
    """Numbers that share a disc are a range without gaps; all ranges together are all numbers."""
    spots = set_discs(wishes, radius_mm=2.7, width_mm=120, height_mm=118)
    said = []
    for spot in spots:
        first, _, last = spot.words.partition("–")
        said += range(int(first), int(last or first) + 1)

    assert sorted(said) == list(range(1, len(wishes) + 1))


def test_a_disc_keeps_clear_of_what_is_taken():
    """A disc moves away from a name."""
    (spot,) = set_discs([Wish("1", 20, 20, "a")], radius_mm=2.5, width_mm=60, height_mm=60, taken=[(18, 18, 22, 22)])

    assert abs(spot.y_mm - 20) >= 4.5


def test_there_and_back_are_two_lines():
    """The way into an aisle and out of it lie to either side of its middle."""
    line = to_the_right([(0, 0), (0, 10), (0, 0)], 1)

    assert {round(x, 6) for x, _ in line} == {1.0, -1.0}


def test_a_crossing_at_any_angle_meets():
    """At a corner the moved legs keep their distance from the walked line."""
    line = to_the_right([(0, 0), (10, 0), (20, 10)], 1)
    (x, y) = line[1]

    assert abs(y + 1) < 1e-9
    assert abs(abs(x - 10 - y) / math.sqrt(2) - 1) < 1e-9


def test_arrow_heads_point_the_way():
    """The tip is ahead of the base."""
    for tip, *base in arrow_heads([(0, 0), (0, 40)], size=3, every=20):
        assert all(tip[1] > y for _, y in base)


@given(st.floats(0, 20), st.floats(0, 20), st.floats(0.5, 30), st.floats(0.5, 30), st.floats(0.8, 4))
def test_hatching_stays_inside_its_rack(x, y, width, height, step):
    """Every stroke is at 45 degrees and inside the rectangle."""
    for (x0, y0), (x1, y1) in hatching(x, y, x + width, y + height, step):
        assert x - 1e-9 <= x0 < x1 <= x + width + 1e-9
        assert y - 1e-9 <= y0 < y1 <= y + height + 1e-9
        assert abs((x1 - x0) - (y1 - y0)) < 1e-9


def test_a_corner_gets_no_stroke_without_length():
    """Rounding once gave this rack a stroke at its corner that ran along x only."""
    strokes = hatching(1.9, 1.8, 5.5, 5.5, 1.2)

    assert strokes
    assert all(y0 < y1 for (_, y0), (_, y1) in strokes)


def test_the_map_shows_bench_aisles_line_and_stops():
    """Forty stops in ten aisles: each number, each aisle at both ends, the bench, arrows."""
    sheet = invented.room_map(40)
    marks = [mark for part in route_map(sheet, 122, 118).parts for mark in part.marks]
    texts = [mark.text for mark in marks if isinstance(mark, Text)]

    assert [text for text in texts if texts.count(text) >= 2 and text.isdigit()]
    for number in range(1, 41):
        assert texts.count(str(number)) == (3 if number <= 10 else 1)
    assert "BENCH: start and end" in texts
    assert sum(isinstance(mark, Shape) for mark in marks) > 20
    assert sum(isinstance(mark, Disc) and mark.fill == "black" for mark in marks) == 40
    assert sum(isinstance(mark, Strokes) for mark in marks) > 11
