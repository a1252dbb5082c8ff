"""The restricted master: choose among known batches so that every order is covered, as a linear programme.

``min sum(cost * x)`` with one row for each order (``>= 1``: a walk never gets longer by leaving an order out) and
one row for the number of batches (``>=`` the fewest carts that the loads allow), after Gademann & van de Velde 2005,
*Order batching to minimize total travel time in a parallel-aisle warehouse*, IIE Transactions 37(1):63-75,
doi 10.1080/07408170590516917. Solved by HiGHS (Huangfu & Hall 2018, *Parallelizing the dual revised simplex method*,
Mathematical Programming Computation 10(1):119-142, doi 10.1007/s12532-017-0130-5).

Cuts: of the batches that hold two or three of any three orders a plan uses at most one (Jepsen et al. 2008,
doi 10.1287/opre.1070.0449). A fractional solution may use more; :meth:`Master.violated` finds such threes.

Its duals are estimates in floating point; nothing is proven here.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import highspy
import numpy as np
from highspy.highs import _Highs  # type: ignore[attr-defined]
from numpy.typing import NDArray

from fulfil.planning.plan import Batch

Three = tuple[int, int, int]

_SLACK = 1e-3
"""A cut that is broken by less than this isn't worth a row."""


@dataclass(frozen=True, eq=False)
class MasterSolution:
    """Value in mm, duals of orders, of the number of batches and of cuts, and each column's share and reduced cost."""

    value_mm: float
    order_duals: NDArray[np.float64]
    count_dual: float
    cut_duals: NDArray[np.float64]
    shares: NDArray[np.float64]
    reduced: NDArray[np.float64]


class Master:
    """A linear programme that grows by columns and cuts.

    Args:
        orders: How many orders must be covered.
        fewest: The fewest batches any plan has.
    """

    def __init__(self, orders: int, fewest: int) -> None:
        self.orders = orders
        self.batches: list[Batch] = []
        self.costs_mm: list[int] = []
        self.cuts: list[Three] = []
        self._known: set[Batch] = set()
        # The bare solver: the wrapper class prints a banner before it can be silenced.
        self._solver = _Highs()
        for option, value in (("output_flag", False), ("threads", 1), ("presolve", "off"), ("random_seed", 0)):
            self._solver.setOptionValue(option, value)
        lower = np.ones(orders + 1)
        lower[orders] = fewest
        none = np.empty(0, dtype=np.int32)
        self._solver.addRows(
            orders + 1,
            lower,
            np.full(orders + 1, highspy.kHighsInf),
            0,
            np.zeros(orders + 1, dtype=np.int32),
            none,
            np.empty(0),
        )

    def add(self, columns: Iterable[tuple[Batch, int]]) -> int:
        """Add batches with their walks in mm; known ones are left out. Returns how many were new."""
        costs: list[float] = []
        starts: list[int] = []
        rows: list[int] = []
        for batch, cost_mm in columns:
            if batch in self._known:
                continue
            self._known.add(batch)
            self.batches.append(batch)
            self.costs_mm.append(cost_mm)
            costs.append(float(cost_mm))
            starts.append(len(rows))
            rows.extend((*batch, self.orders))
            inside = set(batch)
            rows.extend(self.orders + 1 + cut for cut, three in enumerate(self.cuts) if len(inside & set(three)) >= 2)
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

    def cut(self, threes: Iterable[Three]) -> None:
        """Add cuts."""
        for three in threes:
            hit = [column for column, batch in enumerate(self.batches) if sum(order in batch for order in three) >= 2]
            self._solver.addRows(
                1,
                np.array([-highspy.kHighsInf]),
                np.ones(1),
                len(hit),
                np.zeros(1, dtype=np.int32),
                np.array(hit, dtype=np.int32),
                np.ones(len(hit)),
            )
            self.cuts.append(three)

    def solve(self) -> MasterSolution:
        """Solve the programme as it stands."""
        self._solver.run()
        solution = self._solver.getSolution()
        duals = np.array(solution.row_dual)
        return MasterSolution(
            value_mm=float(self._solver.getInfo().objective_function_value),
            order_duals=np.maximum(duals[: self.orders], 0.0),
            count_dual=max(float(duals[self.orders]), 0.0),
            cut_duals=np.maximum(-duals[self.orders + 1 :], 0.0),
            shares=np.array(solution.col_value),
            reduced=np.array(solution.col_dual),
        )

    def violated(self, shares: NDArray[np.float64], wanted: int, each: int = 3) -> list[Three]:
        """Threes whose cut the solution breaks, the worst first, no order in more than ``each`` of them."""
        used = [column for column in np.flatnonzero(shares > 1e-6) if shares[column] < 1 - 1e-6]
        held = np.zeros((len(used), self.orders))
        for row, column in enumerate(used):
            held[row, list(self.batches[column])] = 1.0
        weighted = held * shares[used][:, None]
        pair = held.T @ weighted
        known = set(self.cuts)
        broken: list[tuple[float, Three]] = []
        for one in range(self.orders - 2):
            # A batch with all three counts once, but is in all three pairs.
            both = held.T @ (held * weighted[:, [one]])
            total = pair[one][:, None] + pair[one][None, :] + pair - 2.0 * both
            for other, third in np.argwhere(total[one + 1 :, one + 1 :] > 1.0 + _SLACK):
                three = (one, one + 1 + int(other), one + 1 + int(third))
                if other < third and three not in known:
                    broken.append((round(float(total[three[1], three[2]]), 9), three))
        broken.sort(key=lambda cut: (-cut[0], cut[1]))
        times = [0] * self.orders
        chosen: list[Three] = []
        for _, three in broken:
            if len(chosen) < wanted and all(times[order] < each for order in three):
                chosen.append(three)
                for order in three:
                    times[order] += 1
        return chosen
