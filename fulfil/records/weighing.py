"""Weighings and the verdicts on them."""

from decimal import Decimal
from enum import StrEnum

from pydantic import AwareDatetime
from sqlmodel import Field, SQLModel

from fulfil.records.text import Code, Line


class Verdict(StrEnum):
    """The answer to a check: passed, or what to do next."""

    PASSED = "passed"
    RECOUNT = "recount"
    LOOK = "look"
    STOP = "stop"


class WeighedKind(StrEnum):
    """What lay on the scale."""

    BAG = "bag"
    PACKAGE = "package"
    SAMPLE = "sample"
    CHECK_WEIGHT = "check weight"


class WeighingRecord(SQLModel):
    """A recorded indication: scale, person, time, what was on it, and what was said of it.

    ``subject`` is the bag's code, the package's number or the part's number. ``is_simulated`` marks the weighings of
    the demo shop, which no scale ever made.
    """

    at: AwareDatetime
    person: Code
    scale_code: Code
    kind: WeighedKind
    subject: Code
    lot: Line = ""
    pieces: int = Field(default=0, ge=0)
    indication_g: Decimal
    tare_g: Decimal = Decimal(0)
    verdict: Verdict
    reason: Line = ""
    is_simulated: bool = False
