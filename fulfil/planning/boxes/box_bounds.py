"""How many equal boxes are needed at least: bounds that no packing can beat, in whole numbers, so exact.

For items of sizes w_j and boxes of capacity c (S. Martello and P. Toth, *Knapsack Problems*, Wiley 1990, chapter 8;
the bound L2 first in Discrete Applied Mathematics 28 (1990) 59, doi 10.1016/0166-218X(90)90094-S):

- L1 = ⌈Σ w_j / c⌉;
- L2 = max over K ≤ c/2 of |N1| + |N2| + max(0, ⌈(Σ_{N3} w_j − (c |N2| − Σ_{N2} w_j)) / c⌉) with N1 the items above
  c − K, N2 those above c/2 up to c − K, N3 those from K up to c/2: an item of N1 shares with none of the three, no
  two of N2 share a box, and N3 fills at most what N2 leaves.

>>> sum_bound([70, 60, 50, 33, 33, 33, 11, 7, 3], 100), martello_toth_bound([70, 60, 50, 33, 33, 33, 11, 7, 3], 100)
(3, 4)

Limits: one size at a time. Bags have a volume and a mass, so each gives a bound and the larger one counts.
"""

from collections.abc import Collection, Sequence


def sum_bound(sizes: Sequence[int], capacity: int) -> int:
    """L1: the whole size over the capacity, rounded up."""
    return -(-sum(sizes) // capacity)


def martello_toth_bound(sizes: Sequence[int], capacity: int) -> int:
    """L2; never below L1, never above the optimum. Sizes are 0 or more, none above the capacity."""
    half = [size for size in sizes if 2 * size <= capacity]
    best = 0
    for least in sorted({0, *half}):
        alone = sum(size > capacity - least for size in sizes)
        large = [size for size in sizes if 2 * size > capacity and size <= capacity - least]
        left = sum(size for size in half if size >= least) - (capacity * len(large) - sum(large))
        best = max(best, alone + len(large) + max(0, -(-left // capacity)))
    return best


def apart_bound(apart: Sequence[Collection[int]]) -> int:
    """How many items are pairwise kept apart, found greedily: each needs a box of its own.

    ``apart[j]`` are the items that may not share a box with item j. 1 where nothing is kept apart; 0 without items.
    """
    best = 0
    for first in range(len(apart)):
        clique = [first]
        for other in sorted(apart[first]):
            if all(other in apart[member] for member in clique):
                clique.append(other)
        best = max(best, len(clique))
    return best
