"""What a cart holds, and what each order takes of it, as whole numbers for every kind of capacity."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

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
        """No plan has fewer batches: the total load over the capacity, rounded up, for the tightest kind.

        Orders that take more than half of one kind ride on a cart each; what such a cart takes of another kind beside
        them is little, and the rest needs carts of its own.

        >>> CartLoads.of(14, (5, 100), [(1, 97)] + [(1, 2)] * 13).fewest_batches()
        4
        """
        if not len(self.load):
            return 0
        kinds = range(len(self.capacity))
        fewest = max(
            1, *(int(-(-total // limit)) for total, limit in zip(self.load.sum(axis=0), self.capacity, strict=True))
        )
        pairs = [(one, other) for one in kinds for other in kinds if one != other]
        return max([fewest, *(self._beside_large_ones(one, other) for one, other in pairs)])

    def _beside_large_ones(self, kind: int, other: int) -> int:
        """No plan has fewer batches, as those with an order of more than half of ``kind`` take little of ``other``."""
        limit, beside = int(self.capacity[kind]), int(self.capacity[other])
        is_large = 2 * self.load[:, kind] > limit
        if not is_large.any():
            return 0
        total = int(self.load[:, other].sum())
        # Of the others the lightest for what they take come first, and of the last one a part.
        small = [(int(row[kind]), int(row[other])) for row in self.load[~is_large] if row[other] > 0]
        small.sort(key=lambda pair: (Fraction(*pair), pair))
        room_taken = np.cumsum([0] + [weight for weight, _ in small])
        taken = np.cumsum([0] + [worth for _, worth in small])
        most = []
        for row in self.load[is_large]:
            room = limit - int(row[kind])
            whole = int(np.searchsorted(room_taken, room, side="right")) - 1
            worth = int(row[other]) + int(taken[whole])
            if whole < len(small):
                weight, of_other = small[whole]
                worth += (room - int(room_taken[whole])) * of_other // weight
            most.append(min(worth, beside))
        # Any of the large ones may be left out of this count, best those that take a full cart's worth all the same.
        most.sort()
        fewest = 0
        for carts in range(len(most) + 1):
            left = total - sum(most[:carts])
            fewest = max(fewest, carts + max(0, -(-left // beside)))
        return fewest

    def fits(self, batch: Sequence[int]) -> bool:
        """Whether these orders fit on one cart."""
        return bool(np.all(self.load[list(batch)].sum(axis=0) <= self.capacity))
