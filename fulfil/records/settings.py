"""The shop's settings: one frozen record with defaults and units.

>>> Settings().risk_pass
0.001
"""

import re
from datetime import datetime
from decimal import Decimal
from enum import StrEnum
from typing import Annotated
from zoneinfo import ZoneInfo

from pydantic import AfterValidator, StringConstraints
from sqlmodel import Field
from sqlmodel._compat import SQLModelConfig

from fulfil.errors import CodeRefused
from fulfil.records.revised import Record
from fulfil.records.text import Country, Currency, Estimate, Line, Name
from fulfil.standards import incoterms


class Paper(StrEnum):
    """Page sizes: ISO 216 A4 or US Letter (ANSI/ASME Y14.1 size A)."""

    A4 = "A4"
    LETTER = "Letter"


SecondsByLevel = Annotated[Line, StringConstraints(pattern=r"^\d+(\.\d+)?( \d+(\.\d+)?)*$")]
"""Seconds for each level from below, space-separated; the last ones hold for all levels above."""


def _terms(text: str) -> str:
    try:
        return incoterms.parse(text)
    except CodeRefused as refusal:
        raise ValueError(f"must be {refusal.expected}") from None


Terms = Annotated[str, AfterValidator(_terms)]
"""Terms of delivery by their code."""


HELD_BY = ("mean", "95th percentile")
"""Over what the true unit weight may be, how the risk that a bag one piece off passes is held."""


def _held_by(text: str) -> str:
    if text not in HELD_BY:
        raise ValueError(f"must be {' or '.join(HELD_BY)}")
    return text


HeldBy = Annotated[str, AfterValidator(_held_by)]


def _line_pattern(text: str) -> str:
    try:
        names = {*re.compile(text).groupindex}
    except re.error as trouble:
        raise ValueError(f"must be a regular expression; {trouble}") from None
    if text and ("mass" not in names or names - {"mass", "unit", "unsteady"}):
        raise ValueError("must have a group named mass, and may have unit and unsteady")
    return text


ScaleLine = Annotated[Line, AfterValidator(_line_pattern)]
"""How a line of a scale reads, as a regular expression with named groups."""


class Settings(Record):
    """Everything a shop may set; the defaults are the house rules.

    ``risk_pass`` is the probability allowed that a bag one piece off passes, ``risk_reject`` that a right bag is sent
    back; ``risks_held_by`` says whether windows hold the first as a mean over what a part's true unit weight may be, or
    for its 95th percentile. ``walk_m_per_s`` is the walking speed with a cart. ``notice`` is printed on every paper.
    A walk takes ``setup_seconds_per_walk``, its way, and for each line the seconds to find the bin (search), to reach
    it (by its level from below, the last for all above) and to count (pick). Which way to count a bag is quickest
    follows from the seconds a piece by hand and those a weighing, unless checks that were timed say others. Between
    the end of a walk and a service's cut-off lie ``check_and_pack_minutes``.
    ``allocation_rule`` is a rule of :mod:`fulfil.planning.allocation`, ``first_in_first_out`` part of the one of
    :mod:`fulfil.planning.which_bin`. ``cart_levels`` are the shelves of a cart, over which its positions are shared out
    (:mod:`fulfil.planning.cart_shelves`). ``service_level`` is the probability that stock
    lasts until new pieces come, ``make_days`` and ``buy_days`` how long these take.
    ``public_holidays`` are those on which the shop is closed, as in :mod:`fulfil.standards.public_holidays`, empty for
    none. ``package_work_minor`` is what the work of one more package costs, in minor units of ``currency``: the more it
    is, the fewer packages an order is split into.
    ``look_chance`` is the limit from which on a bag is looked at: the chance that a part which the walk can have mixed
    in would pass the scale in its place.
    ``terms_of_delivery`` is a code of :mod:`fulfil.standards.incoterms`; ``named_place`` is the place written with it,
    empty for the consignee's town (for EXW and FCA the shop's own).
    ``scale_line`` is how the lines of a scale that sends by itself read, as in :mod:`fulfil.checking.reading`; empty
    for the usual ones.
    """

    model_config = SQLModelConfig(frozen=True)

    shop_name: Name = "The shop"
    street: Line = ""
    city: Line = ""
    post_code: Line = ""
    region: Line = ""
    country: Country = "XX"
    phone: Line = ""
    email: Line = ""
    notice: Line = ""
    time_zone: Name = "UTC"
    currency: Currency = "EUR"
    paper: Paper = Paper.A4
    printer_dpi: int = Field(default=300, ge=100, le=2400)
    risk_pass: Estimate = Field(default=0.001, gt=0, lt=0.5)
    risk_reject: Estimate = Field(default=0.005, gt=0, lt=0.5)
    risks_held_by: HeldBy = "mean"
    most_bags_per_line: int = Field(default=5, ge=1, le=99)
    cart_positions: int = Field(default=10, ge=1, le=99)
    cart_volume_mm3: int = Field(default=60_000_000, gt=0)
    cart_max_load_g: Decimal = Field(default=Decimal(40_000), gt=0)
    walk_m_per_s: Estimate = Field(default=0.8, gt=0)
    pick_seconds_per_line: Estimate = Field(default=25.0, gt=0)
    setup_seconds_per_walk: Estimate = Field(default=180.0, ge=0)
    count_seconds_per_piece: Estimate = Field(default=1.0, gt=0)
    seconds_per_weighing: Estimate = Field(default=10.0, gt=0)
    lift_caution_g: Decimal = Field(default=Decimal(23_000), gt=0)
    reach_seconds_by_level: SecondsByLevel = "2 1 2 4"
    search_seconds_per_line: Estimate = Field(default=3.0, ge=0)
    check_and_pack_minutes: int = Field(default=30, ge=0, le=999)
    allocation_rule: Name = "first come"
    service_level: Estimate = Field(default=0.95, ge=0.5, lt=1)
    make_days: int = Field(default=1, ge=0, le=999)
    buy_days: int = Field(default=10, ge=0, le=999)
    terms_of_delivery: Terms = "DAP"
    named_place: Line = ""
    public_holidays: Line = ""
    package_work_minor: int = Field(default=0, ge=0, le=999_999_999)
    look_chance: Estimate = Field(default=0.05, ge=0, le=1)
    scale_line: ScaleLine = ""
    first_in_first_out: bool = True
    cart_levels: int = Field(default=1, ge=1, le=9)

    def on_the_clock(self, at: datetime) -> datetime:
        """A moment on the shop's clock."""
        return at.astimezone(ZoneInfo(self.time_zone))
