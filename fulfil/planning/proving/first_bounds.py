"""What holds before anything is priced: how short all walks are at least, and how many batches a better plan has.

Batches of at most ``q`` orders can't do better than have the costliest ``q`` share one walk, the next ``q`` the second,
and so on: a walk never gets shorter by more stops. The same holds for every part of a walk's floor on its own.

>>> from fulfil.planning.cart import CartLoads
>>> from fulfil.room.kernel import BlockWalks
>>> walks = BlockWalks.of((0, 5000), 10000, 0, [[(0, 2000)], [(0, 8000)], [(1, 5000)]])
>>> shared_walks_bound(walks, 2), most_batches(walks, CartLoads.of(3, 2, None), 40000, 4000)
(24000, 3)
"""

import numpy as np

from fulfil.planning.cart import CartLoads
from fulfil.planning.plan import walk_mm
from fulfil.planning.walks import Walks


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
