"""Zones, prices and rates from files: exact, in one currency a table, nothing twice."""

from datetime import date
from decimal import Decimal

import pytest

from fulfil.files.prices import (
    PRICES,
    SDR_RATES,
    SURCHARGES,
    ZONES,
    read_prices,
    read_sdr_rates,
    read_surcharges,
    read_zones,
)
from fulfil.files.reading import FileReading
from fulfil.files.rows.csv_rows import read_rows
from fulfil.records.despatch.tariff import Price

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


EURO = [Price(service_code="ROAD", valid_from=date(2026, 1, 1), zone="1", up_to_g=500, price_minor=690, currency="EUR")]


def surcharges(text):
    """The surcharges of a text, and its findings."""
    file = FileReading("surcharges.csv", [])
    columns = SURCHARGES if text.count(",") > 8 * (1 + text.count("\n")) else SURCHARGES[:8]
    made = read_surcharges(rows(columns, text + "\n"), file, services=CODES, prices=EURO)
    return made, [(finding.field, finding.says) for finding in file.findings]


def test_surcharges_are_exact():
    """Per cents to the hundredth, amounts to the minor unit, post codes in capitals and in one order."""
    made, findings = surcharges(
        "ROAD,2026-03-01,fuel surcharge,*,,14.25,,\nROAD,2026-03-01,remote area surcharge,GB,ze iv ZE,,18,EUR"
    )

    assert findings == []
    assert [(one.name, one.basis_points, one.amount_minor, one.post_codes) for one in made] == [
        ("fuel surcharge", 1425, 0, ""),
        ("remote area surcharge", 0, 1800, "IV ZE"),
    ]


@pytest.mark.parametrize(
    ("cells", "field", "says"),
    [
        ("ROAD,2026-03-01,fuel surcharge,*,,,,", "percent", "has neither a per cent nor an amount"),
        ("ROAD,2026-03-01,fuel surcharge,*,,9,1.00,EUR", "percent", "has a per cent and an amount"),
        ("ROAD,2026-03-01,fuel surcharge,*,,9.125,,", "percent", "expected at most two decimals, below 1000"),
        ("ROAD,2026-03-01,island surcharge,*,,,1.00,USD", "currency", "must be EUR, as the service's prices"),
        ("ROAD,2026-03-01,island surcharge,*,,,1.00,", "currency", "must be EUR, as the service's prices"),
        ("ROAD,2026-03-01,island surcharge,*,,,1.005,EUR", "amount", "expected at most 2 decimals in EUR"),
        ("ROAD,2026-03-01,far,*,25,,1.00,EUR", "country", "must be one country where post codes are given"),
        ("AIR,2026-03-01,fuel surcharge,*,,9,,", "service", "is no service of services.csv"),
        ("ROAD,2026-03-01,fuel surcharge,*,,9,,\nROAD,2026-03-01,fuel surcharge,*,,8,,", "surcharge",
         "is there already, in line 2"),
    ],
)  # fmt: skip
def test_a_surcharge_that_can_not_be_is_named(cells, field, says):
    """Nothing, two things, too many decimals, another currency, post codes of nowhere, no service, the same twice."""
    _, findings = surcharges(cells)

    assert findings == [(field, says)]


def test_surcharges_by_size_goods_and_value_are_exact():
    """Limits in whole grams and millimetres, steps of the insured value in the service's currency."""
    made, findings = surcharges(
        "ROAD,2026-03-01,heavy,*,,,7.50,EUR,,30000,1200,3000,magnet,,\n"
        "ROAD,2026-03-01,insurance,*,,,1.50,EUR,,,,,,100,500\n"
        "ROAD,2026-03-01,toll,*,,5,,,heavy,,,,,,"
    )

    assert findings == []
    heavy, insurance, toll = made
    limits = (heavy.above_g, heavy.above_longest_mm, heavy.above_length_girth_mm, heavy.hazard, heavy.amount_minor)
    assert limits == (30_000, 1200, 3000, "magnet", 750)
    assert (insurance.insured_step_minor, insurance.insured_free_minor, insurance.amount_minor) == (10_000, 50_000, 150)
    assert (toll.percent_of, toll.basis_points) == ("heavy", 500)


@pytest.mark.parametrize(
    ("text", "field", "says"),
    [
        ("ROAD,2026-03-01,a,*,,,1,EUR,b,,,,,,", "percent_of", "stands beside an amount"),
        ("ROAD,2026-03-01,a,*,,5,,,b,,,,,,", "percent_of", "b is no surcharge of ROAD"),
        ("ROAD,2026-03-01,a,*,,5,,,a,,,,,,", "percent_of", "a is a per cent of itself, over a"),
        ("ROAD,2026-03-01,a,*,,5,,,,,,,,100,", "insured_step", "stands beside no amount"),
        ("ROAD,2026-03-01,a,*,,,5,EUR,,,,,,,100", "insured_free", "has no insured_step beside it"),
    ],
)
def test_a_surcharge_that_is_of_nothing_is_named(text, field, says):
    """A per cent of what isn't there or of itself, a step without an amount, a free value without a step."""
    assert surcharges(text)[1] == [(field, says)]


def test_per_cents_in_a_circle_are_named_at_each_of_them():
    """Each of the two rows says so."""
    _, findings = surcharges("ROAD,2026-03-01,a,*,,5,,,b,,,,,,\nROAD,2026-03-01,b,*,,5,,,a,,,,,,")
    assert [field for field, _ in findings] == ["percent_of", "percent_of"]
