"""Cuts that every plan keeps."""

from collections import Counter

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.planning.proving.cuts import SHAPES, Cut, broken_cuts
from fulfil.planning.proving.master import Spare


@given(st.data())
def test_every_plan_keeps_every_cut(data):
    """However 12 orders are shared out, no cut on any of them is broken: that is what makes a bound with cuts valid."""
    batch_of = data.draw(st.lists(st.integers(0, 4), min_size=12, max_size=12))
    size, divisor = data.draw(st.sampled_from(SHAPES))
    orders = data.draw(st.permutations(range(12)))[:size]
    cut = Cut(tuple(sorted(orders)), divisor)
    batches = [{order for order in range(12) if batch_of[order] == batch} for batch in range(5)]

    assert sum(cut.counts(batch) for batch in batches) <= cut.most


@given(st.data())
def test_a_share_of_the_penalty_is_never_more_than_the_penalty(data):
    """Where one more order counts, any further ones count at least their share each: pricing rests on it."""
    size, divisor = data.draw(st.sampled_from(SHAPES))
    cut = Cut(tuple(range(size)), divisor)
    inside = data.draw(st.integers(0, size).filter(lambda held: held % divisor == divisor - 1))
    more = data.draw(st.integers(0, size - inside))

    counted = (inside + more) // divisor - inside // divisor

    assert counted * cut.sharers >= more


@given(st.lists(st.integers(0, 3), min_size=12, max_size=12))
def test_every_plan_keeps_the_rows_for_what_is_left_free(batch_of):
    """With exactly the batches it has, no plan leaves more free than the rows allow."""
    loads = np.array([[1, 2 + order % 3] for order in range(12)], dtype=np.int64)
    batches = [tuple(order for order in range(12) if batch_of[order] == batch) for batch in range(4)]
    batches = [batch for batch in batches if batch]
    capacity = np.max([loads[list(batch)].sum(axis=0) for batch in batches], axis=0)
    rows = Spare.of(loads, capacity, len(batches))

    counted = sum((rows.counts(batch) for batch in batches), start=np.zeros(len(rows.most), dtype=np.int64))

    assert (counted <= rows.most).all()


def test_rows_for_what_is_left_free_by_hand():
    """Ten orders, three carts of four: two places stay free, so one batch at most leaves two, and none three."""
    rows = Spare.of(np.ones((10, 1), dtype=np.int64), np.array([4]), 3)

    assert list(zip(rows.divisors.tolist(), rows.most.tolist(), strict=True)) == [(2, 1), (3, 0)]


@pytest.mark.parametrize("shape", SHAPES)
def test_broken_cuts_are_broken(shape):
    """Random shares of random batches: what is returned is broken by more than nothing, and of the shape asked for."""
    rng = np.random.default_rng(shape[0])
    batches = [tuple(sorted(int(o) for o in rng.choice(14, 6, replace=False))) for _ in range(40)]
    shares = rng.uniform(0, 1, 40)
    shares *= 14 / 6 / shares.sum()

    found = broken_cuts(batches, shares, orders=14, known=set(), wanted=10, shapes=[shape])

    for cut in found:
        assert (len(cut.orders), cut.divisor) == shape
        counted = sum(share * cut.counts(batch) for batch, share in zip(batches, shares, strict=True))
        assert counted > cut.most
    times = Counter(order for cut in found for order in cut.orders)
    assert all(count <= 3 for count in times.values())
