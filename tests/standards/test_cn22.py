"""CN 22 and CN 23: threshold, weights that add up, descriptions that say something."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import CodeRefused, QuantityRefused
from fulfil.standards import cn22

RATE = cn22.SdrRate("EUR", Decimal("1.237"), date(2026, 3, 2))
MASSES = st.lists(st.decimals(0, 5000, places=3), max_size=12)


@pytest.mark.parametrize(
    ("value", "is_included", "form"),
    [
        *[("371.09", True, "CN 22"), ("371.10", True, "CN 22"), ("371.11", True, "CN 23")],
        *[("371.09", False, "CN 22"), ("371.10", False, "CN 23"), ("0", True, "CN 22")],
    ],
)
def test_exactly_300_sdr_goes_by_the_callers_rule(value, is_included, form):
    """300 × 1.237 = 371.10 EUR, compared without rounding."""
    assert cn22.form_for(Decimal(value), RATE, is_300_sdr_included=is_included) == form


def test_a_rate_that_has_no_end_is_compared_exactly():
    """One cent above 300 SDR is above, however small the rate's last digit."""
    rate = cn22.SdrRate("USD", Decimal("1.3333333333333333333333333333"), date(2026, 3, 2))

    assert cn22.form_for(Decimal("400.00"), rate) == "CN 23"
    assert cn22.form_for(Decimal("399.99"), rate) == "CN 22"


@given(MASSES)
def test_declared_grams_add_up_and_hide_no_line(net_g):
    """Whole grams, each less than one from the truth; the total is true to half a gram, but for lines lifted."""
    grams = cn22.declared_grams(net_g)
    exact = sum(map(Fraction, net_g), Fraction(0))
    lifted = sum(1 - Fraction(mass) for mass in net_g if 0 < mass < 1)

    assert len(grams) == len(net_g)
    assert all((declared == 0) == (mass == 0) for declared, mass in zip(grams, net_g, strict=True))
    assert all(abs(declared - Fraction(mass)) < 1 for declared, mass in zip(grams, net_g, strict=True))
    assert exact - Fraction(1, 2) < sum(grams) <= exact + Fraction(1, 2) + lifted


@given(MASSES)
def test_heavier_lines_are_never_declared_lighter(net_g):
    """The order of the masses survives rounding, but for ties and lines below a gram."""
    grams = cn22.declared_grams(net_g)
    for mass, declared in zip(net_g, grams, strict=True):
        for other, other_declared in zip(net_g, grams, strict=True):
            assert not mass > other >= 1 or declared >= other_declared


def test_ties_go_to_the_earlier_line():
    """10.5 and 20.5 g make 31 g."""
    assert cn22.declared_grams([Decimal("10.5"), Decimal("20.5")]) == (11, 20)
    assert cn22.declared_grams([Decimal("20.5"), Decimal("10.5")]) == (21, 10)


def test_tiny_lines_are_lifted_not_taken_from_others():
    """Ten lines of 0.1 g are declared as a gram each; the 5 g line stays 5 g."""
    assert cn22.declared_grams([Decimal(5), *[Decimal("0.1")] * 10]) == (5, *[1] * 10)


def test_negative_masses_and_impossible_rates_and_values_are_refused():
    """Each with its own sentence."""
    with pytest.raises(QuantityRefused, match="net masses"):
        cn22.declared_grams([Decimal(1), Decimal("-0.1")])
    with pytest.raises(QuantityRefused, match="SDR rate"):
        cn22.SdrRate("EUR", Decimal(0), date(2026, 3, 2))
    with pytest.raises(QuantityRefused, match="SDR rate"):
        cn22.SdrRate("EUR", Decimal("NaN"), date(2026, 3, 2))
    with pytest.raises(CodeRefused, match="ISO 4217"):
        cn22.SdrRate("XDR", Decimal(1), date(2026, 3, 2))
    with pytest.raises(QuantityRefused, match="value"):
        cn22.form_for(Decimal(-1), RATE)


@pytest.mark.parametrize(
    "text", ["parts", "Spare parts", "SAMPLES", "gift", "goods", "various items", "", "1234", "spare-parts 3"]
)
def test_words_that_say_nothing_are_refused(text):
    """The published examples are "spare parts" and "samples"."""
    with pytest.raises(CodeRefused):
        cn22.validate_description(text)


@pytest.mark.parametrize(
    "text", ["brass gear parts", "Gift box of steel screws", "Kugeln aus Stahl", "латунные шестерни"]
)
def test_one_word_that_says_something_is_enough_for_the_program(text):
    """In any language; whether customs agree is another matter."""
    assert cn22.validate_description(text) == text
