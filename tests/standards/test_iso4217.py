"""ISO 4217: exact conversion to minor units and back, and refusals."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import CodeRefused, QuantityRefused
from fulfil.standards import iso4217

CODES = st.sampled_from(["EUR", "JPY", "KWD", "CLF", "USD", "ISK"])


@given(st.integers(-(10**40), 10**40), CODES)
def test_minor_units_survive_the_round_trip_at_any_size(minor, code):
    """Beyond the 28 digits of Decimal's default context, too."""
    amount = iso4217.from_minor(minor, code)

    assert iso4217.to_minor(amount, code) == minor
    assert -amount.as_tuple().exponent == iso4217.minor_digits(code)
    assert iso4217.print_money(minor, code) == f"{code} {amount:f}"


@pytest.mark.parametrize(("amount", "code"), [("0.1", "JPY"), ("1.001", "EUR"), ("1.0001", "KWD"), ("1e-5", "CLF")])
def test_digits_beyond_the_minor_unit_are_refused(amount, code):
    """Money is never rounded in passing."""
    with pytest.raises(QuantityRefused):
        iso4217.to_minor(Decimal(amount), code)


@pytest.mark.parametrize("amount", ["NaN", "Infinity", "-Infinity", "sNaN"])
def test_what_is_no_amount_is_refused(amount):
    """Decimal has values that are no numbers."""
    with pytest.raises(QuantityRefused):
        iso4217.to_minor(Decimal(amount), "EUR")


def test_trailing_zeros_are_no_extra_digits():
    """12.500 EUR is 1250 cents."""
    assert iso4217.to_minor(Decimal("12.500"), "EUR") == 1250


@pytest.mark.parametrize("text", ["", "EU", "EURO", "eur", " EUR", "DEM", "XXX", "XTS", "XAU", "XDR", "ZZZ", "\u20ac"])
def test_validate_takes_current_currencies_in_capitals_only(text):
    """Withdrawn, metal, test and no-currency codes have no minor unit to count in."""
    with pytest.raises(CodeRefused):
        iso4217.validate(text)


@pytest.mark.parametrize("value", [None, 978, float("nan"), "\u00dfp"])
def test_parse_refuses_what_is_no_code(value):
    """Also what a table reader made of an empty cell."""
    with pytest.raises(CodeRefused):
        iso4217.parse(value)
