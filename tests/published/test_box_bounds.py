"""Bin packing against the literature.

Sources: S. Martello and P. Toth, Knapsack Problems, Wiley 1990, chapter 8 (nine items of 70 … 3 in boxes of 100, quoted
from memory and recomputed by hand); E. Falkenauer, Journal of Heuristics 2 (1996) 5: triplets, made so that boxes of
1000 are filled exactly by three items each, the optimum is a third of the items (own draws of his recipe); G. Dósa,
2007, doi 10.1007/978-3-540-74450-4_1: first fit decreasing needs at most 11/9 of the optimum and 6/9 of a box.
"""

import numpy as np
import pytest

from fulfil.planning.boxes.box_bounds import martello_toth_bound, sum_bound
from fulfil.planning.boxes.box_search import Item, Kind, cheapest_groups

NINE = [70, 60, 50, 33, 33, 33, 11, 7, 3]


def triplets(count: int, seed: int) -> list[int]:
    """Falkenauer's recipe: the first item from 380 to 490, the second from 250 to half the rest, the third fills up."""
    chance = np.random.default_rng(seed)
    sizes: list[int] = []
    for _ in range(count):
        first = int(chance.integers(380, 491))
        second = int(chance.integers(250, (1000 - first) // 2 + 1))
        sizes += [first, second, 1000 - first - second]
    return sorted(sizes, reverse=True)


def packed(sizes, capacity, steps=20_000):
    """The search by one size, with the Martello–Toth bound."""
    items = [Item(size, 1, (0,)) for size in sizes]
    bound = martello_toth_bound(sizes, capacity)
    kinds = [Kind(capacity, len(sizes), 1)]
    return cheapest_groups(items, kinds, [()] * len(sizes), bound=bound, search_steps=steps)


def test_the_nine_items():
    """The sum bound says 3; L2 says 4 (K = 33: 70 alone, 60, and 149 − 40 in two more), and 4 boxes suffice."""
    assert (sum_bound(NINE, 100), martello_toth_bound(NINE, 100)) == (3, 4)
    assert len(packed(NINE, 100).groups) == packed(NINE, 100).fewest == 4


@pytest.mark.parametrize("seed", range(5))
def test_small_triplets_are_packed_to_their_known_optimum(seed):
    """Four boxes of three items each, filled to the last unit."""
    found = packed(triplets(4, seed), 1000)

    assert len(found.groups) == found.fewest == 4


@pytest.mark.parametrize("seed", range(5))
def test_large_triplets_never_break_their_known_optimum(seed):
    """Sixty items in twenty boxes: whatever is found, the stated bound is the truth or below it."""
    found = packed(triplets(20, seed), 1000, steps=2000)

    assert found.fewest <= 20 <= len(found.groups) <= 11 / 9 * 20 + 6 / 9


@pytest.mark.parametrize("seed", range(20))
def test_uniform_items_of_an_order_are_solved(seed):
    """Thirty items of 20 to 100 in boxes of 150, the mix of Falkenauer's uniform class: proven within the budget."""
    sizes = sorted((int(size) for size in np.random.default_rng(seed).integers(20, 101, 30)), reverse=True)
    found = packed(sizes, 150)

    assert len(found.groups) - found.fewest <= 1
    assert len(found.groups) <= 11 / 9 * found.fewest + 6 / 9
