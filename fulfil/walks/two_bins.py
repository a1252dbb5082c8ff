"""Parts in two bins or more: each walk fetches them where that makes the walk shortest, if the bin holds enough.

Allocation has promised pieces by the rule of :mod:`fulfil.planning.which_bin`, and of that the rank of a bin holds here
too: first in, first out isn't given up for a shorter way, and nobody walks to a reserve bin for one. Once the batches
are known, a line that comes whole from one bin may come whole from another one of its rank. Exact for each walk as
long as :func:`fulfil.room.two_bins.choose_bins` proves it; walks in their order, what one takes the next can't.

Limits: a line that is split over bins, and an order that is split over carts, stay as they were allocated.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence

from fulfil.planning.which_bin import PLAIN, BinRank
from fulfil.records.place import Bin
from fulfil.records.plan import Allocation
from fulfil.records.revised import revised
from fulfil.room.two_bins import choose_bins
from fulfil.room.walk import Stop
from fulfil.walks.cart import CartLoad
from fulfil.walks.floor import Floor

MOST_WALKS = 200
"""How many walks are measured at most for the choice of one walk's bins."""


def nearer_bins(
    allocations: Sequence[Allocation],
    loads: Sequence[CartLoad],
    batches: Iterable[Sequence[int]],
    *,
    floor: Floor,
    bins: Mapping[str, Bin],
    free: Iterable[Bin],
    ranks: Mapping[str, BinRank] = {},
) -> tuple[Allocation, ...]:
    """The allocations, with other bins where these shorten a walk; the same ones where none does.

    Args:
        allocations: what is promised from which bin.
        loads: what rides together, made from the allocations.
        batches: places of the loads on each walk.
        floor: the room.
        bins: all bins by code.
        free: the bins with what was free before these allocations.
        ranks: which bins are emptied before others, whatever the way; a walk chooses between bins of one rank.
    """
    left = Counter({place.code: place.pieces for place in free})
    left.subtract(_taken(allocations))
    of_part: dict[str, list[str]] = defaultdict(list)
    for code in sorted(bins):
        of_part[bins[code].part_number].append(code)
    lines = Counter((one.order_number, one.line_no) for one in allocations)
    carts = Counter(load.order_number for load in loads)
    by_order: dict[str, list[int]] = defaultdict(list)
    for index, one in enumerate(allocations):
        by_order[one.order_number].append(index)
    chosen = list(allocations)
    for batch in batches:
        orders = sorted(loads[index].order_number for index in batch if carts[loads[index].order_number] == 1)
        movable: dict[str, list[int]] = {}
        for order in orders:
            for index in by_order[order]:
                one = allocations[index]
                part = bins[one.bin_code].part_number
                if lines[one.order_number, one.line_no] == 1 and len(of_part[part]) > 1:
                    group = movable.setdefault(part, [])
                    if not group or allocations[group[0]].bin_code == one.bin_code:
                        group.append(index)
        _choose(chosen, loads, batch, movable, of_part, left, floor, bins, ranks)
    return tuple(chosen)


def _choose(
    chosen: list[Allocation],
    loads: Sequence[CartLoad],
    batch: Sequence[int],
    movable: Mapping[str, Sequence[int]],
    of_part: Mapping[str, Sequence[str]],
    left: Counter[str],
    floor: Floor,
    bins: Mapping[str, Bin],
    ranks: Mapping[str, BinRank],
) -> None:
    """Chooses the bins of one walk and books them in ``chosen`` and ``left``."""
    groups: list[tuple[Sequence[int], list[str]]] = []
    for part in sorted(movable):
        pieces = sum(chosen[index].pieces for index in movable[part])
        now = chosen[movable[part][0]].bin_code
        alike = [code for code in of_part[part] if code != now and ranks.get(code, PLAIN) == ranks.get(now, PLAIN)]
        # Of choices that make a walk equally short the first counts: the bin as it is, then the emptier one.
        others = sorted((code for code in alike if left[code] >= pieces), key=lambda code: (left[code], code))
        if others:
            groups.append((movable[part], [now, *others]))
    if not groups:
        return
    moving = {(chosen[i].order_number, chosen[i].line_no) for group, _ in groups for i in group}
    fixed: list[Stop] = [
        floor.stop_of(bag.place)
        for index in batch
        for bag in loads[index].bags
        if (bag.order_number, bag.line_no) not in moving
    ]
    stops = [[floor.stop_of(bins[code]) for code in codes] for _, codes in groups]
    before_mm = floor.room.walk_length_mm([*fixed, *(choice[0] for choice in stops)])
    choice = choose_bins(floor.room, fixed, stops, most_walks=MOST_WALKS)
    if choice.walk.length_mm >= before_mm:
        return
    for number, (group, codes) in enumerate(groups):
        code = codes[stops[number].index(choice.bins[number])]
        for index in group:
            one = chosen[index]
            left[one.bin_code] += one.pieces
            left[code] -= one.pieces
            chosen[index] = revised(one, {"bin_code": code})


def _taken(allocations: Iterable[Allocation]) -> Counter[str]:
    taken: Counter[str] = Counter()
    for one in allocations:
        taken[one.bin_code] += one.pieces
    return taken
