"""S10 item numbers against UPU standard S10-12 (2017): its examples, a public test, and wrong numbers in print.

Rows marked "worked out" follow from the published rule; they cover its two exceptions (10 → 0, 11 → 5).
"""

import pytest

from fulfil.errors import CodeRefused
from fulfil.standards import s10

SERIALS = [
    ("47312482", 9),  # published example
    ("28704377", 5),  # published; C = 11
    ("58256815", 1),  # a public test
    ("12345678", 5),  # worked out
    ("00000008", 0),  # worked out; C = 10
    ("00000015", 5),  # worked out; C = 11
    ("00000000", 5),  # worked out; C = 11
    ("00102030", 7),  # worked out
]


@pytest.mark.parametrize(("serial", "digit"), SERIALS)
def test_check_digits_follow_the_standard(serial, digit):
    """Weights 8 6 4 2 3 5 9 7, modulo 11."""
    assert s10.check_digit(serial) == digit
    assert s10.validate(f"RR{serial}{digit}DE") == f"RR{serial}{digit}DE"


def test_a_number_printed_as_a_format_example_is_invalid():
    """CP001020301BR of a public data dictionary."""
    with pytest.raises(CodeRefused, match="expected check digit 7, got 1"):
        s10.validate("CP001020301BR")


def test_ascending_weights_are_not_the_standard():
    """A public text gives weights 3 to 10; by them the standard's own example would be wrong."""
    weighed = sum(weight * int(digit) for weight, digit in zip(range(3, 11), "47312482", strict=True))

    assert 11 - weighed % 11 != s10.check_digit("47312482")


@pytest.mark.parametrize(
    ("indicator", "kind"),
    [
        *[("CP", "parcel"), ("EE", "express"), ("HA", "e-commerce parcel"), ("LX", "tracked letter")],
        *[("RR", "registered letter"), ("UA", "letter subject to customs"), ("VV", "insured letter"), ("QA", "other")],
    ],
)
def test_the_first_letter_says_the_kind(indicator, kind):
    """S10-12, table of service indicators."""
    assert s10.parse(f"{indicator}473124829GB").kind == kind
