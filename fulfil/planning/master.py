"""The restricted master: choose among known batches so that every order is covered, as a linear programme.

``min sum(cost * x)`` with one row for each order (``>= 1``: a walk never gets longer by leaving an order out) and
one row for the number of batches (``>=`` the fewest carts that the loads allow), after Gademann & van de Velde 2005,
*Order batching to minimize total travel time in a parallel-aisle warehouse*, IIE Transactions 37(1):63-75,
doi 10.1080/07408170590516917. Solved by HiGHS (Huangfu & Hall 2018, *Parallelizing the dual revised simplex method*,
Mathematical Programming Computation 10(1):119-142, doi 10.1007/s12532-017-0130-5).

Its duals are estimates in floating point; nothing is proven here.
"""

from collections.abc import Iterable

import highspy
import numpy as np
from highspy.highs import _Highs
from numpy.typing import NDArray

Batch = tuple[int, ...]


class Master:
    """A linear programme that grows by columns.

    Args:
        orders: How many orders must be covered.
        fewest: The fewest batches any plan has.
    """

    def __init__(self, orders: int, fewest: int) -> None:
        self.orders = orders
        self.costs: dict[Batch, int] = {}
        self.columns: list[Batch] = []
        # The bare solver: the wrapper class prints a banner before it can be silenced.
        self._solver = _Highs()
        self._solver.setOptionValue("output_flag", False)
        self._solver.setOptionValue("threads", 1)
        self._solver.setOptionValue("presolve", "off")
        infinite = highspy.kHighsInf
        lower = np.ones(orders + 1)
        lower[orders] = fewest
        none = np.empty(0, dtype=np.int32)
        self._solver.addRows(
            orders + 1, lower, np.full(orders + 1, infinite), 0, np.zeros(orders + 1, dtype=np.int32), none, np.empty(0)
        )

    def add(self, batches: Iterable[tuple[Batch, int]]) -> int:
        """Add batches with their walks in mm; known ones are left out. Returns how many were new."""
        costs: list[float] = []
        starts: list[int] = []
        rows: list[int] = []
        for batch, cost_mm in batches:
            if batch in self.costs:
                continue
            self.costs[batch] = cost_mm
            self.columns.append(batch)
            costs.append(float(cost_mm))
            starts.append(len(rows))
            rows.extend((*batch, self.orders))
        if costs:
            self._solver.addCols(
                len(costs),
                np.array(costs),
                np.zeros(len(costs)),
                np.full(len(costs), highspy.kHighsInf),
                len(rows),
                np.array(starts, dtype=np.int32),
                np.array(rows, dtype=np.int32),
                np.ones(len(rows)),
            )
        return len(costs)

    def solve(self) -> tuple[float, NDArray[np.float64]]:
        """Objective in mm and the dual of each order, last the dual of the number of batches."""
        self._solver.run()
        solution = self._solver.getSolution()
        return self._solver.getInfo().objective_function_value, np.array(solution.row_dual)
