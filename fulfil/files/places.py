"""``room.csv`` and ``bins.csv``: the room's elements, the bins in its aisles and the level counted in each."""

from collections.abc import Iterable, Sequence

from fulfil.files.columns import Column, mm, pieces_or_none, whole, yes_or_no
from fulfil.files.reading import FileReading
from fulfil.files.rows.csv_rows import Row
from fulfil.records.finding import Finding
from fulfil.records.place import Bin, ElementKind, RoomElement

ROOM = (
    Column("element", "kind", do="write aisle, cross-aisle, bench, corner or passage"),
    Column("name", "name"),
    Column("x_mm", "x_mm", mm, is_needed=False),
    Column("y_mm", "y_mm", mm, is_needed=False),
    Column("from", "from_name", is_needed=False),
    Column("to", "to_name", is_needed=False),
    Column("length_mm", "length_mm", mm, is_needed=False),
    Column("one_way", "is_one_way", yes_or_no, is_needed=False),
)
BINS = (
    Column("bin", "code"),
    Column("aisle", "aisle"),
    Column("side", "side", do="write left or right"),
    Column("section", "section", whole),
    Column("level", "level", whole),
    Column("y_mm", "y_mm", mm),
    Column("part", "part_number"),
    Column("lot", "lot", is_needed=False),
    Column("pieces", "pieces", pieces_or_none, do="count the bin"),
    Column("use", "use", is_needed=False, do="write picking or reserve"),
    Column("received_on", "received_on", is_needed=False, do="write the day as 2026-03-02"),
)
GIVES = {
    ElementKind.AISLE: ("x_mm",),
    ElementKind.CROSS_AISLE: ("y_mm",),
    ElementKind.BENCH: ("x_mm", "y_mm"),
    ElementKind.CORNER: ("x_mm", "y_mm"),
    ElementKind.PASSAGE: ("from", "to"),
}
"""The cells that each kind of element must fill."""


def read_room(rows: Iterable[Row], file: FileReading) -> tuple[RoomElement, ...]:
    """The room's elements; what is wrong goes to the file's findings."""
    elements: list[tuple[Row, RoomElement]] = []
    for row in rows:
        element = file.record(RoomElement, ROOM, row)
        if element is None or not file.is_new(row, "name", element.name):
            continue
        for column in GIVES[element.kind]:
            if not row.cells.get(column):
                file.find(row, column, f"must not be empty for {element.kind.value} {element.name}")
        elements.append((row, element))
    _check_room(elements, file)
    return tuple(element for _, element in elements)


def _check_room(elements: Sequence[tuple[Row, RoomElement]], file: FileReading) -> None:
    of = {kind: [one for _, one in elements if one.kind is kind] for kind in ElementKind}
    benches = [one for one in of[ElementKind.BENCH] if one.name != "end"]
    if len(benches) != 1:
        do = "give the one bench where walks start; a second one named end is where they end, if not there"
        _whole_room(file, f"has {len(benches)} benches", do)
    if not of[ElementKind.AISLE] and not of[ElementKind.PASSAGE]:
        _whole_room(file, "has no aisle and no passage", "give the aisles with x_mm")
    if of[ElementKind.AISLE] and len({one.y_mm for one in of[ElementKind.CROSS_AISLE]}) < 2:
        _whole_room(file, "has fewer than two cross aisles", "give the front and the back cross aisle with y_mm")
    if len({one.x_mm for one in of[ElementKind.AISLE]}) < len(of[ElementKind.AISLE]):
        _whole_room(file, "has two aisles at one x_mm", "give each aisle its own x_mm")
    ends = {one.name for kind in (ElementKind.CORNER, ElementKind.BENCH) for one in of[kind]}
    crossings = {one.name for one in of[ElementKind.CROSS_AISLE]}
    known = {
        ElementKind.PASSAGE: (ends, "is no corner of the room", "name a corner or the bench"),
        ElementKind.AISLE: (crossings, "is no cross aisle of the room", "name the cross aisle where the aisle ends"),
    }
    for row, element in elements:
        if element.kind in known:
            names, says, do = known[element.kind]
            for column, end in (("from", element.from_name), ("to", element.to_name)):
                if end and end not in names:
                    file.find(row, column, says, do)


def _whole_room(file: FileReading, says: str, do: str) -> None:
    file.findings.append(Finding(file.source, None, "element", "", says, do))


def read_bins(
    rows: Iterable[Row], file: FileReading, *, room: Sequence[RoomElement] | None, parts: frozenset[str] | None
) -> tuple[Bin, ...]:
    """The bins with their counted levels.

    ``room`` and ``parts`` (numbers) are what the other files of the catalogue say, None where they couldn't be read:
    then nothing is found wrong against them.
    """
    ways = {one.name: one for one in room or () if one.kind in (ElementKind.AISLE, ElementKind.PASSAGE)}
    crossings = sorted(one.y_mm for one in room or () if one.kind is ElementKind.CROSS_AISLE)
    bins: list[Bin] = []
    for row in rows:
        place = file.record(Bin, BINS, row)
        if not file.is_new(row, "bin", row.cells.get("bin", "")) or place is None:
            continue
        if room is not None and place.aisle not in ways:
            file.find(row, "aisle", f"is no aisle of the room, so bin {place.code} can't be reached", "name an aisle")
        elif room is not None and not _reaches(ways[place.aisle], crossings, place.y_mm):
            file.find(row, "y_mm", f"lies outside aisle {place.aisle}", "measure from the front of the room")
        if parts is not None and place.part_number not in parts:
            file.find(row, "part", "is no part of parts.csv", "add the part, or correct its number")
        bins.append(place)
    return tuple(bins)


def _reaches(way: RoomElement, crossings: Sequence[int], y_mm: int) -> bool:
    if way.kind is ElementKind.PASSAGE:
        return not way.length_mm or y_mm <= way.length_mm
    # An aisle with a length of its own may end short of the back or go on beyond it: whoever lays out the floor checks.
    return len(crossings) < 2 or bool(way.length_mm) or crossings[0] <= y_mm <= crossings[-1]
