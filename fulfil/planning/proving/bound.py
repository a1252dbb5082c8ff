"""The lower bound for orders that may all share carts: rounds of pricing, then cuts, each leaving a valid bound.

After every complete exact pricing a bound holds, closed or not: for duals ``pi`` and ``sigma``, penalties ``mu`` and
least reduced cost ``rho <= 0``, every plan of at most ``k`` batches is at least as long as
``sum(pi) + fewest * sigma - sum(mu) + k * rho`` (Lasdon 1970, *Optimization Theory for Large Systems*). It is
computed in integers and rounded up to the next length that walks in this room can have.

Plans are told apart by their number of batches: exactly the fewest, exactly one more, and so on; the bound is the least
of all. With exactly ``k`` carts what stays free is known, so each batch carries
at least what ``k - 1`` full ones don't hold, and only so many batches can leave much free (:class:`Spare
<fulfil.planning.proving.master.Spare>`, a rounding as in Chvatal 1973, doi 10.1016/0012-365X(73)90167-2). A linear
programme without that mixes full carts with shares of tiny ones, which no plan does.

Before the first complete pricing a simpler one holds (:mod:`fulfil.planning.proving.first_bounds`).
"""

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from copy import copy

import numpy as np
from numpy.typing import NDArray

from fulfil.planning.cart import CartLoads
from fulfil.planning.plan import Batch, walk_mm
from fulfil.planning.proving.cuts import broken_cuts
from fulfil.planning.proving.first_bounds import most_batches, shared_walks_bound
from fulfil.planning.proving.master import Master, MasterSolution, Spare
from fulfil.planning.proving.near_pricing import price_near
from fulfil.planning.proving.pricing import DIVISOR, PENALTY, SCALE, SHARE, price
from fulfil.planning.proving.shares import Shares
from fulfil.planning.walks import Walks

_STARTS = 200
_COLUMNS_PER_ROUND = 900
_NEAR_ROWS = 1000
_NEAR_WORK = 2_000_000_000
"""Walks in a room take time as its description has entries; so much of both in one thread and round."""
_FEWEST_NODES = 100_000
_CUTS_PER_ROUND = 40
_FIRST_RATE = 200_000.0
_FIRST_PATIENCE = 1_000_000

_POOL = ThreadPoolExecutor(max_workers=2)
"""Pricing lets go of the interpreter, so two searches run side by side."""


class PartBound:
    """A bound that grows while it is driven.

    Attributes:
        bound_mm: No plan of these orders is shorter.
        closed: Whether exact pricing has closed: the bound is the full value of the linear programme or more.
        spent: Nothing more can be done: the bound is met by the plan, or no cut is left.
        cost_mm: The walks of the plan, and for each of them its set-up.
    """

    def __init__(self, walks: Walks, loads: CartLoads, batches: Sequence[Batch], set_up_mm: int = 0) -> None:
        self.walks = walks
        known = [(batch, walk_mm(walks, batch)) for batch in batches]
        self.length_mm = sum(cost for _, cost in known)
        self.cost_mm = self.length_mm + set_up_mm * len(known)
        self._set_up_mm = set_up_mm
        self._first_mm = _rounded(walks, shared_walks_bound(walks, loads.most_orders()) * SCALE)
        self.closed = False
        fewest = loads.fewest_batches()
        singles = [((order,), walk_mm(walks, (order,))) for order in range(len(walks.occupancy))]
        # A plan that takes less time may walk more, by the set-ups of the walks that it spares.
        longest_mm = self.cost_mm - set_up_mm * fewest
        most = most_batches(walks, loads, longest_mm, min(cost for _, cost in singles))
        self._cases = [_Case(walks, loads, [*singles, *known], fewest, most, self._first_mm)]

    @property
    def bound_mm(self) -> int:
        """No plan of these orders is shorter."""
        return min(self.length_mm, min(case.bound_mm for case in self._cases))

    @property
    def bound_cost_mm(self) -> int:
        """No plan of these orders costs less, walks and set-ups; without set-ups it is the bound of the walks."""
        return min(self.cost_mm, self._cost_of(self._cheapest()))

    def _cost_of(self, case: "_Case") -> int:
        return case.bound_mm + self._set_up_mm * case.fewest

    def _cheapest(self) -> "_Case":
        return min(self._cases, key=self._cost_of)

    @property
    def spent(self) -> bool:
        """Nothing more can be done: the bound is met by the plan, or no cut is left where the bound is lowest."""
        return self.bound_cost_mm >= self.cost_mm or self._cheapest().spent

    def drive(self, clock: Callable[[], float], until: float, met: Callable[[], None]) -> None:
        """Drive the bound up until it is spent or the time is; ``met`` is called after every complete pricing."""
        while not self.spent and clock() < until:
            lowest = self._cheapest()
            if not lowest.drive(clock, until):
                continue
            self.closed = self.closed or lowest.closed
            if lowest.closed and lowest.splits:
                self._cases.remove(lowest)
                self._cases += lowest.split()
            met()


