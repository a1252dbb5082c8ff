"""The packing list in the customer's language: complete, printable, marked with its source, chosen by country."""

from dataclasses import replace
from importlib.resources import files

import pytest
from babel.core import get_global

from fulfil.papers.door import leaves, pdf
from fulfil.papers.faces import Face, printable
from fulfil.papers.phrases import _rows, beside_english, language_of, translations
from fulfil.records.settings import Paper
from tests.papers import geometry, invented

LANGUAGES = sorted(
    path.name.removesuffix(".csv")
    for path in files("fulfil.papers.phrases").iterdir()
    if path.name.endswith(".csv") and len(path.name) == len("xx.csv")
)


def test_there_are_a_dozen_languages():
    """Twelve or more, Greek and Cyrillic letters among them."""
    assert len(LANGUAGES) >= 12
    assert {"el", "bg"} <= set(LANGUAGES)


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_language_says_every_phrase_with_its_source(language):
    """All files have the same phrases; each has words that the font can print, and a source."""
    rows = _rows(language)

    assert [row["english"] for row in rows] == list(translations("de"))
    for row in rows:
        assert row["words"] == row["words"].strip() != ""
        assert printable(row["words"], Face.BOLD) == row["words"]
        assert row["source"]


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("page", list(Paper))
def test_the_list_in_every_language_is_sound(read_text, language, page):
    """Nothing overlaps or leaves the margins, and both languages are on the page."""
    lines = invented.packing_list().lines
    every = tuple(replace_counts(line) for line in lines)
    sheet = invented.packing_list(also_in=language, lines=every)
    geometry.assert_all(leaves([sheet], page=page))
    text = "".join(read_text(pdf([sheet], page=page)))

    for phrase in translations(language):
        assert phrase.replace(" ", "") in text
        assert translations(language)[phrase].replace(" ", "") in text


def replace_counts(line):
    """A line in which every column is more than zero."""
    return replace(line, ordered=100, inside=70, to_follow=10, sent_before=10, cancelled=10)


def test_the_language_is_an_official_one_that_three_of_four_speak():
    """Unicode CLDR territory information, as packed in Babel, is the source and agrees."""
    spoken = get_global("territory_languages")
    for row in _rows("countries"):
        there = {code.split("_")[0].replace("no", "nb"): facts for code, facts in spoken[row["country"]].items()}
        facts = there[row["language"]]

        assert facts["official_status"] in ("official", "de_facto_official")
        assert facts["population_percent"] >= 75
        assert row["language"] in LANGUAGES


def test_other_countries_get_english_alone():
    """A country without one of our languages, or with several, has English alone; an unknown phrase is an error."""
    assert language_of("IN") == language_of("BE") == language_of("XX") == ""
    assert beside_english("to", "") == "to"
    with pytest.raises(KeyError):
        beside_english("a phrase that nobody translated", "de")
