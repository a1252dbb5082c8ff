"""Pieces that a customer cancels or sends back, and the order lines they belong to.

>>> ReturnNotice(number="C1", line_no=1, kind=ReturnKind.RETURN, part_number="BALL-3", pieces=5, name="Invented Person",
...     country="NA", received_at="2026-03-02T08:00:00Z").pieces
5
"""

from enum import StrEnum

from pydantic import AwareDatetime
from sqlmodel import Field

from fulfil.records.revised import Record
from fulfil.records.text import Code, Country, Line, Name


class ReturnKind(StrEnum):
    """A cancellation or return names a customer; a correction is a negative row of an ordinary order."""

    RETURN = "return"
    CORRECTION = "correction"


class ReturnNotice(Record):
    """One line of a cancellation or return as its file gave it; ``pieces`` are counted positive."""

    number: Code
    line_no: int = Field(ge=1)
    kind: ReturnKind
    part_number: Code
    pieces: int = Field(ge=1, le=999_999_999)
    name: Name
    country: Country
    received_at: AwareDatetime
    amount_minor: int = Field(default=0, ge=-999_999_999, le=999_999_999)


class ReturnMatch(Record):
    """Pieces of a notice that were found on an order line.

    ``cancelled_pieces`` of them had not been sent and are wanted no more; the rest comes back.
    """

    number: Code
    line_no: int = Field(ge=1)
    order_number: Code
    order_line_no: int = Field(ge=1)
    pieces: int = Field(ge=1)
    cancelled_pieces: int = Field(default=0, ge=0)


class Outcome(StrEnum):
    """What becomes of pieces that came back."""

    BOOKED_BACK = "booked back"
    SCRAPPED = "scrapped"


class ReturnedPieces(Record):
    """Pieces that came back, counted, and what became of them; never changed."""

    number: Code
    order_number: Code
    line_no: int = Field(ge=1)
    part_number: Code
    bin_code: Line = ""
    pieces: int = Field(ge=1)
    outcome: Outcome
    reason: Name
    at: AwareDatetime
    person: Code
