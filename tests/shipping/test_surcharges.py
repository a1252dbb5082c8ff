"""Surcharges: the table in force, the closest row, per cents to the minor unit."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.records.despatch.tariff import Surcharge
from fulfil.shipping.surcharges import amount_of, depends_on_post_code, percent_of, surcharges_of

FEBRUARY, MARCH = date(2026, 2, 1), date(2026, 3, 1)


def surcharge(name, country="*", post_codes="", basis_points=0, amount_minor=0, valid_from=FEBRUARY, service="ROAD"):
    """One row of the table."""
    return Surcharge(service_code=service, valid_from=valid_from, name=name, country=country, post_codes=post_codes,
                     basis_points=basis_points, amount_minor=amount_minor,
                     currency="EUR" if amount_minor else "")  # fmt: skip


TABLE = [
    surcharge("fuel surcharge", basis_points=1325),
    surcharge("fuel surcharge", basis_points=1450, valid_from=MARCH),
    surcharge("fuel surcharge", basis_points=9900, service="AIR"),
    surcharge("peak surcharge", amount_minor=50),
    surcharge("peak surcharge", valid_from=MARCH),
    surcharge("remote area surcharge", country="GB", amount_minor=200),
    surcharge("remote area surcharge", country="GB", post_codes="IV ZE", amount_minor=1800),
    surcharge("remote area surcharge", country="GB", post_codes="IV27", amount_minor=2500),
]


def held(country, post_code, day):
    """(name, amount on a price of 10.00) of each surcharge."""
    found = surcharges_of(TABLE, "ROAD", country=country, post_code=post_code, as_of=day)
    return [(one.name, amount_of(one, 1000)) for one in found]


def test_a_surcharge_holds_from_its_day_until_the_next_table_of_its_name():
    """Fuel of February and of March; the peak ends with a table of nothing; before February there was none."""
    assert held("DE", "10115", date(2026, 2, 28)) == [("fuel surcharge", 133), ("peak surcharge", 50)]
    assert held("DE", "10115", MARCH) == [("fuel surcharge", 145)]
    assert held("DE", "10115", date(2026, 1, 31)) == []


@pytest.mark.parametrize(
    ("country", "post_code", "minor"),
    [("GB", "iv1 1aa", 1800), ("GB", "IV27 4AA", 2500), ("GB", "M2 5BQ", 200), ("GB", "", 200), ("DE", "IV1", 0)],
)
def test_the_closest_row_holds(country, post_code, minor):
    """The longest beginning before shorter ones, these before the country; spaces and capitals don't matter."""
    assert dict(held(country, post_code, MARCH)).get("remote area surcharge", 0) == minor


def test_names_that_depend_on_the_post_code():
    """Only where the country has rows with post codes."""
    assert depends_on_post_code(TABLE, "ROAD", country="GB", as_of=MARCH) == ["remote area surcharge"]
    assert depends_on_post_code(TABLE, "ROAD", country="DE", as_of=MARCH) == []


@given(st.integers(-(10**9), 10**9), st.integers(0, 99_999))
def test_a_per_cent_is_half_a_minor_unit_off_at_most(price_minor, basis_points):
    """And a credit's is the charge's with the other sign."""
    made = percent_of(price_minor, basis_points)

    assert abs(10_000 * made - price_minor * basis_points) <= 5_000
    assert percent_of(-price_minor, basis_points) == -made
