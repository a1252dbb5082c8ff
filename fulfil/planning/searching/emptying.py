"""Fewer walks: a whole walk is taken apart, its orders go onto the others, and what they push off goes further.

Single exchanges empty no walk where carts are nearly full: its last orders fit nowhere. So all orders of the walk that
carries least are taken in hand at once. One after the other goes onto the cart where it adds least to the walk. Where
it fits on none, it pushes off up to three orders, those that found no place least often so far; these are in hand then,
and some orders that fit are exchanged by chance, so that nothing goes round in circles (Nagata & Braysy 2009, *A
powerful route minimization heuristic for the vehicle routing problem with time windows*, Operations Research Letters
37(5):333-338, doi 10.1016/j.orl.2009.04.006). Equals: the lighter to push off, then the lower numbers.

>>> import numpy as np
>>> from fulfil.planning.cart import CartLoads
>>> from fulfil.room.kernel import BlockWalks
>>> walks = BlockWalks.of((0, 2500), 10000, 0, [[(0, 1000)], [(0, 9000)], [(1, 1000)], [(1, 9000)], [(1, 5000)]])
>>> emptied(walks, CartLoads.of(5, 10, [6, 5, 5, 2, 2]), np.array([0, 1, 1, 0, 2]), seed=0, steps=20).tolist()
[0, 1, 1, 0, 0]

Limits: finds a plan of fewer walks or none; whether its walks are short is left to the annealing that follows.
"""

from collections.abc import Sequence
from functools import cache
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from fulfil.planning.cart import CartLoads
from fulfil.planning.plan import walk_mm
from fulfil.planning.walks import Walks

_MOST_SETS = 400
"""Sets of orders that one cart may push off: three at once only where these are so few, then two, then one."""

_EXCHANGES = 20
"""Exchanges tried by chance after each pushing off."""


def emptied(walks: Walks, loads: CartLoads, batch_of: NDArray[np.int64], *, seed: int, steps: int) -> NDArray[np.int64]:
    """The plan with as many walks fewer as were found, numbered without gaps; the same plan where none was.

    Args:
        walks: Of these orders.
        loads: What they take of a cart; the plan keeps to it.
        batch_of: The batch of each order, numbered from 0 without gaps.
        seed: Start of the chance.
        steps: So many orders are put somewhere at most, for each walk that is taken apart.
    """
    plan = batch_of
    while int(plan.max(initial=-1)) + 1 > loads.fewest_batches():
        hands = _Hands(walks, loads, plan)
        if not hands.take_apart(np.random.default_rng(seed), steps):
            break
        plan = hands.plan()
    return plan


class _Hands:
    """Carts, and orders in hand, while one walk is taken apart."""

    def __init__(self, walks: Walks, loads: CartLoads, batch_of: NDArray[np.int64]) -> None:
        self.walks = walks
        self.load = loads.load
        self.capacity = loads.capacity
        self.share = (loads.load / loads.capacity).max(axis=1)
        self.batches: list[list[int]] = [[] for _ in range(int(batch_of.max()) + 1)]
        for order, batch in enumerate(batch_of):
            self.batches[batch].append(order)
        carried = [float(self.share[batch].sum()) for batch in self.batches]
        gone = carried.index(min(carried))
        self.in_hand = sorted(self.batches.pop(gone), key=lambda order: (self.share[order], order))
        self.left = np.array([self.capacity - self.load[batch].sum(axis=0) for batch in self.batches])
        self.failures = np.zeros(len(batch_of), dtype=np.int64)

    def plan(self) -> NDArray[np.int64]:
        """The batch of each order."""
        batch_of = np.empty(len(self.load), dtype=np.int64)
        for number, batch in enumerate(self.batches):
            batch_of[batch] = number
        return batch_of

    def take_apart(self, chance: np.random.Generator, steps: int) -> bool:
        """Put what is in hand onto carts; whether all of it went."""
        for _ in range(steps):
            if not self.in_hand:
                return True
            order = self.in_hand.pop()
            fitting = np.flatnonzero((self.left >= self.load[order]).all(axis=1))
            if len(fitting):
                self._put(order, min((self._longer_mm(int(number), order), int(number)) for number in fitting)[1])
                continue
            self.failures[order] += 1
            pushed = self._pushed_off(order)
            if pushed is None:
                return False
            number, off = pushed
            for other in off:
                self._take(other, number)
            self._put(order, number)
            self.in_hand += sorted(off, key=lambda other: (self.share[other], other))
            self._exchange(chance)
        return not self.in_hand

    def _longer_mm(self, number: int, order: int) -> int:
        batch = self.batches[number]
        return walk_mm(self.walks, [*batch, order]) - walk_mm(self.walks, batch)

    def _put(self, order: int, number: int) -> None:
        self.batches[number].append(order)
        self.left[number] -= self.load[order]

    def _take(self, order: int, number: int) -> None:
        self.batches[number].remove(order)
        self.left[number] += self.load[order]

    def _pushed_off(self, order: int) -> tuple[int, tuple[int, ...]] | None:
        """The cart that takes the order, and the orders that it pushes off for that."""
        best: tuple[int, float, int, tuple[int, ...]] | None = None
        for number, batch in enumerate(self.batches):
            members = np.array(sorted(batch), dtype=np.int64)
            for places in _sets(len(members)):
                off = members[places]
                fits = (self.left[number] + self.load[off].sum(axis=1) >= self.load[order]).all(axis=1)
                if not fits.any():
                    continue
                failures = np.where(fits, self.failures[off].sum(axis=1), np.iinfo(np.int64).max)
                lightest = np.where(failures == failures.min(), self.share[off].sum(axis=1), np.inf)
                row = int(lightest.argmin())
                found = int(failures[row]), float(lightest[row]), number, tuple(int(one) for one in off[row])
                best = found if best is None else min(best, found)
        return None if best is None else (best[2], best[3])

    def _exchange(self, chance: np.random.Generator) -> None:
        """Exchange orders of two carts where both still fit."""
        count = len(self.batches)
        for one, two, first, second in chance.random((_EXCHANGES, 4)).tolist():
            a, b = int(one * count), int(two * count)
            if a == b or not self.batches[a] or not self.batches[b]:
                continue
            out = self.batches[a][int(first * len(self.batches[a]))]
            into = self.batches[b][int(second * len(self.batches[b]))]
            more = self.load[out] - self.load[into]
            if (self.left[a] + more >= 0).all() and (self.left[b] - more >= 0).all():
                self._take(out, a)
                self._take(into, b)
                self._put(out, b)
                self._put(into, a)


@cache
def _sets(count: int) -> Sequence[NDArray[np.int64]]:
    """Places of one, two and three of so many, by size, as rows; larger ones only where they are few."""
    tables = []
    for size in range(1, min(3, count) + 1):
        rows = list(combinations(range(count), size))
        if size == 1 or len(rows) <= _MOST_SETS:
            tables.append(np.array(rows, dtype=np.int64))
    return tables
