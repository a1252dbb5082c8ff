"""What further orders can be worth at most, against every choice of them."""

from itertools import combinations

import numpy as np
import pytest

from fulfil.planning.batching import plan_batches
from fulfil.planning.proving.proof import prove
from fulfil.planning.proving.worth import ORDER, UNIT, best_prices, keep_worthy, most_worth
from fulfil.room.blocks import Blocks

from .conftest import shortest_plan_mm

COUNT = 9


def case(seed):
    """Values, loads of two kinds and what is left of them."""
    rng = np.random.default_rng(seed)
    load = np.stack([np.ones(COUNT, dtype=np.int64), rng.integers(0, 9, size=COUNT)], axis=1)
    table = np.zeros((5, COUNT), dtype=np.int64)
    table[ORDER] = rng.permutation(COUNT)
    return rng.integers(-300, 1000, size=COUNT), np.ascontiguousarray(load), np.array([4, 12]), table


def choices(value, load, left, table):
    """Every set of candidates that fits, with its worth."""
    for size in range(5):
        for chosen in combinations(range(COUNT), size):
            if (load[table[ORDER, list(chosen)]].sum(axis=0) <= left).all():
                yield set(chosen), int(value[list(chosen)].sum())


@pytest.mark.parametrize("seed", range(40))
def test_no_choice_is_worth_more_at_any_price(seed):
    """At no price, a tenth, the best found and a great one, some set of candidates is worth more than is said."""
    value, load, left, table = case(seed)
    best = max(worth for _, worth in choices(value, load, left, table))
    scratch = np.zeros((3, COUNT + 1), dtype=np.int64)
    prices = np.zeros(2, dtype=np.int64)

    best_prices(value, 4, table, COUNT, load, left, prices, scratch)
    said = [
        most_worth(value, 4, table, COUNT, load, 1, 12, price, scratch)[0]
        for price in (0, UNIT // 10, int(prices[1]), 500 * UNIT)
    ]

    assert best <= min(said)
    assert said[2] == min(said[0], said[2])


@pytest.mark.parametrize("seed", range(40))
def test_no_candidate_of_a_worthy_batch_is_dropped(seed):
    """Each member of each set that is worth more than the base stays; something is dropped where the base is high."""
    value, load, left, table = case(seed)
    known = list(choices(value, load, left, table))
    base = max(worth for _, worth in known) - 50
    needed = {int(table[ORDER, index]) for chosen, worth in known if worth > base for index in chosen}
    scratch = np.zeros((3, COUNT + 1), dtype=np.int64)
    prices = np.zeros(2, dtype=np.int64)
    best_prices(value, 4, table, COUNT, load, left, prices, scratch)

    kept = keep_worthy(value, base, 4, table, COUNT, load, left, prices, scratch)

    assert needed <= {int(order) for order in table[ORDER, :kept]}
    assert kept < COUNT


def test_places_and_load_together_bound_closer_than_each_alone():
    """By hand: two places, 6 kg; worth 60, 50, 30, 20 for 6, 4, 3, 1 kg: 78 at 8 a kg; 110 by places, 80 by load."""
    load = np.array([[6], [4], [3], [1]])
    table = np.zeros((5, 4), dtype=np.int64)
    table[ORDER] = [0, 1, 2, 3]
    value = 1000 * np.array([60, 50, 30, 20])
    scratch = np.zeros((3, 5), dtype=np.int64)
    prices = np.zeros(1, dtype=np.int64)

    best_prices(value, 2, table, 4, load, np.array([6]), prices, scratch)

    def worth(places, price):
        return most_worth(value, places, table, 4, load, 0, 6, price, scratch)[0]

    assert worth(2, 0) == 110_000
    assert worth(4, 10_000 * UNIT) == 80_000
    assert worth(2, 8_000 * UNIT) == 78_000 <= worth(2, prices[0]) < 79_000


@pytest.mark.parametrize("crossings", [3, 4])
@pytest.mark.parametrize("seed", range(6))
def test_bounds_in_several_blocks_hold_for_places_and_litres(seed, crossings):
    """Seven orders, carts of three places and 14 l, two or three blocks: never above the best of all plans."""
    rng = np.random.default_rng(100 * crossings + seed)
    cross_y_mm = tuple(8000 * number for number in range(crossings))
    room = Blocks(aisle_x_mm=(0, 3000, 6000, 9000), cross_y_mm=cross_y_mm, bench_mm=(0, 0))
    orders = [
        [(int(rng.integers(4)), int(rng.integers(1, cross_y_mm[-1]))) for _ in range(int(rng.integers(1, 5)))]
        for _ in range(7)
    ]
    loads = [(1, int(rng.integers(1, 9))) for _ in orders]
    best = shortest_plan_mm(room, orders, loads, (3, 14))

    proof = prove(plan_batches(room, orders, capacity=(3, 14), weights=loads))

    assert proof.closed
    assert 0.9 * best <= proof.bound_mm <= best <= proof.plan.length_mm
