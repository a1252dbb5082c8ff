"""In which order to sweep a network's passages, so that few corners are in sight at once.

Corners are taken up one by one; with each, its passages to corners taken up before. A corner in sight is one with
passages on both sides of the sweep; it holds a *slot*. The least possible width is the network's pathwidth, which
is hard to find (Arnborg, Corneil, Proskurowski, SIAM J. Algebraic Discrete Methods 8, 1987, 277-284,
doi:10.1137/0608024); the rule here is greedy: from each of some first corners, take up next the neighbouring corner
that leaves fewest in sight, the smallest number among equals.

>>> from fulfil.room.network import Link, Network
>>> ladder = Network(((0, 0), (0, 9), (5, 0), (5, 9)),
...                  (Link(0, 1, 9), Link(2, 3, 9), Link(0, 2, 5), Link(1, 3, 5)), start=0, end=0)
>>> for step in narrowest_steps(ladder, [(0, 1, 2, 3)]):
...     print(step)
('touch', 0, -1, -1)
('span', 0, 1, 0)
('advance', 0, 0, 2)
('advance', 0, 0, 1)
('span', 1, 0, 3)
('retire', 1, -1, -1)
('retire', 0, -1, -1)
"""

from collections.abc import Iterable, Sequence
from typing import TypeAlias

from fulfil.room.network import Network

Step: TypeAlias = tuple[str, int, int, int]
"""(kind, slot, other slot, passage): see :mod:`fulfil.room.sweeping.sweep_states`.

A span's slots are those of the passage's first and second corner. An advance's second number is 0 if it goes along the
passage, 1 if against it. What isn't there is -1.
"""

MOST_BEGINNINGS = 40
"""From how many first corners the greedy rule is tried."""


def narrowest_steps(network: Network, orders: Iterable[Sequence[int]] = ()) -> tuple[Step, ...]:
    """The steps of the narrowest sweep: of the orders given, or found greedily if none are."""
    corners = range(len(network.points))
    stride = -(-len(corners) // MOST_BEGINNINGS)
    tried = list(orders) or [_greedy(network, first) for first in corners[::stride]]
    return min((steps_of(network, order) for order in tried), key=width_of)


def width_of(steps: Iterable[Step]) -> int:
    """The most corners in sight at once."""
    spans = [max(i, j) if kind == "span" else i for kind, i, j, _ in steps]
    return 1 + max(spans, default=0)


def steps_of(network: Network, order: Sequence[int]) -> tuple[Step, ...]:
    """The steps of the sweep that takes up the corners in this order."""
    passages_at = _passages_at(network)
    left = [len(numbers) for numbers in passages_at]
    rank = {corner: k for k, corner in enumerate(order)}
    slot: dict[int, int] = {}
    steps: list[Step] = []
    mark = "touch" if network.start == network.end else "flip"

    def enter(corner: int, free: int) -> None:
        slot[corner] = free
        if corner in (network.start, network.end):
            steps.append((mark, free, -1, -1))

    def first_free() -> int:
        return next(k for k in range(len(slot) + 1) if k not in slot.values())

    for corner in order:
        behind = [
            (left[other] != 1, number, other) for number, other in passages_at[corner] if rank[other] < rank[corner]
        ]
        for _, number, other in sorted(behind):
            left[other] -= 1
            left[corner] -= 1
            along = network.passages[number].a == other
            if other not in slot:
                enter(other, first_free())
            if corner not in slot and left[other] == 0:
                free = slot.pop(other)
                steps.append(("advance", free, 0 if along else 1, number))
                enter(corner, free)
            else:
                if corner not in slot:
                    enter(corner, first_free())
                ends = (slot[other], slot[corner])
                steps.append(("span", *(ends if along else ends[::-1]), number))
                if left[other] == 0:
                    steps.append(("retire", slot.pop(other), -1, -1))
            if left[corner] == 0:
                steps.append(("retire", slot.pop(corner), -1, -1))
    return tuple(steps)


def _passages_at(network: Network) -> list[list[tuple[int, int]]]:
    """For each corner its (passage, other corner)."""
    at: list[list[tuple[int, int]]] = [[] for _ in network.points]
    for number, way in enumerate(network.passages):
        at[way.a].append((number, way.b))
        at[way.b].append((number, way.a))
    return at


def _greedy(network: Network, first: int) -> list[int]:
    """The greedy order from a first corner; a part that hangs on nothing begins at its smallest corner."""
    passages_at = _passages_at(network)
    left = [len(numbers) for numbers in passages_at]
    order: list[int] = []
    taken = [False] * len(left)
    sight: set[int] = set()

    def growth(corner: int) -> int:
        """How many corners more are in sight after taking this one up."""
        behind = [other for _, other in passages_at[corner] if taken[other]]
        closed = sum(left[other] == behind.count(other) for other in set(behind))
        return (left[corner] > len(behind)) - closed

    while len(order) < len(left):
        ahead = {other for corner in sight for _, other in passages_at[corner] if not taken[other]}
        rest = range(len(left)) if order else [first]
        candidates = sorted(ahead) or [corner for corner in rest if not taken[corner]][:1]
        corner = min(candidates, key=lambda one: (growth(one), one))
        order.append(corner)
        taken[corner] = True
        for _, other in passages_at[corner]:
            if taken[other]:
                left[other] -= 1
                left[corner] -= 1
        sight.add(corner)
        sight = {one for one in sight if left[one] > 0}
    return order
