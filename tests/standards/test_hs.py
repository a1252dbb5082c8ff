"""HS codes: shape, chapters, printing."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import CodeRefused
from fulfil.standards import hs

CODES = st.from_regex(r"(0[1-9]|[1-6][0-9]|7[0-689]|8[0-9]|9[0-7])[0-9]{4}([0-9]{2,4})?", fullmatch=True).filter(
    str.isascii
)


@given(CODES)
def test_a_printed_code_is_read_back(code):
    """With its dots, and with spaces in their place."""
    assert hs.validate(code) == code
    assert hs.parse(hs.print_code(code)) == code
    assert hs.parse(hs.print_code(code).replace(".", " ")) == code
    assert code.startswith(hs.chapter(code))
    assert hs.subheading(code).startswith(hs.heading(code))


@pytest.mark.parametrize(
    "text",
    [
        "",
        "7318",
        "73181",
        "7318155",
        "73181595901",
        "7318.15",
        " 731815",
        "731815\n",
        "000000",
        "770100",
        "980000",
        "73181\u0665",
    ],
)
def test_validate_takes_digits_of_the_right_number_only(text):
    """Seven digits are no code; Arabic-Indic digits aren't digits here."""
    with pytest.raises(CodeRefused):
        hs.validate(text)


@pytest.mark.parametrize("text", ["73-18-15", "7318..15", ".731815", "7318 15x"])
def test_parse_forgives_dots_and_spaces_between_digits_only(text):
    """Anything else is a typing error."""
    with pytest.raises(CodeRefused):
        hs.parse(text)
