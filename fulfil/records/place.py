"""The room as the catalogue describes it: its elements and its bins.

A room of parallel aisles is given by its aisles (``x_mm``), its cross aisles (``y_mm``) and the bench (both); an odd
room by corners (both) and passages between them (``from_name``, ``to_name``). Coordinates are whole millimetres; y
grows from the front to the back.
"""

from datetime import date
from enum import StrEnum

from sqlmodel import Field

from fulfil.records.revised import Record
from fulfil.records.text import Code, Line


class ElementKind(StrEnum):
    """What a line of the room's file describes."""

    AISLE = "aisle"
    CROSS_AISLE = "cross-aisle"
    BENCH = "bench"
    CORNER = "corner"
    PASSAGE = "passage"


class RoomElement(Record):
    """One aisle, cross aisle, bench, corner or passage."""

    kind: ElementKind
    name: Code
    x_mm: int = Field(default=0, ge=0)
    y_mm: int = Field(default=0, ge=0)
    from_name: Line = ""
    to_name: Line = ""
    length_mm: int = Field(default=0, ge=0)
    is_one_way: bool = False


class Side(StrEnum):
    """The side of an aisle, seen from the front."""

    LEFT = "left"
    RIGHT = "right"


class BinUse(StrEnum):
    """What a bin is for: *picking*, where walks go, or *reserve*, from which picking bins are filled up."""

    PICKING = "picking"
    RESERVE = "reserve"


class Bin(Record):
    """A place that holds one part; ``pieces`` is the level by the books.

    ``aisle`` is the name of an aisle (or passage), ``y_mm`` the distance of the bin's middle from the front of the room
    (along the passage, in an odd room). ``received_on`` is the day when that came in which was in
    the bin already when it was first counted, as somebody says; what came later has its day in the stock ledger.
    """

    code: Code
    aisle: Code
    side: Side
    section: int = Field(ge=0)
    level: int = Field(ge=0)
    y_mm: int = Field(ge=0)
    part_number: Code
    lot: Line = ""
    pieces: int = Field(ge=0)
    use: BinUse = BinUse.PICKING
    received_on: date | None = None
