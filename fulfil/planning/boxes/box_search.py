"""The fewest groups of items that each fit a box: exact for small orders, with a bound where the steps ran out.

Depth first, items in the order given (fullest first): each goes into every open group where it fits, then into a new
one, so that the first packing found is first fit decreasing. A branch is given up when the items left, filling all
the room that open groups can still use, need as many groups as the best packing has (branch and bound, S. Martello
and P. Toth, *Knapsack Problems*, 1990, chapter 8, with item by item branching). Two open groups that are alike for
the items still to come are tried once.

An item is (volume, load, length), a box kind the most that it takes of each; a group fits when one kind takes the
sums of volume and load and the largest length.

>>> fewest_groups([(60, 1, 1), (50, 1, 1), (50, 1, 1), (40, 1, 1)], [(100, 9, 9)], [(), (), (), ()]).groups
((0, 3), (1, 2))

Limits: exact proofs for some dozens of items; beyond, the bound is stated with what was found. Above
:data:`MOST_SEARCHED` items the first packing stands unsearched.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from math import ceil

Item = tuple[float, float, float]

_HAIR = 1e-9

MOST_SEARCHED = 150
"""Items of which every place is tried; a call goes one deeper for each."""


@dataclass(frozen=True)
class Groups:
    """The groups as places of items, and a number of groups that none can beat."""

    groups: tuple[tuple[int, ...], ...]
    fewest: int


@dataclass(slots=True)
class _Group:
    """An open group: its members, sums, largest length, and the items that may not join it."""

    members: list[int] = field(default_factory=list)
    volume: float = 0.0
    load: float = 0.0
    length: float = 0.0
    barred: frozenset[int] = frozenset()


def fewest_groups(
    items: Sequence[Item],
    kinds: Sequence[Item],
    apart: Sequence[Collection[int]],
    *,
    bound: int = 1,
    search_steps: int = 20_000,
) -> Groups:
    """The fewest groups found, and the proven bound on them.

    Args:
        items: volume, load and length of each; every one fits a kind by itself.
        kinds: the most that each box kind takes of the three.
        apart: for each item those that may not share its group.
        bound: a number of groups known to be needed at least.
        search_steps: placings to try before the search stops; work, not seconds.
    """
    search = _Search(items, kinds, [frozenset(others) for others in apart], bound, search_steps)
    if len(items) > MOST_SEARCHED:
        groups = search.first_fit()
        return Groups(groups, bound)
    search.place(0)
    found = tuple(tuple(members) for members in search.best)
    return Groups(found, bound if search.is_cut_short else len(found))


class _Search:
    def __init__(
        self, items: Sequence[Item], kinds: Sequence[Item], apart: list[frozenset[int]], bound: int, steps: int
    ) -> None:
        self.items, self.apart, self.bound, self.steps_left = items, apart, bound, steps
        # A kind that another one beats in all three can only matter for the size of the box, not for whether one fits.
        self.kinds = [
            kind
            for kind in dict.fromkeys(kinds)
            if not any(other != kind and all(a >= b for a, b in zip(other, kind, strict=True)) for other in kinds)
        ]
        self.most_volume = max(kind[0] for kind in kinds)
        self.most_load = max(kind[1] for kind in kinds)
        self.open: list[_Group] = []
        self.best: list[list[int]] = []
        self.is_cut_short = False
        self.left: list[tuple[float, float, float, float]] = [(0.0, 0.0, 0.0, 0.0)]
        volume = load = 0.0
        least_volume = least_load = float("inf")
        for item_volume, item_load, _ in reversed(items):
            volume, load = volume + item_volume, load + item_load
            least_volume, least_load = min(least_volume, item_volume), min(least_load, item_load)
            self.left.append((volume, load, least_volume, least_load))
        self.left.reverse()

    @property
    def _is_done(self) -> bool:
        return self.is_cut_short or bool(self.best and len(self.best) <= self.bound)

    def first_fit(self) -> tuple[tuple[int, ...], ...]:
        """Every item into the first open group where it fits: the packing that :meth:`place` finds first."""
        for item, (volume, load, length) in enumerate(self.items):
            for group in self.open:
                after = (group.volume + volume, group.load + load, max(group.length, length))
                if item not in group.barred and self._fits(*after):
                    group.volume, group.load, group.length = after
                    group.barred = group.barred | self.apart[item]
                    group.members.append(item)
                    break
            else:
                self.open.append(_Group([item], volume, load, length, self.apart[item]))
        return tuple(tuple(group.members) for group in self.open)

    def place(self, item: int) -> None:
        """Tries every place for this item and those after it."""
        if item == len(self.items):
            self.best = [list(group.members) for group in self.open]
            return
        volume, load, length = self.items[item]
        tried = set()
        for group in self.open:
            before = (group.volume, group.load, group.length, group.barred)
            if before in tried or item in group.barred:
                continue
            tried.add(before)
            after = (group.volume + volume, group.load + load, max(group.length, length))
            if self._fits(*after):
                group.volume, group.load, group.length = after
                group.barred = group.barred | self.apart[item]
                group.members.append(item)
                self._go_on(item + 1)
                group.members.pop()
                group.volume, group.load, group.length, group.barred = before
                if self._is_done:
                    return
        self.open.append(_Group([item], volume, load, length, self.apart[item]))
        self._go_on(item + 1)
        self.open.pop()

    def _fits(self, volume: float, load: float, length: float) -> bool:
        return any(
            volume <= most_volume and load <= most_load and length <= most_length
            for most_volume, most_load, most_length in self.kinds
        )

    def _go_on(self, item: int) -> None:
        if self.best:
            self.steps_left -= 1
            if self.steps_left < 0:
                self.is_cut_short = True
            if self.is_cut_short or self._needed(item) >= len(self.best):
                return
        self.place(item)

    def _needed(self, item: int) -> int:
        """Groups needed at least from here: room too small for any item left is lost."""
        volume, load, least_volume, least_load = self.left[item]
        for group in self.open:
            spare_volume, spare_load = self.most_volume - group.volume, self.most_load - group.load
            if spare_volume >= least_volume and spare_load >= least_load:
                volume -= spare_volume
                load -= spare_load
        more = max(volume / self.most_volume, load / self.most_load)
        return len(self.open) + max(0, ceil(more - _HAIR))
