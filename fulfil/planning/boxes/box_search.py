"""The cheapest groups of items that each fit a box: exact for small orders, with a bound where the steps ran out.

Depth first, items in the order given (fullest first): each goes into every open group where it fits, then into a new
one, so that the first packing found is first fit decreasing. A branch is given up when its open groups, and those that
the items left need besides, cost as much as the best packing does (branch and bound, S. Martello and P. Toth,
*Knapsack Problems*, 1990, chapter 8, with item by item branching). Two open groups that are alike for the items still
to come are tried once.

An item has a volume, a load, and for each kind of box what it takes of its floor (infinite where it doesn't go in at
all); a kind has the most of each, and what it costs with a load. A group fits when one kind takes its three sums; it
costs what the cheapest of these does. Of packings that cost the same, the one of fewer groups is better, then the one
found first. Where nothing has a price, all cost 0: the fewest groups are sought.

>>> box = Kind(100, 9, 9)
>>> items = [Item(size, 1, (1,)) for size in (60, 50, 50, 40)]
>>> cheapest_groups(items, [box], [(), (), (), ()]).groups
((0, 3), (1, 2))

Three of 30 fit one box, but a second one costs less than the load above 20:

>>> dear = Kind(100, 9, 9, lambda load: 5 if load <= 2 else 20)
>>> cheapest_groups([Item(30, 1, (1,))] * 3, [dear], [()] * 3)
Groups(groups=((0, 1), (2,)), fewest=1, cost=10, least_cost=10, is_proven=True)

Limits: exact proofs for some dozens of items; beyond, the bounds are stated with what was found. Above
:data:`MOST_SEARCHED` items the first packing stands unsearched. A kind must not cost less with a larger load.
"""

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, field
from math import ceil

_HAIR = 1e-9

MOST_SEARCHED = 150
"""Items of which every place is tried; a call goes one deeper for each."""


def _free(_: float) -> int:
    return 0


@dataclass(frozen=True)
class Item:
    """What goes into a box; ``floors`` has a number for each kind."""

    volume: float
    load: float
    floors: tuple[float, ...]


@dataclass(frozen=True)
class Kind:
    """A kind of box: the most that it takes of the three, and what it costs with a load."""

    volume: float
    load: float
    floor: float
    cost: Callable[[float], int] = _free


@dataclass(frozen=True)
class Groups:
    """The groups as places of items, what they cost, and a number and a cost that none can beat.

    ``is_proven``: no packing costs less, nor is there one of fewer groups that costs the same.
    """

    groups: tuple[tuple[int, ...], ...]
    fewest: int
    cost: int
    least_cost: int
    is_proven: bool


@dataclass(slots=True)
class _Group:
    """An open group: its members, sums, cost, and the items that may not join it."""

    members: list[int] = field(default_factory=list)
    volume: float = 0.0
    load: float = 0.0
    floors: tuple[float, ...] = ()
    cost: int = 0
    barred: frozenset[int] = frozenset()


def cheapest_groups(
    items: Sequence[Item],
    kinds: Sequence[Kind],
    apart: Sequence[Collection[int]],
    *,
    bound: int = 1,
    search_steps: int = 20_000,
) -> Groups:
    """The cheapest groups found, and the proven bounds on them.

    Args:
        items: every one fits a kind by itself.
        kinds: one or more.
        apart: for each item those that may not share its group.
        bound: a number of groups known to be needed at least.
        search_steps: placings to try before the search stops; work, not seconds.
    """
    search = _Search(items, kinds, [frozenset(others) for others in apart], bound, search_steps)
    least_cost = bound * search.least_cost
    if len(items) > MOST_SEARCHED:
        search.first_fit()
        search.is_cut_short = True
    else:
        search.place(0)
    cost, many = search.best_cost
    is_proven = not search.is_cut_short or (cost, many) == (least_cost, bound)
    if is_proven:
        least_cost = cost
    fewest = many if is_proven and not search.has_costs else bound
    return Groups(tuple(tuple(members) for members in search.best), fewest, cost, least_cost, is_proven)


