"""How a day ends: each difference settled or carried over with a reason, then the day closed for good."""

from datetime import date
from enum import StrEnum

from pydantic import AwareDatetime
from sqlmodel import Field

from fulfil.records.revised import Record
from fulfil.records.text import Code, Line, Name


class Outcome(StrEnum):
    """A settled difference is done with; one carried over comes up again the next day."""

    SETTLED = "settled"
    CARRIED_OVER = "carried over"


class Settlement(Record):
    """A person's word on one difference on one day; ``says`` repeats what it was; never changed.

    ``subject`` is the package, manifest, order line or number that it is about; empty in words of older releases.
    """

    day: date
    difference: Code
    outcome: Outcome
    says: Line
    subject: Line = ""
    reason: Name
    at: AwareDatetime
    person: Code


class ClosedDay(Record):
    """A closed day and its sums; never changed."""

    day: date
    at: AwareDatetime
    person: Code
    ordered: int = Field(ge=0)
    shipped: int = Field(ge=0)
    packages: int = Field(ge=0)
    settled: int = Field(ge=0)
    carried_over: int = Field(ge=0)
