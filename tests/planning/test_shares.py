"""Which share of the duals is priced next."""

from hypothesis import given
from hypothesis import strategies as st

from fulfil.planning.proving.shares import EASY, LADDER, Shares

BRANCHES = st.lists(st.integers(1, 10**9), max_size=40)


def test_a_hard_whole_is_climbed_to_share_by_share():
    """Branches that grow tenfold from share to share: each share of the ladder is met, in its order."""
    shares, met = Shares(), []

    for power in range(len(LADDER) - 1):
        met.append(shares.share)
        shares.priced_out(1_000 * 10**power)

    assert (*met, shares.share) == LADDER
    assert shares.is_whole
    assert shares.most_branches is None


def test_a_whole_that_is_foretold_to_be_easy_is_priced_at_once():
    """From 7,627 branches at 0.8 to 45,239 at 0.9 the whole, as far again, takes six times as many: 268,000."""
    shares = Shares()

    for branches in (132, 7_627, 45_239):
        assert not shares.is_whole
        shares.priced_out(branches)

    assert shares.is_whole
    assert shares.most_branches is not None
    assert 2 * 268_000 < shares.most_branches < 2 * 269_000


def test_a_whole_that_was_taken_for_easy_and_is_not_is_left_for_good():
    """It goes on from the next share, never jumps again, and after cuts begins below the whole."""
    shares = Shares()
    for _ in range(3):
        shares.priced_out(100)

    assert shares.stopped()

    met = [shares.share]
    for _ in range(8):
        shares.priced_out(100)
        met.append(shares.share)
    assert tuple(met) == LADDER[3:]
    shares.whole_was_priced(EASY + 1)
    shares.after_cuts()
    assert shares.share == 0.985


def test_an_easy_whole_is_priced_whole_again_after_cuts():
    """Shares below the whole would cost as much as it."""
    shares = Shares()
    for _ in range(3):
        shares.priced_out(100)
    shares.whole_was_priced(EASY)

    shares.after_cuts()

    assert shares.is_whole
    assert not shares.stopped()


@given(BRANCHES, st.sets(st.integers(0, 39)))
def test_the_whole_is_always_reached(branches, stops):
    """Whatever the branches and wherever a search stops: shares never fall but once, and so many rounds end whole."""
    shares, falls = Shares(), 0

    for turn in range(60):
        before = shares.share
        if turn in stops:
            shares.stopped()
        elif not shares.is_whole:
            shares.priced_out(branches[turn] if turn < len(branches) else 10**6)
        falls += shares.share < before

    assert falls <= 1
    assert shares.is_whole
