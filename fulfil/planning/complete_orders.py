"""Which orders to complete when stock is scarce: as many as possible, proven by integer programming.

Objective, in this order: (1) the most orders complete; (2) the most pieces promised in all, where an order that takes
what there is gets the rest and one that wants to be complete gets nothing; (3) the least sum of arrival places of the
complete orders, so that of equal choices the early ones win. What is equal even then is the solver's choice, the same
for the same input.

Model: x_o = 1 if order o is complete, Σ_o a_op x_o ≤ free_p for each part p; pieces of part p are
min(free_p, base_p + Σ a_op x_o over orders that want to be complete), base_p what the others ask for (a
multidimensional knapsack: Kellerer, Pferschy & Pisinger, *Knapsack Problems*, 2004, chapter 9). Orders without a scarce
part are complete in every best plan; the rest falls into groups that share no scarce part, each solved alone by HiGHS
(Huangfu & Hall, Math. Prog. Comp. 10, 2018, 119, doi 10.1007/s12532-017-0130-5).

>>> most_complete([{"a": 3}, {"a": 2}, {"a": 2}], {"a": 4}, [False, False, False]).chosen
(1, 2)

Limits: a group that is not solved within ``most_nodes`` branches (``FEW_NODES`` where it has more than ``EASY`` scarce
lines) keeps the best choice found, by objective (1) alone, and ``bound`` says how many orders could at most be
complete. A group with more than ``MOST_BRANCHED`` scarce lines isn't branched on as a whole: the linear relaxation
gives the bound, and what it decides outright, filled up, the choice. Work is counted in branches, not seconds: the same
input, the same choice.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import floor
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, linprog, milp
from scipy.sparse import csr_array, eye_array, hstack

MOST_NODES = 400
EASY = 2_000
MOST_BRANCHED = 20_000
FEW_NODES = 3
_WHOLE = 1e-6
Demand = Mapping[str, int]


@dataclass(frozen=True)
class Chosen:
    """The orders to complete, by their place in the input, and the most that any plan could complete."""

    chosen: tuple[int, ...]
    bound: int

    @property
    def is_proven(self) -> bool:
        """Whether no plan completes more orders."""
        return self.bound == len(self.chosen)


def most_complete(
    demands: Sequence[Demand], free: Mapping[str, int], ship_complete: Sequence[bool], *, most_nodes: int = MOST_NODES
) -> Chosen:
    """Chooses the orders to complete.

    Args:
        demands: Pieces that each order asks of each part, orders as they arrived.
        free: Free pieces of each part; a part that isn't named has none.
        ship_complete: Whether each order wants to be sent complete or not at all.
        most_nodes: Branches after which the solver gives up proving a group.
    """
    possible = [
        index for index, demand in enumerate(demands) if all(n <= free.get(part, 0) for part, n in demand.items())
    ]
    is_possible = set(possible)
    asked: dict[str, int] = defaultdict(int)
    base: dict[str, int] = defaultdict(int)
    for index, demand in enumerate(demands):
        for part, n in demand.items():
            asked[part] += n if index in is_possible or not ship_complete[index] else 0
            base[part] += 0 if ship_complete[index] else n
    scarce = {part for part, n in asked.items() if n > free.get(part, 0)}
    chosen: list[int] = []
    bound = 0
    for group in _groups(possible, demands, scarce):
        if len(group) == 1:
            picked, most = group, 1
        else:
            picked, most = _Group(group, demands, free, base, ship_complete, scarce, most_nodes).solve()
        chosen += picked
        bound += most
    return Chosen(tuple(sorted(chosen)), bound)


def _groups(orders: Sequence[int], demands: Sequence[Demand], scarce: set[str]) -> list[list[int]]:
    """Orders that share a scarce part, directly or through others, together; by their first order."""
    leader: dict[int, int] = {index: index for index in orders}

    def find(index: int) -> int:
        while leader[index] != index:
            leader[index] = leader[leader[index]]
            index = leader[index]
        return index

    first_with: dict[str, int] = {}
    for index in orders:
        for part in demands[index]:
            if part in scarce:
                mine, theirs = find(index), find(first_with.setdefault(part, index))
                leader[max(mine, theirs)] = min(mine, theirs)
    groups: dict[int, list[int]] = defaultdict(list)
    for index in orders:
        groups[find(index)].append(index)
    return [groups[first] for first in sorted(groups)]


class _Group:
    """One group as a model: a column for each order, a row for each scarce part."""

    def __init__(
        self,
        orders: list[int],
        demands: Sequence[Demand],
        free: Mapping[str, int],
        base: Mapping[str, int],
        ship_complete: Sequence[bool],
        scarce: set[str],
        most_nodes: int,
    ) -> None:
        self.orders = orders
        parts = sorted({part for index in orders for part in demands[index]} & scarce)
        row = {part: place for place, part in enumerate(parts)}
        entries = [
            (row[part], column, n)
            for column, index in enumerate(orders)
            for part, n in demands[index].items()
            if part in row and n
        ]
        rows, columns, values = zip(*entries, strict=True)
        shape = (len(parts), len(orders))
        self.asks: Any = csr_array((np.array(values, dtype=float), (rows, columns)), shape=shape)
        self.free = np.array([free.get(part, 0) for part in parts], dtype=float)
        self.base = np.array([base[part] for part in parts], dtype=float)
        self.waits = np.array([ship_complete[index] for index in orders])
        plenty = [sum(n for part, n in demands[index].items() if part not in row) for index in orders]
        self.plenty = np.where(self.waits, plenty, 0).astype(float)
        """Pieces of parts that aren't scarce, which an order that waits gets only when it is complete."""
        nodes = most_nodes if self.asks.nnz <= EASY else min(most_nodes, FEW_NODES)
        self.options: Any = {"node_limit": nodes, "mip_rel_gap": 0.0}

    def solve(self) -> tuple[list[int], int]:
        """The chosen orders and the bound on their number."""
        n = len(self.orders)
        if self.asks.nnz > MOST_BRANCHED:
            return self._relaxed()
        fits = LinearConstraint(self.asks, -np.inf, self.free)
        first = milp(
            -np.ones(n),
            constraints=[fits],
            integrality=np.ones(n, dtype=int),
            bounds=Bounds(0, 1),
            options=self.options,
        )
        best = self._by_scarcity() if first.x is None else self._filled(first.x > 0.5)
        dual = getattr(first, "mip_dual_bound", None)
        bound = max(int(best.sum()), n if dual is None else min(n, floor(-dual + 1e-6)))
        if first.status != 0 or bound > best.sum():
            other = self._by_scarcity()
            return self._of(other if other.sum() > best.sum() else best), bound
        count = LinearConstraint(np.ones((1, n)), best.sum(), best.sum())
        pieces = self._most_pieces(fits, count)
        better = self._earliest([fits, count], pieces)
        return self._of(best if better is None else better), bound

    def _relaxed(self) -> tuple[list[int], int]:
        """The bound of the linear relaxation, and the better of its rounding and the plain choice."""
        n = len(self.orders)
        found = linprog(-np.ones(n), A_ub=self.asks, b_ub=self.free, bounds=(0, 1), method="highs")
        plain = self._by_scarcity()
        if found.x is None or found.fun is None:
            return self._of(plain), n
        rounded = self._filled(np.zeros(n, dtype=bool), np.argsort(-found.x, kind="stable"))
        best = max((plain, rounded, self._dived(found.x)), key=np.sum)
        return self._of(best), max(int(best.sum()), min(n, floor(-found.fun + 1e-6)))

    def _dived(self, relaxed: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Keeps what the relaxation decides outright and branches a little on the orders that it splits."""
        split = np.flatnonzero((relaxed > _WHOLE) & (relaxed < 1 - _WHOLE))
        picked: NDArray[np.bool_] = relaxed >= 1 - _WHOLE
        left = np.maximum(0, self.free - self.asks @ picked.astype(float))
        columns = self.asks.tocsc()[:, split]
        if split.size and columns.nnz <= MOST_BRANCHED:
            fits = LinearConstraint(columns, -np.inf, left)
            kinds = np.ones(split.size, dtype=int)
            few = milp(
                -np.ones(split.size), constraints=[fits], integrality=kinds, bounds=Bounds(0, 1), options=self.options
            )
            if few.x is not None:
                picked[split[few.x > 0.5]] = True
        return self._filled(picked, np.argsort(-relaxed, kind="stable"))

    def _most_pieces(self, fits: LinearConstraint, count: LinearConstraint) -> int | None:
        """Objective (2); None where no order in the group wants to be complete, so that nothing can change."""
        if not self.waits.any():
            return None
        n, m = len(self.orders), self.free.size
        wide = [_widened(fits, m), _widened(count, m), self._pieces_rows()]
        bounds = Bounds(np.zeros(n + m), np.concatenate([np.ones(n), self.free]))
        objective = -np.concatenate([self.plenty, np.ones(m)])
        whole = np.concatenate([np.ones(n, dtype=int), np.zeros(m, dtype=int)])
        found = milp(objective, constraints=wide, integrality=whole, bounds=bounds, options=self.options)
        return None if found.x is None else round(-found.fun)

    def _pieces_rows(self) -> LinearConstraint:
        """Pieces of a part are at most what is asked by those who take what there is and by chosen ones that wait."""
        only_waiting: Any = self.asks * self.waits
        rows: Any = hstack([-only_waiting, eye_array(self.free.size)])
        return LinearConstraint(rows, -np.inf, self.base)

    def _earliest(self, rows: list[LinearConstraint], pieces: int | None) -> NDArray[np.bool_] | None:
        """Objective (3) among the plans that are best by (1) and (2)."""
        n, m = len(self.orders), self.free.size if pieces is not None else 0
        wide = [_widened(one, m) for one in rows]
        if pieces is not None:
            wide.append(self._pieces_rows())
            wide.append(LinearConstraint(np.concatenate([self.plenty, np.ones(m)])[None, :], pieces - 0.5, np.inf))
        objective = np.concatenate([np.arange(n, dtype=float), np.zeros(m)])
        bounds = Bounds(np.zeros(n + m), np.concatenate([np.ones(n), self.free[:m]]))
        whole = np.concatenate([np.ones(n, dtype=int), np.zeros(m, dtype=int)])
        found = milp(objective, constraints=wide, integrality=whole, bounds=bounds, options=self.options)
        if found.x is None:
            return None
        picked: NDArray[np.bool_] = found.x[:n] > 0.5
        return picked if self._fits(picked) else None

    def _by_scarcity(self) -> NDArray[np.bool_]:
        """A plain choice: orders that ask for the smallest shares of scarce parts first."""
        shares = (self.asks / np.maximum(self.free, 1)[:, None]).sum(axis=0)
        return self._filled(np.zeros(len(self.orders), dtype=bool), np.argsort(shares, kind="stable"))

    def _filled(self, picked: NDArray[np.bool_], order: NDArray[np.intp] | None = None) -> NDArray[np.bool_]:
        """The choice, exact again after rounding, with every order added that still fits."""
        columns = self.asks.tocsc()
        left = self.free.copy()
        kept = np.zeros(len(self.orders), dtype=bool)
        places = np.arange(len(self.orders)) if order is None else order
        for wanted in (True, False):
            for place in places:
                if picked[place] != wanted:
                    continue
                span = slice(columns.indptr[place], columns.indptr[place + 1])
                parts, pieces = columns.indices[span], columns.data[span]
                if np.all(pieces <= left[parts]):
                    left[parts] -= pieces
                    kept[place] = True
        return kept

    def _fits(self, picked: NDArray[np.bool_]) -> bool:
        return bool(np.all(self.asks @ picked.astype(float) <= self.free))

    def _of(self, picked: NDArray[np.bool_]) -> list[int]:
        return [index for index, is_picked in zip(self.orders, picked, strict=True) if is_picked]


def _widened(constraint: LinearConstraint, columns: int) -> LinearConstraint:
    """The same constraint with columns of zeros behind."""
    if not columns:
        return constraint
    rows: Any = constraint.A
    wide: Any = hstack([csr_array(rows), csr_array((rows.shape[0], columns))])
    return LinearConstraint(wide, constraint.lb, constraint.ub)
