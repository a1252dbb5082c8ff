"""Findings about rooms and their bins."""

import pytest

from fulfil.room.block import Block
from fulfil.room.blocks import Blocks
from fulfil.room.check import AnyRoom, check_room
from fulfil.room.graph import Corner, Passage, WalkingGraph
from fulfil.room.sides import ShelvedBin

ROOM = Block((0, 2500, 5000), 30000)


def shelved(number: int, aisle: int, y_mm: int, side: str = "left", level: int = 0) -> ShelvedBin:
    """A bin in line ``number + 2`` of its file."""
    return ShelvedBin(f"B{number}", (aisle, y_mm), side, level, line=number + 2)


def test_sound_room_has_no_findings() -> None:
    """Bins next to, opposite and above each other are in order."""
    bins = [
        shelved(0, 0, 300),
        shelved(1, 0, 300, "right"),
        shelved(2, 0, 300, "left", 1),
        shelved(3, 0, 900),
        shelved(4, 2, 29700),
    ]

    assert check_room(ROOM, bins, source="bins.csv", bin_width_mm=600) == ()


def test_all_findings_come_at_once_in_the_order_of_the_file() -> None:
    """A bin in no aisle, one beyond its aisle's end, two in one place and two overlapping: four findings."""
    bins = [
        shelved(0, 7, 300),
        shelved(1, 0, 31000),
        shelved(2, 1, 600),
        shelved(3, 1, 600),
        shelved(4, 1, 1000),
    ]
    findings = check_room(ROOM, bins, source="bins.csv", bin_width_mm=500)

    assert [(finding.line, finding.says.split(":")[0]) for finding in findings] == [
        (2, "the bin B0 lies outside the room"),
        (3, "the bin B1 lies outside the room"),
        (5, "the bin is in the same place as bin B2"),
        (6, "the bin stands only 400 mm from bin B3"),
    ]
    assert all(finding.do for finding in findings)


def test_bin_that_nobody_can_reach() -> None:
    """A bin in a piece of aisle closed at both ends is found, and so are the corners cut off."""
    room = Blocks((0, 2500), (0, 30000), (0, 0), closed=((1, 0, 5000), (1, 20000, 30000)))
    findings = check_room(room, [shelved(0, 1, 10000), shelved(1, 0, 500)], source="bins.csv")

    assert [(finding.line, finding.value) for finding in findings] == [
        (None, "(2500, 5000) (2500, 20000)"),
        (2, "B0"),
    ]
    assert findings[1].says == "no way leads from the bench to the bin and back"


def test_one_way_passage_without_a_way_back() -> None:
    """A one-way passage into a dead end can be entered but not left: its bins are found."""
    room = WalkingGraph(
        (Corner("a", 0, 0), Corner("b", 5000, 0), Corner("c", 9000, 0)),
        (Passage("good", "a", "b"), Passage("trap", "b", "c", one_way=True)),
        "a",
    )
    bins = [ShelvedBin("G", ("good", 100), "left", 0, 2), ShelvedBin("T", ("trap", 100), "left", 0, 3)]

    assert [finding.value for finding in check_room(room, bins, source="bins.csv")] == ["(9000, 0)", "T"]


@pytest.mark.parametrize(
    ("room", "says"),
    [
        (Block((0, 3), 30), "the room's longest measure looks like metres"),
        (Block((0, 98), 900), "the room's longest measure looks like inches or centimetres"),
        (Block((0, 400), 30000), "the aisles 0 and 1 are nearer than 600 mm and overlap"),
        (
            WalkingGraph((Corner("a", 0, 0), Corner("b", 40, 0)), (Passage("p", "a", "b"),), "a"),
            "the room's longest measure looks like metres",
        ),
    ],
)
def test_rooms_in_the_wrong_unit(room: AnyRoom, says: str) -> None:
    """A room no person fits into is in metres or inches, or has its aisles overlapping."""
    assert [finding.says for finding in check_room(room, [], source="room.csv")] == [says]


@pytest.mark.parametrize(("unit", "mm"), [("metres", 1000), ("inches", 25.4), ("centimetres", 10)])
def test_bins_in_the_wrong_unit(unit: str, mm: float) -> None:
    """Bins that crowd at the front by just the ratio of a unit are in that unit."""
    bins = [shelved(number, 0, round(29000 * number / 29 / mm), level=number) for number in range(30)]
    findings = check_room(ROOM, bins, source="bins.csv")

    assert [finding.says for finding in findings] == [f"the bins' places along the aisles look like {unit}"]
