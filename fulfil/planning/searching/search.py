"""The search for batches: construction, annealing from several seeds, recombination; how much of each says the effort.

- Up to :data:`FEW_ORDERS` orders: the best plan, exactly (:mod:`fulfil.planning.searching.few_orders`).
- Up to :data:`BLOCK_ORDERS`: independent annealing runs, the best counts; where carts are left half empty,
  every other one begins with the fewest carts (:mod:`fulfil.planning.filling`), or, where a walk costs a set-up, all
  of them with walks taken apart (:mod:`fulfil.planning.searching.emptying`); then, where the effort says so and
  batches are small, the best plan that can be put together from batches the runs met.
- More: the plan is cut into blocks of like batches, blocks are annealed on their own, and cut again another way,
  so the work grows in proportion to the orders (the idea of Taillard & Voss 2002, *POPMUSIC: Partial Optimization
  Metaheuristic under Special Intensification Conditions*, doi 10.1007/978-1-4615-1507-4_27).

What counts is the *cost*: the sum of the walks, and for each walk the way that could be walked during its set-up. Every
effort searches as the lesser ones do, too, and the best plan counts: more effort never gives a worse plan.

Runs and blocks are shared out over two threads; the plan doesn't depend on which is ready first.
"""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fulfil.errors import PlanRefused
from fulfil.planning.cart import CartLoads
from fulfil.planning.filling import filled
from fulfil.planning.plan import Batch, PartWalks, walk_mm
from fulfil.planning.walks import Walks
from fulfil.progress import each, told

BatchOf = NDArray[np.int64]
"""For each order the number of its batch, from 0 without gaps, in the order of each batch's first order."""

FEW_ORDERS = 13
"""Up to here trying everything costs some milliseconds; the work grows threefold with each order."""

BLOCK_ORDERS = 250
"""Longer lists are cut into blocks of about so many."""

SAVINGS_ORDERS = 1200
"""Savings compare every pair, so longer lists are cut first, by the length of each order's own walk."""

MOST_PROPOSALS = 250_000_000
"""In blocks, at most so many changes are tried in all, so that the longest lists stay within minutes."""

_NEAR = 24
_VISITED_ROWS = 8192


@dataclass(frozen=True)
class Effort:
    """How much work a search does.

    Attributes:
        proposals_per_order: Changes tried for each order in each run.
        least: Changes tried in each run however few the orders.
        runs: Independent runs from neighbouring seeds; the best counts.
        rounds: How often a long list is cut into blocks, each time another way.
        columns: Batches that enter the recombination at most; 0 for none.
        branches: Branches of the recombination.
        orders_per_batch: Recombination pays, and is done, up to so many orders to a batch on average.
        hot: First temperature, as a share of the mean walk of a batch.
        cold: Last temperature, likewise.
        emptying: Orders put somewhere at most while one walk is taken apart.
        lesser: The next lesser effort, whose plan counts too.
    """

    proposals_per_order: int
    least: int
    runs: int
    rounds: int
    columns: int = 0
    branches: int = 0
    orders_per_batch: float = 0.0
    hot: float = 0.012
    cold: float = 0.004
    emptying: int = 300
    lesser: "Effort | None" = None


_QUICK = Effort(2_000, 50_000, 1, 2)
_NORMAL = Effort(75_000, 750_000, 2, 5, columns=500, branches=1, orders_per_batch=3.6, emptying=1_000, lesser=_QUICK)
_THOROUGH = Effort(
    250_000, 2_500_000, 4, 8, columns=1000, branches=5, orders_per_batch=6.0, emptying=3_000, lesser=_NORMAL
)
_LONG = Effort(
    1_000_000, 10_000_000, 8, 12, columns=2000, branches=50, orders_per_batch=8.0, emptying=10_000, lesser=_THOROUGH
)

EFFORTS = {
    "none": Effort(0, 0, 0, 0),
    "quick": _QUICK,
    "normal": _NORMAL,
    "thorough": _THOROUGH,
    "long": _LONG,
}
"""Named efforts; ``none`` is construction alone."""


