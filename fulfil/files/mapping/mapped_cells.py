"""One row of a source's file as rows of ours: columns, fixed texts, the shop's words, lists of items taken apart.

An empty cell leaves nothing behind, neither the space beside it nor the words that belong to it:

>>> cells = {"street": "Sample Street 5", "flat": "", "who": ""}
>>> filled("{street}, flat {flat}", cells), filled("Customer {who}", cells), filled("{who|walk-in}", cells)
('Sample Street 5', '', 'walk-in')

A number that a spreadsheet wrote as ``31.0`` is said as ``31``. A list of items is read as the mapping says:

>>> listed("2 x BALL-3; 10 x 0012", "{pieces} x {part}", ";")
([{'pieces': '2', 'part': 'BALL-3'}, {'pieces': '10', 'part': '0012'}], '')
>>> listed("BALL-3", "{pieces} x {part}", ";")
([], 'BALL-3')
"""

import re
from collections.abc import Mapping
from functools import cache

from fulfil.records.text import tidy

PLACE = re.compile(r"\{([^{}|]+)(?:\|([^{}]*))?\}")
"""A cell's place in a text: its column's name, and what is said where the cell is empty."""
_WHOLE_AS_DECIMAL = re.compile(r"(-?[0-9]+)[.,]0+")
_ITEM_PLACE = re.compile(r"\{([a-z_]*)\}")
_ITEM_PARTS = {
    "pieces": r"(?P<pieces>[0-9]{1,9})", "part": r"(?P<part>\S.*?)",
    "unit_price": r"(?P<unit_price>[^\s()]*[0-9][^()]*?)",
    "": r".*?",
}  # fmt: skip


def filled(text: str, cells: Mapping[str, str]) -> str:
    """The text with its cells in place; empty where all of them are."""
    made, is_something, end = "", False, 0
    for place in PLACE.finditer(text):
        between = text[end : place.start()]
        end = place.end()
        cell = cells.get(place[1].strip().casefold(), "")
        whole = _WHOLE_AS_DECIMAL.fullmatch(cell)
        said = (whole[1] if whole else cell) or (place[2] or "").strip()
        if said:
            made += (between if is_something or any(map(str.isalnum, between)) else "") + said
            is_something = True
    if not is_something:
        return ""
    rest = text[end:]
    return tidy(made + rest)


def whole(cell: str) -> str:
    """``31.0`` as ``31``; another text as it is."""
    found = _WHOLE_AS_DECIMAL.fullmatch(cell)
    return found[1] if found else cell


def listed(cell: str, pattern: str, between: str) -> tuple[list[dict[str, str]], str]:
    """The items of a list, and the first that isn't written as the pattern says."""
    reads = _item(pattern)
    found = []
    for item in re.split(rf"{re.escape(between)}|[\r\n]+" if between else r"[\r\n]+", cell):
        if not item.strip():
            continue
        read = reads.fullmatch(item.strip())
        if read is None:
            return [], item.strip()
        found.append({name: text.strip() for name, text in read.groupdict().items()})
    return found, ""


@cache
def _item(pattern: str) -> re.Pattern[str]:
    made, end = "", 0
    for place in _ITEM_PLACE.finditer(pattern):
        made += _literal(pattern[end : place.start()]) + _ITEM_PARTS.get(place[1], r".*?")
        end = place.end()
    return re.compile(made + _literal(pattern[end:]), re.IGNORECASE | re.DOTALL)


def _literal(text: str) -> str:
    """A text in which any run of spaces, or none, is as good as another."""
    return r"\s*".join(re.escape(word) for word in re.split(r"\s+", text))
