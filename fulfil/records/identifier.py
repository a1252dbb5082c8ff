"""Numbers that others give to the shop for its packages: SSCC under its GS1 prefix, S10 ranges from its post.

The shop's own package numbers need none of this. A carrier may give a package a number of its own when it takes it.
"""

from datetime import date
from enum import StrEnum

from pydantic import AwareDatetime, model_validator
from sqlmodel import Field

from fulfil.records.revised import Record
from fulfil.records.text import Code, Line
from fulfil.standards import gs1, s10


class IdentifierKind(StrEnum):
    """Serial shipping container code (GS1 General Specifications) or postal item number (UPU S10)."""

    SSCC = "sscc"
    S10 = "s10"


class IdentifierRange(Record):
    """Serials ``first`` to ``last`` that the shop was given, for one service or (empty ``service_code``) for all.

    ``prefix`` is the GS1 company prefix of an SSCC range, the service indicator (two capitals) of an S10 range;
    ``country`` is the post's and belongs to S10 only. ``given_on`` is the day of their letter.
    """

    code: Code
    kind: IdentifierKind
    service_code: Line = ""
    prefix: Code
    country: Line = ""
    first: int = Field(ge=0)
    last: int = Field(ge=0)
    given_on: date

    @model_validator(mode="after")
    def _holds_numbers(self) -> "IdentifierRange":
        if self.kind is IdentifierKind.S10:
            s10.Range(self.prefix, self.first, self.last, self.country)
        elif self.country or self.first > self.last:
            raise ValueError("first must be <= last, and an SSCC range has no country")
        else:
            gs1.sscc(self.prefix, self.last)
        return self

    def number(self, serial: int) -> str:
        """The whole number of a serial, check digit included."""
        if self.kind is IdentifierKind.SSCC:
            return gs1.sscc(self.prefix, serial)
        return str(s10.ItemNumber(self.prefix, f"{serial:08d}", self.country))


class Identifier(Record):
    """A number out of a range, on a package, from a moment on; never changed."""

    number: Code
    package_number: Code
    range_code: Code
    serial: int = Field(ge=0)
    issued_at: AwareDatetime


class CarrierNumber(Record):
    """The number by which a carrier tracks a package, folded (:func:`fulfil.shipping.identifiers.folded`).

    ``source`` is where it was read: a file's name, or empty where it was scanned or typed.
    """

    number: Code
    package_number: Code
    source: Line = ""
    at: AwareDatetime
    person: Code
