"""Electronic advance data of a postal item: whether a row of ours has what the post's message asks for (UPU ITMATT).

The list is :file:`tables/itmatt_content.csv`; each element says whether it is *published* in a public data dictionary
or quoted from memory. Rows are flat, one a declared line, text by column name:

>>> row = {"item_number": "RR473124829GB", "posting_date": "2026-03-02", "total_value": "14.20", "currency": "EUR",
...     "category": "sale of goods", "sender": "Invented Works", "sender_street": "1", "sender_city": "Musterduerf",
...     "sender_country": "LU", "sender_phone": "+352 0", "consignee": "Invented Person", "consignee_street": "1",
...     "consignee_city": "Sampleberg", "country": "NA", "consignee_phone": "+264 0", "gross_kg": "0.255", "line": 1,
...     "description": "steel screws", "pieces": 100, "net_kg": "0.120", "value": "6.00", "hs_code": "731815",
...     "origin": "DE"}
>>> lacking(row)
()
>>> lacking(row | {"item_number": "P2603020002", "consignee_phone": ""})
("item identifier 'P2603020002' (an S10 number of the post)", "addressee's telephone")

Limits: the standard itself was not read, and no conformance with it is claimed; what a post's own interface asks for
on top, its own handbook says.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache

from fulfil.errors import Refusal
from fulfil.standards import cn22, hs, iso3166, iso4217, s10
from fulfil.standards.tables import read


@dataclass(frozen=True, slots=True)
class Element:
    """One element of the message: our column for it, whether it is needed, its shape, where it is known from."""

    name: str
    column: str
    is_needed: bool
    shape: str
    mark: str


@cache
def content() -> tuple[Element, ...]:
    """The elements, in the list's order."""
    return tuple(
        Element(row["element"], row["column"], row["is_needed"] == "yes", row["shape"], row["mark"])
        for row in read("itmatt_content.csv")
    )


def lacking(row: Mapping[str, object]) -> tuple[str, ...]:
    """The elements that a row lacks or has in the wrong shape, in words, in the list's order."""
    found = []
    for element in content():
        said = str(row.get(element.column, ""))
        if not said:
            found += [element.name] * element.is_needed
        elif expected := _off(element.shape, said):
            found.append(f"{element.name} '{said}' ({expected})")
    return tuple(found)


def _off(shape: str, said: str) -> str:
    """What a value of this shape should be; empty where it is."""
    expected, is_right = _SHAPES[shape]
    try:
        return "" if is_right(said) else expected
    except (Refusal, ValueError):
        return expected


def _is(check: Callable[[str], object]) -> Callable[[str], bool]:
    return lambda said: check(said) is not None


_SHAPES: Mapping[str, tuple[str, Callable[[str], bool]]] = {
    "s10": ("an S10 number of the post", _is(s10.validate)),
    "date": ("a day such as 2026-03-02", _is(date.fromisoformat)),
    "text": ("at most 255 characters", lambda said: len(said) <= 255),
    "amount": ("an amount without a sign", lambda said: re.fullmatch(r"[0-9]+(\.[0-9]+)?", said) is not None),
    "currency": ("an ISO 4217 code", _is(iso4217.validate)),
    "category": ("a category of the form", lambda said: all(map(_is(cn22.validate_category), said.split(", ")))),
    "country": ("an ISO 3166-1 code", _is(iso3166.validate)),
    "kilograms": ("kilograms with three decimals", lambda said: re.fullmatch(r"[0-9]+\.[0-9]{3}", said) is not None),
    "count": ("a whole number from 1 on", lambda said: re.fullmatch(r"[1-9][0-9]*", said) is not None),
    "hs": ("6, 8 or 10 digits of the Harmonized System", _is(hs.parse)),
}
