"""Charges of an order that are no parts: postage, fees, discounts, as its file gave them.

>>> OrderCharge(order_number="A-1", charge_no=1, code="POST", pieces=1, amount_minor=1800, currency="GBP").amount_minor
1800
"""

from sqlmodel import Field

from fulfil.records.revised import Record
from fulfil.records.text import Code, Currency, Line


class OrderCharge(Record):
    """One charge; ``amount_minor`` is the whole amount, negative for a discount; ``pieces`` as the file counted it."""

    order_number: Code
    charge_no: int = Field(ge=1)
    code: Code
    says: Line = ""
    pieces: int = Field(ge=-999_999_999, le=999_999_999)
    amount_minor: int = Field(ge=-999_999_999, le=999_999_999)
    currency: Currency
