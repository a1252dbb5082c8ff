"""Check a room before anyone walks in it: of a catalogue folder, or of the shop.

Findings are those of the files, then those of :mod:`fulfil.room.check`: bins outside the room or out of reach,
bins in one place, aisles that overlap, lengths that look like another unit. Rule *drawers*: where more than a tenth
of the bins share their place with another, the shop keeps several drawers on one place and that is no finding.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from fulfil.errors import RoomRefused
from fulfil.files.floor import read_floor
from fulfil.records.finding import Finding
from fulfil.records.place import Bin, RoomElement
from fulfil.records.plan import Bag, WalkRecord
from fulfil.room.check import check_room
from fulfil.store.books import Books
from fulfil.walks.floor import Floor, floor_of

SAME_PLACE = "is in the same place as"
_DRAWERS = 10


@dataclass(frozen=True)
class RoomCheck:
    """The floor (None where the elements don't make one), its bins, everything that is off, and what was assumed."""

    floor: Floor | None
    bins: tuple[Bin, ...]
    findings: tuple[Finding, ...]
    notes: tuple[str, ...] = ()


def check_folder(folder: Path) -> RoomCheck:
    """Checks ``room.csv`` and ``bins.csv`` of a folder.

    Raises:
        FileRefused: a file isn't there.
    """
    read = read_floor(folder)
    return _check(read.elements, read.bins, read.findings, read.line_of, "room.csv", "bins.csv")


def check_shop(books: Books) -> RoomCheck:
    """Checks the room of the shop."""
    lines: dict[str, int | None] = {}
    return _check(books.find(RoomElement), books.find(Bin), (), lines, "the shop's room", "the shop's bins")


def visits_of_bins(books: Books, *, since: date, until: date) -> Counter[str]:
    """How often each bin was visited by released walks: once a walk, however many bags were filled there."""
    walks = [
        walk.number
        for walk in books.between(WalkRecord, "day", since, until + timedelta(days=1))
        if walk.released_at is not None
    ]
    return Counter(code for _, code in {(bag.walk_number, bag.bin_code) for bag in books.find(Bag, walk_number=walks)})


def weeks_before(day: date, weeks: int) -> date:
    """The first day of the last ``weeks`` weeks up to ``day``."""
    return day - timedelta(days=7 * weeks - 1)


def _check(
    elements: Sequence[RoomElement],
    bins: Sequence[Bin],
    findings: Sequence[Finding],
    line_of: dict[str, int | None],
    room_source: str,
    bins_source: str,
) -> RoomCheck:
    try:
        floor = floor_of(elements)
    except RoomRefused as refusal:
        off = Finding(
            room_source,
            None,
            "element",
            str(refusal.value),
            f"can't {refusal.attempted} that: expected {refusal.expected}",
            "correct it, then check again",
        )
        return RoomCheck(None, tuple(bins), (*findings, off))
    found = list(findings)
    shelved = []
    for place in bins:
        line = line_of.get(place.code)
        try:
            shelved.append(floor.shelved(place, line))
        except RoomRefused as refusal:
            found.append(
                Finding(
                    bins_source,
                    line,
                    "aisle",
                    place.aisle,
                    f"is no {floor.way_word} of the room, so bin {place.code} can't be reached",
                    f"name {refusal.expected}",
                )
            )
    checked = check_room(floor.room, shelved, source=bins_source)
    shared = [one for one in checked if SAME_PLACE in one.says]
    notes: tuple[str, ...] = ()
    if len(shared) * _DRAWERS > len(shelved):
        checked = tuple(one for one in checked if SAME_PLACE not in one.says)
        notes = (f"{len(shared)} bins share their place with another: taken to be drawers of one place",)
    return RoomCheck(floor, tuple(bins), (*found, *checked), notes)
