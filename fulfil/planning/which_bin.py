"""Which bin pieces are taken from, where a part lies in several: one rule, for promises and for walks alike.

1. *Picking before reserve.* A reserve bin gives only what the picking bins lack; it is there to fill them up.
2. *First in, first out*, unless the shop has set otherwise: what came in first leaves first (common practice of stores,
   for whatever ages or goes by lots). Pieces that came in on one day, or of one lot, are equally old. A lot is used up
   before the next one is begun, even if a line then comes from two bins and in two bags.
3. *Few stops, then emptying.* Of equally old bins the emptiest one that holds all that is wanted, so that it becomes
   free sooner; where none does, the fullest first.
4. Equal ones go by their code.

Between bins of one rank a *walk* may choose otherwise: once it is known who rides together, a line that comes whole
from one of them comes from the one that makes the walk shortest (:mod:`fulfil.walks.two_bins`).

>>> old, new = BinRank(came_in=date(2026, 3, 2)), BinRank(came_in=date(2026, 5, 11))
>>> taken_from({"01L-01": 6, "07R-12": 40}, 10, {"01L-01": new, "07R-12": old})
[('07R-12', 10)]
>>> taken_from({"01L-01": 6, "07R-12": 40}, 10)
[('07R-12', 10)]
>>> taken_from({"01L-01": 6, "07R-12": 40}, 10, {"01L-01": old, "07R-12": new})
[('01L-01', 6), ('07R-12', 4)]

Limits: by whole bins; in a bin the pieces lie as they came, and whoever pours in new ones behind the old keeps to it.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from fulfil.records.place import Bin, BinUse


@dataclass(frozen=True, order=True)
class BinRank:
    """What goes first: a bin of a lower rank is empty before one of a higher rank gives a piece."""

    is_reserve: bool = False
    came_in: date = date.min


PLAIN = BinRank()
"""The rank of a picking bin where days say nothing."""


def ranks_of(bins: Iterable[Bin], came_in: Mapping[str, date] = {}) -> dict[str, BinRank]:
    """The ranks of bins by code; ``came_in`` is empty where the shop doesn't keep to first in, first out."""
    return {
        place.code: BinRank(place.use is BinUse.RESERVE, came_in.get(place.code, date.min))
        for place in bins
        if place.use is BinUse.RESERVE or place.code in came_in
    }


def taken_from(levels: Mapping[str, int], pieces: int, ranks: Mapping[str, BinRank] = {}) -> list[tuple[str, int]]:
    """How many pieces to take from which bins, in their turn; all there is, where that is less than wanted.

    Args:
        levels: what is free in each bin of one part.
        pieces: how many are wanted.
        ranks: of the bins that have another one than :data:`PLAIN`.
    """
    taken: list[tuple[str, int]] = []
    for rank in sorted({ranks.get(code, PLAIN) for code in levels}):
        of_rank = [code for code in levels if ranks.get(code, PLAIN) == rank]
        enough = [(levels[code], code) for code in of_rank if levels[code] >= pieces]
        order = [min(enough)[1]] if enough else sorted(of_rank, key=lambda code: (-levels[code], code))
        for code in order:
            n = min(pieces, levels[code])
            if n:
                taken.append((code, n))
                pieces -= n
    return taken
