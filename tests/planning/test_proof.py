"""Proven bounds."""

from itertools import count

import numpy as np
import pytest
from scipy.optimize import linprog

from fulfil.planning.batching import plan_batches
from fulfil.planning.proving.proof import prove
from fulfil.room.block import Block

from .conftest import batches_that_fit, random_orders, shortest_plan_mm


@pytest.mark.parametrize("seed", range(5))
def test_the_bound_never_exceeds_the_best_plan(room, seed):
    """For eight orders, with and without weights, the bound is at most the shortest plan found by trying everything."""
    orders = random_orders(8, seed)
    weights = [1 + (3 * order + seed) % 5 for order in range(8)]
    for capacity, loads in ((3, None), (9, weights)):
        best = shortest_plan_mm(room, orders, [(load,) for load in loads or [1] * 8], (capacity,))

        proof = prove(plan_batches(room, orders, capacity=capacity, weights=loads))

        assert proof.closed
        assert proof.bound_mm <= best
        assert proof.bound_mm >= 0.9 * best


def test_a_stopped_proof_keeps_a_valid_bound(room):
    """Without any time the bound is weaker, not closed, and still below the plan."""
    plan = plan_batches(room, random_orders(30, 1), capacity=6, effort="quick")
    driven = prove(plan)

    stopped = prove(plan, seconds=0)

    assert not stopped.closed
    assert 0 < stopped.bound_mm <= driven.bound_mm <= plan.length_mm
    assert driven.closed


def test_the_clock_decides_only_how_far_the_bound_goes(room):
    """With a clock that ticks a second at each look, a short proof is no better than a longer one; the plan stays."""
    plan = plan_batches(room, random_orders(30, 2), capacity=6, effort="quick")

    short, longer = (prove(plan, seconds=seconds, clock=count().__next__) for seconds in (3, 60))

    assert short.bound_mm <= longer.bound_mm
    assert short.plan == longer.plan == plan


def test_the_bound_only_grows_while_it_is_driven(room):
    """Progress reports the plan's length and a bound that never falls."""
    plan = plan_batches(room, random_orders(24, 3), capacity=5, effort="quick")
    seen = []

    proof = prove(plan, progress=lambda length_mm, bound_mm: seen.append((length_mm, bound_mm)))

    assert seen == sorted(seen)
    assert seen[-1] == (plan.length_mm, proof.bound_mm)


def test_groups_and_fixed_batches_are_bounded_apart(room):
    """The bound of a day is the fixed walks plus each group's own bound."""
    orders = random_orders(16, 4)
    groups = ["14:00"] * 8 + ["17:00"] * 8
    plan = plan_batches(room, orders, capacity=3, groups=groups, fixed=[[0, 1]])
    early = plan_batches(room, orders[2:8], capacity=3)
    late = plan_batches(room, orders[8:], capacity=3)

    fixed_mm = plan.walks_mm[plan.batches.index((0, 1))]

    assert prove(plan).bound_mm == fixed_mm + prove(early).bound_mm + prove(late).bound_mm


def test_an_empty_day_is_proven(room):
    """No orders: bound zero, closed, no gap."""
    proof = prove(plan_batches(room, [], capacity=3))

    assert (proof.bound_mm, proof.closed, proof.gap) == (0, True, 0.0)


@pytest.mark.parametrize("seed", range(4))
def test_exactly_as_many_batches_as_needed_are_told_from_more(seed):
    """Nine orders on carts of four: three carts with three places free, or more; the bound holds and is close."""
    room = Block((0, 5000, 10000), 10000)
    rng = np.random.default_rng(seed)
    orders = [[(int(rng.integers(3)), int(rng.integers(1, 100)) * 100) for _ in range(3)] for _ in range(9)]
    best = shortest_plan_mm(room, orders, [(1,)] * 9, (4,))

    proof = prove(plan_batches(room, orders, capacity=4))

    assert 0.98 * best <= proof.bound_mm <= best == proof.plan.length_mm


@pytest.mark.parametrize(("seed", "capacity"), [(seed, capacity) for seed in range(6) for capacity in (2, 3, 5)])
def test_a_closed_bound_is_the_value_over_all_batches_or_more(room, seed, capacity):
    """What is not looked for, as it can't move the bound, is missed by nobody: SciPy's value over all batches."""
    orders = random_orders(8, 100 + seed)
    batches = list(batches_that_fit([(1,)] * 8, (capacity,)))
    walks_mm = [room.shortest_walk([stop for order in batch for stop in orders[order]]).length_mm for batch in batches]
    holds = [[-float(order in batch) for batch in batches] for order in range(8)]
    count = [-1.0] * len(batches)
    value_mm = linprog(walks_mm, A_ub=[*holds, count], b_ub=[-1.0] * 8 + [-float(-(-8 // capacity))]).fun

    proof = prove(plan_batches(room, orders, capacity=capacity))

    assert proof.closed
    assert value_mm - 0.001 <= proof.bound_mm <= proof.plan.length_mm
