"""The route map: geometry that says the same as the walk."""

from itertools import combinations, pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fulfil.room.block import Block
from fulfil.room.blocks import Blocks
from fulfil.room.graph import Corner, Passage, WalkingGraph
from fulfil.room.map import floor_lines, map_walk, spread
from fulfil.room.svg import svg_map, svg_visits

BLOCK = Block((0, 2500, 5000), 20000, bench_x_mm=1200)
BLOCKS = Blocks((0, 2500, 5000), (0, 9000, 20000), (0, 0), closed=((1, 12000, 14000),))
ODD = WalkingGraph(
    (Corner("bench", 0, 0), Corner("hall", 9000, 0), Corner("nook", 6000, 7000)),
    (Passage("A", "bench", "hall"), Passage("B", "hall", "nook"), Passage("C", "nook", "bench", 12000)),
    "bench",
)
WALKS = [
    (BLOCK, [(0, 500), (1, 9000), (1, 9100), (2, 15000)]),
    (BLOCKS, [(0, 500), (1, 9500), (1, 15000), (2, 15000)]),
    (ODD, [("A", 500), ("B", 2000), ("B", 2100), ("C", 11000)]),
]
ROOMS = pytest.mark.parametrize(("room", "stops"), WALKS, ids=["block", "blocks", "odd"])


@given(st.lists(st.integers(0, 30), max_size=12), st.integers(1, 10))
def test_spread_keeps_order_and_distance(wanted: list[int], apart: int) -> None:
    """Labels keep their order, don't overlap, and stay where they are wanted if there is room."""
    wanted.sort()
    places = spread([float(place) for place in wanted], apart)

    assert all(b - a >= apart - 1e-9 for a, b in pairwise(places))
    if all(b - a >= apart for a, b in pairwise(wanted)):
        assert places == pytest.approx(wanted)


@ROOMS
def test_numbers_count_along_the_walk(room: Block | Blocks | WalkingGraph, stops: list[tuple[int, int]]) -> None:
    """Stop numbers are 1, 2, 3 ... in walking order, each at its stop, no two labels in one place."""
    walk = room.shortest_walk(stops)
    picture = map_walk(room, walk)

    assert [mark.number for mark in picture.stops] == list(range(1, len(stops) + 1))
    assert tuple(mark.stop for mark in picture.stops) == walk.stops
    assert all(mark.at_mm == room.point_mm(mark.stop) for mark in picture.stops)
    for one, two in combinations(picture.stops, 2):
        dx, dy = one.label_mm[0] - two.label_mm[0], one.label_mm[1] - two.label_mm[1]
        assert dx * dx + dy * dy >= (picture.label_mm - 2) ** 2


@ROOMS
def test_arrows_point_along_the_lane(room: Block | Blocks | WalkingGraph, stops: list[tuple[int, int]]) -> None:
    """Every arrow head lies on the lane and points the way it is walked."""
    picture = map_walk(room, room.shortest_walk(stops))
    assert picture.arrows
    for arrow in picture.arrows:
        (x, y), (dx, dy) = arrow.tip_mm, arrow.direction
        on = [
            (x2 - x1) * dx + (y2 - y1) * dy > 0
            for (x1, y1), (x2, y2) in pairwise(picture.lane_mm)
            if abs((x2 - x1) * (y - y1) - (y2 - y1) * (x - x1)) <= 2 * (abs(x2 - x1) + abs(y2 - y1))
            and min(x1, x2) - 2 <= x <= max(x1, x2) + 2
            and min(y1, y2) - 2 <= y <= max(y1, y2) + 2
        ]
        assert any(on)


def test_way_out_and_way_back_are_two_lines() -> None:
    """In and out of an aisle: the lane goes up on the right of the middle line and down on the other side."""
    picture = map_walk(Block((0,), 10000), Block((0,), 10000).shortest_walk([(0, 4000)]), aisle_width_mm=800)

    assert picture.lane_mm == ((100, 0), (100, 4000), (-100, 4000), (-100, 0))
    assert [arrow.direction for arrow in picture.arrows] == [(0, 1000), (0, -1000)]


def test_labels_stand_on_the_side_of_the_bin() -> None:
    """A bin on the left has its number left of the aisle, one on the right to the right."""
    room = Block((0,), 10000)
    picture = map_walk(room, room.shortest_walk([(0, 2000), (0, 6000)]), sides=["left", "right"])

    assert [mark.label_mm for mark in picture.stops] == [(-850, 2000), (850, 6000)]


