"""GS1: round trips, FNC1 rules and refusals."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import CodeRefused
from fulfil.standards import gs1

DIGITS = st.text("0123456789", min_size=1, max_size=8)
LOT = st.text("ABCxyz0189-/._%&", min_size=1, max_size=20)
SSCC = st.builds(gs1.sscc, st.just("9520001"), st.integers(0, 999_999_999), extension_digit=st.integers(0, 9))
ELEMENT = st.one_of(
    st.builds(gs1.Element, st.just("00"), SSCC),
    st.builds(gs1.Element, st.sampled_from(["30", "37"]), DIGITS),
    st.builds(gs1.Element, st.sampled_from(["10", "21"]), LOT),
    st.builds(gs1.Element, st.sampled_from(["400", "420"]), LOT),
    st.builds(gs1.weight_element, st.sampled_from(["310", "330"]), st.decimals(0, 9, places=3)),
)


@given(st.lists(ELEMENT, min_size=1, max_size=5))
def test_elements_survive_scanner_and_bracket_form(elements):
    """What is written is what is read, in both forms."""
    assert gs1.parse(gs1.element_string(elements)) == tuple(elements)
    assert gs1.parse(gs1.print_elements(elements)) == tuple(elements)
    assert gs1.validate(gs1.element_string(elements)) == gs1.element_string(elements)


@given(DIGITS, st.integers(0, 9))
def test_one_wrong_digit_never_passes(payload, other):
    """Modulo 10 with weights 3 and 1 finds every single wrong digit."""
    code = payload.rjust(12, "0")
    for place in range(12):
        if code[place] != str(other):
            changed = f"{code[:place]}{other}{code[place + 1 :]}"

            assert gs1.check_digit(changed) != gs1.check_digit(code)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "Cannot read as element strings '': expected at least one Application Identifier with its value."),
        ("89ABC", "Cannot read as element strings '89ABC': expected a known Application Identifier at '89AB'."),
        ("(10)", "Cannot read as element strings '(10)': expected (AI)value, repeated."),
        ("(10)LOT 7", "Cannot read as the value of AI (10) 'LOT 7': expected the format X..20."),
        ("(37)123456789", "Cannot read as the value of AI (37) '123456789': expected the format N..8."),
        ("(01)09501101530004", "Cannot read as a GTIN '09501101530004': expected check digit 3, got 4."),
        ("0039501101530000001", "Cannot read as the value of AI (00) '39501101530000001': expected the format N18."),
    ],
)
def test_what_breaks_the_rules_is_named(text, sentence):
    """Each refusal says what was tried, the value and what was expected."""
    with pytest.raises(CodeRefused) as refusal:
        gs1.parse(text)

    assert str(refusal.value) == sentence


@pytest.mark.parametrize(
    ("prefix", "serial", "extension"),
    [
        ("", 1, 0),
        ("952", 1, 0),
        ("95200012345678", 1, 0),
        ("95x0001", 1, 0),
        ("952000123", 10_000_000, 0),
        ("952000123", -1, 0),
        ("952000123", 1, 10),
    ],
)
def test_no_sscc_without_a_licensed_prefix_and_room_for_the_serial(prefix, serial, extension):
    """A serial never wraps around into a used number."""
    with pytest.raises(CodeRefused, match=r"^Cannot make an SSCC"):
        gs1.sscc(prefix, serial, extension_digit=extension)


def test_a_needless_separator_is_forgiven_by_parse_and_refused_by_validate():
    """Scanners of old labels send FNC1 after a predefined length, too."""
    text = "00395011015300000011\x1d10LOT7"

    assert gs1.print_elements(gs1.parse(text)) == "(00)395011015300000011(10)LOT7"
    with pytest.raises(CodeRefused, match="FNC1 only where an AI needs it"):
        gs1.validate(text)


@pytest.mark.parametrize("mass", [Decimal("-1"), Decimal("1000000"), Decimal("1.1234567"), Decimal("NaN")])
def test_a_weight_that_six_digits_cant_hold_is_refused(mass):
    """Never cut off."""
    with pytest.raises(CodeRefused):
        gs1.weight_element("330", mass)


def test_elements_that_no_table_has_and_keys_of_the_wrong_length_are_refused():
    """With what would have been right."""
    with pytest.raises(CodeRefused, match="Cannot use the Application Identifier '89': expected one of the GS1 Gen"):
        gs1.Element("89", "ABC")
    with pytest.raises(CodeRefused, match="expected 8, 12, 13 or 14 digits"):
        gs1.validate_gtin("123456789")
    with pytest.raises(CodeRefused, match="expected 13 digits"):
        gs1.validate_gln("54123456789O8")
    with pytest.raises(CodeRefused, match="expected digits only"):
        gs1.check_digit("12a")


def test_elements_know_their_title_for_the_label():
    """As printed above the human readable text."""
    assert [element.title for element in gs1.parse("(00)395011015300000011(3303)001250")] == [
        "SSCC",
        "GROSS WEIGHT (kg)",
    ]
