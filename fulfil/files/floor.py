"""Only the room of a catalogue folder: ``room.csv`` and ``bins.csv``, with the line that each bin came from.

For looking at a room before the rest of the catalogue is there; what the two files say of each other is not checked
here but by :mod:`fulfil.room.check`, which knows ways and distances.
"""

from dataclasses import dataclass
from pathlib import Path

from fulfil.errors import FileRefused
from fulfil.files.columns import Column, needed_names, optional_names
from fulfil.files.places import BINS, ROOM, read_bins, read_room
from fulfil.files.reading import FileReading
from fulfil.files.rows.csv_rows import Row, read_rows
from fulfil.records.finding import Finding
from fulfil.records.place import Bin, RoomElement
from fulfil.records.text import tidy


@dataclass(frozen=True)
class FloorRead:
    """The room's elements and bins, what is off in the files, and each bin's line by its code."""

    elements: tuple[RoomElement, ...]
    bins: tuple[Bin, ...]
    findings: tuple[Finding, ...]
    line_of: dict[str, int | None]


def read_floor(folder: Path, *, encoding: str = "utf-8-sig") -> FloorRead:
    """Reads the two files.

    Raises:
        FileRefused: the folder or one of the files isn't there, or ``encoding`` is no encoding.
    """
    room_file, rows = _open(folder, "room.csv", ROOM, encoding)
    elements = read_room(rows, room_file)
    bins_file, rows = _open(folder, "bins.csv", BINS, encoding)
    bins = read_bins(rows, bins_file, room=None, parts=None)
    lines = {tidy(row.cells.get("bin", "")): row.line for row in reversed(rows)}
    return FloorRead(elements, bins, (*room_file.findings, *bins_file.findings), lines)


def _open(folder: Path, name: str, columns: tuple[Column, ...], encoding: str) -> tuple[FileReading, tuple[Row, ...]]:
    path = folder / name
    try:
        read_in = path.read_bytes()
    except OSError as trouble:
        expected = f"a folder with room.csv and bins.csv ({trouble.strerror})"
        raise FileRefused("read the room from", path, expected) from trouble
    read = read_rows(read_in, name, needed=needed_names(columns), optional=optional_names(columns), encoding=encoding)
    return FileReading(name, list(read.findings)), read.rows
