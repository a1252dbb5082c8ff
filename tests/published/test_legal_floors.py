"""Count floors of both rules side by side, for the line on the recount slip.

Sources: OIML R 87:2016 (count: none to 50 pieces, above it 1 % rounded up; as in China AQSIQ Decree 75, 2005, Annex 3);
NIST Handbook 133 (2018), Appendix A, Table 2-7 (quoted from memory).
"""

import pytest

from fulfil.checking.legal_floor import legal_floor


@pytest.mark.parametrize(
    ("pieces", "r87", "hb133"),
    [(17, 0, 0), (50, 0, 1), (83, 1, 1), (84, 1, 2), (100, 1, 2), (101, 2, 2), (250, 3, 6), (1000, 10, 16)],
)
def test_both_floors_are_named(pieces, r87, hb133):
    """The sentence carries both numbers, 'none' where it is 0."""
    allowed = [f"{number} short" if number else "none short" for number in (r87, hb133)]

    assert f"may be {allowed[0]} (OIML R 87), {allowed[1]} (NIST HB 133)" in legal_floor(pieces)
