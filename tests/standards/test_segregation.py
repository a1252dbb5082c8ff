"""What may not share a package: dangerous goods of different kinds, in both directions, and never with approval."""

from itertools import combinations

import pytest

from fulfil.errors import UnknownRefused
from fulfil.standards.dangerous_goods import HAZARD_WORDS, stops_for_review
from fulfil.standards.segregation import KEEP_APART, parted


def test_the_table_reads_the_same_from_both_sides():
    """If a may not lie with b, b may not lie with a; nothing is kept apart from itself."""
    for word, others in KEEP_APART.items():
        assert word not in others
        assert all(word in KEEP_APART[other] for other in others)


def test_dangerous_goods_of_two_kinds_never_share():
    """Every pair of words that stops for review is kept apart."""
    dangerous = stops_for_review(HAZARD_WORDS)

    assert all(parted(pair) == (tuple(sorted(pair)),) for pair in combinations(dangerous, 2))


def test_what_only_hands_must_mind_goes_with_anything():
    """Sharp or leaded parts are a matter of gloves, not of packages."""
    assert parted(("sharp", "lead", "leaded-brass", "flammable")) == ()


def test_an_unknown_word_is_refused():
    """A hazard that nobody understood would be kept apart from nothing."""
    with pytest.raises(UnknownRefused):
        parted(("pointy",))
