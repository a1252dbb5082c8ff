"""From room elements to rooms that can be walked, and how a picker comes to each stop in them."""

from typing import Any

import pytest

from fulfil.errors import RoomRefused
from fulfil.records.place import Bin, ElementKind, RoomElement, Side
from fulfil.room.block import Block
from fulfil.room.blocks import Blocks
from fulfil.room.graph import WalkingGraph
from fulfil.walks.floor import floor_of, in_walking_order
from fulfil.walks.room_sheet import map_stop, room_sheet
from fulfil.walks.turns import Approach, approaches


def aisle(name: str, x_mm: int, **more: Any) -> RoomElement:
    """An aisle."""
    return RoomElement(kind=ElementKind.AISLE, name=name, x_mm=x_mm, **more)


def cross(name: str, y_mm: int, **more: Any) -> RoomElement:
    """A cross aisle."""
    return RoomElement(kind=ElementKind.CROSS_AISLE, name=name, y_mm=y_mm, **more)


def bench(x_mm: int = 0, y_mm: int = 0, name: str = "bench") -> RoomElement:
    """The bench, or the end."""
    return RoomElement(kind=ElementKind.BENCH, name=name, x_mm=x_mm, y_mm=y_mm)


def place(aisle: str, y_mm: int, side: Side = Side.LEFT, level: int = 1, code: str = "") -> Bin:
    """A bin."""
    return Bin(
        code=code or f"{aisle}-{y_mm}-{side[0]}{level}",
        aisle=aisle,
        side=side,
        section=1,
        level=level,
        y_mm=y_mm,
        part_number="P",
        pieces=1,
    )


TWO = (aisle("1", 0), aisle("2", 2000))
FRONT, MIDDLE, BACK = cross("front", 0), cross("middle", 5000), cross("back", 10000)
PLAIN = (*TWO, FRONT, BACK, bench())


@pytest.mark.parametrize(
    ("elements", "kind"),
    [
        (PLAIN, Block),
        ((*TWO, FRONT, BACK, bench(1000)), Block),
        ((*TWO, FRONT, MIDDLE, BACK, bench()), Blocks),
        ((*TWO, FRONT, BACK, bench(0, 10000)), Blocks),
        ((*TWO, FRONT, BACK, bench(0, 4000)), Blocks),
        ((*TWO, FRONT, BACK, bench(), bench(2000, 10000, "end")), Blocks),
        ((aisle("1", 0), aisle("2", 2000, length_mm=4000), FRONT, BACK, bench()), Blocks),
        ((aisle("1", 0), aisle("2", 2000, is_one_way=True), FRONT, BACK, bench()), Blocks),
        ((*TWO, cross("front", 0), cross("back", 10000, x_mm=0, length_mm=1000), bench()), Blocks),
        (
            (
                bench(),
                RoomElement(kind=ElementKind.CORNER, name="door", x_mm=900),
                RoomElement(kind=ElementKind.PASSAGE, name="hall", from_name="bench", to_name="door"),
            ),
            WalkingGraph,
        ),
    ],
)
def test_the_kind_of_room_follows_from_its_elements(elements, kind):
    """One block only where nothing says more: two cross aisles, both reached by all, both ways open, bench in front."""
    assert type(floor_of(elements).room) is kind


def test_a_block_further_back_counts_from_its_front():
    """A room whose front cross aisle lies at 3 m: stops count from there, a bench off every aisle keeps its x."""
    floor = floor_of((*TWO, cross("front", 3000), cross("back", 9000), bench(700, 3000)))

    assert floor.stop_of(place("2", 4000)) == (1, 1000)
    assert floor.room.bench_mm == (700, 0)
    assert floor.room.shortest_walk([(1, 1000)]).length_mm == 2 * (1300 + 1000)


def test_aisles_run_where_their_names_and_lengths_say():
    """From the front, from the back, from one cross aisle to another; a dead end of four metres from the back."""
    elements = (
        aisle("1", 0),
        aisle("2", 2000, from_name="middle"),
        aisle("3", 4000, to_name="middle"),
        aisle("4", 6000, from_name="back", length_mm=4000),
        aisle("5", 8000, from_name="back", to_name="front", is_one_way=True),
        FRONT,
        MIDDLE,
        BACK,
        bench(),
    )
    room = floor_of(elements).room

    assert isinstance(room, Blocks)
    assert room.aisle_span_mm == ((0, 10000), (5000, 10000), (0, 5000), (6000, 10000), (0, 10000))
    assert room.one_way == ((4, -1),)


def test_walks_end_at_the_second_bench():
    """In and out of aisle 1 and right through aisle 2, to an end at its back: 8 + 2 + 10 m."""
    floor = floor_of((*TWO, FRONT, BACK, bench(), bench(2000, 10000, "end")))

    assert floor.room.shortest_walk([(0, 4000), (1, 6000)]).length_mm == 20000
    assert room_sheet(floor).end_mm == (2000, 10000)


@pytest.mark.parametrize(
    ("elements", "says"),
    [
        (TWO, "Cannot lay out the room '2 aisles, 0 cross aisles, 0 passages, 0 benches'"),
        ((*TWO, FRONT, BACK), "0 benches"),
        ((*TWO, FRONT, BACK, bench(), bench(9, 0, "other")), "2 benches"),
        ((*TWO, FRONT, bench()), "1 cross aisles"),
        ((aisle("1", 0, to_name="attic"), FRONT, BACK, bench()), "Cannot end aisle 1 at 'attic'"),
        ((*TWO, FRONT, BACK, bench(1000, 5000)), "Cannot put the bench at"),
    ],
)
def test_rooms_that_cannot_be_are_refused(elements, says):
    """In one sentence with what was found."""
    with pytest.raises(RoomRefused, match=says):
        floor_of(elements)


