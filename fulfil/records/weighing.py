"""Weighings and the verdicts on them."""

from decimal import Decimal
from enum import StrEnum

from pydantic import AwareDatetime
from sqlmodel import Field

from fulfil.records.revised import Record
from fulfil.records.text import Code, Estimate, Line


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
    BULK = "bulk"


class WeighingRecord(Record):
    """A recorded indication: scale, person, time, what was on it, and what was said of it.

    ``subject`` is the code of the bag, package, part (sample), scale (check weight) or bin (bulk); ``part_number`` is
    the part on the scale, where it is one. For a bag that passed, ``was_counted`` says that a hand count proved it;
    else the window did.
    ``is_simulated`` marks the weighings of the demo shop, which no scale ever made.
    """

    at: AwareDatetime
    person: Code
    scale_code: Code
    kind: WeighedKind
    subject: Code
    part_number: Line = ""
    lot: Line = ""
    pieces: int = Field(default=0, ge=0)
    indication_g: Decimal
    tare_g: Decimal = Decimal(0)
    verdict: Verdict
    reason: Line = ""
    was_counted: bool = False
    is_simulated: bool = False


class ScaleStanding(Record):
    """What the last check-weight test said of a scale; one that failed is stopped until it passes again.

    ``worst_share`` is the largest error by the one permitted.
    """

    scale_code: Code
    checked_at: AwareDatetime
    person: Code
    has_passed: bool
    worst_share: Estimate = Field(ge=0)
    reason: Line = ""


class AlarmedGoods(StrEnum):
    """What besides a scale may have drifted: the pieces of a part's lot, or the bags of a type."""

    PART = "part"
    BAG_TYPE = "bag type"


class GoodsAlarm(Record):
    """A part's lot or a type of bag that was found to weigh otherwise, as :class:`ScaleAlarm`; ``lot`` is the part's.

    A part's alarm ends too when its lot is sampled again.
    """

    kind: AlarmedGoods
    subject: Code
    lot: Line = ""
    since: AwareDatetime
    said_at: AwareDatetime
    says: Line = ""
    do: Line = ""
    acted_at: AwareDatetime | None = None
    acted_by: Line = ""
    reason: Line = ""


class ScaleAlarm(Record):
    """A scale that was found to have drifted: from which weighing on, what was said, and what was done about it.

    It stands until a person says what was done (``acted_at``, ``acted_by``, ``reason``). Nothing is learned from what
    the scale weighed from ``since`` until then, not later either.
    """

    scale_code: Code
    since: AwareDatetime
    said_at: AwareDatetime
    says: Line = ""
    do: Line = ""
    acted_at: AwareDatetime | None = None
    acted_by: Line = ""
    reason: Line = ""
