"""S10: ranges are used in order, no number twice, and nothing outside a given range."""

from itertools import islice

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import CodeRefused
from fulfil.standards import s10


@given(st.integers(0, 99_999_990), st.sets(st.integers(0, 5), max_size=6))
def test_unused_numbers_of_a_range_come_ascending_and_valid(first, used_offsets):
    """And the range ends where the post ended it."""
    given_range = s10.Range("RR", first, first + 5, "DE")
    everything = [str(number) for number in s10.numbers_of_range(given_range)]
    used = [everything[offset] for offset in sorted(used_offsets)]
    fresh = list(s10.numbers_of_range(given_range, used=used))

    assert [str(number) for number in fresh] == [number for number in everything if number not in used]
    assert all(s10.parse(str(number)) == number and number in given_range for number in fresh)


@given(st.text("0123456789", min_size=8, max_size=8), st.integers(0, 7), st.integers(0, 9))
def test_one_wrong_digit_changes_the_check_digit_but_for_the_standards_one_weakness(serial, place, other):
    """0 stands for 10 and 5 for 11 as well, so only those two digits can hide an error."""
    changed = serial[:place] + str(other) + serial[place + 1 :]
    before, after = s10.check_digit(serial), s10.check_digit(changed)

    assert changed == serial or before != after or before in (0, 5)


def test_a_check_digit_needs_eight_digits():
    """ASCII digits."""
    for serial in ("", "1234567", "123456789", "1234567x"):
        with pytest.raises(CodeRefused, match="expected eight digits"):
            s10.check_digit(serial)


def test_a_range_holds_only_its_own_numbers():
    """Same serial, other service or country: not in the range."""
    given_range = s10.Range("RR", 100, 199, "DE")

    assert s10.ItemNumber("RR", "00000150", "DE") in given_range
    assert s10.ItemNumber("RB", "00000150", "DE") not in given_range
    assert s10.ItemNumber("RR", "00000150", "AT") not in given_range
    assert s10.ItemNumber("RR", "00000200", "DE") not in given_range
    assert "RR" not in given_range


def test_a_long_range_is_not_built_before_it_is_asked_for():
    """The first numbers of a hundred million come at once."""
    numbers = s10.numbers_of_range(s10.Range("CA", 0, 99_999_999, "NL"))

    assert [str(number) for number in islice(numbers, 2)] == ["CA000000005NL", "CA000000014NL"]


@pytest.mark.parametrize(
    "bad",
    [
        ("JA", 0, 1, "DE"),
        ("R", 0, 1, "DE"),
        ("RR", 5, 4, "DE"),
        ("RR", -1, 4, "DE"),
        ("RR", 0, 10**8, "DE"),
        ("RR", 0, 1, "ZZ"),
    ],
)
def test_a_range_that_no_post_can_give_is_refused(bad):
    """J and K are reserved, serials have eight digits, the country is assigned."""
    with pytest.raises(CodeRefused):
        s10.Range(*bad)


@pytest.mark.parametrize(
    "text", ["", "RR47312482GB", "RR473124829ZZ", "rr473124829gb", "ß473124829GB", "RR473124829GB\n"]
)
def test_validate_takes_the_thirteen_characters_only(text):
    """'ß' would become SS when capitalised."""
    with pytest.raises(CodeRefused):
        s10.validate(text)


def test_parse_forgives_spaces_and_case_but_not_other_alphabets():
    """As typed from a receipt."""
    assert str(s10.parse("rr 473 124 829 gb")) == "RR473124829GB"
    with pytest.raises(CodeRefused):
        s10.parse("ß473124829GB")