def test_a_bin_in_no_aisle_is_refused():
    """With the aisles that there are."""
    with pytest.raises(RoomRefused, match="Cannot find the aisle of bin X '7': expected one of the aisles 1, 2"):
        floor_of(PLAIN).stop_of(place("7", 10, code="X"))


def told(floor, bins):
    """The turn before each bin and the hand on which it is, in walking order."""
    walk = floor.room.shortest_walk([floor.stop_of(one) for one in bins])
    ordered = in_walking_order(floor, bins, walk)
    came = approaches(floor, walk.path, [floor.stop_of(one) for one in ordered])
    return [(one.code, way.sentence, way.hand(one.side).value) for one, way in zip(ordered, came, strict=True)]


def test_turns_in_one_block():
    """Up aisle 1 and down aisle 2: right is left on the way back."""
    bins = [place("1", 9000, code="a"), place("2", 8000, code="b"), place("2", 2000, Side.RIGHT, code="c")]

    assert told(floor_of(PLAIN), bins) == [
        ("a", "Aisle 1, from the front", "left"),
        ("b", "Aisle 2, from the back", "right"),
        ("c", "", "left"),
    ]


def test_turns_say_where_to_from_a_middle_cross_aisle():
    """Three blocks: the middle cross aisles are named as the shop names them, and the direction is said."""
    elements = (*TWO, FRONT, cross("X1", 4000), cross("X2", 8000), cross("back", 12000), bench())
    floor = floor_of(elements)
    bins = [place("1", 7000, code="a"), place("2", 7000, code="b"), place("2", 5000, code="c")]

    assert [sentence for _, sentence, _ in told(floor, bins)] == [
        "Aisle 1, from the front",
        "Aisle 2, from cross aisle X2 towards the front",
        "",
    ]


def test_a_bench_within_an_aisle_is_a_place_to_turn():
    """Up from the bench, then down past it: one turn round, both from a place that has a name."""
    floor = floor_of((aisle("1", 0), FRONT, BACK, bench(0, 5000)))

    assert told(floor, [place("1", 7000, code="up"), place("1", 3000, code="down")]) == [
        ("down", "Aisle 1, from the bench towards the front", "right"),
        ("up", "Turn round in aisle 1", "left"),
    ]


def test_turns_in_a_room_of_passages():
    """Sides are as seen from a passage's beginning, so against it they change hands; corners have their names."""
    corner = [
        RoomElement(kind=ElementKind.CORNER, name=name, x_mm=x, y_mm=y)
        for name, x, y in (("A", 3000, 0), ("B", 3000, 4000))
    ]
    passage = [
        RoomElement(kind=ElementKind.PASSAGE, name=name, from_name=a, to_name=b)
        for name, a, b in (("P1", "bench", "A"), ("P2", "B", "A"), ("P3", "B", "bench"))
    ]
    floor = floor_of([bench(), *corner, *passage])
    bins = [place("P1", 1000, code="a"), place("P2", 1000, code="b"), place("P3", 2500, code="c")]

    assert told(floor, bins) == [
        ("a", "Passage P1, from the bench", "left"),
        ("b", "Passage P2, from A", "right"),
        ("c", "Passage P3, from B", "left"),
    ]


def test_bins_at_one_stop_are_taken_on_the_side_taken_last():
    """Left first; at the next stop the right one first if the right was last."""
    floor = floor_of(PLAIN)
    bins = [place("1", y, side) for y in (1000, 3000) for side in (Side.RIGHT, Side.LEFT)]
    walk = floor.room.shortest_walk([floor.stop_of(one) for one in bins])

    assert [(one.y_mm, one.side.value) for one in in_walking_order(floor, bins, walk)] == [
        (1000, "left"),
        (1000, "right"),
        (3000, "right"),
        (3000, "left"),
    ]


def test_a_hand_is_a_side_or_its_opposite():
    """Onward left is left; back again left is right."""
    assert Approach("", True).hand(Side.LEFT) is Side.LEFT
    assert Approach("", False).hand(Side.LEFT) is Side.RIGHT


def test_a_one_way_aisle_is_drawn_in_its_direction():
    """The map's arrows lead from where the aisle is entered to where it is left; stops know their way."""
    floor = floor_of((aisle("1", 0), aisle("2", 2000, from_name="back", is_one_way=True), FRONT, BACK, bench()))
    (drawn,) = room_sheet(floor).passages

    assert (drawn.from_mm, drawn.to_mm, drawn.is_one_way) == ((2000, 10000), (2000, 0), True)
    assert map_stop(floor, place("2", 300), 1).ahead_mm == (0, 10000)


def test_the_same_elements_give_the_floor_that_was_laid_out() -> None:
    """What a room has worked out is not worked out again; another length of an aisle is another room."""
    front, back = (RoomElement(kind=ElementKind.CROSS_AISLE, name=name, y_mm=y) for name, y in (("f", 0), ("b", 9000)))
    bench = RoomElement(kind=ElementKind.BENCH, name="bench", x_mm=0, y_mm=0)
    aisles = [RoomElement(kind=ElementKind.AISLE, name=name, x_mm=x) for name, x in (("1", 0), ("2", 2400))]
    said = [front, back, bench, *aisles]

    assert floor_of([one.model_copy() for one in said]) is floor_of(said)
    longer = back.model_copy(update={"y_mm": 12_000})
    assert floor_of([front, longer, bench, *aisles]) != floor_of(said)
