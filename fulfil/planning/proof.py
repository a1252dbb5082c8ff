"""A proven bound: how short the walks of any plan could be at best, by column generation.

The linear programme over all batches (:mod:`fulfil.planning.master`) is solved by adding batches that price out
(:mod:`fulfil.planning.pricing`) until exact pricing finds none. Then no plan is shorter than its value
(Gademann & van de Velde 2005, doi 10.1080/07408170590516917). The value that is reported is not HiGHS's: it
is computed in integers from duals rounded down, for which exact pricing found the least reduced cost, and rounded up
to a whole millimetre (lengths are whole).

While pricing isn't closed, a weaker bound holds: by Lagrangian duality every plan of at most ``k`` batches is at
least as long as ``sum(dual) + fewest * sigma + k * least reduced cost`` (Lasdon 1970, *Optimization Theory for
Large Systems*). The best bound met so far is kept, so it can be stopped at any time.

Time decides only how far the bound is driven.
"""

from collections.abc import Callable
from dataclasses import dataclass
from time import monotonic

import numpy as np
from numpy.typing import NDArray

from fulfil.planning.batching import PartWalks, Plan, groups_of, walk_mm
from fulfil.planning.cart import CartLoads
from fulfil.planning.master import Batch, Master
from fulfil.planning.pricing import SCALE, price

NODES_BETWEEN_LOOKS = 400_000


@dataclass(frozen=True)
class Proof:
    """How far a plan is from the best possible.

    Attributes:
        bound_mm: No plan's walks are shorter.
        closed: Whether the bound is the full value of the linear programme over all batches.
        plan: The plan, shorter than the one given if the proof met a shorter one.
    """

    bound_mm: int
    closed: bool
    plan: Plan

    @property
    def gap(self) -> float:
        """How much longer the plan is than the bound, as a share of the bound; 0 is proven best."""
        return 0.0 if self.plan.length_mm == self.bound_mm else self.plan.length_mm / max(1, self.bound_mm) - 1.0


def prove(
    plan: Plan,
    *,
    seconds: float = 60,
    progress: Callable[[int, int], None] | None = None,
    clock: Callable[[], float] = monotonic,
) -> Proof:
    """Bound the plan from below.

    Args:
        plan: As :func:`fulfil.planning.batching.plan_batches` made it; fixed batches stay fixed.
        seconds: When to stop at the latest (a look at the clock now and then: a little later).
        progress: Called with plan length and bound, in mm, as they get closer.
        clock: Seconds that only grow.
    """
    until = clock() + seconds
    gone = {order for batch in plan.fixed for order in batch}
    total = sum(walk_mm(plan.walks, batch) for batch in plan.fixed)
    closed = True
    parts = groups_of(plan.groups, gone)
    for number, places in enumerate(parts):
        local = {place: order for order, place in enumerate(places)}
        batches = [tuple(local[order] for order in batch) for batch in plan.batches if batch[0] in local]
        share = clock() + max(0.0, until - clock()) / (len(parts) - number)
        bound_mm, part_closed = _bound(PartWalks.of(plan.walks, places), plan.loads.part(places), batches, clock, share)
        total += bound_mm
        closed = closed and part_closed
        if progress is not None:
            progress(plan.length_mm, total)
    return Proof(total, closed, plan)


def _bound(
    walks: PartWalks, loads: CartLoads, batches: list[Batch], clock: Callable[[], float], until: float
) -> tuple[int, bool]:
    """Bound for orders that may all share carts; at least the longest single walk."""
    count = len(walks.occupancy)
    singles = [walk_mm(walks, (order,)) for order in range(count)]
    fewest, most = loads.fewest_batches(), count
    largest = loads.most_orders()
    bound = max(singles)
    master = Master(count, fewest)
    master.add([((order,), singles[order]) for order in range(count)])
    master.add([(batch, walk_mm(walks, batch)) for batch in batches])
    found = np.full((300, largest + 1), -1, dtype=np.int64)
    found_cost = np.zeros(300, dtype=np.int64)
    haste = 4
    node_limit = NODES_BETWEEN_LOOKS
    while clock() < until:
        _, duals = master.solve()
        whole = np.floor(np.maximum(duals, 0.0) * SCALE).astype(np.int64)
        while True:
            least, rows, nodes = price(
                walks.walk,
                walks.floor,
                walks.floor_parts,
                walks.geometry,
                walks.occupancy,
                loads.load,
                loads.capacity,
                largest,
                np.ascontiguousarray(whole[:count]),
                int(whole[count]),
                0,
                haste,
                node_limit if haste == 1 else 50_000,
                found,
                found_cost,
            )
            if rows or haste == 1 or clock() >= until:
                break
            haste -= 1
        if haste == 1 and nodes > 0:
            value = int(whole[:count].sum()) + fewest * int(whole[count]) + most * int(least)
            bound = max(bound, -(-value // SCALE))
            if least == 0:
                return bound, True
        elif haste == 1 and rows == 0:
            node_limit *= 4
        new = master.add(_columns(found, found_cost, int(rows)))
        if not new and haste == 1 and nodes > 0:
            return bound, False
    return bound, False


def _columns(found: NDArray[np.int64], cost: NDArray[np.int64], rows: int) -> list[tuple[Batch, int]]:
    return [(tuple(sorted(int(o) for o in found[row] if o >= 0)), int(cost[row])) for row in range(rows)]
