"""The search for batches: construction, then annealing from several seeds, the work shared out by a named effort."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fulfil.errors import PlanRefused
from fulfil.planning.annealing import anneal
from fulfil.planning.cart import CartLoads
from fulfil.planning.savings import join_by_savings, nearest_orders
from fulfil.planning.walks import Walks

BatchOf = NDArray[np.int64]
"""For each order the number of its batch, from 0 without gaps, in the order of each batch's first order."""


@dataclass(frozen=True)
class Effort:
    """How much work a search does.

    Attributes:
        proposals_per_order: Changes tried for each order in each run.
        runs: Independent runs from neighbouring seeds; the best counts.
        hot: First temperature, as a share of the mean walk of a batch.
        cold: Last temperature, likewise.
    """

    proposals_per_order: int
    runs: int
    hot: float = 0.04
    cold: float = 0.001


EFFORTS = {
    "none": Effort(0, 0),
    "quick": Effort(2_000, 1),
    "normal": Effort(25_000, 2),
    "thorough": Effort(100_000, 2),
    "long": Effort(1_000_000, 2),
}
"""Named efforts; ``none`` is construction alone."""


def effort_named(name: str) -> Effort:
    """The effort of this name, or a refusal that lists them."""
    if name not in EFFORTS:
        raise PlanRefused("plan batches with effort", name, f"one of {', '.join(EFFORTS)}")
    return EFFORTS[name]


def numbered(batch_of: BatchOf) -> BatchOf:
    """The same plan with batches numbered from 0 by their first order."""
    _, first, inverse = np.unique(batch_of, return_index=True, return_inverse=True)
    rank = np.empty(len(first), dtype=np.int64)
    rank[np.argsort(first)] = np.arange(len(first))
    return rank[inverse].astype(np.int64)


def plan_length(walks: Walks, batch_of: BatchOf) -> int:
    """Sum of the walks in mm."""
    total = 0
    for batch in range(int(batch_of.max(initial=-1)) + 1):
        marked = np.bitwise_or.reduce(walks.occupancy[batch_of == batch], axis=0)
        total += int(walks.walk(marked, walks.geometry))
    return total


def constructed(walks: Walks, loads: CartLoads) -> BatchOf:
    """The plan by savings alone."""
    return numbered(join_by_savings(walks.walk, walks.geometry, walks.occupancy, loads.load, loads.capacity))


def searched(walks: Walks, loads: CartLoads, start: BatchOf, *, seed: int, effort: Effort) -> BatchOf:
    """The best plan of all runs, the first of equals; never longer than ``start``."""
    count = len(start)
    if count < 2 or not effort.runs:
        return start
    near = nearest_orders(walks.walk, walks.geometry, walks.occupancy, 24)
    start_mm = plan_length(walks, start)
    walk_mm = max(1.0, start_mm / (int(start.max()) + 1))

    def run(number: int) -> tuple[int, BatchOf]:
        batch_of = start.copy()
        length_mm = anneal(
            walks.walk,
            walks.geometry,
            walks.occupancy,
            loads.load,
            loads.capacity,
            near,
            loads.most_orders(),
            np.uint64((seed * 1_000_003 + number) % 2**64),
            effort.proposals_per_order * count,
            effort.hot * walk_mm,
            effort.cold * walk_mm,
            batch_of,
        )
        return int(length_mm), batch_of

    with ThreadPoolExecutor(max_workers=min(2, effort.runs)) as pool:
        plans = list(pool.map(run, range(effort.runs)))
    return numbered(min(plans, key=lambda plan: plan[0])[1])
