"""Halving walks so that nobody is late: by hand, against every way to halve, and as a help that is foreseen."""

from itertools import combinations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from fulfil.planning.halving import halve_late
from fulfil.planning.lateness import IN_TWO, Due, foresee
from fulfil.planning.paces import Pace
from fulfil.planning.people import TimedWalk, share_out

SURE = Pace(0.0, 0.0, 0.0, 0.0)


def test_four_carts_for_three_people_by_hand():
    """Four walks of 3,600 s due after 6,000: whole, one person goes two (7,200). One as two of 1,900: 5,500 at most."""
    walks = [TimedWalk(name, 3600, 6000) for name in "abcd"]

    assert halve_late(walks, dict.fromkeys("abcd", 200), pickers=3) == ("a",)
    assert halve_late(walks, {}, pickers=3) == ()
    assert halve_late([*walks[:3]], dict.fromkeys("abc", 200), pickers=3) == ()


def _latest_s(walks, halved, extra_s, pickers):
    """How late the latest is, with some walks as two."""
    now = []
    for walk in walks:
        whole = walk.seconds + extra_s
        halves = [TimedWalk(f"{walk.name}/{n}", (whole + n) // 2, walk.cut_off_s) for n in (0, 1)]
        now += halves if walk.name in halved else [walk]
    return share_out(now, pickers=pickers).latest_s


@given(
    st.lists(st.tuples(st.integers(600, 4000), st.sampled_from([3000, 6000, 9000])), min_size=1, max_size=5),
    st.integers(1, 3),
    st.integers(0, 400),
)
@settings(deadline=None, max_examples=60)
def test_it_never_makes_anybody_later(found, pickers, extra_s):
    """Less late than whole if anything is halved; never better than the best of all ways to halve."""
    walks = [TimedWalk(f"W{number}", seconds, cut_off) for number, (seconds, cut_off) in enumerate(found)]
    names = [walk.name for walk in walks]
    halved = halve_late(walks, dict.fromkeys(names, extra_s), pickers=pickers)
    whole_s, then_s = (_latest_s(walks, some, extra_s, pickers) for some in ((), halved))
    every = [some for count in range(len(names) + 1) for some in combinations(names, count)]

    assert then_s < whole_s if halved else then_s == whole_s
    assert then_s >= min(_latest_s(walks, some, extra_s, pickers) for some in every)


def test_it_is_foreseen_as_a_help():
    """The same four walks without scatter: late for sure; with one in two not at all. A walk of one order can't be."""
    walks = [TimedWalk(name, 3600) for name in "abcd"]
    dues = [Due("post", name, 6000) for name in "abcd"]

    def asked(halving_s):
        (seen,) = foresee(
            walks, dues, pickers=3, pace=SURE, rng=np.random.default_rng(1), draws=20, halving_s=halving_s
        )
        return {one.kind: (one.walk, one.chance_late) for one in seen.helps}

    assert asked({"c": 200.0, "d": 200.0})[IN_TWO] == ("d", 0.0)
    assert IN_TWO not in asked({})
