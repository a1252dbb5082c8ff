"""The drawing of a room as a file: to scale, the same marks as on paper, everything said that the map says."""

from datetime import date
from itertools import combinations
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fulfil.papers.door import leaves
from fulfil.papers.faces import Face, width_mm
from fulfil.papers.floor.drawing import route_map
from fulfil.papers.floor.room import RoomSheet, svg
from fulfil.papers.floor.route_map import MapVisits, RouteMapSheet
from fulfil.papers.ink import Box, Disc, Text, block, extent_mm, text_at
from fulfil.papers.vector import svg as svg_of
from fulfil.records.place import Bin, ElementKind, RoomElement, Side
from fulfil.records.settings import Paper
from fulfil.room.walk import shortest_walk
from fulfil.walks.floor import floor_of
from fulfil.walks.room_sheet import map_stop, room_sheet

SVG = "{http://www.w3.org/2000/svg}"
WIDTH = 180.0


def element(kind: ElementKind, name: str, **more: Any) -> RoomElement:
    """A piece of a room."""
    return RoomElement(kind=kind, name=name, **more)


AISLES = [element(ElementKind.AISLE, name, x_mm=x) for name, x in (("Nuts", 0), ("Springs", 2500), ("Gears", 5000))]
FRONT, MIDDLE, BACK = (
    element(ElementKind.CROSS_AISLE, name, y_mm=y) for name, y in (("front", 0), ("middle", 9000), ("back", 20000))
)
BENCH = element(ElementKind.BENCH, "bench", x_mm=0, y_mm=0)
ODD = [
    BENCH,
    element(ElementKind.CORNER, "hall", x_mm=9000, y_mm=0),
    element(ElementKind.CORNER, "nook", x_mm=6000, y_mm=7000),
    element(ElementKind.PASSAGE, "A & B", from_name="bench", to_name="hall"),
    element(ElementKind.PASSAGE, "C", from_name="hall", to_name="nook"),
    element(ElementKind.PASSAGE, "D", from_name="nook", to_name="bench", length_mm=12000),
]
FLOORS = {
    "block": ([*AISLES, FRONT, BACK, BENCH], [("Nuts", 500), ("Springs", 9000), ("Springs", 9100), ("Gears", 15000)]),
    "blocks": ([*AISLES, FRONT, MIDDLE, BACK, BENCH], [("Nuts", 500), ("Springs", 9500), ("Gears", 15000)]),
    "odd": (ODD, [("A & B", 500), ("C", 2000), ("C", 2100), ("D", 11000)]),
}
ROOMS = pytest.mark.parametrize("name", FLOORS)


def drawn(name: str) -> RouteMapSheet:
    """A walk in one of the rooms, past bins on both sides."""
    elements, places = FLOORS[name]
    floor = floor_of(elements)
    bins = [
        Bin(code=f"{aisle}-{y}", aisle=aisle, side=(Side.LEFT, Side.RIGHT)[n % 2], section=1, level=1, y_mm=y,
            part_number="P", pieces=1) for n, (aisle, y) in enumerate(places)
    ]  # fmt: skip
    walk = shortest_walk(floor.room, [floor.stop_of(place) for place in bins])
    stops = [map_stop(floor, place, number) for number, place in enumerate(bins, start=1)]
    return room_sheet(floor, stops=stops, path_mm=walk.path)


def sheet(plan: RouteMapSheet, title: str = "Walk <1> & more") -> RoomSheet:
    """The drawing's sheet."""
    return RoomSheet(
        document_number="W1", shop_name="Invented", day=date(2026, 3, 2), title=title, facts=(), route_map=plan
    )


def marks(plan: RouteMapSheet, **more: Any) -> list:
    """The marks of the map to scale."""
    return [mark for part in route_map(plan, WIDTH, **more).parts for mark in part.marks]


@ROOMS
def test_the_file_is_well_formed_and_says_every_number(name: str) -> None:
    """XML with the title, a disc a stop with its number, arrow heads, the bench; the same again, byte for byte."""
    plan = drawn(name)
    text = svg(sheet(plan))
    root = ElementTree.fromstring(text)
    words = [one.text for one in root.iter(f"{SVG}text")]

    assert text == svg(sheet(plan))
    assert root.findtext(f"{SVG}title") == "Walk <1> & more"
    assert {str(stop.number) for stop in plan.stops} <= set(words)
    assert sum(one.get("fill") == "#000" for one in root.iter(f"{SVG}circle")) == len(plan.stops)
    assert list(root.iter(f"{SVG}polygon"))
    assert "BENCH: start and end" in words


@ROOMS
def test_the_file_is_to_scale(name: str) -> None:
    """A metre across the room is as long on the drawing as a metre into it; no line of the floor is left out."""
    plan = drawn(name)
    corners = [(rack.x_mm, rack.y_mm) for rack in plan.racks] or [passage.to_mm for passage in plan.passages]
    lines = [mark for mark in marks(plan) if isinstance(mark, Box)][1:]
    if not plan.racks:
        dashed = [mark.lines[0] for mark in marks(plan) if getattr(mark, "is_dashed", False)]
        floor = [(passage.from_mm, passage.to_mm) for passage in plan.passages]
        ratios = [
            (abs(b[0] - a[0]) / abs(to[0] - since[0]), abs(b[1] - a[1]) / abs(to[1] - since[1]))
            for (a, b), (since, to) in zip(dashed, floor, strict=True)
            if to[0] != since[0] and to[1] != since[1]
        ]
    else:
        ratios = [
            (box.width_mm / rack.width_mm, box.height_mm / rack.depth_mm)
            for box, rack in zip(lines, plan.racks, strict=False)
        ]

    assert corners
    assert ratios
    for across, into in ratios:
        assert across == pytest.approx(into)
        assert across == pytest.approx(ratios[0][0])


