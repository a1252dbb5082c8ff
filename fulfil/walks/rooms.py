"""Batches in any room: exact where walks are exact, and never worse than the search for the rest.

One block and rooms that can be swept measure their batches by compiled code. In a room with one-way passages walks are
searched one by one, too slow for the batching loop; there the batches are found for the *same room with both ways
open*, whose walks are never longer, and then improved by the true walks. A bound proven for the open room holds for
the true one. A room too wide to be swept (:data:`fulfil.room.sweeping.sweep.WIDEST`) is batched by the ways of its
shortest-path tree, a measure that no bound comes from.

Rule *one step less*: a swept walk takes several times as long as one in one block, so every effort but the least
searches as the one below it does. Rule among equal plans: the one found first; orders move to the first batch that
saves most, batches and orders by number.

>>> from fulfil.room.blocks import Blocks
>>> room = Blocks((0, 5, 10), (0, 10, 20), (0, 0), one_way=((1, 1),))
>>> plan = batches_in(room, [[(0, 8)], [(2, 18)], [(0, 4)], [(2, 2)]], capacity=2, weights=[1, 1, 1, 1])
>>> plan.batches, plan.length_mm, has_bound(room)
(((0, 2), (1, 3)), 72, True)
"""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from fulfil.errors import PlanRefused
from fulfil.planning.batching import plan_batches
from fulfil.planning.plan import Plan, canonical, walk_mm
from fulfil.room.block import Block
from fulfil.room.blocks import Blocks
from fulfil.room.check import AnyRoom
from fulfil.room.graph import WalkingGraph
from fulfil.room.walk import Stop

if TYPE_CHECKING:
    from fulfil.room.sweeping.tree_walks import TreeWalks

LESS = {"long": "thorough", "thorough": "normal", "normal": "quick"}
"""Which effort a room of more than one block searches with."""

MOST_WORK = 60_000
"""Work spent to improve the batches of a room with one-way passages: the squares of the stops of the walks measured."""


def batches_in(
    room: AnyRoom,
    orders: Sequence[Sequence[Stop]],
    *,
    capacity: int,
    weights: Sequence[int],
    groups: Sequence[Hashable] | None = None,
    start: Sequence[Sequence[int]] | None = None,
    seed: int = 0,
    effort: str = "normal",
    set_up_mm: int = 0,
) -> Plan:
    """Share orders out over carts; lengths are those of the true walks.

    Args:
        room: any room.
        orders: the stops of each order.
        capacity: what a cart holds.
        weights: what each order takes of it.
        groups: a key for each order; only orders with equal keys share a cart.
        start: batches to begin with; the plan is no longer than these.
        seed: the same seed gives the same plan.
        effort: as in :func:`fulfil.planning.batching.plan_batches`.
        set_up_mm: what each walk costs besides its length, as there.

    Raises:
        PlanRefused: an order heavier than a cart holds.
        RoomRefused: a stop outside the room, or one that can't be reached.
    """
    measured = room if isinstance(room, Block) else _measured(room)
    plan = plan_batches(
        measured,
        orders,
        capacity=capacity,
        weights=weights,
        groups=groups,
        start=start,
        seed=seed,
        effort=effort if isinstance(room, Block) else LESS.get(effort, effort),
        set_up_mm=set_up_mm,
    )
    if isinstance(room, Block) or measured is room:
        return plan
    return _improved(room, orders, plan)


def as_planned(
    room: AnyRoom,
    orders: Sequence[Sequence[Stop]],
    batches: Sequence[Sequence[int]],
    *,
    capacity: int,
    weights: Sequence[int],
    groups: Sequence[Hashable] | None = None,
) -> Plan:
    """A plan with these batches, none of them changed.

    Raises:
        PlanRefused: a batch that a cart can't hold.
        RoomRefused: a stop outside the room, or one that can't be reached.
    """
    measured = room if isinstance(room, Block) else _measured(room)
    plan = plan_batches(
        measured, orders, capacity=capacity, weights=weights, groups=groups, start=batches, effort="none"
    )
    if canonical(batches) != plan.batches:
        raise PlanRefused("take up the plan of", f"{len(batches)} walks", "batches that a cart can hold")
    if measured is room or isinstance(room, Block):
        return plan
    true = _True(room, orders)
    walks_mm = tuple(true.length_mm(batch) for batch in plan.batches)
    one_by_one_mm = sum(true.length_mm([order]) for order in range(len(orders)))
    return replace(plan, walks_mm=walks_mm, length_mm=sum(walks_mm), one_by_one_mm=one_by_one_mm)


