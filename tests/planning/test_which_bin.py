"""Which bin pieces are taken from: a worked example by hand, then what holds for any bins.

First in, first out is the usual rule of stores for lots (common practice; the textbook's term is FIFO issue); the rest
is the written rule of :mod:`fulfil.planning.which_bin`.
"""

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from fulfil.planning.which_bin import BinRank, taken_from

OLD, NEW = date(2026, 3, 2), date(2026, 5, 11)


def rank(came_in: date = OLD, *, reserve: bool = False) -> BinRank:
    """A picking bin of the old lot, unless said otherwise."""
    return BinRank(is_reserve=reserve, came_in=came_in)


def test_worked_by_hand():
    """Five bins of a part: the old lot's two, the new lot's two, a reserve of the oldest lot of all.

    25 wanted: the old lot has 30, in bins of 4 and 26; the 26 hold all. 28: none of the old holds all, so the fuller
    first, then 2 of the 4; the new lot waits. 50: all 30 of the old lot, and 20 of the new one from the emptiest that
    holds them. 260: all of the picking bins, 30 + 200, and only then the reserve.
    """
    ranks = {"A": rank(), "B": rank(), "C": rank(NEW), "D": rank(NEW), "R": rank(date(2026, 1, 7), reserve=True)}
    levels = {"A": 4, "B": 26, "C": 60, "D": 140, "R": 900}

    assert taken_from(levels, 25, ranks) == [("B", 25)]
    assert taken_from(levels, 28, ranks) == [("B", 26), ("A", 2)]
    assert taken_from(levels, 50, ranks) == [("B", 26), ("A", 4), ("C", 20)]
    assert taken_from(levels, 260, ranks) == [("B", 26), ("A", 4), ("D", 140), ("C", 60), ("R", 30)]


def test_a_nearly_empty_bin_goes_first_where_it_holds_the_line():
    """Three bins of one day: 5 wanted come from the one of 6, which is nearly free then; equal ones by code."""
    assert taken_from({"x": 90, "y": 6, "z": 40}, 5) == [("y", 5)]
    assert taken_from({"z": 6, "y": 6}, 5) == [("y", 5)]


def test_without_first_in_first_out_days_say_nothing():
    """No ranks: as few bins as can be, whatever lies in them."""
    assert taken_from({"A": 4, "B": 26, "D": 140}, 28) == [("D", 28)]


DAYS = st.integers(0, 3).map(lambda days: OLD + timedelta(days=days))
BINS = st.dictionaries(
    st.sampled_from([*"ABCDEFGH"]), st.tuples(st.integers(0, 50), st.booleans(), DAYS), min_size=1, max_size=8
)


@given(bins=BINS, wanted=st.lists(st.integers(0, 60), max_size=8), seed=st.randoms())
def test_whatever_the_bins_hold(bins, wanted, seed):
    """Pieces in are pieces out; no bin gives more than it holds; none leaves a bin while an earlier one holds any."""
    levels = {code: pieces for code, (pieces, _, _) in bins.items()}
    ranks = {code: rank(day, reserve=reserve) for code, (_, reserve, day) in bins.items()}
    left = dict(levels)
    for pieces in wanted:
        shuffled = [*left]
        seed.shuffle(shuffled)
        taken = taken_from(left, pieces, ranks)

        assert taken == taken_from({code: left[code] for code in shuffled}, pieces, ranks)
        assert sum(n for _, n in taken) == min(pieces, sum(left.values()))
        assert len({code for code, _ in taken}) == len(taken)
        for code, n in taken:
            assert 0 < n <= left[code]
            left[code] -= n
        for code, _ in taken:
            assert not any(left[other] for other in left if ranks[other] < ranks[code])
