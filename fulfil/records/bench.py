"""What the benches keep between two readings: what is in hand, and which bags went back and why.

>>> place = BenchPlace(bench="check-1", kind=BenchKind.CHECK, order_number="A-1")
>>> place.order_number, place.bag_code
('A-1', '')
"""

import json
from enum import StrEnum

from pydantic import AwareDatetime
from sqlmodel import Field, SQLModel

from fulfil.records.text import Code, Line, Text


class BenchKind(StrEnum):
    """What is done at a bench."""

    CHECK = "check"
    PACK = "pack"


class BenchPlace(SQLModel):
    """What a bench has in hand; written with every step, so that a bench that lost its power goes on from here.

    An order is in hand at one bench at a time. ``last_bag_code`` is the bag whose verdict may still be undone.
    ``clear_run`` counts right bags in a row, for the sampling plan.
    """

    bench: Code
    kind: BenchKind
    person: Line = ""
    walk_number: Line = ""
    order_number: Line = ""
    bag_code: Line = ""
    package_number: Line = ""
    last_bag_code: Line = ""
    clear_run: int = Field(default=0, ge=0)


class SentBackFor(StrEnum):
    """By what evidence a bag went back."""

    WEIGHT = "weight"
    COUNT = "count"
    LOOK = "look"
    DAMAGE = "damage"


class RecountState(StrEnum):
    """A slip is open until its bag passes, is undone with its verdict, or stays with the person in charge."""

    OPEN = "open"
    DONE = "done"
    UNDONE = "undone"


class Recount(SQLModel):
    """One bag sent back once; ``number`` is the number of its slip.

    ``which`` counts the bag's checks, this one included. ``likely_cause`` is the first explanation's name and
    ``other_part`` the part that may have been taken for the right one; both are empty where nothing was weighed.
    ``pieces_off`` is counted less ordered, 0 where nobody counted. No person is named: the figures are about parts,
    bins, look-alikes and scales.
    """

    number: Code
    at: AwareDatetime
    bag_code: Code
    order_number: Code
    walk_number: Code
    part_number: Code
    bin_code: Code
    scale_code: Line = ""
    sent_back_for: SentBackFor
    which: int = Field(ge=1)
    reason: Line
    causes_json: Text = "[]"
    likely_cause: Line = ""
    other_part: Line = ""
    pieces_off: int = 0
    state: RecountState = RecountState.OPEN
    is_simulated: bool = False

    @property
    def causes(self) -> tuple[str, ...]:
        """The likely causes as sentences, most likely first."""
        return tuple(json.loads(self.causes_json))
