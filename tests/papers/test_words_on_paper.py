"""Words on paper: no sample says what the word list in DEVELOPERS.md (common practice of an editor) strikes out."""

import pytest
from fulfil_demo_catalog.samples.papers import SAMPLES

from fulfil.papers.ink import Text
from fulfil.records.settings import Paper

STRUCK = (
    "The bench:",
    "how far it was",
    "Windows made so",
    "above the bound",
    "sample first",
    "marked 'net'",
    "against one by one",
    "fell short",
    "Taken for one another",
    "no tax return",
    "the bag's own count",
    "lighter than 3 e",
    "the dearest first",
)


@pytest.mark.parametrize("name", SAMPLES)
def test_no_sample_says_what_is_struck_out(name):
    """Whole words of a page's text, and no line of it ends where one item is parted from the next."""
    texts = [
        mark.text for leaf in SAMPLES[name].leaves(page=Paper.A4) for mark, _ in leaf.marks() if isinstance(mark, Text)
    ]
    assert texts
    said = " ".join(texts)

    assert "given" not in texts  # the head of a column; declarations are "given" by their forms' own words
    assert [words for words in STRUCK if words in said] == []
    assert [text for text in texts if text.endswith(" ·")] == []
