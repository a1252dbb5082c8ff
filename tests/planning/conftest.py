"""Small random shops and an oracle that knows nothing of the search."""

from collections.abc import Iterator, Sequence
from itertools import combinations

import numpy as np
import pytest

from fulfil.room.block import Block

ROOM = Block((0, 2500, 5000, 7500, 10000), 12000, bench_aisle=1)


def random_orders(count: int, seed: int) -> list[list[tuple[int, int]]]:
    """Orders of one to four stops anywhere in the small room; invented."""
    rng = np.random.default_rng(seed)
    return [
        [(int(rng.integers(5)), 600 * int(rng.integers(1, 20))) for _ in range(int(rng.integers(1, 5)))]
        for _ in range(count)
    ]


def batches_that_fit(weights: Sequence[Sequence[int]], capacity: Sequence[int]) -> Iterator[tuple[int, ...]]:
    """Every set of orders that fits on a cart."""
    for size in range(1, len(weights) + 1):
        for batch in combinations(range(len(weights)), size):
            if all(sum(weights[order][kind] for order in batch) <= limit for kind, limit in enumerate(capacity)):
                yield batch


def shortest_plan_mm(room, orders, weights, capacity, set_up_mm=0):
    """The least of walks and set-ups by trying, for the first order left, every batch that holds it (by the room)."""
    length = {
        batch: set_up_mm + room.shortest_walk([stop for order in batch for stop in orders[order]]).length_mm
        for batch in batches_that_fit(weights, capacity)
    }
    known = {frozenset(): 0}

    def best(left):
        if left not in known:
            first = min(left)
            known[left] = min(
                cost + best(left - frozenset(batch))
                for batch, cost in length.items()
                if first in batch and left.issuperset(batch)
            )
        return known[left]

    return best(frozenset(range(len(orders))))


@pytest.fixture(scope="session")
def room():
    """Five aisles of 12 m, the bench at the second."""
    return ROOM
