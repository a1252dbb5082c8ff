"""The fixed phrases of customers' papers in other languages, and which country reads which: data.

Each row of a language's file has the English phrase, its translation and where that comes from; translations marked
'our own translation, unreviewed' wait for a native speaker in the trade (:func:`unreviewed` lists them). Cautions
and the note of a part shipment have a file each, a row a language. ``countries.csv`` names the official language
that three of four people of a country or more speak (Unicode CLDR territory information, as packed in Babel 2.18);
a country with none of ours, or with several, has no row and gets English alone.

>>> language_of("AT"), language_of("GB"), language_of("BE")
('de', '', '')
>>> beside_english("to follow", "de"), beside_english("to follow", "")
('folgt / to follow', 'to follow')
"""

import csv
import unicodedata
from collections.abc import Sequence
from functools import cache
from importlib.resources import files

OURS = "our own translation, unreviewed"
"""The source of a translation that nobody outside has checked."""


def language_of(country: str) -> str:
    """The language (BCP 47) in which a country's people read it, beside English; empty for English alone."""
    return _countries().get(country, "")


def begins_at_the_right(language: str) -> bool:
    """Whether a language is read from right to left, so that its papers are laid out from the right.

    Source: the Unicode Bidirectional Algorithm (Unicode Standard Annex 9), by the letters of the language's own words.

    >>> begins_at_the_right("he"), begins_at_the_right("th"), begins_at_the_right("")
    (True, False, False)
    """
    words = translations(language)["Packing list"] if language else ""
    return any(unicodedata.bidirectional(letter) in ("R", "AL") for letter in words)


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


def customer_cautions(hazards: Sequence[str], language: str) -> tuple[str, ...]:
    """What a customer is told of goods with these hazard words: in the language, then in English.

    >>> customer_cautions(("sharp",), "de")[0]
    'SCHARF: auf die Finger achten, von Kindern fernhalten. / SHARP: mind your fingers, keep from children.'
    """
    words = _by_language("cautions")
    said = [words[code] for code in dict.fromkeys((language, "en")) if code in words]
    return tuple(" / ".join(each[hazard] for each in said) for hazard in hazards)


def partial_note_words(language: str) -> dict[str, str]:
    """The words of the note in a package of which more follows; English where there is no such language.

    >>> partial_note_words("de")["sent"], partial_note_words("")["sent"]
    ('gesandt', 'sent')
    """
    words = _by_language("partial_note")
    return words.get(language, words["en"])


@cache
def _by_language(name: str) -> dict[str, dict[str, str]]:
    return {row["language"]: row for row in _rows(name)}


def unreviewed() -> list[tuple[str, str, str]]:
    """Every translation that waits for a reviewer: language, English, words.

    >>> unreviewed()[0]
    ('ar', 'Packing list', 'قائمة التعبئة')
    """
    names = sorted(path.name.removesuffix(".csv") for path in files("fulfil.papers.phrases").iterdir())
    languages = [name for name in names if len(name) == _CODE]
    found = [(code, row["english"], row["words"]) for code in languages for row in _rows(code) if row["source"] == OURS]
    english_of_messages = {"way": "Your order {order} is on its way."}
    for name, english in (
        ("cautions", _by_language("cautions")["en"]),
        ("partial_note", _by_language("partial_note")["en"]),
        ("messages", english_of_messages),
    ):
        for row in _rows(name):
            if row["source"] == OURS:
                words = [(field, text) for field, text in row.items() if field not in ("language", "source")]
                found += [(row["language"], english.get(field, field), text) for field, text in words]
    return found


_CODE = 2
"""Letters of a language's code: its file is named by them."""


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
