"""What is to be made or bought: one job for each part that is short, with what has come of it so far.

>>> Job(number="J2603020001", part_number="GEAR-12", supply=Supply.MAKE, pieces=12, day="2026-03-02").pieces_open
12
"""

from datetime import date, datetime

from pydantic import AwareDatetime
from sqlmodel import Field

from fulfil.records.part import Supply
from fulfil.records.revised import Record
from fulfil.records.text import Code, Line


class Job(Record):
    """Pieces to make or buy; ``due`` is the earliest cut-off of an order that waits for them, None if none waits.

    ``reason`` says what for: shorts, or pieces rejected.
    """

    number: Code
    part_number: Code
    supply: Supply
    supplier: Line = ""
    pieces: int = Field(ge=1)
    booked_pieces: int = Field(default=0, ge=0)
    due: AwareDatetime | None = None
    day: date
    reason: Line = ""
    is_closed: bool = False

    @property
    def pieces_open(self) -> int:
        """Pieces still to come."""
        return 0 if self.is_closed else max(0, self.pieces - self.booked_pieces)

    def is_late(self, at: datetime) -> bool:
        """Whether an order has missed its cut-off for these pieces."""
        return self.due is not None and self.pieces_open > 0 and self.due < at
