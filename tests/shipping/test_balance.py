"""The books balance to the piece or name what doesn't."""

from hypothesis import given
from hypothesis import strategies as st

from fulfil.shipping.balance import LineBalance, balance

PIECES = st.integers(0, 500)


@given(st.lists(st.tuples(PIECES, PIECES, PIECES, PIECES, st.integers(-20, 20)), max_size=20))
def test_a_line_has_a_finding_exactly_when_it_is_off(rows):
    """Each line with pieces in hand is named once; the sums are those of the lines."""
    lines = [
        LineBalance(f"o{place}", 1, "BALL-3", shipped + short + held + cancelled + off, shipped, short, held, cancelled)
        for place, (shipped, short, held, cancelled, off) in enumerate(rows)
    ]

    sums = balance(lines)

    assert len(sums.findings) == sum(row[4] != 0 for row in rows)
    assert sums.is_balanced == (not sums.findings)
    assert sums.ordered == sums.shipped + sums.short + sums.held + sums.cancelled + sums.in_hand


def test_pieces_still_in_hand_are_named_with_what_to_do():
    """10 of 50 pieces on the bench."""
    finding = balance([LineBalance("A-1", 1, "BALL-3", 50, 40, 0, 0, 0)]).findings[0]

    assert str(finding) == (
        "order A-1, line 1, pieces '10': 10 of 50 pieces of BALL-3 are not shipped, short, held or cancelled. "
        "Do: check and pack the bags of this line, or hold the order."
    )


def test_a_bag_sent_twice_is_named():
    """60 shipped of 50 ordered."""
    finding = balance([LineBalance("A-1", 1, "BALL-3", 50, 60, 0, 0, 0)]).findings[0]

    assert finding.says == "10 pieces of BALL-3 more than ordered have left"


def test_pieces_in_a_package_that_waits_are_looked_for_there():
    """They were checked and packed: nothing is left to do at the check bench."""
    finding = balance([LineBalance("A-1", 1, "BALL-3", 50, 0, 0, 0, 0, ("P7", "P9"))]).findings[0]

    assert finding.do == "see package P7 and P9, which they are in"
