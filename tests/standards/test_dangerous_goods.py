"""Hazard words: the vocabulary, its cautions, and that nothing is ever cleared."""

import inspect

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import CodeRefused, UnknownRefused
from fulfil.standards import dangerous_goods as dg

WORDS = st.lists(st.sampled_from(dg.HAZARD_WORDS), max_size=9)


def test_the_vocabulary_is_the_catalogues():
    """Nine words, in the order in which cautions are printed."""
    assert (
        *("lead", "leaded-brass", "sharp", "flammable", "pressurised"),
        *("lithium-battery", "magnet", "corrosive", "static-sensitive"),
    ) == dg.HAZARD_WORDS


@given(WORDS)
def test_words_are_read_in_any_order_and_each_has_its_caution(words):
    """One caution for each word, closed by who governs."""
    parsed = dg.parse(" ".join(words))

    assert parsed == dg.parse("; ".join(reversed(words)).upper())
    assert set(parsed) == set(words)
    assert len(dg.cautions(words)) == (len(parsed) + 1 if parsed else 0)
    assert not parsed or dg.cautions(words)[-1] == dg.CLOSING_CAUTION


@given(WORDS)
def test_dangerous_goods_always_stop_for_review(words):
    """Whatever else is on the part."""
    stopped = dg.stops_for_review(words)

    assert set(stopped) == set(words) & {"flammable", "pressurised", "lithium-battery", "magnet", "corrosive"}
    for word in stopped:
        assert "review before shipping" in next(hazard.caution for hazard in dg.HAZARDS if hazard.word == word)


def test_no_function_clears_goods():
    """The module has no verb or answer for it."""
    public = [name for name, _ in inspect.getmembers(dg, inspect.isfunction) if not name.startswith("_")]

    assert public == [
        "cautions",
        "dataclass",
        "parse",
        "parse_refused",
        "parse_un_number",
        "stops_for_review",
        "validate",
    ]


@pytest.mark.parametrize("text", ["pointy", "lead pointy", "Blei", "lithium"])
def test_an_unknown_hazard_is_refused_never_dropped(text):
    """Else a hazard would pass unseen."""
    with pytest.raises(UnknownRefused):
        dg.parse(text)


def test_un_numbers_are_ascending_and_belong_to_hazards_that_stop():
    """Each entry's hazard word stops for review."""
    numbers = [entry.number for entry in dg.UN_NUMBERS]

    assert numbers == sorted(set(numbers))
    assert all(dg.stops_for_review([entry.hazard]) for entry in dg.UN_NUMBERS)


@pytest.mark.parametrize("text", ["UN3480", "un 3480", " 3480 "])
def test_un_numbers_are_read_with_and_without_letters(text):
    """As printed on data sheets."""
    assert dg.parse_un_number(text) == 3480


@pytest.mark.parametrize("text", ["", "UN", "348", "34800", "UN-3480", "NA3480", "\u0663\u0664\u0668\u0660"])
def test_what_is_no_un_number_is_refused(text):
    """Four ASCII digits."""
    with pytest.raises(CodeRefused):
        dg.parse_un_number(text)
