"""The legal floor is said beside a shortage, and never makes one right."""

import pytest

from fulfil.checking.legal_floor import legal_floor


@pytest.mark.parametrize(
    ("pieces", "says"),
    [
        (50, "50 pieces may be none short (OIML R 87), 1 short (NIST HB 133)"),
        (51, "51 pieces may be 1 short (OIML R 87), 1 short (NIST HB 133)"),
        (101, "101 pieces may be 2 short (OIML R 87), 2 short (NIST HB 133)"),
        (1000, "1000 pieces may be 10 short (OIML R 87), 16 short (NIST HB 133)"),
    ],
)
def test_the_floors_of_both_rules(pieces, says):
    """OIML R 87:2016, Table 1: none to 50, above 1 % rounded up; NIST HB 133 (2018), Table 2-7, quoted from memory."""
    assert says in legal_floor(pieces)
    assert legal_floor(pieces).endswith("this shop allows none.")


@pytest.mark.parametrize(
    ("pieces", "counted", "ending"),
    [
        (100, 99, "1 short: within what R 87 allows."),
        (100, 98, "2 short: beyond what R 87 allows (few such bags in a lot)."),
        (100, 97, "3 short: beyond twice what R 87 allows."),
        (35, 34, "1 short: R 87 allows none here."),
        (100, 100, "this shop allows none."),
        (100, 103, "this shop allows none."),
    ],
)
def test_a_shortage_is_graded_and_an_excess_is_not(pieces, counted, ending):
    """Within the tolerable deficiency T, beyond T, beyond 2 T."""
    assert legal_floor(pieces, counted).endswith(ending)