class _Case:
    """Plans of at least so many batches, or of exactly so many; its bound holds for them.

    With exactly ``k`` batches the others carry ``k - 1`` full carts at most, so each carries what is left at least.
    A linear programme that need not count whole carts would mix full ones and a share of a very small one.
    """

    def __init__(
        self,
        walks: Walks,
        loads: CartLoads,
        columns: Sequence[tuple[Batch, int]],
        fewest: int,
        most: int,
        bound_mm: int,
    ) -> None:
        self.walks = walks
        self.loads = loads
        self.fewest = fewest
        self.most = most
        self.bound_mm = bound_mm
        self.closed = False
        self.spent = False
        self.largest = loads.most_orders()
        total = loads.load.sum(axis=0)
        least = np.maximum(total - (fewest - 1) * loads.capacity, 0)
        self.splits = most > fewest
        self.least_load: NDArray[np.int64] = np.zeros_like(least) if most > fewest else least
        spare = Spare.of(loads.load, loads.capacity, fewest) if most == fewest else None
        self.master = Master(len(walks.occupancy), fewest, spare)
        self.add(columns)
        if most == fewest:
            self.master.leave_out(sum(walk_mm(walks, (order,)) for order in range(self.master.orders)))
        self._found = np.full((2 * _NEAR_ROWS, self.largest + 1), -1, dtype=np.int64)
        self._cost = np.zeros(2 * _NEAR_ROWS, dtype=np.int64)
        self._reduced = np.zeros(2 * _NEAR_ROWS, dtype=np.int64)
        self._rate = _FIRST_RATE
        self._patience = _FIRST_PATIENCE
        self._shares = Shares()
        self._more_mm = bound_mm

    def add(self, columns: Sequence[tuple[Batch, int]]) -> int:
        """Add batches that carry enough; how many were new."""
        return self.master.add(
            (batch, cost)
            for batch, cost in columns
            if (self.loads.load[list(batch)].sum(axis=0) >= self.least_load).all()
        )

    def split(self) -> "list[_Case]":
        """The plans of exactly the fewest batches, and those of more."""
        columns = sorted(zip(self.master.batches, self.master.costs_mm, strict=True))
        fewest, most = self.fewest, self.most
        return [
            _Case(self.walks, self.loads, columns, fewest, fewest, self.bound_mm),
            _Case(self.walks, self.loads, columns, fewest + 1, most, max(self.bound_mm, self._more_mm)),
        ]

    def drive(self, clock: Callable[[], float], until: float) -> bool:
        """One round: new columns, or a complete pricing and then cuts; whether the bound may have grown."""
        solution = self.master.solve()
        prices = _Prices(self.master, solution)
        if self._near(prices, solution):
            return False
        # No bound of this programme is above its value over the batches known.
        new, finished = (0, True) if self.bound_mm >= solution.value_mm else self._prove(prices, clock, until)
        if finished and not new:
            was_closed, self.closed = self.closed, True
            if was_closed or not self.splits:
                broken = broken_cuts(
                    self.master.batches,
                    solution.shares,
                    orders=self.master.orders,
                    known=set(self.master.cuts),
                    wanted=_CUTS_PER_ROUND,
                )
                self.master.cut(broken)
                self._shares.after_cuts()
                self.spent = not broken
        return True

    def _prove(self, prices: "_Prices", clock: Callable[[], float], until: float) -> tuple[int, bool]:
        """Price exactly, against a share of the duals at first; how many batches were new, and if all is proven.

        Duals scaled down by a share give that share of the value as a bound, and leave the search far less to do. What
        it finds prices out by far, so the share stays until nothing more is found.
        """
        while (begun := clock()) < until:
            shares = self._shares
            scaled = prices if shares.is_whole else prices.scaled(shares.share)
            limit = max(_FEWEST_NODES, min(self._patience, int(self._rate * (until - begun))))
            limit = min(limit, shares.most_branches or limit)
            new, nodes, least = self._exact(scaled, limit, self._threshold(scaled) if shares.is_whole else 0)
            self._rate = max(1000.0, abs(nodes) / max(1e-3, clock() - begun))
            if nodes > 0:
                self.bound_mm = max(self.bound_mm, self._bound(scaled, self.fewest, least))
                if self.most > self.fewest:
                    self._more_mm = max(self._more_mm, self._bound(scaled, self.fewest + 1, least))
                if shares.is_whole:
                    shares.whole_was_priced(nodes)
                    return new, True
                if not new:
                    shares.priced_out(nodes)
                    continue
            is_elsewhere = nodes < 0 and shares.stopped()
            if new:
                return new, False
            if not is_elsewhere:
                self._patience *= 2
        return 0, False

    def _bound(self, prices: "_Prices", fewest: int, least: int) -> int:
        return _rounded(self.walks, prices.value(fewest) + self.most * least)

    def _threshold(self, prices: "_Prices") -> int:
        """Batches that price out by less can't move the bound, as it is rounded up to a length that walks can have."""
        value = prices.value(self.fewest)
        below = (_rounded(self.walks, value) - self.walks.step_mm) * SCALE
        return -(max(0, value - below - 1) // self.most)

    def _near(self, prices: "_Prices", solution: MasterSolution) -> int:
        ranked = np.argsort(solution.reduced, kind="stable")[:_STARTS]
        starts = np.full((len(ranked), self.largest + 1), -1, dtype=np.int64)
        for row, column in enumerate(ranked):
            batch = self.master.batches[column]
            starts[row, : len(batch)] = batch

        def half(first: int) -> int:
            rows = slice(first * _NEAR_ROWS, (first + 1) * _NEAR_ROWS)
            found: int = price_near(
                self.walks.walk,
                self.walks.floor,
                self.walks.floor_parts,
                self.walks.geometry,
                self.walks.occupancy,
                self.loads.load,
                self.loads.capacity,
                self.least_load,
                prices.spare,
                prices.order,
                prices.count,
                prices.cuts_of,
                prices.cuts,
                np.ascontiguousarray(starts[first::2]),
                _NEAR_WORK // len(self.walks.geometry),
                self._found[rows],
                self._cost[rows],
                self._reduced[rows],
            )
            return found

        columns = {}
        for first, found in enumerate(_POOL.map(half, (0, 1))):
            columns.update(self._columns(first * _NEAR_ROWS, found))
        return self._add(columns)

    def _exact(self, prices: "_Prices", node_limit: int, threshold: int) -> tuple[int, int, int]:
        """How many batches were new; branches, negative if stopped at the limit; no reduced cost is less than this.

        The first branches are shared out over two threads in turn.
        """
        by_dual = np.argsort(-prices.order, kind="stable")

        def half(first: int) -> tuple[int, int, int]:
            rows = slice(first * _COLUMNS_PER_ROUND, (first + 1) * _COLUMNS_PER_ROUND)
            least, found, nodes = price(
                self.walks.walk,
                self.walks.floor,
                self.walks.geometry,
                self.walks.occupancy,
                self.loads.load,
                self.loads.capacity,
                self.least_load,
                prices.spare,
                by_dual,
                prices.order,
                prices.count,
                prices.cuts_of,
                prices.cuts,
                np.array([self.walks.floor_parts, self.largest, threshold, node_limit, first, 2], dtype=np.int64),
                self._found[rows],
                self._cost[rows],
                self._reduced[rows],
            )
            return int(least), int(found), int(nodes)

        halves = list(_POOL.map(half, (0, 1)))
        columns = {}
        for first, (_, found, _) in enumerate(halves):
            columns.update(self._columns(first * _COLUMNS_PER_ROUND, found))
        nodes = sum(abs(nodes) for _, _, nodes in halves)
        is_finished = all(nodes > 0 for _, _, nodes in halves)
        return self._add(columns), nodes if is_finished else -nodes, min(threshold, *(least for least, _, _ in halves))

    def _columns(self, first: int, count: int) -> dict[tuple[int, Batch], int]:
        """What was found from a row on: the walk of each batch, by reduced cost and batch."""
        return {
            (int(self._reduced[row]), tuple(sorted(int(order) for order in self._found[row] if order >= 0))): int(
                self._cost[row]
            )
            for row in range(first, first + count)
        }

    def _add(self, columns: dict[tuple[int, Batch], int]) -> int:
        best = sorted(columns.items())[:_COLUMNS_PER_ROUND]
        return self.master.add((batch, cost) for (_, batch), cost in best)


class _Prices:
    """The duals of a solution as whole numbers, rounded so that pricing against them is a proof."""

    def __init__(self, master: Master, solution: MasterSolution) -> None:
        # A hair below HiGHS's duals, so that its own tolerance doesn't make columns it has look cheap again.
        margin = 8 if master.cuts else 2
        self.order: NDArray[np.int64] = np.maximum(np.floor(solution.order_duals * SCALE).astype(np.int64) - margin, 0)
        self.count = int(solution.count_dual * SCALE)
        rows = master.spare
        penalties = np.floor(solution.spare_duals * SCALE).astype(np.int64)
        paid = np.flatnonzero(penalties)
        self.spare: NDArray[np.int64] = np.ones((3, max(1, len(paid))), dtype=np.int64)
        self.spare[0], self.spare[2] = 0, 0
        self._spare_most = np.zeros(self.spare.shape[1], dtype=np.int64)
        if rows is not None and len(paid):
            self.spare = np.ascontiguousarray([rows.kinds[paid], rows.divisors[paid], penalties[paid]])
            self._spare_most = rows.most[paid]
        # A cut without a penalty isn't looked at, but there is always one, as the tables can't be empty.
        penalty = np.floor(solution.cut_duals * SCALE).astype(np.int64)
        charged = [cut for cut in range(len(master.cuts)) if penalty[cut] > 0]
        self.most = np.array([master.cuts[cut].most for cut in charged] or [0], dtype=np.int64)
        self.cuts: NDArray[np.int64] = np.zeros((3, max(1, len(charged))), dtype=np.int64)
        self.cuts[DIVISOR, 0] = 2
        of_order: list[list[int]] = [[] for _ in range(master.orders)]
        for number, cut in enumerate(charged):
            orders, divisor = master.cuts[cut]
            self.cuts[DIVISOR, number] = divisor
            self.cuts[PENALTY, number] = penalty[cut]
            for order in orders:
                of_order[order].append(number)
        self._sharers = np.array([master.cuts[cut].sharers for cut in charged] or [1], dtype=np.int64)
        self.cuts[SHARE] = self.cuts[PENALTY] // self._sharers
        self.cuts_of: NDArray[np.int64] = np.full((master.orders, max(1, *map(len, of_order))), -1, dtype=np.int64)
        for order, numbers in enumerate(of_order):
            self.cuts_of[order, : len(numbers)] = numbers

    def scaled(self, share: float) -> "_Prices":
        """All duals and penalties as a share of these, rounded down."""
        less = copy(self)
        less.order = np.floor(self.order * share).astype(np.int64)
        less.count = int(self.count * share)
        less.spare = self.spare.copy()
        less.spare[2] = np.floor(self.spare[2] * share)
        less.cuts = self.cuts.copy()
        less.cuts[PENALTY] = np.floor(self.cuts[PENALTY] * share)
        less.cuts[SHARE] = less.cuts[PENALTY] // self._sharers
        return less

    def value(self, fewest: int) -> int:
        """The bound in mm times SCALE if no reduced cost is negative."""
        return (
            int(self.order.sum())
            + fewest * self.count
            - int(self.cuts[PENALTY] @ self.most)
            - int(self.spare[2] @ self._spare_most)
        )


def _rounded(walks: Walks, value: int) -> int:
    """A value in mm times SCALE, up to the next length that walks can have."""
    step = walks.step_mm * SCALE
    return -(-value // step) * walks.step_mm
