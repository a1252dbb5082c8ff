"""A carrier's bill as the shop took it in, line by line."""

from decimal import Decimal

from pydantic import AwareDatetime
from sqlmodel import Field

from fulfil.records.imported import Digest
from fulfil.records.revised import Record
from fulfil.records.text import Code, Currency, Line, Name


class CarrierBill(Record):
    """One file of a carrier; never changed."""

    number: Code
    file_name: Name
    digest: Digest
    at: AwareDatetime
    person: Code


class BillLine(Record):
    """One billed package: what the carrier says of number, service, weight (None where not said) and charge.

    ``service_code`` is the shop's own code, empty where the bill doesn't say. ``charge_minor`` is the whole charge with
    its surcharges. A credit has a negative charge. ``package_number`` stands as the carrier wrote it, ``number_key`` is
    the same folded, to find the package by any of its numbers; ``billed_step_g`` is the last digit of the weight.
    """

    bill_number: Code
    line_no: int = Field(ge=1)
    package_number: Code
    service_code: Line = ""
    billed_g: Decimal | None = None
    charge_minor: int = Field(ge=-999_999_999, le=999_999_999)
    currency: Currency
    number_key: Line = ""
    billed_step_g: Decimal | None = None


class BilledSurcharge(Record):
    """What a bill's line names as one of its surcharges, 0 where it names none; a part of the line's charge."""

    bill_number: Code
    line_no: int = Field(ge=1)
    name: Code
    amount_minor: int = Field(ge=-999_999_999, le=999_999_999)
