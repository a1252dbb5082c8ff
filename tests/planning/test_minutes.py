"""Plans that take the least time, and never get worse with more effort; each against plans found by trying all."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fulfil.errors import PlanRefused
from fulfil.planning.batching import plan_batches
from fulfil.planning.cart import CartLoads
from fulfil.planning.proving.proof import prove
from fulfil.planning.searching.emptying import emptied
from fulfil.planning.searching.search import EFFORTS, Effort, constructed, plan_cost, searched
from fulfil.room.block import Block

from .conftest import ROOM, batches_that_fit, random_orders, shortest_plan_mm


def test_more_effort_was_worse_here():
    """37 orders, three to a cart: a normal search alone ends 1.2 m above a quick one."""
    orders = random_orders(37, 20)

    quick, normal = (plan_batches(ROOM, orders, capacity=3, effort=effort) for effort in ("quick", "normal"))

    assert normal.length_mm <= quick.length_mm


@given(st.data())
@settings(deadline=None, max_examples=40)
def test_more_effort_is_never_worse(data):
    """In rooms, loads and set-ups of every kind, also where lists are cut into blocks."""
    seed = data.draw(st.integers(0, 10**6))
    rng = np.random.default_rng(seed)
    room = Block(
        tuple(int(x) for x in np.cumsum(rng.integers(1, 6, size=rng.integers(1, 8)))), int(rng.integers(5, 50))
    )
    count = int(rng.integers(14, 40)) if rng.random() < 0.8 else int(rng.integers(251, 270))
    orders = [
        [
            (int(rng.integers(len(room.aisle_x_mm))), int(rng.integers(0, room.length_mm + 1)))
            for _ in range(int(rng.integers(1, 5)))
        ]
        for _ in range(count)
    ]
    walks = room.evaluator(orders)
    loads = CartLoads.of(count, (8, 60), [(1, int(volume)) for volume in rng.integers(1, 50, size=count)])
    set_up_mm = int(rng.integers(0, 100)) if rng.random() < 0.5 else 0
    start = constructed(walks, loads)
    less = Effort(20, 200, 1, 2)
    more = Effort(30, 300, 2, 3, columns=50, branches=1, orders_per_batch=9.0, lesser=less)
    most = replace(more, proposals_per_order=40, runs=3, lesser=more)

    costs = [plan_cost(walks, start, set_up_mm)]
    for effort in (less, more, most):
        plan = searched(walks, loads, start, seed=seed, effort=effort, set_up_mm=set_up_mm)
        assert all(loads.fits(np.flatnonzero(plan == batch).tolist()) for batch in range(plan.max() + 1))
        costs.append(plan_cost(walks, plan, set_up_mm))

    assert costs == sorted(costs, reverse=True)


def test_each_effort_counts_the_lesser_ones():
    """From the greatest effort down, each names the next lesser one."""
    assert [EFFORTS[more].lesser for more in ("long", "thorough", "normal", "quick")] == [
        EFFORTS["thorough"],
        EFFORTS["normal"],
        EFFORTS["quick"],
        None,
    ]


@pytest.mark.parametrize("seed", range(4))
def test_few_orders_take_the_least_time(seed):
    """Walks and set-ups together are as little as the least found by trying everything, and the bound meets them."""
    orders = random_orders(8, seed)
    weights = [(1, 3 + 5 * (order % 4)) for order in range(8)]

    plan = plan_batches(ROOM, orders, capacity=(4, 30), weights=weights, set_up_mm=40_000)
    proof = prove(plan, seconds=20)

    assert plan.cost_mm == plan.length_mm + 40_000 * len(plan.batches)
    assert plan.cost_mm == shortest_plan_mm(ROOM, orders, weights, (4, 30), set_up_mm=40_000)
    assert proof.bound_mm <= plan.length_mm
    assert proof.bound_cost_mm <= plan.cost_mm
    assert proof.cost_gap == pytest.approx(plan.cost_mm / proof.bound_cost_mm - 1)


def test_a_set_up_is_worth_more_way():
    """Two small orders far apart and two large ones: walked the shortest way on three carts, with a set-up on two."""
    room = Block((0, 10_000), 10_000)
    orders = [[(0, 1000)], [(0, 2000)], [(1, 9000)], [(1, 8000)]]
    weights = [6, 5, 5, 4]

    shortest = plan_batches(room, orders, capacity=11, weights=weights)
    quickest = plan_batches(room, orders, capacity=11, weights=weights, set_up_mm=100_000)

    assert len(quickest.batches) == 2
    assert quickest.cost_mm <= shortest.length_mm + 100_000 * len(shortest.batches)


@pytest.mark.parametrize("seed", range(5))
def test_walks_are_taken_apart_where_single_exchanges_empty_none(seed):
    """Five full carts of 100, cut by chance into four parts each and dealt out onto more carts, are found again."""
    rng = np.random.default_rng(seed)
    cuts = np.sort(rng.choice(np.arange(1, 100), size=(5, 3), replace=False), axis=1)
    weights = [int(part) for row in cuts for part in np.diff([0, *row, 100])]
    loads = CartLoads.of(20, (9, 100), [(1, weight) for weight in weights])
    walks = ROOM.evaluator(random_orders(20, seed))
    start = constructed(walks, loads)

    plan = emptied(walks, loads, start, seed=seed, steps=20_000)
    again = emptied(walks, loads, start, seed=seed, steps=20_000)

    assert plan.tolist() == again.tolist()
    assert plan.max() + 1 <= start.max() + 1
    assert all(loads.fits(np.flatnonzero(plan == batch).tolist()) for batch in range(plan.max() + 1))
    assert int(plan.max()) + 1 <= 6


@pytest.mark.parametrize("seed", range(20))
def test_no_plan_has_fewer_walks_than_that(seed):
    """The fewest walks that loads of two kinds allow are never more than a plan of seven orders needs."""
    rng = np.random.default_rng(seed)
    weights = [(int(a), int(b)) for a, b in zip(rng.integers(0, 6, size=7), rng.integers(1, 31, size=7), strict=True)]
    loads = CartLoads.of(7, (6, 30), weights)
    fits = [sum(1 << order for order in batch) for batch in batches_that_fit(weights, (6, 30))]
    walks_of = {0: 0}
    for chosen in range(1, 1 << 7):
        walks_of[chosen] = 1 + min(walks_of[chosen & ~batch] for batch in fits if batch & chosen & -chosen)

    assert loads.fewest_batches() <= walks_of[(1 << 7) - 1]


def test_large_orders_leave_no_room_beside_them():
    """Six orders fill a cart each but for 2 l; of twenty of 3 l, four to a cart, none rides with them: six and five."""
    loads = CartLoads.of(26, (4, 100), [(1, 98)] * 6 + [(1, 3)] * 20)

    assert loads.fewest_batches() == 11


def test_a_set_up_below_nothing_is_refused(room):
    """The refusal names it."""
    with pytest.raises(PlanRefused) as refused:
        plan_batches(room, random_orders(2, 0), capacity=2, set_up_mm=-5)

    assert str(refused.value) == "Cannot plan batches with a set-up of '-5 mm': expected 0 or more."
