"""What a service costs: zones, prices and surcharges as of a date, and what a package was charged.

>>> Price(service_code="post", valid_from=date(2026, 1, 1), zone="1", up_to_g=500, price_minor=390, currency="EUR").up_to_g
500
"""  # noqa: E501 - an example is one line

from datetime import date

from sqlmodel import Field

from fulfil.records.revised import Record
from fulfil.records.text import Code, Currency, Line, Text

REST = "*"
"""Stands for all countries that a service's zones don't name."""


class Zone(Record):
    """The zone in which a country lies for a service; ``country`` is an ISO 3166-1 code, or ``*`` for the rest."""

    service_code: Code
    country: Text = Field(min_length=1, max_length=2)
    zone: Code


class Price(Record):
    """The price of one package up to a chargeable weight (included), in minor units, from a day on.

    The prices of a service that begin on one day are one table, in force until the next one begins.
    """

    service_code: Code
    valid_from: date
    zone: Code
    up_to_g: int = Field(gt=0, le=999_999_999)
    price_minor: int = Field(ge=0, le=999_999_999)
    currency: Currency


class Surcharge(Record):
    """What a service adds to its price, from a day on: hundredths of a per cent of the price, or an amount.

    ``country`` is an ISO 3166-1 code or ``*`` for all; ``post_codes`` are beginnings of post codes with spaces between,
    empty for all of the country. The rows of a service with the same name that begin on one day are one table, in force
    until the next one begins; a surcharge ends with a table of nothing. ``currency`` is empty for a per cent.

    A row holds for packages above ``above_g`` gross mass, whose longest side is above ``above_longest_mm`` and whose
    length and girth are above ``above_length_girth_mm`` (0: all of them), and where a ``hazard`` word is given, for
    those with such goods. A per cent is of the price, or of what ``percent_of`` names: another surcharge, or ``*`` for
    the price and all surcharges that are not a per cent of ``*`` themselves. With ``insured_step_minor`` the amount is
    for each begun step of the insured value above ``insured_free_minor``.
    """

    service_code: Code
    valid_from: date
    name: Code
    country: Text = Field(min_length=1, max_length=2)
    post_codes: Line = ""
    above_g: int = Field(default=0, ge=0, le=999_999_999)
    above_longest_mm: int = Field(default=0, ge=0, le=999_999)
    above_length_girth_mm: int = Field(default=0, ge=0, le=999_999)
    hazard: Text = ""
    basis_points: int = Field(default=0, ge=0, le=99_999)
    percent_of: Text = ""
    amount_minor: int = Field(default=0, ge=0, le=999_999_999)
    insured_step_minor: int = Field(default=0, ge=0, le=999_999_999)
    insured_free_minor: int = Field(default=0, ge=0, le=999_999_999)
    currency: Text = ""


class Charge(Record):
    """What the shop expects to pay for a package, worked out when its manifest was closed; never changed.

    ``price_minor`` is the price without surcharges; these are :class:`ChargedSurcharge`.
    """

    package_number: Code
    service_code: Code
    zone: Code
    valid_from: date
    chargeable_g: int = Field(gt=0, le=999_999_999)
    price_minor: int = Field(ge=0, le=999_999_999)
    currency: Currency


class ChargedSurcharge(Record):
    """One surcharge that the shop expects on a package, in the currency of its charge; never changed.

    ``basis_points`` are hundredths of a per cent of the price, 0 for an amount that doesn't depend on it.
    """

    package_number: Code
    name: Code
    basis_points: int = Field(default=0, ge=0, le=99_999)
    amount_minor: int = Field(ge=0, le=999_999_999)