class _Search:
    def __init__(
        self, items: Sequence[Item], kinds: Sequence[Kind], apart: list[frozenset[int]], bound: int, steps: int
    ) -> None:
        self.items, self.kinds, self.apart, self.bound, self.steps_left = items, kinds, apart, bound, steps
        self.most_volume = max(kind.volume for kind in kinds)
        self.most_load = max(kind.load for kind in kinds)
        lightest = min((item.load for item in items), default=0.0)
        self.least_cost = min(kind.cost(lightest) for kind in kinds)
        self.has_costs = any(kind.cost(kind.load) for kind in kinds)
        self.open: list[_Group] = []
        self.best: list[list[int]] = []
        self.best_cost = (0, 0)
        self.is_cut_short = False
        self.left: list[tuple[float, float, float, float]] = [(0.0, 0.0, 0.0, 0.0)]
        volume = load = 0.0
        least_volume = least_load = float("inf")
        for item in reversed(items):
            volume, load = volume + item.volume, load + item.load
            least_volume, least_load = min(least_volume, item.volume), min(least_load, item.load)
            self.left.append((volume, load, least_volume, least_load))
        self.left.reverse()

    @property
    def _is_done(self) -> bool:
        least = (self.bound * self.least_cost, self.bound)
        return self.is_cut_short or bool(self.best and self.best_cost <= least)

    def first_fit(self) -> None:
        """Every item into the first open group where it fits: the packing that :meth:`place` finds first."""
        for item in range(len(self.items)):
            for group in self.open:
                if item not in group.barred and self._joined(group, item):
                    break
            else:
                self.open.append(self._alone(item))
        self._keep()

    def place(self, item: int) -> None:
        """Tries every place for this item and those after it."""
        if item == len(self.items):
            self._keep()
            return
        tried = set()
        for group in self.open:
            before = (group.volume, group.load, group.floors, group.cost, group.barred)
            if before in tried or item in group.barred:
                continue
            tried.add(before)
            if self._joined(group, item):
                self._go_on(item + 1)
                group.members.pop()
                group.volume, group.load, group.floors, group.cost, group.barred = before
                if self._is_done:
                    return
        self.open.append(self._alone(item))
        self._go_on(item + 1)
        self.open.pop()

    def _keep(self) -> None:
        self.best = [list(group.members) for group in self.open]
        self.best_cost = (sum(group.cost for group in self.open), len(self.open))

    def _alone(self, item: int) -> _Group:
        one = self.items[item]
        cost = self._cost(one.volume, one.load, one.floors)
        return _Group([item], one.volume, one.load, one.floors, 0 if cost is None else cost, self.apart[item])

    def _joined(self, group: _Group, item: int) -> bool:
        """Puts an item into a group, where a kind takes both."""
        one = self.items[item]
        volume, load = group.volume + one.volume, group.load + one.load
        floors = tuple(a + b for a, b in zip(group.floors, one.floors, strict=True))
        cost = self._cost(volume, load, floors)
        if cost is None:
            return False
        group.volume, group.load, group.floors, group.cost = volume, load, floors, cost
        group.barred = group.barred | self.apart[item]
        group.members.append(item)
        return True

    def _cost(self, volume: float, load: float, floors: tuple[float, ...]) -> int | None:
        """What the cheapest kind that takes these costs; None where none does."""
        costs = [
            kind.cost(load)
            for kind, floor in zip(self.kinds, floors, strict=True)
            if volume <= kind.volume and load <= kind.load and floor <= kind.floor
        ]
        return min(costs, default=None)

    def _go_on(self, item: int) -> None:
        if self.best:
            self.steps_left -= 1
            if self.steps_left < 0:
                self.is_cut_short = True
            if self.is_cut_short or self._least(item) >= self.best_cost:
                return
        self.place(item)

    def _least(self, item: int) -> tuple[int, int]:
        """Cost and number of groups at least from here: room too small for any item left is lost."""
        volume, load, least_volume, least_load = self.left[item]
        for group in self.open:
            spare_volume, spare_load = self.most_volume - group.volume, self.most_load - group.load
            if spare_volume >= least_volume and spare_load >= least_load:
                volume -= spare_volume
                load -= spare_load
        more = max(0, ceil(max(volume / self.most_volume, load / self.most_load) - _HAIR))
        return sum(group.cost for group in self.open) + more * self.least_cost, len(self.open) + more
