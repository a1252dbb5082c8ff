"""The lower bound for orders that may all share carts: rounds of pricing, then cuts, each leaving a valid bound.

After every complete exact pricing a bound holds, closed or not: for duals ``pi`` and ``sigma``, penalties ``mu`` and
least reduced cost ``rho <= 0``, every plan of at most ``k`` batches is at least as long as
``sum(pi) + fewest * sigma - sum(mu) + k * rho`` (Lasdon 1970, *Optimization Theory for Large Systems*). It is
computed in integers and rounded up to the next length that walks in this room can have.

Before the first complete pricing a simpler one holds: batches of at most ``q`` orders can't do better than have the
costliest ``q`` share one walk, the next ``q`` the second, and so on; part by part of the walk's floor.
"""

from collections.abc import Callable, Sequence
from copy import copy

import numpy as np
from numpy.typing import NDArray

from fulfil.planning.cart import CartLoads
from fulfil.planning.master import Master, MasterSolution
from fulfil.planning.near_pricing import price_near
from fulfil.planning.plan import Batch, walk_mm
from fulfil.planning.pricing import SCALE, price
from fulfil.planning.walks import Walks

_STARTS = 200
_COLUMNS_PER_ROUND = 300
_NEAR_ROWS = 2000
_HASTY_NODES = 100_000
_CUTS_PER_ROUND = 40
_FIRST_RATE = 200_000.0
_FIRST_PATIENCE = 1_000_000
_LADDER = (0.6, 0.7, 0.8, 0.85, 0.9, 0.94, 0.97, 0.985, 0.993)


