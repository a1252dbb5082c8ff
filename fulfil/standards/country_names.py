"""A country by the name that people write, in any language.

First the standard's own names (:func:`fulfil.standards.iso3166.by_name`), then the short ones that everybody writes,
then the territory names of the Unicode CLDR in all its languages. A name that means one country in one language and
another in another is left to a person.

>>> [by_any_name(name).alpha_2 for name in ("Deutschland", "Österreich", "Schweiz", "UK", "Holland", "Россия", "日本")]
['DE', 'AT', 'CH', 'GB', 'NL', 'RU', 'JP']
>>> by_any_name("nl").alpha_2, by_any_name("GBR").alpha_2
('NL', 'GB')
>>> by_any_name("Kongo")
Traceback (most recent call last):
    ...
fulfil.errors.UnknownRefused: Cannot find the country 'Kongo': expected a country's full name or its alpha-2 code.
"""

from functools import cache

from fulfil.errors import Refusal
from fulfil.standards import iso3166
from fulfil.standards.iso3166 import Country, folded
from fulfil.standards.tables import read

_EVERYDAY = {
    "uk": "GB", "u k": "GB", "great britain": "GB", "england": "GB", "scotland": "GB", "wales": "GB",
    "northern ireland": "GB", "usa": "US", "u s a": "US", "us": "US", "u s": "US", "america": "US", "holland": "NL",
    "the netherlands": "NL", "russia": "RU", "czech republic": "CZ", "uae": "AE", "republic of ireland": "IE",
    "brd": "DE", "rsa": "ZA", "ksa": "SA", "prc": "CN", "burma": "MM", "swaziland": "SZ", "macedonia": "MK",
    "ivory coast": "CI", "turkey": "TR", "vatican": "VA", "south korea": "KR", "korea south": "KR",
    "suisse": "CH", "svizzera": "CH", "schweiz": "CH", "angleterre": "GB", "inghilterra": "GB", "grossbritannien": "GB",
}  # fmt: skip
"""Names of everyday mail (common practice)."""


def by_any_name(said: str) -> Country:
    """The country with this name, alpha-2 or alpha-3 code, in any case.

    Raises:
        UnknownRefused: no country, or more than one.
    """
    try:
        return iso3166.parse(said)
    except Refusal:
        pass
    name = folded(said)
    code = _EVERYDAY.get(name)
    if code is None:
        try:
            return iso3166.by_name(said)
        except Refusal:
            code = _alpha_3().get(said.strip().upper()) or _names().get(name)
            if code is None:
                raise
    return iso3166.parse(code)


@cache
def _names() -> dict[str, str]:
    return {name: row["country"] for row in read("country_names.csv") for name in row["names"].split("|")}


@cache
def _alpha_3() -> dict[str, str]:
    return {alpha_3: code for code in iso3166.codes() if (alpha_3 := iso3166.parse(code).alpha_3)}