def has_bound(room: AnyRoom) -> bool:
    """Whether a bound can be proven for plans in this room."""
    return isinstance(room, Block) or not isinstance(_measured(room), _Tree)


@dataclass(frozen=True)
class _Tree:
    """A room measured by its shortest-path tree."""

    room: Blocks | WalkingGraph

    def evaluator(self, orders: Sequence[Sequence[Stop]]) -> "TreeWalks":
        from fulfil.room.sweeping.tree_walks import TreeWalks  # loads the compiler: only when batching asks

        return TreeWalks.of(self.room, orders)


def _measured(room: Blocks | WalkingGraph) -> "Blocks | WalkingGraph | _Tree":
    """What measures this room's batches: itself, itself with both ways open, or its tree."""
    if room.sweep is not None:
        return room
    if isinstance(room, Blocks):
        opened: Blocks | WalkingGraph = replace(room, one_way=())
    else:
        opened = replace(room, passages=tuple(replace(passage, one_way=False) for passage in room.passages))
    return opened if opened.sweep is not None else _Tree(room)


class _True:
    """True lengths of batches, each measured once."""

    def __init__(self, room: Blocks | WalkingGraph, orders: Sequence[Sequence[Stop]]) -> None:
        self.room = room
        self.orders = orders
        self.known: dict[tuple[int, ...], int] = {}
        self.work = 0

    def length_mm(self, batch: Sequence[int]) -> int:
        """Of one batch; an empty one isn't walked."""
        key = tuple(sorted(batch))
        if not key:
            return 0
        if key not in self.known:
            stops = [stop for order in key for stop in self.orders[order]]
            self.known[key] = self.room.walk_length_mm(stops)
            self.work += len(set(stops)) ** 2
        return self.known[key]


def _improved(room: Blocks | WalkingGraph, orders: Sequence[Sequence[Stop]], plan: Plan) -> Plan:
    """The plan with true lengths, after moving and exchanging single orders while that saves."""
    true = _True(room, orders)
    batches = [list(batch) for batch in plan.batches]
    one_by_one_mm = sum(true.length_mm([order]) for order in range(len(orders)))
    until = true.work + MOST_WORK
    while true.work < until:
        better = _step(true, plan, batches, until)
        if better is None:
            break
        for number, batch in better:
            batches[number] = batch
    ordered = canonical(batches)
    walks_mm = tuple(true.length_mm(batch) for batch in ordered)
    return replace(plan, batches=ordered, walks_mm=walks_mm, length_mm=sum(walks_mm), one_by_one_mm=one_by_one_mm)


def _step(true: _True, plan: Plan, batches: Sequence[Sequence[int]], until: int) -> list[tuple[int, list[int]]] | None:
    """The first pair of batches between which moving or exchanging an order saves, with the best way to do so."""

    def open_mm(batch: Sequence[int]) -> int:
        # Never longer than the true walk where the bound holds, so that most changes needn't be measured.
        return walk_mm(plan.walks, batch) if batch else 0

    is_bound = has_bound(true.room)
    for a in range(len(batches)):
        for b in range(a + 1, len(batches)):
            now_mm = true.length_mm(batches[a]) + true.length_mm(batches[b])
            best: tuple[int, list[int], list[int]] | None = None
            for one, two in _changes(batches[a], batches[b]):
                if len({plan.groups[order] for order in (*one, *two)}) > 1:
                    continue
                if not (plan.loads.fits(one) and plan.loads.fits(two)):
                    continue
                least = best[0] if best else now_mm
                if is_bound and open_mm(one) + open_mm(two) >= least:
                    continue
                if true.work >= until:
                    return None
                length_mm = true.length_mm(one) + true.length_mm(two)
                if length_mm < least:
                    best = (length_mm, one, two)
            if best is not None:
                return [(a, best[1]), (b, best[2])]
    return None


def _changes(one: Sequence[int], two: Sequence[int]) -> list[tuple[list[int], list[int]]]:
    """Every way to move one order between two batches, or to exchange two; moves first, orders by number."""
    moves = [([other for other in one if other != order], [*two, order]) for order in one]
    moves += [([*one, order], [other for other in two if other != order]) for order in two]
    swaps = [
        ([*(other for other in one if other != a), b], [*(other for other in two if other != b), a])
        for a in one
        for b in two
    ]
    return moves + swaps