def effort_named(name: str) -> Effort:
    """The effort of this name, or a refusal that lists them."""
    if name not in EFFORTS:
        raise PlanRefused("plan batches with effort", name, f"one of {', '.join(EFFORTS)}")
    return EFFORTS[name]


def efforts_up_to(name: str) -> list[str]:
    """The names of an effort and of all lesser ones that it counts, the least first.

    >>> efforts_up_to("normal")
    ['quick', 'normal']
    """
    effort = effort_named(name)
    lesser = [known for known, one in EFFORTS.items() if one is effort.lesser]
    return [*(efforts_up_to(lesser[0]) if lesser else []), name]


def numbered(batch_of: BatchOf) -> BatchOf:
    """The same plan with batches numbered from 0 by their first order."""
    _, first, inverse = np.unique(batch_of, return_index=True, return_inverse=True)
    rank = np.empty(len(first), dtype=np.int64)
    rank[np.argsort(first)] = np.arange(len(first))
    return rank[inverse].astype(np.int64)


def batches_of(batch_of: BatchOf) -> list[list[int]]:
    """The orders of each batch."""
    batches: list[list[int]] = [[] for _ in range(int(batch_of.max(initial=-1)) + 1)]
    for order, batch in enumerate(batch_of):
        batches[batch].append(order)
    return batches


def plan_length(walks: Walks, batch_of: BatchOf) -> int:
    """Sum of the walks in mm."""
    return sum(walk_mm(walks, batch) for batch in batches_of(batch_of) if batch)


def plan_cost(walks: Walks, batch_of: BatchOf, set_up_mm: int) -> int:
    """Sum of the walks and their set-ups, in mm."""
    return plan_length(walks, batch_of) + set_up_mm * (int(batch_of.max(initial=-1)) + 1)


