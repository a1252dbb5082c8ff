"""Orders and their lines, from the web shop, phone or post."""

from datetime import UTC
from enum import StrEnum
from hashlib import sha256

from pydantic import AwareDatetime
from sqlmodel import Field

from fulfil.records.revised import Record
from fulfil.records.text import Code, Country, Currency, Line, Name


class OrderState(StrEnum):
    """Where an order stands; held and cancelled stand beside the way from received to shipped."""

    RECEIVED = "received"
    ALLOCATED = "allocated"
    RELEASED = "released"
    PICKED = "picked"
    CHECKED = "checked"
    PACKED = "packed"
    SHIPPED = "shipped"
    HELD = "held"
    CANCELLED = "cancelled"


ENDED = (OrderState.SHIPPED, OrderState.CANCELLED)
OPEN = tuple(state for state in OrderState if state not in ENDED)
"""States in which nothing more is done for an order."""


class Order(Record):
    """One customer's order: who gets it, by which service, and what the customer asked for besides.

    ``insured_minor`` is the value to insure each of its packages for, in minor units of ``currency``, 0 for none.
    """

    number: Code
    source: Code
    received_at: AwareDatetime
    name: Name
    company: Line = ""
    street: Name
    city: Name
    post_code: Line = ""
    region: Line = ""
    country: Country
    phone: Line = ""
    email: Line = ""
    service_code: Code
    ship_complete: bool = False
    note_picker: Line = ""
    note_packer: Line = ""
    currency: Currency
    insured_minor: int = Field(default=0, ge=0, le=999_999_999)
    state: OrderState = OrderState.RECEIVED
    held_reason: Line = ""


class OrderLine(Record):
    """One part of an order. ``short_pieces`` can't be had today; ``cancelled_pieces`` are wanted no more.

    ``short_reason`` says why it isn't promised in full, as of the last plan.
    """

    order_number: Code
    line_no: int = Field(ge=1)
    part_number: Code
    pieces: int = Field(ge=1, le=999_999)
    unit_price_minor: int = Field(ge=0)
    short_pieces: int = Field(default=0, ge=0)
    cancelled_pieces: int = Field(default=0, ge=0)
    short_reason: Line = ""


def content_digest(order: Order, lines: list[OrderLine]) -> str:
    """SHA-256 of what the customer said, to tell the same order sent twice from another one with its number.

    Only facts of the order itself enter, not how far the shop has come with it.
    The same moment is the same in every offset.
    """
    in_utc = order.model_copy(update={"received_at": order.received_at.astimezone(UTC)})
    unsaid = {"state", "held_reason"} | ({"insured_minor"} if not order.insured_minor else set())
    said = in_utc.model_dump_json(exclude=unsaid)
    asked = [
        line.model_dump_json(exclude={"short_pieces", "cancelled_pieces", "short_reason"})
        for line in sorted(lines, key=lambda line: line.line_no)
    ]
    return sha256("\n".join([said, *asked]).encode()).hexdigest()
