"""Exact quantities: pieces, grams and millimetres, parsed from text and printed by named rules.

Facts of the shop are exact: pieces and millimetres are ``int``, readings of a scale are ``Decimal`` grams with
the digits that the scale showed. Text is parsed here once, where it enters, by ASCII patterns: ``int()`` alone
would take ``1_000`` and Arabic-Indic digits.

>>> parse_pieces("250")
250
>>> parse_grams("18.30")
Decimal('18.30')
>>> print_package_mass(Decimal("2315.4"))
'2.315 kg'

Rounding is always by a named rule: :func:`down_to_step`, :func:`up_to_step` and :func:`nearest_step`
(half to even, as in ISO 80000-1:2022 Annex B, rule A).
"""

import re
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal

from fulfil.errors import QuantityRefused

MOST_PIECES = 999_999_999
_WHOLE = re.compile(r"[0-9]{1,9}")
_DECIMAL = re.compile(r"[0-9]{1,9}([.][0-9]{1,9})?")
_ESTIMATE = re.compile(r"[0-9]{1,15}([.][0-9]{1,400})?")


def parse_pieces(text: str, *, least: int = 1) -> int:
    """Whole pieces from text such as ``250``; refuses signs, separators, other digits than 0–9.

    Raises:
        QuantityRefused: when the text is no whole number from ``least`` to 999999999.
    """
    if _WHOLE.fullmatch(text) is None or int(text) < least:
        raise QuantityRefused("read pieces", text, f"a whole number from {least} to {MOST_PIECES}")
    return int(text)


def equal_shares(pieces: int, shares: int) -> tuple[int, ...]:
    """``pieces`` in ``shares`` that differ by one at most, larger ones first.

    >>> equal_shares(700, 3)
    (234, 233, 233)
    """
    share, left = divmod(pieces, shares)
    return (share + 1,) * left + (share,) * (shares - left)


def parse_mm(text: str) -> int:
    """A length in whole millimetres, zero allowed.

    Raises:
        QuantityRefused: when the text is no whole number of millimetres.
    """
    if _WHOLE.fullmatch(text) is None:
        raise QuantityRefused("read a length", text, "whole millimetres from 0 to 999999999, without a unit")
    return int(text)


def parse_decimal(text: str, what: str, *, decimal_sign: str = ".") -> Decimal:
    """A non-negative decimal number with the digits as written; no thousands separators.

    ``decimal_sign`` is declared by the caller, never guessed: ``1.234`` means two things.

    Raises:
        QuantityRefused: when the text is not such a number.
    """
    written = text.replace(decimal_sign, ".", 1) if decimal_sign != "." and "." not in text else text
    if _DECIMAL.fullmatch(written) is None or (decimal_sign != "." and "." in text):
        raise QuantityRefused(f"read {what}", text, f"digits with at most one '{decimal_sign}', no sign, no unit")
    return Decimal(written)


def parse_estimate(text: str) -> float:
    """An estimated number, not negative: a decimal number of any length, so that every float comes back from its text.

    >>> parse_estimate("0.000000000110937")
    1.10937e-10

    Raises:
        QuantityRefused: when the text is not such a number.
    """
    if _ESTIMATE.fullmatch(text) is None:
        raise QuantityRefused("read a number", text, "digits with at most one '.', no sign, no unit")
    return float(text)


def print_estimate(number: float) -> str:
    """The shortest decimal text that :func:`parse_estimate` reads as this number again: no exponent.

    >>> print_estimate(1.10937e-10), print_estimate(340.0)
    ('0.000000000110937', '340')
    """
    return f"{Decimal(repr(number)):f}".removesuffix(".0")


def parse_grams(text: str, *, decimal_sign: str = ".") -> Decimal:
    """A mass in grams, digits kept as the scale showed them.

    Raises:
        QuantityRefused: when the text is not a non-negative decimal number.
    """
    return parse_decimal(text, "a mass in grams", decimal_sign=decimal_sign)


def keyed_grams(text: str) -> Decimal:
    """A mass in grams as a person keys it: a comma is the decimal sign of many keypads, never one between thousands.

    >>> keyed_grams("49,22"), keyed_grams("49.22")
    (Decimal('49.22'), Decimal('49.22'))

    Raises:
        QuantityRefused: when the text is not a non-negative decimal number.
    """
    return parse_grams(text.strip(), decimal_sign="," if "," in text else ".")


def down_to_step(value: Decimal, step: Decimal) -> Decimal:
    """The largest multiple of ``step`` that is not above ``value``."""
    return (value / step).to_integral_value(ROUND_FLOOR) * step


def up_to_step(value: Decimal, step: Decimal) -> Decimal:
    """The smallest multiple of ``step`` that is not below ``value``."""
    return (value / step).to_integral_value(ROUND_CEILING) * step


def nearest_step(value: Decimal, step: Decimal) -> Decimal:
    """The multiple of ``step`` nearest to ``value``; halves go to the even multiple."""
    return (value / step).to_integral_value(ROUND_HALF_EVEN) * step


def as_shown(mass_g: Decimal, d_g: Decimal) -> Decimal:
    """A multiple of ``d_g`` with the digits that a scale of that interval shows: 1.91 on 0.001 g is 1.910."""
    return mass_g.quantize(d_g.normalize(), ROUND_HALF_EVEN)


def print_grams(mass_g: Decimal) -> str:
    """Grams with the digits given: ``'18.30 g'``."""
    return f"{mass_g:f} g"


def print_package_mass(mass_g: Decimal) -> str:
    """Package papers: grams up to 2 kg, kilograms with three decimals above (half to even)."""
    if mass_g <= 2000:
        return print_grams(mass_g)
    return f"{(mass_g / 1000).quantize(Decimal('0.001'), ROUND_HALF_EVEN):f} kg"


def print_metres(length_mm: int) -> str:
    """A walk's length in metres with one decimal: ``print_metres(12_345)`` is ``'12.3 m'`` (half to even)."""
    return f"{(Decimal(length_mm) / 1000).quantize(Decimal('0.1'), ROUND_HALF_EVEN):f} m"
