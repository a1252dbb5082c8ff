"""What a service costs: zones by country, prices by zone and weight as of a date, and what a package was charged.

>>> Price(service_code="post", valid_from=date(2026, 1, 1), zone="1", up_to_g=500, price_minor=390, currency="EUR").up_to_g
500
"""  # noqa: E501 - an example is one line

from datetime import date

from sqlmodel import Field, SQLModel

from fulfil.records.text import Code, Currency, Text

REST = "*"
"""Stands for all countries that a service's zones don't name."""


class Zone(SQLModel):
    """The zone in which a country lies for a service; ``country`` is an ISO 3166-1 code, or ``*`` for the rest."""

    service_code: Code
    country: Text = Field(min_length=1, max_length=2)
    zone: Code


class Price(SQLModel):
    """The price of one package up to a chargeable weight (included), in minor units, from a day on.

    The prices of a service that begin on one day are one table, in force until the next one begins.
    """

    service_code: Code
    valid_from: date
    zone: Code
    up_to_g: int = Field(gt=0, le=999_999_999)
    price_minor: int = Field(ge=0, le=999_999_999)
    currency: Currency


class Charge(SQLModel):
    """What the shop expects to pay for a package, worked out when its manifest was closed; never changed."""

    package_number: Code
    service_code: Code
    zone: Code
    valid_from: date
    chargeable_g: int = Field(gt=0, le=999_999_999)
    price_minor: int = Field(ge=0, le=999_999_999)
    currency: Currency
