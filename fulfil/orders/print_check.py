"""What of an order the papers can't print, said when the order comes in and not when its label is wanted.

The papers print the letters that their faces have (:mod:`fulfil.papers.faces`). Another script is a finding with the
Latin letters that stand for it (transliteration by the open table of AnyAscii); a person decides, or the import is told
to take them. The offered letters follow the written signs, not the language, so the customer is better asked.

>>> unprintable("Łódź"), unprintable("አዲስ")
('', 'አዲስ')
>>> in_latin("சென்னை 5"), in_latin("東京 5"), in_latin("Łódź")
('Cennai 5', '東京 5', 'Łódź')
"""

from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Any

from fulfil.errors import PaperRefused, RecordRefused
from fulfil.papers.faces import Face, printable
from fulfil.papers.scripts.script_order import as_seen
from fulfil.records.order import Order

PRINTED = ("name", "company", "street", "city", "region", "post_code", "phone", "note_picker", "note_packer")
"""The fields of an order that stand on papers as the customer wrote them."""
_MOST_LETTERS = 200


@lru_cache(maxsize=4096)
def unprintable(text: str) -> str:
    """The characters of a text that some face of the papers lacks, each once; empty where all can be printed."""
    if text.isascii():
        return ""
    lacking = []
    for character in dict.fromkeys(text + text.upper() + as_seen(text)):
        try:
            for face in (Face.TEXT, Face.BOLD):
                printable(character, face)
        except PaperRefused:
            lacking.append(character)
    return "".join(lacking)


def in_latin(text: str) -> str:
    """The text with what can't be printed in Latin letters; the rest stays."""
    if not unprintable(text):
        return text
    # Loaded late: few orders need it.
    from anyascii import anyascii

    said = [anyascii(word).capitalize() if word.upper() == word.lower() else anyascii(word) for word in text.split()]
    return " ".join(" ".join(said).split())[:_MOST_LETTERS]


def script_faults(order: Order) -> list[tuple[str, str, str, str]]:
    """(column, value, what is wrong, what to do) for each field that can't be printed."""
    return [
        (
            field,
            text,
            f"holds letters that the papers can't print ('{unprintable(text)[:10]}')",
            f"ask the customer for Latin letters, or take '{in_latin(text)}' (orders import --latin)",
        )
        for field in PRINTED
        if unprintable(text := getattr(order, field))
    ]


def must_print(order: Order, fields: Iterable[str]) -> None:
    """Nothing where the papers can print these fields of an order that is changed.

    Raises:
        RecordRefused: they can't, naming the letters and the Latin ones that are offered.
    """
    for field in fields:
        if lacking := unprintable(str(getattr(order, field))):
            offered = in_latin(str(getattr(order, field)))
            expected = f"letters that the papers can print, not '{lacking[:10]}'; ask the customer, or give '{offered}'"
            raise RecordRefused(f"use the {field.replace('_', ' ')}", getattr(order, field), expected)


def latin_values(values: Mapping[str, Any]) -> tuple[dict[str, Any], list[str]]:
    """An order's fields in letters that can be printed, and what was changed."""
    made, notes = dict(values), []
    for field in PRINTED:
        text = made.get(field, "")
        if isinstance(text, str) and unprintable(text):
            made[field] = in_latin(text)
            notes.append(f"{field} '{text}' is taken as '{made[field]}'")
    return made, notes
