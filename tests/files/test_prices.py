"""Zones, prices and rates from files: exact, in one currency a table, nothing twice."""

from decimal import Decimal

import pytest

from fulfil.files.csv_rows import read_rows
from fulfil.files.prices import PRICES, SDR_RATES, ZONES, read_prices, read_sdr_rates, read_zones
from fulfil.files.reading import FileReading

CODES = frozenset({"ROAD"})


def rows(columns, text):
    """The rows of a file's text under its header."""
    head = ",".join(column.name for column in columns)
    names = [column.name for column in columns]
    return read_rows(f"{head}\n{text}".encode(), "x.csv", needed=names, optional=()).rows


def test_prices_are_whole_minor_units():
    """Euro have two decimals, yen none (ISO 4217)."""
    file = FileReading("prices.csv", [])
    made = read_prices(
        rows(PRICES, "ROAD,2026-01-01,1,500,6.90,EUR\nROAD,2026-02-01,1,500,690,JPY\n"), file, services=CODES
    )

    assert [(one.price_minor, one.currency) for one in made] == [(690, "EUR"), (690, "JPY")]
    assert file.findings == []


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ("ROAD,2026-01-01,1,500,6.905,EUR", "price"),
        ("ROAD,1.1.2026,1,500,6.90,EUR", "valid_from"),
        ("AIR,2026-01-01,1,500,6.90,EUR", "service"),
        ("ROAD,2026-01-01,1,0,6.90,EUR", "up_to_g"),
        ("ROAD,2026-01-01,1,500,6.90,EUR\nROAD,2026-01-01,1,500,7.90,EUR", "up_to_g"),
        ("ROAD,2026-01-01,1,500,6.90,EUR\nROAD,2026-01-01,1,900,7.90,USD", "currency"),
    ],
)
def test_a_price_that_can_not_be_is_named(text, field):
    """Half a cent, a day that isn't ISO 8601, no service, no weight, the same twice, two currencies in a table."""
    file = FileReading("prices.csv", [])
    read_prices(rows(PRICES, text + "\n"), file, services=CODES)

    assert [finding.field for finding in file.findings] == [field]


@pytest.mark.parametrize(
    ("text", "field"), [("ROAD,ZZ,1", "country"), ("ROAD,DE,1\nROAD,DE,2", "country"), ("X,*,1", "service")]
)
def test_a_zone_that_can_not_be_is_named(text, field):
    """No such country, a country in two zones, no such service."""
    file = FileReading("zones.csv", [])
    read_zones(rows(ZONES, text + "\n"), file, services=CODES)

    assert [finding.field for finding in file.findings] == [field]


def test_sdr_rates_keep_their_digits():
    """A rate is exact, with the digits as given; zero is none."""
    file = FileReading("sdr_rates.csv", [])
    made = read_sdr_rates(rows(SDR_RATES, "EUR,2026-02-27,1.1500,IMF\nEUR,2026-02-28,0,\n"), file)

    assert [(one.per_sdr, one.rate.per_sdr) for one in made] == [("1.1500", Decimal("1.1500"))]
    assert [finding.field for finding in file.findings] == ["per_sdr"]
