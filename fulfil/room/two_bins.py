"""Parts that live in two bins or more: which to fetch from, so that the walk is shortest.

Depth first over the parts, each tried at the bin that lengthens the walk least first. What makes it exact is that
one more stop never shortens a shortest walk: a walk through some of the stops bounds every walk through more, so a
branch already as long as the best whole walk is cut. For one block the problem is treated on the states of Ratliff
and Rosenthal by K. Heßler and S. Irnich, INFORMS J. Comput. 36, 2024, 1417-1435; here
it is solved for every room alike.

Rule among equal choices: the first one found, bins in the order given.

>>> from fulfil.room.block import Block
>>> choice = choose_bins(Block((0, 5, 10), 10), [(0, 3)], [[(2, 9), (0, 6)], [(1, 1), (0, 9)]])
>>> choice.bins, choice.walk.length_mm, choice.proven
(((0, 6), (0, 9)), 18, True)

Limits: stops by the number of walks measured; then the choice is good, and ``bound_mm`` says how good. Every bin
must hold enough for the whole line: what is allocated from where is for :mod:`fulfil.planning`.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from fulfil.errors import RoomRefused
from fulfil.room.walk import Room, Stop, Walk


@dataclass(frozen=True)
class BinChoice:
    """The bins chosen, one for each part in the order given, the walk through them and the fixed stops.

    ``bound_mm``: no choice of bins makes a shorter walk than this, if the room proves its walks.
    """

    bins: tuple[Stop, ...]
    walk: Walk
    bound_mm: int

    @property
    def proven(self) -> bool:
        """Whether no other choice of bins makes a shorter walk."""
        return self.bound_mm == self.walk.length_mm and self.walk.proven


class _Search:
    """The depth-first search with its best choice so far."""

    def __init__(self, room: Room, fixed: Sequence[Stop], choices: Sequence[Sequence[Stop]], most: int) -> None:
        self.room = room
        self.fixed = list(fixed)
        self.choices = choices
        self.left = most
        self.known: dict[tuple[Stop, ...], int] = {}
        self.best_mm: int | None = None
        self.best: tuple[Stop, ...] = ()
        self.cut_short_mm: int | None = None

    def length_mm(self, chosen: tuple[Stop, ...]) -> int:
        stops = tuple(sorted({*self.fixed, *chosen}))
        if stops not in self.known:
            self.left -= 1
            self.known[stops] = self.room.walk_length_mm(stops)
        return self.known[stops]

    def down(self, chosen: tuple[Stop, ...], length_mm: int) -> None:
        """Try every bin of the next part; ``length_mm`` bounds every walk from here on."""
        if self.best_mm is not None and length_mm >= self.best_mm:
            return
        if len(chosen) == len(self.choices):
            self.best_mm, self.best = length_mm, chosen
            return
        if self.left <= 0 and self.best_mm is not None:
            self.cut_short_mm = min(length_mm, self.cut_short_mm if self.cut_short_mm is not None else length_mm)
            return
        tried = [(self.length_mm((*chosen, stop)), k, stop) for k, stop in enumerate(self.choices[len(chosen)])]
        for longer_mm, _, stop in sorted(tried, key=lambda one: one[:2]):
            self.down((*chosen, stop), longer_mm)


def choose_bins(
    room: Room, fixed: Sequence[Stop], choices: Sequence[Sequence[Stop]], *, most_walks: int = 2000
) -> BinChoice:
    """Choose one bin for each part so that the walk through them and ``fixed`` is shortest.

    Args:
        room: any room.
        fixed: stops of the parts that live in one bin.
        choices: for each other part its bins.
        most_walks: after measuring this many walks, no new branch is opened once a whole choice is known.

    Raises:
        RoomRefused: a part without a bin, or a bin outside the room.
    """
    for number, bins in enumerate(choices):
        if not bins:
            raise RoomRefused("choose a bin for part", number, "at least one bin")
    # Parts whose bins differ most in what they add decide most: they come first, equal ones in the order given.
    search = _Search(room, fixed, choices, most_walks)
    alone_mm = search.length_mm(())
    spread = [
        max(lengths) - min(lengths) for lengths in ([search.length_mm((stop,)) for stop in bins] for bins in choices)
    ]
    order = sorted(range(len(choices)), key=lambda number: (-spread[number], number))
    search.choices = [choices[number] for number in order]
    search.down((), alone_mm)
    best = dict(zip(order, search.best, strict=True))
    chosen = tuple(best[number] for number in range(len(choices)))
    walk = room.shortest_walk([*fixed, *chosen])
    bound_mm = walk.bound_mm if search.cut_short_mm is None else min(search.cut_short_mm, walk.bound_mm)
    return BinChoice(chosen, walk, bound_mm)
