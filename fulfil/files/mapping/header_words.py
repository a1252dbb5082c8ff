"""What people write above a column, in many languages: our name for it, and the unit that stands beside the word.

The words are in ``header_words.csv`` (our own list, not reviewed by native speakers). A word may mean several of ours,
as ``kraj`` does, a country in Polish and a place in Slovene: then what is in the column decides.

>>> meant("Straße / Nr.", "orders"), meant("Stückgewicht (kg)", "parts"), meant("kraj", "orders")
(('street',), ('unit_weight_g',), ('city', 'country'))
>>> [split_unit(text) for text in ("Weight [kg]", "price EUR", "Länge in cm", "unit weight, mg", "part")]
[('weight', 'kg'), ('price', 'EUR'), ('länge', 'cm'), ('unit weight', 'mg'), ('part', '')]

A unit may stand in the cells instead, each with its own:

>>> measured("38 mm", "mm"), measured("3,8cm", "mm"), measured("24 teeth", "mm")
(('38', Decimal('1')), ('3,8', Decimal('10')), ('24 teeth', Decimal('0')))
"""

import csv
import re
import unicodedata
from decimal import Decimal
from functools import cache
from importlib.resources import files

from fulfil.errors import Refusal
from fulfil.files.mapping.number_signs import currency_in
from fulfil.standards import iso4217

FACTORS = {
    "g": {
        "mg": Decimal("0.001"), "g": Decimal(1), "gr": Decimal(1), "gram": Decimal(1), "grams": Decimal(1),
        "gramm": Decimal(1), "г": Decimal(1), "kg": Decimal(1000), "кг": Decimal(1000),
        "oz": Decimal("28.349523125"), "lb": Decimal("453.59237"), "lbs": Decimal("453.59237"),
    },
    "mm": {
        "mm": Decimal(1), "мм": Decimal(1), "cm": Decimal(10), "см": Decimal(10), "m": Decimal(1000),
        "in": Decimal("25.4"), "inch": Decimal("25.4"), "inches": Decimal("25.4"),
    },
    "mm3": {
        "mm3": Decimal(1), "mm³": Decimal(1), "cm3": Decimal(1000), "cm³": Decimal(1000), "ml": Decimal(1000),
        "l": Decimal(1_000_000), "ltr": Decimal(1_000_000),
    },
}  # fmt: skip
"""Our unit → what one of theirs is in it; inch and pound are exact (International yard and pound agreement, 1959)."""
CURRENCY_SIGNS = {
    "€": "EUR", "£": "GBP", "₩": "KRW", "₹": "INR", "₽": "RUB", "₺": "TRY", "₴": "UAH", "₪": "ILS", "zł": "PLN",
    "Kč": "CZK", "Ft": "HUF", "R$": "BRL", "US$": "USD", "лв": "BGN", "лв.": "BGN", "円": "JPY", "元": "CNY",
    "원": "KRW", "lei": "RON", "Fr.": "CHF",
}  # fmt: skip
"""Signs that mean one currency; ``$``, ``¥`` and ``kr`` mean several, so they are left out."""
_UNITS = frozenset(unit for units in FACTORS.values() for unit in units)
_MEASURED = re.compile(r"(?P<number>[0-9][0-9.,'’\s]*?)\s*(?P<unit>[^\W\d_]+[3³]?)")
_BESIDE = re.compile(
    r"(?P<word>.*?\S)\s*(?:[\[(](?P<closed>[^\[\]()]+)[\])]|(?:\s+in\s+|\s*[,/_]\s*|\s+)(?P<bare>[^\s,/_]+))"
)


def plain(header: str) -> str:
    """The words of a header in lower case, signs between them gone.

    >>> plain("Bestell-Nr."), plain("ORDER_ID"), plain("Q.tà")
    ('bestell nr', 'order id', 'q tà')
    """
    composed = unicodedata.normalize("NFKC", header).casefold()
    kept = "".join(letter if letter.isalnum() or letter in "№'" else " " for letter in composed)
    return " ".join(kept.split())


def split_unit(header: str) -> tuple[str, str]:
    """The word and the unit or currency beside it, which is empty where there is none."""
    found = _BESIDE.fullmatch(header.strip())
    if found is not None:
        unit = (found["closed"] or found["bare"]).strip()
        if unit.casefold() in _UNITS:
            return plain(found["word"]), unit.casefold()
        if currency_of(unit):
            return plain(found["word"]), currency_of(unit)
    return plain(header), ""


def measured(cell: str, unit: str) -> tuple[str, Decimal]:
    """A cell's number and what the unit beside it is in ``unit`` (g, mm, mm3); the cell and 0 where there is none."""
    found = _MEASURED.fullmatch(cell.strip())
    factor = FACTORS[unit].get(found["unit"].casefold()) if found else None
    return (found["number"], factor) if found and factor else (cell, Decimal(0))


def currency_of(said: str) -> str:
    """The ISO 4217 code that a sign or code means; empty where it means none or several."""
    if said in CURRENCY_SIGNS:
        return CURRENCY_SIGNS[said]
    try:
        return iso4217.parse(said) if len(said) == 3 else ""
    except Refusal:
        return ""


def differs(cell: str, currency: str) -> str:
    """The currency beside an amount, where it is another than the one expected; else empty.

    >>> differs("5 USD", "EUR"), differs("5 €", "eur"), differs("5", "EUR")
    ('USD', '', '')
    """
    said = currency_of(currency_in(cell).rstrip("."))
    return said if said and said != currency.strip().upper() else ""


def meant(header: str, table: str) -> tuple[str, ...]:
    """Our names that a header may mean, in the order of the list; none where nobody can say."""
    word, _ = split_unit(header)
    words = _words()[table]
    for said in (plain(header), word, plain(re.split(r"[/(\[,]", header)[0])):
        if said in words:
            return words[said]
    return ()


@cache
def _words() -> dict[str, dict[str, tuple[str, ...]]]:
    found: dict[str, dict[str, tuple[str, ...]]] = {}
    text = files("fulfil.files.mapping").joinpath("header_words.csv").read_text(encoding="utf-8")
    for row in csv.DictReader(text.splitlines()):
        words = found.setdefault(row["table"], {})
        for word in {plain(one) for one in row["words"].split("|")}:
            words[word] = (*words.get(word, ()), row["ours"])
    return found
