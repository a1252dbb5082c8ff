"""The fixed phrases of the packing list in other languages, and which country reads which: data, one file a language.

Each row of a language's file has the English phrase, its translation and where that comes from; translations marked
'our own translation, unreviewed' wait for a native speaker in the trade. ``countries.csv`` names the official language
that three of four people of a country or more speak (Unicode CLDR territory information, as packed in Babel 2.18);
a country with none of ours, or with several, has no row and gets English alone.

>>> language_of("AT"), language_of("GB"), language_of("BE")
('de', '', '')
>>> beside_english("to follow", "de"), beside_english("to follow", "")
('folgt / to follow', 'to follow')
"""

import csv
from functools import cache
from importlib.resources import files

OURS = "our own translation, unreviewed"
"""The source of a translation that nobody outside has checked."""


def language_of(country: str) -> str:
    """The language (BCP 47) in which a country's people read it, beside English; empty for English alone."""
    return _countries().get(country, "")


def beside_english(phrase: str, language: str) -> str:
    """``phrase`` in the language and in English; in English alone without a language."""
    if not language:
        return phrase
    words = translations(language)[phrase]
    return phrase if words == phrase else f"{words} / {phrase}"


@cache
def translations(language: str) -> dict[str, str]:
    """English phrases with their translations."""
    return {row["english"]: row["words"] for row in _rows(language)}


def message_words(language: str) -> dict[str, str]:
    """The words of a message to a customer in a language: ``way``, ``service``, ``package``, ``tracking``.

    >>> message_words("de")["tracking"], message_words("")
    ('Sendungsnummer', {})
    """
    found = (row for row in _rows("messages") if row["language"] == language)
    return {name: words for name, words in next(found, {}).items() if name not in ("language", "source")}


@cache
def _countries() -> dict[str, str]:
    return {row["country"]: row["language"] for row in _rows("countries")}


def _rows(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader((files("fulfil.papers.phrases") / f"{name}.csv").read_text("utf-8").splitlines()))
