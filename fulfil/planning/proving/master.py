"""The restricted master: choose among known batches so that every order is covered, as a linear programme.

``min sum(cost * x)`` with one row for each order (``>= 1``: a walk never gets longer by leaving an order out) and
one row for the number of batches (``>=`` the fewest carts that the loads allow), after Gademann & van de Velde 2005,
*Order batching to minimize total travel time in a parallel-aisle warehouse*, IIE Transactions 37(1):63-75,
doi 10.1080/07408170590516917. Solved by HiGHS (Huangfu & Hall 2018, *Parallelizing the dual revised simplex method*,
Mathematical Programming Computation 10(1):119-142, doi 10.1007/s12532-017-0130-5).

Cuts (:mod:`fulfil.planning.proving.cuts`) are further rows.

Its duals are estimates in floating point; nothing is proven here.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import inf

import highspy
import numpy as np
from highspy.highs import _Highs  # type: ignore[attr-defined]
from numpy.typing import NDArray

from fulfil.planning.plan import Batch
from fulfil.planning.proving.cuts import Cut

_SPARE_ROWS = 12
"""At most so many rows for what is left free, of each kind."""


@dataclass(frozen=True, eq=False)
class MasterSolution:
    """Value in mm, infinite without a solution; shares and reduced costs of batches, and the duals.

    Those are of orders, of the number of batches, of what is left free, and of cuts.
    """

    value_mm: float
    order_duals: NDArray[np.float64]
    count_dual: float
    spare_duals: NDArray[np.float64]
    cut_duals: NDArray[np.float64]
    shares: NDArray[np.float64]
    reduced: NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Spare:
    """Of a kind of capacity batches leave free in sum what the carts hold beyond the load; whole multiples, no more.

    Attributes:
        load: What each order takes of each kind.
        capacity: What a cart holds of each kind.
        kinds: The kind of each row.
        divisors: Each row counts how often its divisor goes into what a batch leaves free.
        most: What all batches count at most in sum.
    """

    load: NDArray[np.int64]
    capacity: NDArray[np.int64]
    kinds: NDArray[np.int64]
    divisors: NDArray[np.int64]
    most: NDArray[np.int64]

    @classmethod
    def of(cls, load: NDArray[np.int64], capacity: NDArray[np.int64], batches: int) -> "Spare":
        """The rows for exactly so many batches: for each count the least divisor that allows no more of it."""
        rows = set()
        for kind, limit in enumerate(capacity):
            free = batches * int(limit) - int(load[:, kind].sum())
            for most in range(_SPARE_ROWS):
                divisor = free // (most + 1) + 1
                if 1 < divisor <= limit:
                    rows.add((kind, divisor, free // divisor))
        table = np.array(sorted(rows), dtype=np.int64).reshape(-1, 3)
        return cls(load, capacity, *(np.ascontiguousarray(column) for column in table.T))

    def counts(self, batch: Batch) -> NDArray[np.int64]:
        """How much a batch counts in each row."""
        left: NDArray[np.int64] = self.capacity - self.load[list(batch)].sum(axis=0)
        return left[self.kinds] // self.divisors


class Master:
    """A linear programme that grows by columns and cuts.

    Args:
        orders: How many orders must be covered.
        fewest: The fewest batches any plan has.
        spare: Rows for what batches leave free, if any.
    """

    def __init__(self, orders: int, fewest: int, spare: "Spare | None" = None) -> None:
        self.orders = orders
        self.spare = spare
        self.batches: list[Batch] = []
        self.costs_mm: list[int] = []
        self.cuts: list[Cut] = []
        self._known: set[Batch] = set()
        # One row for each batch; rows beyond the last are room for more.
        self._holds = np.zeros((1024, orders), dtype=np.int8)
        # The bare solver: the wrapper class prints a banner before it can be silenced.
        self._solver = _Highs()
        for option, value in (("output_flag", False), ("threads", 1), ("presolve", "off"), ("random_seed", 0)):
            self._solver.setOptionValue(option, value)
        lower = np.ones(orders + 1)
        lower[orders] = fewest
        self._first_cut = orders + 1
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
        if spare is not None and len(spare.most):
            self._first_cut += len(spare.most)
            self._solver.addRows(
                len(spare.most),
                np.full(len(spare.most), -highspy.kHighsInf),
                spare.most.astype(np.float64),
                0,
                np.zeros(len(spare.most), dtype=np.int32),
                none,
                np.empty(0),
            )

    def add(self, columns: Iterable[tuple[Batch, int]]) -> int:
        """Add batches with their walks in mm; known ones are left out. Returns how many were new."""
        costs: list[float] = []
        starts: list[int] = []
        rows: list[int] = []
        worth: list[float] = []
        for batch, cost_mm in columns:
            if batch in self._known:
                continue
            self._known.add(batch)
            self._note(batch)
            self.costs_mm.append(cost_mm)
            costs.append(float(cost_mm))
            starts.append(len(rows))
            rows.extend((*batch, self.orders))
            worth.extend([1.0] * (len(batch) + 1))
            inside = set(batch)
            if self.spare is not None:
                spare_counts = self.spare.counts(batch)
                for place in np.flatnonzero(spare_counts):
                    rows.append(self.orders + 1 + int(place))
                    worth.append(float(spare_counts[place]))
            for row, cut in enumerate(self.cuts, start=self._first_cut):
                counts = cut.counts(inside)
                if counts:
                    rows.append(row)
                    worth.append(float(counts))
        self._add_columns(costs, starts, rows, worth)
        return len(costs)

    def _note(self, batch: Batch) -> None:
        if len(self.batches) == len(self._holds):
            self._holds = np.concatenate([self._holds, np.zeros_like(self._holds)])
        self._holds[len(self.batches), list(batch)] = 1
        self.batches.append(batch)

    def leave_out(self, cost_mm: int) -> None:
        """Let orders be left out at a great price, so that the programme has a solution; the value is a bound still."""
        for order in range(self.orders):
            self._note((order,))
            self.costs_mm.append(cost_mm)
        count = self.orders
        self._add_columns([float(cost_mm)] * count, list(range(count)), list(range(count)), [1.0] * count)

    def _add_columns(self, costs: list[float], starts: list[int], rows: list[int], worth: list[float]) -> None:
        if costs:
            self._solver.addCols(
                len(costs),
                np.array(costs),
                np.zeros(len(costs)),
                np.full(len(costs), highspy.kHighsInf),
                len(rows),
                np.array(starts, dtype=np.int32),
                np.array(rows, dtype=np.int32),
                np.array(worth),
            )

    def cut(self, cuts: Iterable[Cut]) -> None:
        """Add cuts."""
        for cut in cuts:
            held = self._holds[: len(self.batches), list(cut.orders)].sum(axis=1, dtype=np.int64)
            counts = (held // cut.divisor).astype(np.float64)
            hit = np.flatnonzero(counts).astype(np.int32)
            self._solver.addRows(
                1,
                np.array([-highspy.kHighsInf]),
                np.array([float(cut.most)]),
                len(hit),
                np.zeros(1, dtype=np.int32),
                hit,
                counts[hit],
            )
            self.cuts.append(cut)

    def solve(self) -> MasterSolution:
        """Solve the programme as it stands."""
        self._solver.run()
        solution = self._solver.getSolution()
        duals = np.array(solution.row_dual)
        is_solved = self._solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
        return MasterSolution(
            value_mm=float(self._solver.getInfo().objective_function_value) if is_solved else inf,
            order_duals=np.maximum(duals[: self.orders], 0.0),
            count_dual=max(float(duals[self.orders]), 0.0),
            spare_duals=np.maximum(-duals[self.orders + 1 : self._first_cut], 0.0),
            cut_duals=np.maximum(-duals[self._first_cut :], 0.0),
            shares=np.array(solution.col_value),
            reduced=np.array(solution.col_dual),
        )
