"""Batches: which orders share a cart so that the day's walks are shortest, or take the least time with their set-ups.

Construction by savings (:mod:`fulfil.planning.searching.savings`), then simulated annealing
(:mod:`fulfil.planning.searching.annealing`) from several seeds; the shortest plan wins, the first of equals. The search
stops by work done, not by a clock: the same orders, seed and effort give the same plan.

>>> from fulfil.room.block import Block
>>> room = Block((0, 5000, 10000), 10000)
>>> plan = plan_batches(room, [[(0, 2000)], [(2, 9000)], [(0, 8000)], [(2, 8000)]], capacity=2)
>>> plan.batches, plan.length_mm, plan.one_by_one_mm
(((0, 2), (1, 3)), 54000, 94000)

Limits: a heuristic; how far it is from the best possible says :func:`fulfil.planning.proving.proof.prove`.
"""

from collections.abc import Hashable, Sequence

import numpy as np

from fulfil.errors import PlanRefused
from fulfil.planning.cart import CartLoads, Weights
from fulfil.planning.plan import Batches, PartWalks, Plan, canonical, open_groups, walk_mm
from fulfil.planning.searching.search import BatchOf, batches_of, constructed, effort_named, numbered, searched
from fulfil.planning.walks import Room, Stop


def plan_batches(
    room: Room,
    orders: Sequence[Sequence[Stop]],
    *,
    capacity: int | Sequence[int],
    weights: Weights | None = None,
    groups: Sequence[Hashable] | None = None,
    fixed: Sequence[Sequence[int]] = (),
    start: Sequence[Sequence[int]] | None = None,
    seed: int = 0,
    effort: str = "normal",
    set_up_mm: int = 0,
) -> Plan:
    """Share the orders out over carts so that the walks are short.

    Args:
        room: A block or another room with exact walks.
        orders: The stops of each order, ``(aisle, y_mm)``.
        capacity: What a cart holds: a number of orders, or with ``weights`` the sum of them; several kinds at once as
            a sequence.
        weights: What each order takes; a sequence of numbers, or of one number for each kind.
        groups: A key for each order; only orders with equal keys share a cart (a cut-off, say, or a key of its
            own for an order that goes alone).
        fixed: Batches that are on their way and stay as they are.
        start: A plan to begin with, yesterday's or this morning's: batches of places; orders it lacks are fitted in.
        seed: Start of the random numbers; the same seed gives the same plan.
        effort: How much work: none, quick, normal, thorough or long (see
            :data:`fulfil.planning.searching.search.EFFORTS`).
        set_up_mm: The way that could be walked while a cart is fetched and returned: what each walk costs besides its
            length. Plans take the least time then, and no walk more than pays; 0 for the shortest walks.

    Raises:
        PlanRefused: An order heavier than a cart holds, or arguments that don't fit together.
        RoomRefused: A stop that lies in no aisle.
    """
    work = effort_named(effort)
    if set_up_mm < 0:
        raise PlanRefused("plan batches with a set-up of", f"{set_up_mm} mm", "0 or more")
    loads = CartLoads.of(len(orders), capacity, weights)
    keys = tuple(groups) if groups is not None else (None,) * len(orders)
    if len(keys) != len(orders):
        raise PlanRefused("plan batches with groups for", f"{len(keys)} orders", f"{len(orders)}, one for each order")
    released = canonical(fixed)
    _check_places("fix batch", released, len(orders))
    begun = canonical(start) if start is not None else None
    if begun is not None:
        _check_places("start from batch", begun, len(orders))
    walks = room.evaluator(orders)
    batches: list[Sequence[int]] = list(released)
    start_mm = sum(walk_mm(walks, batch) for batch in released)
    for places in open_groups(keys, released):
        part, part_loads = PartWalks.of(walks, places), loads.part(places)
        first = constructed(part, part_loads) if begun is None else _begun(part, part_loads, places, begun)
        found = searched(part, part_loads, first, seed=seed, effort=work, set_up_mm=set_up_mm)
        start_mm += sum(walk_mm(part, batch) for batch in batches_of(first))
        batches += [[places[order] for order in batch] for batch in batches_of(found)]
    ordered = canonical(batches)
    walks_mm = tuple(walk_mm(walks, batch) for batch in ordered)
    return Plan(
        batches=ordered,
        walks_mm=walks_mm,
        length_mm=sum(walks_mm),
        one_by_one_mm=sum(walk_mm(walks, [order]) for order in range(len(orders))),
        start_mm=start_mm,
        seed=seed,
        effort=effort,
        fixed=released,
        groups=keys,
        walks=walks,
        loads=loads,
        set_up_mm=set_up_mm,
    )


def _check_places(attempted: str, batches: Batches, count: int) -> None:
    seen: set[int] = set()
    for batch in batches:
        for order in batch:
            if not 0 <= order < count or order in seen:
                raise PlanRefused(attempted, batch, f"places from 0 to {count - 1}, each at most once")
            seen.add(order)


def _begun(walks: PartWalks, loads: CartLoads, places: Sequence[int], begun: Batches) -> BatchOf:
    """The plan given to start from, for these orders: what doesn't fit is taken out, what lacks is fitted in best."""
    local = {place: order for order, place in enumerate(places)}
    batches: list[list[int]] = []
    waiting = set(local.values())
    for given in begun:
        batch: list[int] = []
        for place in given:
            order = local.get(place)
            if order is not None and loads.fits([*batch, order]):
                batch.append(order)
        if batch:
            batches.append(batch)
            waiting.difference_update(batch)
    for order in sorted(waiting):
        choices = [
            (walk_mm(walks, [*batch, order]) - walk_mm(walks, batch), number)
            for number, batch in enumerate(batches)
            if loads.fits([*batch, order])
        ]
        alone = (walk_mm(walks, [order]), len(batches))
        _, number = min([*choices, alone])
        if number == len(batches):
            batches.append([])
        batches[number].append(order)
    batch_of = np.empty(len(places), dtype=np.int64)
    for number, batch in enumerate(batches):
        batch_of[batch] = number
    return numbered(batch_of)
