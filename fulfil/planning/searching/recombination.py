"""Recombination: the best plan that can be put together from batches met in several searches.

A set-partitioning programme over a pool of batches (the idea of Rochat & Taillard 1995, *Probabilistic Diversification
and Intensification in Local Search for Vehicle Routing*, Journal of Heuristics 1(1):147-167, doi 10.1007/BF02430370).
Its linear relaxation comes first: a batch whose reduced cost is not below the distance between the plan at hand and
the relaxation's value can't be in a shorter plan of this pool, so it is left out before the integer programme is
solved by HiGHS, up to a number of branches, never by a clock.

Limits: finds a shorter plan or none; the pool decides what is possible.
"""

from collections.abc import Sequence

import highspy
import numpy as np
from highspy.highs import _Highs  # type: ignore[attr-defined]

from fulfil.planning.plan import Batch
from fulfil.planning.proving.master import Master


def recombined(
    orders: int, fewest: int, pool: Sequence[tuple[Batch, int]], length_mm: int, *, columns: int, branches: int
) -> list[Batch] | None:
    """Batches of a plan shorter than ``length_mm`` made from the pool, or None.

    Args:
        orders: How many orders must be covered, once each.
        fewest: The fewest batches any plan has.
        pool: Batches with their walks in mm; every order must be in one of them.
        length_mm: What must be beaten.
        columns: At most so many batches, those of least reduced cost, enter the integer programme.
        branches: At most so many branches of the integer programme.
    """
    master = Master(orders, fewest)
    master.add(pool)
    relaxed = master.solve()
    room = length_mm - relaxed.value_mm
    worth = [int(c) for c in np.argsort(relaxed.reduced, kind="stable")[:columns] if relaxed.reduced[c] < room]
    if room <= 0 or not worth:
        return None
    solver = _Highs()
    for option, value in (
        ("output_flag", False),
        ("threads", 1),
        ("random_seed", 0),
        ("mip_max_nodes", branches),
        ("objective_bound", float(length_mm)),
        ("mip_rel_gap", 0.0),
    ):
        solver.setOptionValue(option, value)
    none = np.empty(0, dtype=np.int32)
    ones = np.ones(orders)
    solver.addRows(orders, ones, ones, 0, np.zeros(orders, dtype=np.int32), none, np.empty(0))
    rows = [order for column in worth for order in master.batches[column]]
    sizes = [len(master.batches[column]) for column in worth]
    starts = np.concatenate([[0], np.cumsum(sizes)[:-1]]).astype(np.int32)
    solver.addCols(
        len(worth),
        np.array([float(master.costs_mm[column]) for column in worth]),
        np.zeros(len(worth)),
        np.ones(len(worth)),
        len(rows),
        starts,
        np.array(rows, dtype=np.int32),
        np.ones(len(rows)),
    )
    places = np.arange(len(worth), dtype=np.int32)
    solver.changeColsIntegrality(len(worth), places, np.full(len(worth), highspy.HighsVarType.kInteger))
    solver.run()
    if solver.getInfo().primal_solution_status != 2:
        return None
    shares = np.array(solver.getSolution().col_value)
    chosen = [worth[place] for place in np.flatnonzero(shares > 0.5)]
    if sum(master.costs_mm[column] for column in chosen) >= length_mm:
        return None
    return [master.batches[column] for column in chosen]
