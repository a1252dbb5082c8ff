"""A plan: which orders share a cart, with its walks, and the parts of it that are planned on their own.

A plan is written in one way only: orders within a batch by place, batches by their first order.
"""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fulfil.planning.cart import CartLoads
from fulfil.planning.walks import Walks

Batch = tuple[int, ...]
Batches = tuple[Batch, ...]


@dataclass(frozen=True)
class Plan:
    """Which orders share a cart.

    Attributes:
        batches: Places of the orders in the list given, one tuple for each walk.
        walks_mm: Length of each batch's shortest walk.
        length_mm: Sum of the walks.
        one_by_one_mm: Sum if every order were walked alone.
        start_mm: Sum of the plan that the search began with: by savings, or the plan given to start from.
        seed: The seed it was searched with.
        effort: The effort it was searched with.
        fixed: Batches that weren't open to change.
        set_up_mm: What each walk costs besides its length: the way that could be walked during its set-up.
    """

    batches: Batches
    walks_mm: tuple[int, ...]
    length_mm: int
    one_by_one_mm: int
    start_mm: int
    seed: int
    effort: str
    fixed: Batches
    groups: tuple[Hashable, ...] = field(repr=False)
    walks: Walks = field(repr=False, compare=False)
    loads: CartLoads = field(repr=False, compare=False)
    set_up_mm: int = 0

    @property
    def cost_mm(self) -> int:
        """What the search made least: the walks, and for each of them its set-up."""
        return self.length_mm + self.set_up_mm * len(self.batches)

    def with_batches(self, batches: Sequence[Sequence[int]]) -> "Plan":
        """The same orders in other batches."""
        ordered = canonical(batches)
        walks_mm = tuple(walk_mm(self.walks, batch) for batch in ordered)
        return replace(self, batches=ordered, walks_mm=walks_mm, length_mm=sum(walks_mm))

    def groups_of_orders(self) -> list[list[int]]:
        """Places of the orders that may share a cart, without fixed ones; groups by their first order."""
        return open_groups(self.groups, self.fixed)


def open_groups(keys: Sequence[Hashable], fixed: Batches) -> list[list[int]]:
    """Places of the orders with equal keys, without those in fixed batches; groups by their first order."""
    gone = {order for batch in fixed for order in batch}
    members: dict[Hashable, list[int]] = {}
    for place, key in enumerate(keys):
        if place not in gone:
            members.setdefault(key, []).append(place)
    return list(members.values())


def canonical(batches: Sequence[Sequence[int]]) -> Batches:
    """Orders within a batch by place, batches by their first order, empty ones left out."""
    return tuple(sorted(tuple(sorted(int(order) for order in batch)) for batch in batches if len(batch)))


def walk_mm(walks: Walks, batch: Sequence[int]) -> int:
    """Length of the shortest walk of one batch."""
    marked = np.bitwise_or.reduce(walks.occupancy[list(batch)], axis=0)
    return int(walks.walk(marked, walks.geometry))


@dataclass(frozen=True, eq=False)
class PartWalks:
    """The walks of some of the orders; the fields are those of :class:`fulfil.planning.walks.Walks`."""

    walk: Any
    floor: Any
    floor_parts: int
    step_mm: int
    subadditive: bool
    geometry: NDArray[np.int64]
    occupancy: NDArray[np.uint64]

    @classmethod
    def of(cls, walks: Walks, places: Sequence[int]) -> "PartWalks":
        """The same room with fewer orders."""
        return cls(
            walks.walk,
            walks.floor,
            walks.floor_parts,
            walks.step_mm,
            walks.subadditive,
            walks.geometry,
            walks.occupancy[list(places)],
        )
