"""Plans: which orders share a cart."""

import pytest

from fulfil.errors import PlanRefused, RoomRefused
from fulfil.planning.batching import plan_batches

from .conftest import random_orders, shortest_plan_mm


def covered(plan):
    """Every place in the plan's batches, sorted."""
    return sorted(order for batch in plan.batches for order in batch)


@pytest.mark.parametrize("seed", range(6))
def test_few_orders_get_the_best_plan_there_is(room, seed):
    """Up to thirteen orders the plan is as short as the shortest found by trying everything."""
    orders = random_orders(8, seed)

    plan = plan_batches(room, orders, capacity=3)

    assert plan.length_mm == shortest_plan_mm(room, orders, [(1,)] * 8, (3,))


@pytest.mark.parametrize("seed", range(4))
def test_several_capacities_at_once(room, seed):
    """With positions and volume both limited, the plan is the best of those that keep to both."""
    orders = random_orders(7, seed)
    weights = [(1, 3 + 5 * (order % 4)) for order in range(7)]

    plan = plan_batches(room, orders, capacity=(3, 30), weights=weights)

    assert plan.length_mm == shortest_plan_mm(room, orders, weights, (3, 30))
    for batch in plan.batches:
        assert sum(weights[order][1] for order in batch) <= 30


def test_every_order_is_in_one_batch_and_lengths_add_up(room):
    """A plan of 60 orders covers each once, keeps to the capacity, and its walks are the room's shortest."""
    orders = random_orders(60, 1)

    plan = plan_batches(room, orders, capacity=8, effort="quick")

    assert covered(plan) == list(range(60))
    assert max(len(batch) for batch in plan.batches) <= 8
    assert plan.walks_mm == tuple(
        room.shortest_walk([stop for order in batch for stop in orders[order]]).length_mm for batch in plan.batches
    )
    assert plan.length_mm == sum(plan.walks_mm) <= plan.start_mm <= plan.one_by_one_mm


def test_the_same_seed_gives_the_same_plan(room):
    """Two searches with one seed agree, batch by batch; the plan is written in its one form."""
    orders = random_orders(40, 2)

    one, two = (plan_batches(room, orders, capacity=6, seed=7, effort="quick") for _ in range(2))

    assert one.batches == two.batches
    assert one.batches == tuple(sorted(tuple(sorted(batch)) for batch in one.batches))


def test_long_lists_are_searched_by_blocks(room):
    """300 orders are cut into blocks; the plan still covers each once, repeats, and is no longer than savings'."""
    orders = random_orders(300, 3)

    one, two = (plan_batches(room, orders, capacity=8, seed=1, effort="quick") for _ in range(2))

    assert one.batches == two.batches
    assert covered(one) == list(range(300))
    assert one.length_mm < one.start_mm


def test_a_fixed_batch_stays_and_nobody_joins_it(room):
    """A cart on its way keeps exactly its orders."""
    orders = random_orders(20, 4)

    plan = plan_batches(room, orders, capacity=4, fixed=[[3, 11]], effort="quick")

    assert (3, 11) in plan.batches
    assert plan.fixed == ((3, 11),)
    assert covered(plan) == list(range(20))


def test_only_orders_with_equal_keys_share_a_cart(room):
    """Two cut-offs and an order that goes alone are kept apart."""
    orders = random_orders(20, 5)
    groups = ["14:00"] * 9 + ["alone"] + ["17:00"] * 10

    plan = plan_batches(room, orders, capacity=5, groups=groups, effort="quick")

    assert (9,) in plan.batches
    assert all(len({groups[order] for order in batch}) == 1 for batch in plan.batches)


def test_a_changed_order_is_fitted_into_the_morning_plan(room):
    """Begun from this morning's batches, without one and with a new order, the plan covers all and starts from them."""
    orders = random_orders(30, 6)
    morning = plan_batches(room, orders[:29], capacity=5, effort="quick")
    begun = [[order for order in batch if order != 2] for batch in morning.batches]

    plan = plan_batches(room, orders, capacity=5, start=begun, effort="none")

    assert covered(plan) == list(range(30))
    untouched = [batch for batch in morning.batches if 2 not in batch]
    assert sum(set(batch) <= set(planned) for batch in untouched for planned in plan.batches) == len(untouched)


def test_start_batches_that_no_longer_fit_are_thinned(room):
    """A cart that got smaller keeps what fits; the rest is fitted in elsewhere."""
    plan = plan_batches(room, random_orders(6, 7), capacity=2, start=[[0, 1, 2], [3, 4, 5]], effort="none")

    assert max(len(batch) for batch in plan.batches) <= 2
    assert covered(plan) == list(range(6))


def test_no_orders_make_an_empty_plan(room):
    """A day without orders has no walks."""
    plan = plan_batches(room, [], capacity=8)

    assert (plan.batches, plan.length_mm, plan.one_by_one_mm) == ((), 0, 0)


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (
            {"capacity": 5, "weights": [6, 1]},
            "Cannot load order 0 with weight '6': expected at most the capacity 5.",
        ),
        (
            {"capacity": 0},
            "Cannot plan batches with capacity '0': expected a whole number of 1 or more for each kind.",
        ),
        (
            {"capacity": 4, "weights": [1]},
            "Cannot plan batches with weights for '1 orders': expected 2, one for each order.",
        ),
        (
            {"capacity": (4, 9)},
            "Cannot plan batches with capacity '(4, 9)': expected weights for each order and kind.",
        ),
        (
            {"capacity": 4, "weights": [1, -1]},
            "Cannot load order 1 with weight '(-1,)': expected 1 whole numbers of 0 or more, one for each kind.",
        ),
        (
            {"capacity": 4, "effort": "heroic"},
            "Cannot plan batches with effort 'heroic': expected one of none, quick, normal, thorough, long.",
        ),
        (
            {"capacity": 4, "fixed": [[0], [0]]},
            "Cannot fix batch '(0,)': expected places from 0 to 1, each at most once.",
        ),
        (
            {"capacity": 4, "start": [[2]]},
            "Cannot start from batch '(2,)': expected places from 0 to 1, each at most once.",
        ),
        (
            {"capacity": 4, "groups": ["a"]},
            "Cannot plan batches with groups for '1 orders': expected 2, one for each order.",
        ),
    ],
)
def test_wrong_use_is_refused(room, arguments, sentence):
    """The refusal names what was tried, the value and what was expected."""
    with pytest.raises(PlanRefused) as refused:
        plan_batches(room, random_orders(2, 0), **arguments)

    assert str(refused.value) == sentence


def test_a_stop_in_no_aisle_is_refused(room):
    """The room says so before anything is planned."""
    with pytest.raises(RoomRefused):
        plan_batches(room, [[(9, 100)]], capacity=2)