class PartBound:
    """A bound that grows while it is driven.

    Attributes:
        bound_mm: No plan of these orders is shorter.
        closed: Whether exact pricing has closed: the bound is the full value of the linear programme or more.
        spent: Nothing more can be done: the bound is met by the plan, or no cut is left.
    """

    def __init__(self, walks: Walks, loads: CartLoads, batches: Sequence[Batch]) -> None:
        self.walks = walks
        self.loads = loads
        count = len(walks.occupancy)
        singles = [((order,), walk_mm(walks, (order,))) for order in range(count)]
        known = [(batch, walk_mm(walks, batch)) for batch in batches]
        self.length_mm = sum(cost for _, cost in known)
        self.largest = loads.most_orders()
        self.fewest = loads.fewest_batches()
        self.most = most_batches(walks, loads, self.length_mm, min(cost for _, cost in singles))
        self.bound_mm = self._rounded(shared_walks_bound(walks, self.largest) * SCALE)
        self.closed = False
        self.spent = self.bound_mm >= self.length_mm
        self.master = Master(count, self.fewest)
        self.master.add(singles)
        self.master.add(known)
        self._found = np.full((_NEAR_ROWS, self.largest + 1), -1, dtype=np.int64)
        self._cost = np.zeros(_NEAR_ROWS, dtype=np.int64)
        self._reduced = np.zeros(_NEAR_ROWS, dtype=np.int64)
        self._rate = _FIRST_RATE
        self._patience = _FIRST_PATIENCE
        self._ladder: tuple[float, ...] = _LADDER

    def offer(self, batches: Sequence[Batch]) -> None:
        """Take a plan found elsewhere: its batches become columns, and a shorter one brings the end nearer."""
        known = [(batch, walk_mm(self.walks, batch)) for batch in batches]
        self.length_mm = min(self.length_mm, sum(cost for _, cost in known))
        self.master.add(known)

    def drive(self, clock: Callable[[], float], until: float, met: Callable[[], None]) -> None:
        """Drive the bound up until it is spent or the time is; ``met`` is called after every complete pricing."""
        while not self.spent and clock() < until:
            solution = self.master.solve()
            prices = _Prices(self.master, solution)
            if self._near(prices, solution):
                continue
            if any(self._exact(prices, haste, _HASTY_NODES)[0] for haste in (3, 2)):
                continue
            new, finished = self._prove(prices, clock, until)
            if finished and not new:
                self.closed = True
                threes = self.master.violated(solution.shares, _CUTS_PER_ROUND)
                self.master.cut(threes)
                self.spent = not threes
            self.spent = self.spent or self.bound_mm >= self.length_mm
            met()

    def _prove(self, prices: "_Prices", clock: Callable[[], float], until: float) -> tuple[int, bool]:
        """Price exactly, with smaller duals first where it takes long; how many batches were new, and if it finished.

        Duals scaled down by a share give that share of the value as a bound, and leave the search far less to do.
        """
        for share in (1.0, *self._ladder):
            begun = clock()
            if begun >= until:
                return 0, False
            scaled = prices if share == 1.0 else prices.scaled(share)
            limit = max(_HASTY_NODES, min(self._patience, int(self._rate * (until - begun))))
            new, nodes, least = self._exact(scaled, 1, limit)
            self._rate = max(1000.0, abs(nodes) / max(1e-3, clock() - begun))
            if nodes > 0:
                self.bound_mm = max(self.bound_mm, self._rounded(scaled.value(self.fewest) + self.most * least))
                if share == 1.0:
                    return new, True
                self._ladder = tuple(step for step in _LADDER if step > share)
            if new:
                return new, False
            if nodes < 0 and share < 1.0:
                break
        self._patience *= 2
        return 0, False

    def _rounded(self, value: int) -> int:
        step = self.walks.step_mm * SCALE
        return -(-value // step) * self.walks.step_mm

    def _near(self, prices: "_Prices", solution: MasterSolution) -> int:
        ranked = np.argsort(solution.reduced, kind="stable")[:_STARTS]
        starts = np.full((len(ranked), self.largest + 1), -1, dtype=np.int64)
        for row, column in enumerate(ranked):
            batch = self.master.batches[column]
            starts[row, : len(batch)] = batch
        rows = price_near(
            self.walks.walk,
            self.walks.geometry,
            self.walks.occupancy,
            self.loads.load,
            self.loads.capacity,
            prices.order,
            prices.count,
            prices.cuts_of,
            prices.penalty,
            starts,
            20,
            self._found,
            self._cost,
            self._reduced,
        )
        return self._add(int(rows))

    def _exact(self, prices: "_Prices", haste: int, node_limit: int) -> tuple[int, int, int]:
        """How many batches were new; branches, negative if stopped at the limit; the least reduced cost."""
        least, rows, nodes = price(
            self.walks.walk,
            self.walks.floor,
            self.walks.geometry,
            self.walks.occupancy,
            self.loads.load,
            self.loads.capacity,
            np.argsort(-prices.order, kind="stable"),
            prices.order,
            prices.count,
            prices.cuts_of,
            prices.penalty,
            np.array([self.walks.floor_parts, self.largest, 0, haste, node_limit], dtype=np.int64),
            self._found[:_COLUMNS_PER_ROUND],
            self._cost,
            self._reduced,
        )
        return self._add(int(rows)), int(nodes), int(least)

    def _add(self, rows: int) -> int:
        columns = {
            (int(self._reduced[row]), tuple(sorted(int(order) for order in self._found[row] if order >= 0))): int(
                self._cost[row]
            )
            for row in range(rows)
        }
        best = sorted(columns.items())[:_COLUMNS_PER_ROUND]
        return self.master.add((batch, cost) for (_, batch), cost in best)


class _Prices:
    """The duals of a solution as whole numbers, rounded so that pricing against them is a proof."""

    def __init__(self, master: Master, solution: MasterSolution) -> None:
        # A hair below HiGHS's duals, so that its own tolerance doesn't make columns it has look cheap again.
        margin = 8 if master.cuts else 2
        self.order: NDArray[np.int64] = np.maximum(np.floor(solution.order_duals * SCALE).astype(np.int64) - margin, 0)
        self.count = int(solution.count_dual * SCALE)
        words = max(1, -(-len(master.cuts) // 64))
        self.penalty = np.zeros(words * 64, dtype=np.int64)
        self.penalty[: len(master.cuts)] = np.floor(solution.cut_duals * SCALE)
        self.cuts_of = np.zeros((master.orders, words), dtype=np.uint64)
        for cut, three in enumerate(master.cuts):
            if self.penalty[cut]:
                self.cuts_of[list(three), cut // 64] |= np.uint64(1 << (cut % 64))

    def scaled(self, share: float) -> "_Prices":
        """All duals and penalties as a share of these, rounded down."""
        less = copy(self)
        less.order = np.floor(self.order * share).astype(np.int64)
        less.count = int(self.count * share)
        less.penalty = np.floor(self.penalty * share).astype(np.int64)
        return less

    def value(self, fewest: int) -> int:
        """The bound in mm times SCALE if no reduced cost is negative."""
        return int(self.order.sum()) + fewest * self.count - int(self.penalty.sum())


def most_batches(walks: Walks, loads: CartLoads, length_mm: int, shortest_mm: int) -> int:
    """A plan shorter than ``length_mm`` and without two batches that might be joined has no more batches than this."""
    most = len(walks.occupancy)
    if shortest_mm > 0:
        most = min(most, length_mm // shortest_mm)
    if walks.subadditive:
        # Any two batches together overfill some kind of capacity, so of all shares of capacity each pair has
        # more than 1; the comparison is exact in integers with a common denominator.
        denominator = 1
        for limit in loads.capacity:
            denominator *= int(limit)
        shares = sum(
            int(total) * (denominator // int(limit))
            for total, limit in zip(loads.load.sum(axis=0), loads.capacity, strict=True)
        )
        most = min(most, max(1, 2 * -(-shares // denominator) - 1))
    return max(most, loads.fewest_batches())


def shared_walks_bound(walks: Walks, largest: int) -> int:
    """Every batch costs what its costliest order does, and at best the costliest share: by walk, and part by part."""
    singles = np.array([walk_mm(walks, (order,)) for order in range(len(walks.occupancy))], dtype=np.int64)
    parts = np.zeros((len(singles), walks.floor_parts), dtype=np.int64)
    for order, marked in enumerate(walks.occupancy):
        walks.floor(marked, walks.geometry, parts[order])
    by_walk = int(np.sort(singles)[::-1][::largest].sum())
    by_part = int(np.sort(parts, axis=0)[::-1][::largest].sum())
    return max(by_walk, by_part)