def test_closed_piece_and_racks() -> None:
    """A closed piece of an aisle has neither a line nor racks; racks keep clear of aisles and cross aisles."""
    picture = map_walk(BLOCKS, BLOCKS.shortest_walk([]))
    middle = [line for line in picture.floor if line.passage == 1]

    assert [(line.from_mm[1], line.to_mm[1]) for line in middle] == [(0, 12000), (14000, 20000)]
    for rack in picture.racks:
        (x1, y1), (x2, y2) = rack.low_mm, rack.high_mm
        assert x1 < x2
        assert y1 < y2
        assert not any(x1 - 400 < x < x2 + 400 for x in BLOCKS.aisle_x_mm)
        assert not any(y1 - 400 < y < y2 + 400 for y in BLOCKS.cross_y_mm)


def test_everything_is_inside_the_drawing() -> None:
    """The drawing's corners enclose racks, lines, lane and labels."""
    picture = map_walk(BLOCK, BLOCK.shortest_walk([(0, 20), (2, 19900)]), here=(1, 0))
    points = [*picture.lane_mm, *(mark.label_mm for mark in picture.stops)]
    points += [point for rack in picture.racks for point in (rack.low_mm, rack.high_mm)]

    assert picture.here_mm == (2500, 0)
    for x, y in points:
        assert picture.low_mm[0] < x < picture.high_mm[0]
        assert picture.low_mm[1] < y < picture.high_mm[1]


@ROOMS
def test_svg_is_well_formed_and_says_every_number(
    room: Block | Blocks | WalkingGraph, stops: list[tuple[int, int]]
) -> None:
    """The file is XML, has the title, one circle a stop with its number, and an arrow head for each arrow."""
    picture = map_walk(room, room.shortest_walk(stops), here=stops[0])
    text = svg_map(picture, title="Walk <1> & more")
    root = ElementTree.fromstring(text)
    svg = "{http://www.w3.org/2000/svg}"
    words = [element.text for element in root.iter(f"{svg}text")]

    assert text == svg_map(map_walk(room, room.shortest_walk(stops[::-1]), here=stops[0]), title="Walk <1> & more")
    assert root.findtext(f"{svg}title") == "Walk <1> & more"
    assert len(list(root.iter(f"{svg}circle"))) == len(stops)
    assert [word for word in words if word in {str(n + 1) for n in range(len(stops))}][-len(stops) :] == [
        str(n + 1) for n in range(len(stops))
    ]
    assert len(list(root.iter(f"{svg}polygon"))) == len(picture.arrows) + 1
    assert "bench" in words
    assert "you are here" in words


def test_svg_marks_another_end() -> None:
    """A walk that ends elsewhere shows bench and end."""
    room = Blocks((0, 2500), (0, 9000), (0, 0), end_mm=(2500, 9000))
    text = svg_map(map_walk(room, room.shortest_walk([(0, 20)])), title="Walk")

    assert ">bench<" in text
    assert ">end<" in text


def test_shop_names_of_aisles_are_drawn() -> None:
    """Aisles carry the shop's names; a name is drawn once even if a closed piece cuts the aisle in two."""
    names = ["Nuts", "Springs", "Gears & cams"]
    text = svg_map(map_walk(BLOCKS, BLOCKS.shortest_walk([]), aisle_names=names), title="Room")

    assert [line.name for line in floor_lines(BLOCKS, names)][:2] == ["Nuts", "Springs"]
    assert text.count(">Springs<") == 1
    assert ">Gears &amp; cams<" in text


@given(st.dictionaries(st.tuples(st.integers(0, 2), st.integers(0, 20000)), st.integers(0, 90), max_size=8))
@settings(deadline=None)
def test_visits_grow_with_their_number(visits: dict[tuple[int, int], int]) -> None:
    """One dot for each stop visited; more visits never make a smaller dot."""
    root = ElementTree.fromstring(svg_visits(BLOCK, visits, title="Visits"))
    circles = list(root.iter("{http://www.w3.org/2000/svg}circle"))
    counts = [visits[stop] for stop in sorted(visits) if visits[stop] > 0]
    sizes = [int(circle.get("r", "0")) for circle in circles]

    assert len(circles) == len(counts)
    for (one, size), (two, other) in combinations(zip(counts, sizes, strict=True), 2):
        assert (one - two) * (size - other) >= 0
