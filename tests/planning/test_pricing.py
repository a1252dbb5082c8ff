"""Exact and near pricing against every batch there is."""

import numpy as np
import pytest

from fulfil.planning.cart import CartLoads
from fulfil.planning.plan import walk_mm
from fulfil.planning.proving.cuts import SHAPES, Cut
from fulfil.planning.proving.near_pricing import price_near
from fulfil.planning.proving.pricing import DIVISOR, PENALTY, SCALE, SHARE, price

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
    some = [Cut(tuple(sorted(int(o) for o in rng.choice(COUNT, n, replace=False))), d) for n, d in SHAPES]
    some = [cut for cut in some if len(cut.orders) <= COUNT]
    cuts = np.zeros((3, len(some)), dtype=np.int64)
    cuts_of = np.full((COUNT, len(some)), -1, dtype=np.int64)
    for number, cut in enumerate(some):
        cuts[DIVISOR, number] = cut.divisor
        cuts[PENALTY, number] = int(rng.integers(0, 4000 * SCALE))
        cuts[SHARE, number] = cuts[PENALTY, number] // cut.sharers
        for order in cut.orders:
            cuts_of[order, int((cuts_of[order] >= 0).sum())] = number
    spare = np.array([[0, loads.load.shape[1] - 1], [2, 3], [700 * SCALE, 900 * SCALE]], dtype=np.int64)
    return walks, loads, dual, 1500 * SCALE, some, cuts_of, cuts, spare


def reduced(problem, batch):
    """Reduced cost by its definition."""
    walks, loads, dual, sigma, some, _, cuts, spare = problem
    hit = sum(int(cuts[PENALTY, number]) * cut.counts(batch) for number, cut in enumerate(some))
    left = loads.capacity - loads.load[list(batch)].sum(axis=0)
    free = sum(int(left[kind] // divisor * penalty) for kind, divisor, penalty in spare.T)
    return walk_mm(walks, batch) * SCALE - sum(int(dual[order]) for order in batch) - sigma + hit + free


def fitting(loads, least_load):
    """Every batch that fits and carries enough."""
    rows = [tuple(row) for row in loads.load.tolist()]
    for batch in batches_that_fit(rows, loads.capacity.tolist()):
        if (loads.load[list(batch)].sum(axis=0) >= least_load).all():
            yield batch


def priced(problem, least_load, *, threshold=0, node_limit=10**9, first=0, every=1):
    """What ``price`` returns, and the batches it found."""
    walks, loads, dual, sigma, _, cuts_of, cuts, spare = problem
    largest = loads.most_orders()
    found = np.full((5000, largest + 1), -1, dtype=np.int64)
    cost = np.zeros(5000, dtype=np.int64)
    value = np.zeros(5000, dtype=np.int64)
    limits = [walks.floor_parts, largest, threshold, node_limit, first, every]
    least, rows, nodes = price(
        walks.walk,
        walks.floor,
        walks.geometry,
        walks.occupancy,
        loads.load,
        loads.capacity,
        least_load,
        spare,
        np.argsort(-dual, kind="stable"),
        dual,
        sigma,
        cuts_of,
        cuts,
        np.array(limits, dtype=np.int64),
        found,
        cost,
        value,
    )
    batches = {tuple(sorted(int(o) for o in found[row] if o >= 0)): int(value[row]) for row in range(rows)}
    return least, batches, nodes


@pytest.mark.parametrize("share", [0.0, 0.4])
@pytest.mark.parametrize("kind", ["orders", "weights", "both"])
@pytest.mark.parametrize("seed", range(10))
def test_exact_pricing_finds_exactly_the_batches_that_price_out(seed, kind, share):
    """Every batch of negative reduced cost that carries enough is found, no other, and the least of all is told."""
    problem = case(seed, kind)
    least_load = np.floor(problem[1].capacity * share).astype(np.int64)
    expected = {batch: value for batch in fitting(problem[1], least_load) if (value := reduced(problem, batch)) < 0}

    least, batches, nodes = priced(problem, least_load)

    assert nodes > 0
    assert batches == expected
    assert least == min(expected.values(), default=0)


@pytest.mark.parametrize("kind", ["orders", "both"])
def test_two_shares_of_the_first_branches_find_what_one_search_finds(kind):
    """Every other first branch here, the rest there: together the same batches."""
    problem = case(4, kind)
    nothing = np.zeros_like(problem[1].capacity)

    halves = [priced(problem, nothing, first=first, every=2) for first in (0, 1)]

    assert halves[0][1] | halves[1][1] == priced(problem, nothing)[1]
    assert min(half[0] for half in halves) == priced(problem, nothing)[0]


def test_a_threshold_above_zero_lists_what_lies_below_it():
    """With a positive threshold every batch below it is found: the list that a reduced-cost gap allows."""
    problem = case(3, "orders")
    nothing = np.zeros_like(problem[1].capacity)
    room = 4000 * SCALE
    expected = {batch for batch in fitting(problem[1], nothing) if reduced(problem, batch) < room}

    _, batches, _ = priced(problem, nothing, threshold=room)

    assert set(batches) == expected


def test_a_stopped_search_says_so():
    """At the limit the number of branches is negative: nothing is proven."""
    problem = case(0, "orders")

    assert priced(problem, np.zeros_like(problem[1].capacity), node_limit=2)[2] < 0


@pytest.mark.parametrize("share", [0.0, 0.4])
@pytest.mark.parametrize("kind", ["orders", "weights", "both"])
def test_near_pricing_finds_only_true_columns(kind, share):
    """Every batch found by exchanges fits, carries enough, prices out, and has its exact reduced cost and walk."""
    problem = case(2, kind)
    walks, loads, dual, sigma, _, cuts_of, cuts, spare = problem
    least_load = np.floor(loads.capacity * share).astype(np.int64)
    largest = loads.most_orders()
    starts = np.full((COUNT, largest + 1), -1, dtype=np.int64)
    starts[:, 0] = np.arange(COUNT)
    found = np.full((500, largest + 1), -1, dtype=np.int64)
    cost = np.zeros(500, dtype=np.int64)
    value = np.zeros(500, dtype=np.int64)

    rows = price_near(
        walks.walk,
        walks.floor,
        walks.floor_parts,
        walks.geometry,
        walks.occupancy,
        loads.load,
        loads.capacity,
        least_load,
        spare,
        dual,
        sigma,
        cuts_of,
        cuts,
        starts,
        10**6,
        found,
        cost,
        value,
    )

    assert rows > 0
    for row in range(rows):
        batch = tuple(int(order) for order in found[row] if order >= 0)
        assert loads.fits(batch)
        assert (loads.load[list(batch)].sum(axis=0) >= least_load).all()
        assert int(cost[row]) == walk_mm(walks, batch)
        assert int(value[row]) == reduced(problem, batch) < 0
