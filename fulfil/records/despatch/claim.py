"""Claims: what a customer says was wrong with a line.

>>> Claim(number="E2603020001", order_number="A-1", line_no=1, part_number="BALL-3", cause=ClaimCause.SHORT, pieces=2,
...     at="2026-03-02T08:00:00Z", person="ann").is_settled
False
"""

from enum import StrEnum

from pydantic import AwareDatetime
from sqlmodel import Field

from fulfil.records.revised import Record
from fulfil.records.text import Code, Line


class ClaimCause(StrEnum):
    """What the customer says."""

    SHORT = "short"
    OVER = "over"
    WRONG_PART = "wrong part"
    DAMAGED = "damaged"
    MISSING = "missing"
    OTHER = "other"


class Claim(Record):
    """One claim on one order line; ``answer`` is empty until it is settled."""

    number: Code
    order_number: Code
    line_no: int = Field(ge=1)
    part_number: Code
    cause: ClaimCause
    pieces: int = Field(default=0, ge=0)
    says: Line = ""
    at: AwareDatetime
    person: Code
    answer: Line = ""

    @property
    def is_settled(self) -> bool:
        """Whether the customer has an answer."""
        return self.answer != ""
