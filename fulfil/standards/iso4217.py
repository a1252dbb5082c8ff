"""Money by its ISO 4217 currency code: how many digits the minor unit has, and amounts as whole minor units.

Amounts are exact: a `Decimal` of the currency, or an `int` of its minor unit.

>>> to_minor(Decimal("12.50"), "EUR"), to_minor(Decimal("1250"), "JPY"), to_minor(Decimal("1.5"), "KWD")
(1250, 1250, 1500)
>>> from_minor(1250, "EUR")
Decimal('12.50')
>>> print_money(1250, "EUR")
'EUR 12.50'

Digits that the currency hasn't got are refused, never rounded away:

>>> to_minor(Decimal("12.505"), "EUR")
Traceback (most recent call last):
    ...
fulfil.errors.QuantityRefused: Cannot keep exactly in EUR '12.505': expected at most 2 decimals.
>>> validate("EURO")
Traceback (most recent call last):
    ...
fulfil.errors.CodeRefused: Cannot read as an ISO 4217 currency code 'EURO': expected three capitals of a current currency such as 'EUR'.

The minor units are those of ISO 4217 list one (as published 2024-06-25). They are not the digits customary in
print: CLDR, and so babel, gives 0 for thirteen currencies to which the standard gives 2 or 3 (the Iraqi dinar,
IQD, among them). Codes for metals, funds without a minor unit, tests and "no currency" are refused.
"""  # noqa: E501 - a refusal is one sentence

from decimal import Decimal
from fractions import Fraction
from functools import cache

from fulfil.errors import CodeRefused, QuantityRefused
from fulfil.standards.tables import read

_DIGITS_NOT_TWO = {
    0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
    3: "BHD IQD JOD KWD LYD OMR TND",
    4: "CLF UYW",
}
_DIGITS = {code: digits for digits, codes in _DIGITS_NOT_TWO.items() for code in codes.split()}
_WITHOUT_MINOR_UNIT = "XAD XAG XAU XBA XBB XBC XBD XDR XPD XPT XSU XTS XUA XXX"


def parse(text: str) -> str:
    """The currency code in capitals; spaces around and lower case are forgiven.

    >>> parse(" chf ")
    'CHF'
    """
    return _checked(text.strip().upper() if isinstance(text, str) and text.isascii() else "", text)


def validate(code: str) -> str:
    """Return `code` unchanged if it is a current currency with a minor unit; refuse it otherwise.

    >>> validate("XAU")
    Traceback (most recent call last):
        ...
    fulfil.errors.CodeRefused: Cannot read as an ISO 4217 currency code 'XAU': expected three capitals of a current currency such as 'EUR'.
    """  # noqa: E501 - a refusal is one sentence
    return _checked(code, code)


def minor_digits(code: str) -> int:
    """Decimals of the currency: 2 for most, 0, 3 or 4 for some.

    >>> [minor_digits(code) for code in ("EUR", "JPY", "IQD", "CLF")]
    [2, 0, 3, 4]
    """
    return _DIGITS.get(validate(code), 2)


def to_minor(amount: Decimal, code: str) -> int:
    """The amount as a whole number of minor units.

    Raises:
        CodeRefused: for an unknown currency.
        QuantityRefused: when the amount is no finite number, or has more decimals than the currency.
    """
    digits = minor_digits(code)
    if not amount.is_finite():
        raise QuantityRefused(f"keep exactly in {code}", amount, "a finite amount")
    minor = Fraction(amount) * 10**digits
    if minor.denominator != 1:
        raise QuantityRefused(f"keep exactly in {code}", amount, f"at most {digits} decimals")
    return int(minor)


def from_minor(minor: int, code: str) -> Decimal:
    """The amount that a whole number of minor units is, with the currency's own number of decimals.

    >>> from_minor(-5, "KWD"), from_minor(1250, "JPY")
    (Decimal('-0.005'), Decimal('1250'))
    """
    return Decimal(f"{minor}E-{minor_digits(code)}")


def print_money(minor: int, code: str) -> str:
    """Code, space, amount with all its decimals: the same in every language.

    >>> print_money(-199, "USD"), print_money(1234567, "JPY")
    ('USD -1.99', 'JPY 1234567')
    """
    return f"{code} {from_minor(minor, code):f}"


def _checked(code: str, given: object) -> str:
    if code not in _current():
        raise CodeRefused(
            "read as an ISO 4217 currency code",
            given,
            "three capitals of a current currency such as 'EUR'",
        )
    return code


@cache
def _current() -> frozenset[str]:
    return frozenset(row["alpha_3"] for row in read("currencies.csv")) - frozenset(_WITHOUT_MINOR_UNIT.split())
