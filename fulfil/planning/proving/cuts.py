"""Cuts: what whole plans obey and mixtures of plans break, found by exchanging orders in small sets.

Of any ``n`` orders, a batch that holds ``k`` counts ``floor(k / d)``; over a whole plan these add up to at most
``floor(n / d)``, because every order is in one batch. With three orders and ``d = 2``: at most one batch holds two.
A fractional solution may reach ``n / d``. These are the subset-row inequalities of Jepsen, Petersen, Spoorendonk &
Pisinger 2008, *Subset-Row Inequalities Applied to the Vehicle-Routing Problem with Time Windows*, Operations Research
56(2):497-511, doi 10.1287/opre.1070.0449, a kind of the cuts of Chvatal 1973, *Edmonds Polytopes and a Hierarchy of
Combinatorial Problems*, Discrete Mathematics 4(4):305-337, doi 10.1016/0012-365X(73)90167-2.

Any set gives a valid cut, so how sets are found doesn't matter to the proof: from each order a set is grown by what is
most often together with it, then one order is exchanged as long as that breaks the cut more.

>>> shares = np.array([0.5, 0.5, 0.5])
>>> broken_cuts([(0, 1), (1, 2), (0, 2)], shares, orders=3, known=set(), wanted=5)
[Cut(orders=(0, 1, 2), divisor=2)]

Limits: finds some broken cuts, not all.
"""

from collections.abc import Collection, Sequence
from typing import Any, NamedTuple

import numpy as np
from numba import njit, types
from numpy.typing import NDArray

from fulfil.planning.plan import Batch

SHAPES = ((3, 2), (5, 2), (5, 3), (7, 2), (7, 4), (8, 3), (9, 5))
"""How many orders, and the divisor; the rest of the division is as large as can be, or the cut would be weak."""

_SLACK = 1e-3
"""A cut that is broken by less than this isn't worth a row."""


class Cut(NamedTuple):
    """Some orders, and the number that counts once."""

    orders: Batch
    divisor: int

    @property
    def most(self) -> int:
        """What all batches of a plan count at most in sum."""
        return len(self.orders) // self.divisor

    @property
    def sharers(self) -> int:
        """How many orders at most make a batch count once more, when any of them alone would."""
        return min(self.divisor, len(self.orders) - self.divisor + 1)

    def counts(self, batch: Collection[int]) -> int:
        """How much a batch counts."""
        return sum(order in batch for order in self.orders) // self.divisor


@njit(
    types.float64(
        types.int64[:, ::1], types.float64[::1], types.int64[::1], types.int64, types.int64[::1], types.float64[::1]
    ),
    cache=True,
    nogil=True,
)
def _grow(members: Any, share: Any, chosen: Any, divisor: Any, held: Any, gain: Any) -> Any:
    """Fill ``chosen`` (its first order is given, the rest -1) and exchange; returns what the batches count in sum."""
    rows, width = members.shape
    size = chosen.size
    held[:] = 0
    for place in range(size):
        if place > 0:
            gain[:] = 0.0
            for row in range(rows):
                if held[row] > 0:
                    for column in range(width):
                        if members[row, column] >= 0:
                            gain[members[row, column]] += share[row] * held[row]
            for before in range(place):
                gain[chosen[before]] = -1.0
            chosen[place] = np.argmax(gain)
        for row in range(rows):
            for column in range(width):
                if members[row, column] == chosen[place]:
                    held[row] += 1
    value = 0.0
    for row in range(rows):
        value += share[row] * (held[row] // divisor)
    for _ in range(50):
        best, best_out, best_in = value + 1e-9, np.int64(-1), np.int64(-1)
        for place in range(size):
            for row in range(rows):
                for column in range(width):
                    if members[row, column] == chosen[place]:
                        held[row] -= 1
            gain[:] = 0.0
            base = 0.0
            for row in range(rows):
                base += share[row] * (held[row] // divisor)
                if held[row] % divisor == divisor - 1:
                    for column in range(width):
                        if members[row, column] >= 0:
                            gain[members[row, column]] += share[row]
            for other in range(size):
                gain[chosen[other]] = -1.0
            into = np.argmax(gain)
            if gain[into] >= 0.0 and base + gain[into] > best:
                best, best_out, best_in = base + gain[into], np.int64(place), np.int64(into)
            for row in range(rows):
                for column in range(width):
                    if members[row, column] == chosen[place]:
                        held[row] += 1
        if best_out < 0:
            break
        for row in range(rows):
            for column in range(width):
                if members[row, column] == chosen[best_out]:
                    held[row] -= 1
                elif members[row, column] == best_in:
                    held[row] += 1
        chosen[best_out] = best_in
        value = best
    return value


def broken_cuts(
    batches: Sequence[Batch],
    shares: NDArray[np.float64],
    *,
    orders: int,
    known: Collection[Cut],
    wanted: int,
    each: int = 3,
    shapes: Sequence[tuple[int, int]] = SHAPES,
) -> list[Cut]:
    """Cuts that the solution breaks, the worst first; of each shape no order is in more than ``each`` of them.

    Args:
        batches: The batches of the linear programme.
        shares: How much of each the solution takes.
        orders: How many orders there are.
        known: Cuts that the programme has.
        wanted: At most so many of each shape.
        each: See above.
        shapes: Numbers of orders and divisors to try.
    """
    used = [int(column) for column in np.flatnonzero((shares > 1e-6) & (shares < 1 - 1e-6))]
    if not used:
        return []
    members = np.full((len(used), max(len(batches[column]) for column in used)), -1, dtype=np.int64)
    for row, column in enumerate(used):
        members[row, : len(batches[column])] = batches[column]
    share = np.ascontiguousarray(shares[used])
    held = np.zeros(len(used), dtype=np.int64)
    gain = np.zeros(orders, dtype=np.float64)
    chosen: list[Cut] = []
    for size, divisor in shapes:
        if size > orders:
            continue
        broken: dict[Cut, float] = {}
        for first in range(orders):
            grown = np.full(size, -1, dtype=np.int64)
            grown[0] = first
            value = float(_grow(members, share, grown, divisor, held, gain))
            cut = Cut(tuple(sorted(int(order) for order in grown)), divisor)
            if value > cut.most + _SLACK and cut not in known:
                broken[cut] = value
        times = [0] * orders
        taken = 0
        for cut in sorted(broken, key=lambda cut: (-round(broken[cut], 9), cut)):
            if taken < wanted and all(times[order] < each for order in cut.orders):
                chosen.append(cut)
                taken += 1
                for order in cut.orders:
                    times[order] += 1
    return chosen
