"""Bags taken off the way to their customer: what was in them, where it belongs, whether it is back there.

>>> PulledBag(bag_code="B1", order_number="A-1", line_no=1, part_number="BALL-3", bin_code="x", pieces=50,
...     walk_number="W1", cart_position=2, was="planned", reason="cancelled", at="2026-03-02T08:00:00Z",
...     person="ann").is_back
False
"""

from pydantic import AwareDatetime
from sqlmodel import Field

from fulfil.records.revised import Record
from fulfil.records.text import Code, Line, Name


class PulledBag(Record):
    """A bag that was pulled: its pieces are out of their bin until ``put_back_at``; that many are then back."""

    bag_code: Code
    order_number: Code
    line_no: int = Field(ge=1)
    part_number: Code
    lot: Line = ""
    bin_code: Code
    pieces: int = Field(ge=1)
    walk_number: Code
    cart_position: int = Field(ge=1)
    was: Line
    reason: Name
    at: AwareDatetime
    person: Code
    put_back_at: AwareDatetime | None = None
    put_back_pieces: int | None = Field(default=None, ge=0)

    @property
    def is_back(self) -> bool:
        """Whether its pieces are in their bin again."""
        return self.put_back_at is not None
