"""Exact and near pricing against every batch there is."""

import numpy as np
import pytest

from fulfil.planning.cart import CartLoads
from fulfil.planning.near_pricing import price_near
from fulfil.planning.plan import walk_mm
from fulfil.planning.pricing import SCALE, price

from .conftest import ROOM, batches_that_fit, random_orders

COUNT = 11


def case(seed, kind):
    """Walks, loads, duals and penalties of a random pricing problem."""
    rng = np.random.default_rng(seed)
    walks = ROOM.evaluator(random_orders(COUNT, seed))
    if kind == "orders":
        loads = CartLoads.of(COUNT, 4, None)
    elif kind == "weights":
        loads = CartLoads.of(COUNT, 20, [int(weight) for weight in rng.integers(0, 12, size=COUNT)])
    else:
        rows = [(1, int(volume)) for volume in rng.integers(1, 9, size=COUNT)]
        loads = CartLoads.of(COUNT, (4, 18), rows)
    singles = np.array([walk_mm(walks, (order,)) for order in range(COUNT)])
    dual = np.floor(singles * rng.uniform(0.2, 0.8, size=COUNT) * SCALE).astype(np.int64)
    threes = [tuple(sorted(int(o) for o in rng.choice(COUNT, 3, replace=False))) for _ in range(5)]
    cuts_of = np.zeros((COUNT, 1), dtype=np.uint64)
    penalty = np.zeros(64, dtype=np.int64)
    for cut, three in enumerate(threes):
        cuts_of[list(three), 0] |= np.uint64(1 << cut)
        penalty[cut] = int(rng.integers(0, 4000 * SCALE))
    return walks, loads, dual, 1500 * SCALE, threes, cuts_of, penalty


def reduced(walks, batch, dual, sigma, threes, penalty):
    """Reduced cost by its definition."""
    hit = sum(int(penalty[cut]) for cut, three in enumerate(threes) if len(set(three) & set(batch)) >= 2)
    return walk_mm(walks, batch) * SCALE - sum(int(dual[order]) for order in batch) - sigma + hit


def priced(walks, loads, dual, sigma, cuts_of, penalty, *, threshold=0, haste=1, node_limit=10**9):
    """What ``price`` returns, and the batches it found."""
    largest = loads.most_orders()
    found = np.full((5000, largest + 1), -1, dtype=np.int64)
    cost = np.zeros(5000, dtype=np.int64)
    value = np.zeros(5000, dtype=np.int64)
    least, rows, nodes = price(
        walks.walk,
        walks.floor,
        walks.geometry,
        walks.occupancy,
        loads.load,
        loads.capacity,
        np.argsort(-dual, kind="stable"),
        dual,
        sigma,
        cuts_of,
        penalty,
        np.array([walks.floor_parts, largest, threshold, haste, node_limit], dtype=np.int64),
        found,
        cost,
        value,
    )
    batches = {tuple(sorted(int(o) for o in found[row] if o >= 0)): int(value[row]) for row in range(rows)}
    return least, batches, nodes


@pytest.mark.parametrize("kind", ["orders", "weights", "both"])
@pytest.mark.parametrize("seed", range(10))
def test_exact_pricing_finds_exactly_the_batches_that_price_out(seed, kind):
    """Every batch of negative reduced cost is found, no other, and the least is the least of all."""
    walks, loads, dual, sigma, threes, cuts_of, penalty = case(seed, kind)
    rows = [tuple(row) for row in loads.load.tolist()]
    expected = {
        batch: value
        for batch in batches_that_fit(rows, loads.capacity.tolist())
        if (value := reduced(walks, batch, dual, sigma, threes, penalty)) < 0
    }

    least, batches, nodes = priced(walks, loads, dual, sigma, cuts_of, penalty)

    assert nodes > 0
    assert batches == expected
    assert least == min(expected.values(), default=0)


def test_a_threshold_above_zero_lists_what_lies_below_it():
    """With a positive threshold every batch below it is found: the list that a reduced-cost gap allows."""
    walks, loads, dual, sigma, threes, cuts_of, penalty = case(3, "orders")
    rows = [tuple(row) for row in loads.load.tolist()]
    room = 4000 * SCALE
    expected = {
        batch
        for batch in batches_that_fit(rows, loads.capacity.tolist())
        if reduced(walks, batch, dual, sigma, threes, penalty) < room
    }

    _, batches, _ = priced(walks, loads, dual, sigma, cuts_of, penalty, threshold=room)

    assert set(batches) == expected


def test_a_stopped_search_says_so():
    """At the limit the number of branches is negative: nothing is proven."""
    walks, loads, dual, sigma, _, cuts_of, penalty = case(0, "orders")

    assert priced(walks, loads, dual, sigma, cuts_of, penalty, node_limit=2)[2] < 0


def test_haste_finds_only_true_columns():
    """A hasty search may miss batches but never misstates one."""
    walks, loads, dual, sigma, threes, cuts_of, penalty = case(1, "orders")

    _, batches, _ = priced(walks, loads, dual, sigma, cuts_of, penalty, haste=3)

    for batch, value in batches.items():
        assert value == reduced(walks, batch, dual, sigma, threes, penalty) < 0


@pytest.mark.parametrize("kind", ["orders", "weights", "both"])
def test_near_pricing_finds_only_true_columns(kind):
    """Every batch found by exchanges fits, prices out, and carries its exact reduced cost and walk."""
    walks, loads, dual, sigma, threes, cuts_of, penalty = case(2, kind)
    largest = loads.most_orders()
    starts = np.full((COUNT, largest + 1), -1, dtype=np.int64)
    starts[:, 0] = np.arange(COUNT)
    found = np.full((500, largest + 1), -1, dtype=np.int64)
    cost = np.zeros(500, dtype=np.int64)
    value = np.zeros(500, dtype=np.int64)

    rows = price_near(
        walks.walk,
        walks.geometry,
        walks.occupancy,
        loads.load,
        loads.capacity,
        dual,
        sigma,
        cuts_of,
        penalty,
        starts,
        20,
        found,
        cost,
        value,
    )

    assert rows > 0
    for row in range(rows):
        batch = tuple(int(order) for order in found[row] if order >= 0)
        assert loads.fits(batch)
        assert int(cost[row]) == walk_mm(walks, batch)
        assert int(value[row]) == reduced(walks, batch, dual, sigma, threes, penalty) < 0
