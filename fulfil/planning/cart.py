"""What a cart holds, and what each order takes of it, as whole numbers for every kind of capacity."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fulfil.errors import PlanRefused

Weights = Sequence[int] | Sequence[Sequence[int]]


@dataclass(frozen=True, eq=False)
class CartLoads:
    """Capacities of a cart (one entry for each kind) and the orders' loads (one row for each order)."""

    capacity: NDArray[np.int64]
    load: NDArray[np.int64]

    @classmethod
    def of(cls, count: int, capacity: int | Sequence[int], weights: Weights | None) -> "CartLoads":
        """Read capacity and weights as :func:`fulfil.planning.batching.plan_batches` takes them.

        Without weights the capacity counts orders. With several capacities each order has one weight for each.

        Raises:
            PlanRefused: A capacity below 1, a negative or fractional weight, or an order heavier than the cart holds.
        """
        limits = (capacity,) if isinstance(capacity, int) else tuple(capacity)
        if not limits or any(not isinstance(limit, int) or limit < 1 for limit in limits):
            raise PlanRefused("plan batches with capacity", capacity, "a whole number of 1 or more for each kind")
        rows: list[tuple[int, ...]]
        if weights is None:
            if len(limits) > 1:
                raise PlanRefused("plan batches with capacity", capacity, "weights for each order and kind")
            rows = [(1,)] * count
        else:
            rows = [(weight,) if isinstance(weight, int) else tuple(weight) for weight in weights]
            if len(rows) != count:
                raise PlanRefused(
                    "plan batches with weights for", f"{len(rows)} orders", f"{count}, one for each order"
                )
        for place, row in enumerate(rows):
            if len(row) != len(limits) or any(not isinstance(weight, int) or weight < 0 for weight in row):
                raise PlanRefused(
                    f"load order {place} with weight",
                    row,
                    f"{len(limits)} whole numbers of 0 or more, one for each kind",
                )
            for weight, limit in zip(row, limits, strict=True):
                if weight > limit:
                    raise PlanRefused(f"load order {place} with weight", weight, f"at most the capacity {limit}")
        return cls(np.array(limits, dtype=np.int64), np.array(rows, dtype=np.int64).reshape(count, len(limits)))

    def part(self, orders: Sequence[int]) -> "CartLoads":
        """The loads of some of the orders."""
        return CartLoads(self.capacity, self.load[list(orders)])

    def most_orders(self) -> int:
        """No batch that keeps to every capacity has more orders than this."""
        most = len(self.load)
        for kind, limit in enumerate(self.capacity):
            ordered = np.sort(self.load[:, kind])
            most = min(most, int(np.searchsorted(np.cumsum(ordered), limit, side="right")))
        return most

    def fewest_batches(self) -> int:
        """No plan has fewer batches: the total load over the capacity, rounded up, for the tightest kind."""
        if not len(self.load):
            return 0
        return max(
            1, *(int(-(-total // limit)) for total, limit in zip(self.load.sum(axis=0), self.capacity, strict=True))
        )

    def fits(self, batch: Sequence[int]) -> bool:
        """Whether these orders fit on one cart."""
        return bool(np.all(self.load[list(batch)].sum(axis=0) <= self.capacity))
