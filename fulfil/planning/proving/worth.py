"""What further orders can be worth to a batch at most: by the places left on the cart and by its load at once.

Of candidates with a value each, a batch takes at most ``places``, and of every kind of capacity at most what is left.
For any price ``q >= 0`` of a unit of load, what it takes is worth at most

``q * left + sum of the places largest of (value - q * load)``,

the bound of Lagrange on a knapsack with a number of items (Geoffrion 1974, *Lagrangean Relaxation for Integer
Programming*, Mathematical Programming Study 2:82-114, doi 10.1007/BFb0120690). At the best price it is the value with
shares of orders allowed, places and load together; with as many places as candidates that is the fractional knapsack
of Dantzig 1957, *Discrete-Variable Extremum Problems*, Operations Research 5(2):266-288, doi 10.1287/opre.5.2.266.
Places alone and load alone, each for itself, leave far more: a cart of ten places and 100 l takes neither the ten best
orders nor the best 100 l.

Any price is valid, so a price may be a rough one and the proof holds: prices are whole numbers of 1 / :data:`UNIT`,
``q * load`` is rounded down and ``q * left`` up.

>>> value, load = np.array([60, 50, 30, 20]), np.array([[6], [4], [3], [1]])
>>> table, scratch = np.zeros((5, 4), dtype=np.int64), np.zeros((3, 5), dtype=np.int64)
>>> table[ORDER] = [0, 1, 2, 3]
>>> [int(most_worth(value, 2, table, 4, load, 0, 6, price * UNIT, scratch)[0]) for price in (0, 8, 10)]
[110, 78, 80]

Limits: each kind of load has a price of its own; several prices at once would bound closer still.
"""

from typing import Any

import numpy as np
from numba import njit, types

I8 = types.int64
I8S = types.int64[::1]
I8T = types.int64[:, ::1]

ORDER, WALK, FLOOR, HIT, HIT_SHARE = 0, 1, 2, 3, 4
"""Rows of a branch's table of candidates: the order; walk, floor and newly hit penalties of the batch with it, and the
part of those penalties that no other order answers for."""

UNIT = 1 << 16
"""Prices are whole numbers of one over this."""

_MOST = 1 << 60
"""A price times a load stays below this."""

_TRIES = 6
"""So many prices are tried at each branch; the search begins at the price of the branch above."""


@njit(types.UniTuple(I8, 3)(I8S, I8, I8T, I8, I8T, I8, I8, I8, I8T), cache=True, nogil=True)  # type: ignore[no-untyped-call]
def most_worth(
    value: Any, places: Any, table: Any, count: Any, load: Any, kind: Any, left: Any, price: Any, scratch: Any
) -> Any:
    """Most that the candidates are worth at a price for one kind of load.

    Returns the worth of at most ``places`` of them, that of one less, and the load of those ``places``. The values less
    what their loads cost are left in the first row of ``scratch``.
    """
    less, best, ranked = scratch[0], scratch[1], scratch[2]
    kept = np.int64(0)
    for index in range(count):
        weight = load[table[ORDER, index], kind]
        # What doesn't fit is worth nothing; a price was set where whatever fits is lighter than what was taken.
        worth = value[index] - ((price * weight) >> 16) if weight <= left else np.int64(-_MOST)
        less[index] = worth
        if worth <= 0 or places <= 0:
            continue
        if kept < places:
            at = kept
            kept += 1
        elif worth > best[kept - 1]:
            at = kept - 1
        else:
            continue
        while at > 0 and best[at - 1] < worth:
            best[at] = best[at - 1]
            ranked[at] = ranked[at - 1]
            at -= 1
        best[at] = worth
        ranked[at] = index
    total = (price * left + UNIT - 1) >> 16
    taken = np.int64(0)
    for rank in range(kept):
        total += best[rank]
        taken += load[table[ORDER, ranked[rank]], kind]
    return total, total - best[places - 1] if kept == places and places > 0 else total, taken


@njit(types.void(I8S, I8, I8T, I8, I8T, I8S, I8S, I8T), cache=True, nogil=True)
def best_prices(
    value: Any, places: Any, table: Any, count: Any, load: Any, left: Any, prices: Any, scratch: Any
) -> None:
    """Set the price of each kind of load to about the one that leaves the candidates least worth; 0 where all fits."""
    for kind in range(left.size):
        least, _, taken = most_worth(value, places, table, count, load, kind, left[kind], np.int64(0), scratch)
        if taken <= left[kind]:
            prices[kind] = 0
            continue
        most = np.int64(_MOST) // taken
        low = np.int64(0)
        high = np.int64(-1)
        price = prices[kind] if prices[kind] > 0 else (least // taken) * UNIT + 1
        prices[kind] = 0
        for _ in range(_TRIES):
            price = min(price, most)
            worth, _, taken = most_worth(value, places, table, count, load, kind, left[kind], price, scratch)
            if worth < least:
                least = worth
                prices[kind] = price
            if taken > left[kind]:
                low = price
            else:
                high = price
            price = 2 * price if high < 0 else (low + high) // 2


@njit(I8(I8S, I8, I8, I8T, I8, I8T, I8S, I8S, I8T), cache=True, nogil=True)
def keep_worthy(
    value: Any, base: Any, places: Any, table: Any, count: Any, load: Any, left: Any, prices: Any, scratch: Any
) -> Any:
    """Keep the candidates that may be in a batch worth finding; return how many.

    One stays if ``base`` less the worth of the best batch with it is negative, at the price of each kind of load.
    """
    for kind in range(left.size):
        if kind > 0 and prices[kind] == 0:
            continue
        worth, others, _ = most_worth(value, places, table, count, load, kind, left[kind], prices[kind], scratch)
        kept = np.int64(0)
        for index in range(count):
            if base < min(worth, others + scratch[0, index]):
                for row in range(5):
                    table[row, kept] = table[row, index]
                value[kept] = value[index]
                kept += 1
        count = kept
    return count


@njit(I8(I8T, I8S, I8, I8T, I8S), cache=True, nogil=True)
def most_that_fit(table: Any, scratch: Any, count: Any, load: Any, left: Any) -> Any:
    """How many of the candidates could fit at once: the lightest first, for each kind on its own."""
    places = count
    for kind in range(left.size):
        for index in range(count):
            weight = load[table[ORDER, index], kind]
            at = index
            while at > 0 and scratch[at - 1] > weight:
                scratch[at] = scratch[at - 1]
                at -= 1
            scratch[at] = weight
        total: Any = np.int64(0)
        fit: Any = np.int64(0)
        while fit < count and total + scratch[fit] <= left[kind]:
            total += scratch[fit]
            fit += 1
        places = min(places, fit)
    return places
