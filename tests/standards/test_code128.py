"""Code 128: refusals, the two corrected library faults, and sizes in whole printer dots."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import CodeRefused
from fulfil.standards import code128

ASCII_TEXT = st.text(st.characters(min_codepoint=0, max_codepoint=127), min_size=1, max_size=24)
LEADING_99 = st.builds("{}{}".format, st.sampled_from(["99", "9999", "99A"]), st.text("0123456789A", max_size=8))


def decoded(values: tuple[int, ...]) -> str:
    """The text of symbol values, by the tables of ISO/IEC 15417: written anew for this test."""
    charset = {103: "A", 104: "B", 105: "C"}[values[0]]
    text = ""
    for value in values[1:-1]:
        if charset == "C" and value < 100:
            text += f"{value:02d}"
        elif value == 99 and charset != "C":
            charset = "C"
        elif value == 100 and charset != "B":
            charset = "B"
        elif value == 101 and charset != "A":
            charset = "A"
        elif charset == "A":
            text += chr(value + 32) if value < 64 else chr(value - 64)
        else:
            text += chr(value + 32)
    return text


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("99", (105, 99, 101)),
        ("999999", (105, 99, 99, 99, 81)),
        ("9912345", (105, 99, 12, 34, 100, 21, 11)),
        ("99A", (105, 99, 100, 33, 91)),
        ("123", (105, 12, 100, 19, 65)),
        ("12AB", (105, 12, 100, 33, 34, 37)),
    ],
)
def test_leading_99_and_odd_digits_have_the_right_values(text, values):
    """python-barcode 0.16.1 takes a leading value 99 for a switch of code set and drops it."""
    assert code128.values(text) == values


@pytest.mark.parametrize("text", ["123", "12AB", "A1234"])
def test_a_second_build_of_one_object_is_the_same_symbol(text):
    """The library keeps its code set between builds."""
    plain, gs1 = code128._builders()
    for builder in (plain(text), gs1(text)):
        first = builder.build()

        assert first == builder.build() == builder.build()


@given(st.one_of(ASCII_TEXT, LEADING_99))
def test_every_ascii_text_decodes_to_itself(text):
    """By an independent reading of the values, check value included."""
    values = code128.values(text)

    assert decoded(values) == text
    assert values[-1] == code128.check_value(values[:-1])
    assert len(code128.modules(text)) == 11 * len(values) + 13


@pytest.mark.parametrize("text", ["", "Ł", "ñ", "\x80", "A\u0661"])
def test_what_code_128_hasnt_got_is_refused(text):
    """'ñ' is the library's private sign for FNC1 and must not slip in; '١' is a digit to Python only."""
    with pytest.raises(CodeRefused):
        code128.modules(text)
    with pytest.raises(CodeRefused):
        code128.gs1_modules(text)


@given(ASCII_TEXT)
def test_bars_cover_exactly_the_dark_modules(text):
    """Drawing the bars on a light ground gives the module string back."""
    symbol = code128.modules(text)
    drawn = ["0"] * len(symbol)
    for first, width in code128.bars(symbol):
        drawn[first : first + width] = "1" * width

    assert "".join(drawn) == symbol


@given(st.sampled_from([203, 300, 600, 1200]), st.decimals(Decimal("0.01"), Decimal("1"), places=3))
def test_the_module_is_whole_dots_two_or_more_and_not_narrower_than_asked(dpi, minimum_mm):
    """And no whole dot could be saved."""
    width = code128.module_width_mm(dpi, minimum_mm)
    dot = Fraction(1, 8) if dpi == 203 else Fraction(254, 10 * dpi)

    assert (width / dot).denominator == 1
    assert width / dot >= 2
    assert width >= Fraction(minimum_mm)
    assert width / dot == 2 or width - dot < Fraction(minimum_mm)


@pytest.mark.parametrize(
    ("text", "module_mm", "width_mm"),
    [("BAG0012345", "0.25", "38.5"), ("BAG0012345", "0.33", "50.82"), ("00123456", "0.25", "24.75")],
)
def test_widths_include_both_quiet_zones(text, module_mm, width_mm):
    """134 and 79 modules, plus 20 (worked out by hand)."""
    assert code128.symbol_width_mm(code128.modules(text), Decimal(module_mm)) == Fraction(width_mm)


def test_48_characters_are_the_most_of_one_gs1_symbol():
    """GS1 General Specifications, 5.4.4."""
    code128.gs1_modules("1" * 48)
    with pytest.raises(CodeRefused, match="at most 48 characters, got 49"):
        code128.gs1_modules("1" * 49)


def test_bars_are_5_mm_high_or_15_percent_of_the_width():
    """Whichever is greater."""
    symbol = code128.modules("00")

    assert code128.least_height_mm(symbol, Decimal("0.25")) == 5
    assert code128.least_height_mm("1" * 156, 1) == Fraction(264, 10)