def test_a_long_narrow_room_is_no_higher_than_a_page() -> None:
    """One aisle of a hundred metres: the plan stays inside its width and at most 1.4 times as high."""
    long = RouteMapSheet.of_aisles(
        aisles=(("1", 0),), cross_aisle_y_mm=(0, 100_000), bench_mm=(0, 0), stops=(), path_mm=((0, 0),)
    )
    made = route_map(long, WIDTH)

    assert made.height_mm == pytest.approx(1.4 * WIDTH)
    for part in made.parts:
        for mark in part.marks:
            left, top, right, bottom = extent_mm(mark)
            assert left >= -0.5
            assert top >= -0.5
            assert right <= WIDTH + 0.5
            assert bottom <= made.height_mm + 0.5


@ROOMS
def test_everything_is_inside_the_drawing(name: str) -> None:
    """The frame encloses racks, line, numbers and names."""
    made = route_map(drawn(name), WIDTH, here_mm=(2500, 0))
    for part in made.parts:
        for mark in part.marks:
            left, top, right, bottom = extent_mm(mark)
            assert left >= -0.01, mark
            assert top >= -0.01, mark
            assert right <= WIDTH + 0.01, mark
            assert bottom <= made.height_mm + 0.01, mark


def test_numbers_stand_on_the_side_of_the_bin() -> None:
    """A bin on the left has its number left of the aisle, one on the right to the right."""
    plan = drawn("block")
    names = {mark.text: mark.x_mm for mark in marks(plan) if isinstance(mark, Text) and mark.is_white}
    aisle = next(extent_mm(mark) for mark in marks(plan) if isinstance(mark, Text) and mark.text == "Springs")

    assert plan.stops[1].side is Side.RIGHT
    assert plan.stops[2].side is Side.LEFT
    assert names["2"] > (aisle[0] + aisle[2]) / 2 > names["3"]


def test_where_the_reader_stands_is_shown_when_asked_for() -> None:
    """A diamond and the words; else neither."""
    words = [mark.text for mark in marks(drawn("block"), here_mm=(2500, 0)) if isinstance(mark, Text)]

    assert words.count("you are here") == 1
    assert "you are here" not in [mark.text for mark in marks(drawn("block")) if isinstance(mark, Text)]


def test_another_end_is_signed() -> None:
    """A walk that ends elsewhere shows bench and end."""
    end = element(ElementKind.BENCH, "end", x_mm=2500, y_mm=20000)
    plan = room_sheet(floor_of([*AISLES, FRONT, BACK, BENCH, end]))
    text = svg(sheet(plan))

    assert ">BENCH: start<" in text
    assert ">END of the walk<" in text


def test_shop_names_of_aisles_and_passages_are_drawn() -> None:
    """Aisles carry the shop's names, at both ends; a passage beside its middle; signs of XML are written as such."""
    assert svg(sheet(drawn("blocks"))).count(">Springs<") == 2
    assert ">A &amp; B<" in svg(sheet(drawn("odd")))


@given(st.dictionaries(st.tuples(st.integers(0, 2), st.integers(0, 20000)), st.integers(1, 90), max_size=8))
@settings(deadline=None)
def test_visits_grow_with_their_number(visits: dict[tuple[int, int], int]) -> None:
    """A dot for each place visited, which says how often; more visits never make a smaller dot."""
    places = [MapVisits(x_mm=2500 * aisle, y_mm=y, times=times) for (aisle, y), times in sorted(visits.items())]
    plan = room_sheet(floor_of([*AISLES, FRONT, BACK, BENCH]), visits=places)
    dots = [mark for mark in marks(plan) if isinstance(mark, Disc) and mark.says]

    assert [int(dot.says.split()[0]) for dot in dots] == [one.times for one in places]
    assert svg(sheet(plan)).count(" visit") == len(places)
    for (one, dot), (two, other) in combinations(zip(places, dots, strict=True), 2):
        assert one.times <= two.times or dot.radius_mm >= other.radius_mm
        assert one.times >= two.times or dot.radius_mm <= other.radius_mm


@pytest.mark.parametrize("times", [9, 10, 123, 12_345])
def test_a_place_visited_ten_times_or_more_is_drawn_like_any_other(times: int) -> None:
    """The drawing was once refused for it: two figures didn't fit their disc."""
    visits = [MapVisits(x_mm=2500, y_mm=5000, times=times), MapVisits(x_mm=0, y_mm=5000, times=1)]
    plan = room_sheet(floor_of([*AISLES, FRONT, BACK, BENCH]), visits=visits)

    for page in Paper:
        (leaf,) = leaves([sheet(plan, "Visits of bins")], page=page)
        (white,) = [extent for mark, extent in leaf.marks() if isinstance(mark, Text) and mark.is_white]
        discs = [extent for mark, extent in leaf.marks() if isinstance(mark, Disc) and mark.fill == "black"]

        assert str(times) in [mark.text for mark, _ in leaf.marks() if isinstance(mark, Text) and mark.is_white]
        assert any(disc[0] <= white[0] and white[2] <= disc[2] for disc in discs)


def test_each_text_is_as_wide_as_on_paper() -> None:
    """A viewer's own face is squeezed to the measured width, so that numbers stay inside their discs."""
    text = svg_of(block(10.0, text_at(5.0, 5.0, "12", Face.BOLD, 9.0)), 20.0, title="x")

    assert f'textLength="{width_mm("12", Face.BOLD, 9.0):.2f}" lengthAdjust="spacingAndGlyphs">12<' in text