def constructed(walks: Walks, loads: CartLoads) -> BatchOf:
    """The plan by savings alone."""
    from fulfil.planning.searching.savings import join_by_savings  # compiles: only when it is used

    count = len(walks.occupancy)
    pieces = -(-count // SAVINGS_ORDERS)
    if pieces <= 1:
        return numbered(join_by_savings(walks.walk, walks.geometry, walks.occupancy, loads.load, loads.capacity))
    singles = np.array([walk_mm(walks, (order,)) for order in range(count)], dtype=np.int64)
    batch_of = np.empty(count, dtype=np.int64)
    for piece in np.array_split(np.argsort(-singles, kind="stable"), pieces):
        places = np.sort(piece)
        part = loads.part([int(place) for place in places])
        joined = join_by_savings(walks.walk, walks.geometry, walks.occupancy[places], part.load, part.capacity)
        batch_of[places] = places[joined]
    return numbered(batch_of)


def searched(
    walks: Walks, loads: CartLoads, start: BatchOf, *, seed: int, effort: Effort, set_up_mm: int = 0
) -> BatchOf:
    """A plan that costs no more than ``start``, nor than a lesser effort's; the same for the same seed and effort."""
    count = len(start)
    if count < 2 or not effort.runs:
        return start
    if count <= FEW_ORDERS:
        from fulfil.planning.searching.few_orders import plan_few  # compiles: only when it is used

        best = np.empty(count, dtype=np.int64)
        plan_few(walks.walk, walks.geometry, walks.occupancy, loads.load, loads.capacity, set_up_mm, best)
        return numbered(best)
    known = start
    if effort.lesser is not None:
        known = searched(walks, loads, start, seed=seed, effort=effort.lesser, set_up_mm=set_up_mm)
    means = _search_blocks if count > BLOCK_ORDERS else _search_runs
    found = means(walks, loads, start, known, seed, effort, set_up_mm)
    return min(found, known, key=lambda plan: plan_cost(walks, plan, set_up_mm))


def _annealing(
    walks: Walks, loads: CartLoads, visited_rows: int, set_up_mm: int
) -> Callable[[BatchOf, int, int, float, float], tuple[int, BatchOf, NDArray[np.int64]]]:
    """A function of start, seed, proposals and temperatures in mm: cost, plan and batches met."""
    from fulfil.planning.searching.annealing import anneal  # compiles: only when it is used
    from fulfil.planning.searching.savings import nearest_orders

    near = nearest_orders(walks.walk, walks.geometry, walks.occupancy, _NEAR)
    largest = loads.most_orders()

    def run(
        start: BatchOf, seed: int, proposals: int, hot_mm: float, cold_mm: float
    ) -> tuple[int, BatchOf, NDArray[np.int64]]:
        batch_of = start.copy()
        visited = np.full((visited_rows, largest), -1, dtype=np.int64)
        cost_mm = anneal(
            walks.walk,
            walks.geometry,
            walks.occupancy,
            loads.load,
            loads.capacity,
            near,
            np.array([largest, proposals, set_up_mm], dtype=np.int64),
            np.uint64(seed % 2**64),
            hot_mm,
            cold_mm,
            batch_of,
            visited,
        )
        return int(cost_mm), batch_of, visited

    return run


def _mean_walk_mm(walks: Walks, batch_of: BatchOf) -> float:
    return max(1.0, plan_length(walks, batch_of) / (int(batch_of.max()) + 1))


def _search_runs(
    walks: Walks, loads: CartLoads, start: BatchOf, known: BatchOf, seed: int, effort: Effort, set_up_mm: int
) -> BatchOf:
    """The best plan of independent runs; ``known`` is another that may be given back or put together with theirs."""
    count = len(start)
    walk_length = _mean_walk_mm(walks, start)
    recombines = effort.columns > 0 and count <= effort.orders_per_batch * (int(start.max()) + 1)
    run = _annealing(walks, loads, _VISITED_ROWS if recombines else 0, set_up_mm)
    proposals = max(effort.proposals_per_order * count, effort.least)
    starts = _starts(walks, loads, start, known, seed, effort, set_up_mm)

    def numbered_run(number: int) -> tuple[int, BatchOf, NDArray[np.int64]]:
        begun = starts[number % len(starts)]
        return run(begun, seed * 1_000_003 + number, proposals, effort.hot * walk_length, effort.cold * walk_length)

    how_many = max(effort.runs, len(starts)) if set_up_mm else effort.runs
    with ThreadPoolExecutor(max_workers=2) as pool:
        runs = [*told("searching walks", pool.map(numbered_run, range(how_many)), how_many)]
    cost_mm, best, _ = min(runs, key=lambda found: found[0])
    if plan_cost(walks, known, set_up_mm) < cost_mm:
        cost_mm, best = plan_cost(walks, known, set_up_mm), known
    if recombines:
        met = [row for _, plan, visited in runs for row in _met(plan, visited)]
        better = _recombined(walks, loads, [*met, *_batches(best)], cost_mm, effort, set_up_mm)
        best = best if better is None else better
    return numbered(best)


def _starts(
    walks: Walks, loads: CartLoads, start: BatchOf, known: BatchOf, seed: int, effort: Effort, set_up_mm: int
) -> list[BatchOf]:
    """What the runs begin with in turn; where a walk costs a set-up, what a lesser effort has shown to pay."""
    if int(start.max()) + 1 <= loads.fewest_batches():
        return [start]
    if set_up_mm:
        from fulfil.planning.searching.emptying import emptied  # only where there is something to empty

        fewer = emptied(walks, loads, start, seed=seed, steps=effort.emptying)
        if fewer.max() == start.max():
            return [start]
        if effort.lesser is None:
            return [fewer, start]
        return [fewer] if known.max() < start.max() else [start, fewer]
    if len(loads.capacity) == 1:
        full = numbered(filled(loads))
        if full.max() < start.max():
            return [start, full]
    return [start]


def _met(plan: BatchOf, visited: NDArray[np.int64]) -> list[Batch]:
    """Batches that a run met, its plan's own among them."""
    rows = [tuple(sorted(int(order) for order in row if order >= 0)) for row in visited if row[0] >= 0]
    return rows + _batches(plan)


def _batches(plan: BatchOf) -> list[Batch]:
    return [tuple(batch) for batch in batches_of(plan) if batch]


def _recombined(
    walks: Walks, loads: CartLoads, met: list[Batch], cost_mm: int, effort: Effort, set_up_mm: int
) -> BatchOf | None:
    """A plan that costs less than ``cost_mm`` from batches that were met, or None."""
    from fulfil.planning.searching.recombination import recombined  # loads the solver: only when it is used

    singles: list[Batch] = [(order,) for order in range(len(walks.occupancy))]
    pool = [(batch, walk_mm(walks, batch) + set_up_mm) for batch in sorted({*met, *singles})]
    batches = recombined(
        len(singles), loads.fewest_batches(), pool, cost_mm, columns=effort.columns, branches=effort.branches
    )
    if batches is None:
        return None
    batch_of = np.empty(len(singles), dtype=np.int64)
    for number, batch in enumerate(batches):
        batch_of[list(batch)] = number
    return batch_of


def _search_blocks(
    walks: Walks, loads: CartLoads, start: BatchOf, known: BatchOf, seed: int, effort: Effort, set_up_mm: int
) -> BatchOf:
    """The plan that is known, improved block by block; none gets worse. Walks are taken apart in the first round."""
    batch_of = known
    chance = np.random.default_rng(seed)
    walk_length = _mean_walk_mm(walks, start)
    cooling = (effort.cold / effort.hot) ** (1.0 / effort.rounds)
    per_order = min(effort.proposals_per_order * effort.runs // 2, MOST_PROPOSALS // len(start))
    per_order = max(1, per_order // effort.rounds)
    for number in each("searching walks", range(effort.rounds)):
        hot_mm = effort.hot * walk_length * cooling**number
        blocks = _blocks(walks, batch_of, chance)

        def improved(
            block: tuple[int, list[int]],
            hot_mm: float = hot_mm,
            plan: BatchOf = batch_of,
            empties: bool = number == 0 and set_up_mm > 0,
        ) -> BatchOf:
            block_seed, places = block
            part, part_loads = PartWalks.of(walks, places), loads.part(places)
            begun = numbered(plan[places])
            run = _annealing(part, part_loads, 0, set_up_mm)
            proposals = per_order * len(places)
            starts = [begun]
            if empties:
                starts = _starts(part, part_loads, begun, begun, block_seed, effort, set_up_mm)
            found = [run(one, block_seed, proposals, hot_mm, hot_mm * cooling)[:2] for one in starts]
            cost_mm, best = min(found, key=lambda plan: plan[0])
            return best if cost_mm <= plan_cost(part, begun, set_up_mm) else begun

        seeds = [int(word) for word in chance.integers(2**62, size=len(blocks))]
        with ThreadPoolExecutor(max_workers=2) as pool:
            found = list(pool.map(improved, zip(seeds, blocks, strict=True)))
        changed = np.empty_like(batch_of)
        first = 0
        for places, part_plan in zip(blocks, found, strict=True):
            changed[places] = part_plan + first
            first += int(part_plan.max()) + 1
        batch_of = numbered(changed)
    return batch_of


def _blocks(walks: Walks, batch_of: BatchOf, chance: np.random.Generator) -> list[list[int]]:
    """Orders of about BLOCK_ORDERS each, whole batches that lie side by side when seen from a random direction."""
    batches = batches_of(batch_of)
    parts = np.zeros((len(batches), walks.floor_parts), dtype=np.int64)
    for row, batch in enumerate(batches):
        walks.floor(np.bitwise_or.reduce(walks.occupancy[batch], axis=0), walks.geometry, parts[row])
    seen = parts @ chance.standard_normal(walks.floor_parts)
    wanted = max(1, round(len(batch_of) / BLOCK_ORDERS))
    blocks: list[list[int]] = []
    for piece in np.array_split(np.argsort(seen, kind="stable"), min(wanted, len(batches))):
        blocks.append(sorted(order for batch in piece for order in batches[batch]))
    return blocks
