"""Minor units of currencies against ISO 4217 list one (published 2024-06-25) and against babel's CLDR digits.

The rows other than two digits were compared with a public copy of list one, row by row.
"""

from importlib.metadata import version

from babel.numbers import get_currency_precision, list_currencies

from fulfil.errors import CodeRefused
from fulfil.standards import iso4217

WITH_DIGITS = {
    0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
    2: "AUD BRL CAD CHF CNY CZK DKK EUR GBP HUF INR MXN NOK PLN SEK USD ZAR",
    3: "BHD IQD JOD KWD LYD OMR TND",
    4: "CLF UYW",
}
LIST_ONE = {code: digits for digits, codes in WITH_DIGITS.items() for code in codes.split()}
CUSTOM_DIFFERS = {
    "2.18": "AFN ALL IQD IRR KPW LAK LBP MGA MMK RSD SOS SYP YER",
    "2.19": "AFN ALL COP HUF IDR IQD IRR KPW LAK LBP MGA MMK SOS SYP YER",
}
"""By babel's release, each with another CLDR."""


def test_minor_units_are_those_of_list_one():
    """All exceptions to two digits, and the usual currencies."""
    assert {code: iso4217.minor_digits(code) for code in LIST_ONE} == LIST_ONE


def test_babel_differs_only_where_custom_prints_fewer_digits():
    """CLDR gives what people print; some currencies print none although the standard keeps two or three."""
    differing = []
    for code in sorted(list_currencies()):
        try:
            digits = iso4217.minor_digits(code)
        except CodeRefused:
            continue  # withdrawn currencies, metals and funds
        if digits != get_currency_precision(code):
            assert (digits > 0, get_currency_precision(code)) == (True, 0), code
            differing.append(code)

    known = CUSTOM_DIFFERS.get(".".join(version("babel").split(".")[:2]))
    assert 10 <= len(differing) <= 20
    assert known is None or differing == known.split()
