"""What a clerk enters for customs: rates of the special drawing right, particulars of orders, reviews of hazards.

>>> SdrRateEntry(currency="EUR", as_of=date(2026, 3, 2), per_sdr="1.2000").rate.per_sdr
Decimal('1.2000')
"""

from datetime import date

from pydantic import AwareDatetime, field_validator
from sqlmodel import Field

from fulfil.quantities import parse_decimal
from fulfil.records.revised import Record
from fulfil.records.text import Code, Currency, Line, Name
from fulfil.standards.cn22 import SdrRate, validate_category


class SdrRateEntry(Record):
    """What one SDR costs in a currency on a day, with the digits as entered, and where the clerk read it."""

    currency: Currency
    as_of: date
    per_sdr: Code
    source: Line = ""

    @field_validator("per_sdr")
    @classmethod
    def _is_a_rate(cls, per_sdr: str) -> str:
        if parse_decimal(per_sdr, "an SDR rate") <= 0:
            raise ValueError("a rate must be above zero")
        return per_sdr

    @property
    def rate(self) -> SdrRate:
        """The rate with an exact number."""
        return SdrRate(self.currency, parse_decimal(self.per_sdr, "an SDR rate"), self.as_of)


class HazardReview(Record):
    """A trained person looked at the hazards of a package and takes responsibility for its way; never changed."""

    package_number: Code
    hazards: Line
    reason: Name
    at: AwareDatetime
    person: Code


class CustomsParticulars(Record):
    """What customs are told of an order besides its goods; ``line_no`` 0 is the whole order, else one line's category.

    ``category`` is empty where the order's, or *sale of goods*, holds. The references are what the addressee's and the
    shop's customs office gave them.
    """

    order_number: Code
    line_no: int = Field(default=0, ge=0)
    category: Line = ""
    importer_reference: Line = ""
    sender_reference: Line = ""
    comment: Line = ""

    @field_validator("category")
    @classmethod
    def _is_on_the_form(cls, category: str) -> str:
        return validate_category(category) if category else ""
