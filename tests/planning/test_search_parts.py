"""The parts that search and proof are made of: savings, few orders, filling, master, recombination, bounds."""

import numpy as np
import pytest

from fulfil.planning.cart import CartLoads
from fulfil.planning.filling import filled
from fulfil.planning.plan import walk_mm
from fulfil.planning.proving.cuts import Cut, broken_cuts
from fulfil.planning.proving.first_bounds import most_batches, shared_walks_bound
from fulfil.planning.proving.master import Master
from fulfil.planning.searching.recombination import recombined
from fulfil.planning.searching.savings import join_by_savings, nearest_orders
from fulfil.planning.searching.search import EFFORTS, constructed, plan_length, searched
from tests.benchmarks.splitting import split_order

from .conftest import ROOM, random_orders, shortest_plan_mm


def savings_by_hand(walks, capacity):
    """Join the best pair, again and again, in plain Python; ties to the lowest places."""
    batches: dict[int, tuple[int, ...]] = {order: (order,) for order in range(len(walks.occupancy))}
    while True:
        choices = [
            (walk_mm(walks, batches[i]) + walk_mm(walks, batches[j]) - walk_mm(walks, batches[i] + batches[j]), -i, -j)
            for i in batches
            for j in batches
            if i < j and len(batches[i] + batches[j]) <= capacity
        ]
        if not choices:
            return sorted(tuple(sorted(batch)) for batch in batches.values())
        _, i, j = max(choices)
        batches[-i] += batches.pop(-j)


@pytest.mark.parametrize("seed", range(5))
def test_savings_join_as_the_rule_says(seed):
    """The compiled construction makes the batches of the rule written out plainly."""
    walks = ROOM.evaluator(random_orders(16, seed))
    loads = CartLoads.of(16, 4, None)

    first = join_by_savings(walks.walk, walks.geometry, walks.occupancy, loads.load, loads.capacity)

    batches = sorted(tuple(int(o) for o in np.flatnonzero(first == batch)) for batch in set(first.tolist()))
    assert batches == savings_by_hand(walks, 4)


def test_nearest_orders_add_least():
    """The first neighbour of an order is the one whose common walk exceeds the longer of the two by least."""
    walks = ROOM.evaluator(random_orders(12, 1))

    near = nearest_orders(walks.walk, walks.geometry, walks.occupancy, 3)

    for order in range(12):
        added = {
            other: walk_mm(walks, (order, other)) - max(walk_mm(walks, (order,)), walk_mm(walks, (other,)))
            for other in range(12)
            if other != order
        }
        assert list(near[order]) == sorted(added, key=lambda other: (added[other], other))[:3]


@pytest.mark.parametrize("seed", range(3))
def test_annealing_reports_its_plan_and_keeps_to_the_loads(seed):
    """With unequal loads of two kinds, every cart fits and the plan is no longer than its start."""
    rng = np.random.default_rng(seed)
    walks = ROOM.evaluator(random_orders(40, seed))
    loads = CartLoads.of(40, (6, 50), [(1, int(volume)) for volume in rng.integers(1, 20, size=40)])
    start = constructed(walks, loads)

    plan = searched(walks, loads, start, seed=seed, effort=EFFORTS["quick"])

    assert plan_length(walks, plan) <= plan_length(walks, start)
    for batch in range(plan.max() + 1):
        assert loads.fits(np.flatnonzero(plan == batch).tolist())


def test_filling_packs_perfectly_where_that_is_possible():
    """Nine weights of three carts of 10, shuffled, are packed into three carts without a gap."""
    loads = CartLoads.of(9, 10, [1, 6, 5, 2, 3, 7, 2, 3, 1])

    carts = filled(loads)

    assert np.bincount(carts, weights=loads.load[:, 0]).tolist() == [10.0, 10.0, 10.0]


def test_three_half_batches_break_a_cut():
    """Pairs of three orders, each taken half, cover all at 1.5 batches; the cut on the three forbids it."""
    master = Master(3, 1)
    master.add([((0, 1), 10), ((0, 2), 10), ((1, 2), 10), ((0,), 9), ((1,), 9), ((2,), 9)])
    relaxed = master.solve()

    cuts = broken_cuts(master.batches, relaxed.shares, orders=3, known=set(), wanted=5)
    master.cut(cuts)
    lifted = master.solve()

    assert relaxed.value_mm == pytest.approx(15)
    assert cuts == [Cut((0, 1, 2), 2)]
    assert lifted.value_mm == pytest.approx(19)
    assert broken_cuts(master.batches, lifted.shares, orders=3, known=set(cuts), wanted=5) == []


def test_recombination_puts_batches_of_two_plans_together():
    """Of two plans each good in one half, the pool's best plan takes the good halves; nothing better gives None."""
    pool = [((0, 1), 10), ((2, 3), 30), ((0, 2), 25), ((1, 3), 25), ((2,), 9), ((3,), 8), ((0,), 20), ((1,), 20)]

    found = recombined(4, 1, pool, 40, columns=50, branches=10)

    assert found is not None
    assert sorted(found) == [(0, 1), (2,), (3,)]
    assert recombined(4, 1, pool, 27, columns=50, branches=10) is None


@pytest.mark.parametrize("seed", range(4))
def test_the_simple_bound_and_the_most_batches_hold(seed):
    """No plan is shorter than the walks that the costliest orders share, and the best has no more than the most."""
    orders = random_orders(7, seed)
    walks = ROOM.evaluator(orders)
    loads = CartLoads.of(7, 3, None)
    best = shortest_plan_mm(ROOM, orders, [(1,)] * 7, (3,))

    assert shared_walks_bound(walks, loads.most_orders()) <= best
    # Seven orders, three to a cart: two carts that can't be joined hold four or more, so five carts would hold eight.
    assert most_batches(walks, loads, 10**9, 1) == 5


def test_a_large_order_is_split_over_carts():
    """Stops stay whole and in order; one that overfills a cart alone is taken off in full carts first."""
    stops = [((0, 1), (4, 1)), ((0, 2), (5, 1)), ((1, 3), (12, 1)), ((2, 4), (1, 1))]

    parts = split_order(stops, capacity=(9, 2))

    assert parts == [
        [((0, 1), (4, 1)), ((0, 2), (5, 1))],
        [((1, 3), (9, 1))],
        [((1, 3), (3, 0)), ((2, 4), (1, 1))],
    ]
    assert split_order([], capacity=(9, 2)) == []
