"""Search by simulated annealing: exchange orders between carts and move them to free places, colder and colder.

The rule is Kirkpatrick, Gelatt & Vecchi 1983, *Optimization by Simulated Annealing*, Science 220(4598):671-680,
doi 10.1126/science.220.4598.671: a change that lengthens the walks by ``d`` is taken with probability
``exp(-d / temperature)``, the temperature falls geometrically. It stops after a number of proposals, never by a
clock, so the same seed gives the same plan on any machine.

A change takes one order out of its batch and puts it into another; for it none, one or, where loads are
unequal and one isn't enough, two orders come back. Two bounds spare most walk computations. The chance is drawn
first, so the largest lengthening that would be taken is known; and a walk never gets shorter by adding stops, so what
taking an order out saves bounds from below what an exchange of it can give.

Limits: orders of one group only (:mod:`fulfil.planning.batching` separates groups); every plan it sees keeps to all
capacities, so it needs a plan that does to begin with.
"""

from typing import Any

import numpy as np
from numba import njit, types

from fulfil.planning.walks import WALK_FUNCTION

I8S = types.int64[::1]


@njit(types.uint64(types.uint64[::1]), cache=True, nogil=True)
def _next_word(state: Any) -> Any:
    """64 random bits by SplitMix64 (Steele, Lea & Flood 2014, doi 10.1145/2660193.2660195)."""
    state[0] += np.uint64(0x9E3779B97F4A7C15)
    word = state[0]
    word = (word ^ (word >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    word = (word ^ (word >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    return word ^ (word >> np.uint64(31))


@njit(types.int64(types.uint64[::1], types.int64), cache=True, nogil=True)
def _below(state: Any, count: Any) -> Any:
    """A random whole number from 0 to ``count - 1``."""
    return np.int64(((_next_word(state) >> np.uint64(32)) * np.uint64(count)) >> np.uint64(32))


@njit(
    types.void(
        WALK_FUNCTION,
        types.int64[::1],
        types.uint64[:, ::1],
        types.int64[::1],
        types.int64,
        types.int64,
        types.int64,
        types.uint64[:, ::1],
        types.int64[::1],
    ),
    cache=True,
    nogil=True,
)
def _refresh(
    walk: Any, geometry: Any, occupancy: Any, orders: Any, size: Any, cost: Any, set_up: Any, rest: Any, saved: Any
) -> None:
    """For each order of one batch: the stops of the others, and what taking it out saves."""
    for word in range(occupancy.shape[1]):
        before = np.uint64(0)
        for place in range(size):
            rest[orders[place], word] = before
            before |= occupancy[orders[place], word]
        after = np.uint64(0)
        for place in range(size - 1, -1, -1):
            rest[orders[place], word] |= after
            after |= occupancy[orders[place], word]
    for place in range(size):
        order = orders[place]
        saved[order] = cost - set_up - walk(rest[order], geometry) if size > 1 else cost


@njit(
    types.void(I8S, types.int64[:, ::1], I8S, types.int64[:, ::1], I8S, types.int64[:, ::1], types.int64, types.int64),
    cache=True,
    nogil=True,
)
def _move(batch_of: Any, members: Any, size: Any, carried: Any, place: Any, load: Any, order: Any, target: Any) -> None:
    """Take an order out of its batch and put it at the end of another."""
    source = batch_of[order]
    size[source] -= 1
    last = members[source, size[source]]
    members[source, place[order]] = last
    place[last] = place[order]
    members[target, size[target]] = order
    place[order] = size[target]
    size[target] += 1
    for kind in range(load.shape[1]):
        carried[source, kind] -= load[order, kind]
        carried[target, kind] += load[order, kind]
    batch_of[order] = target


@njit(
    types.int64(
        WALK_FUNCTION,
        I8S,
        types.uint64[:, ::1],
        types.int64[:, ::1],
        I8S,
        types.int64[:, ::1],
        I8S,
        types.uint64,
        types.float64,
        types.float64,
        I8S,
        types.int64[:, ::1],
    ),
    cache=True,
    nogil=True,
)
def anneal(
    walk: Any,
    geometry: Any,
    occupancy: Any,
    load: Any,
    capacity: Any,
    near: Any,
    limits: Any,
    seed: Any,
    hot_mm: Any,
    cold_mm: Any,
    batch_of: Any,
    visited: Any,
) -> Any:
    """Change ``batch_of`` in place to the best plan met; return what it costs in mm, walks and their set-ups.

    Args:
        walk: Compiled length of a walk.
        geometry: The room, packed.
        occupancy: One row of words for each order.
        load: What each order takes of each kind of capacity, one row for each order.
        capacity: What a cart holds of each kind.
        near: For each order, others worth sharing a cart with (a rectangle; may have no columns).
        limits: No batch that keeps to the capacities has more orders than the first; how many changes are tried;
            what each walk costs besides its length, in mm.
        seed: Start of the random numbers.
        hot_mm: First temperature.
        cold_mm: Last temperature.
        batch_of: The batch of each order, numbered from 0; a plan that keeps to the capacities. At most two
            batches more than it has are used.
        visited: Filled with batches of plans that were accepted, the later in place of the earlier, one in each row
            padded with -1; may have no rows.
    """
    count, words = occupancy.shape
    kinds = capacity.size
    largest, proposals, set_up = limits[0], limits[1], limits[2]
    # Two batches to spare, and the last row for orders in the hand.
    batches = np.int64(3)
    for order in range(count):
        batches = max(batches, batch_of[order] + 4)
    members = np.zeros((batches, largest), dtype=np.int64)
    carried = np.zeros((batches, kinds), dtype=np.int64)
    per_batch = np.zeros((2, batches), dtype=np.int64)
    size, cost = per_batch[0], per_batch[1]
    per_order = np.zeros((3, count), dtype=np.int64)
    place, saved, best_batch_of = per_order[0], per_order[1], per_order[2]
    rest = np.zeros((count, words), dtype=np.uint64)
    marked = np.zeros(words, dtype=np.uint64)
    for order in range(count):
        batch = batch_of[order]
        place[order] = size[batch]
        members[batch, size[batch]] = order
        size[batch] += 1
        for kind in range(kinds):
            carried[batch, kind] += load[order, kind]
        best_batch_of[order] = batch
    total = np.int64(0)
    for batch in range(batches):
        if size[batch] > 0:
            for word in range(words):
                marked[word] = np.uint64(0)
                for position in range(size[batch]):
                    marked[word] |= occupancy[members[batch, position], word]
            cost[batch] = walk(marked, geometry) + set_up
            total += cost[batch]
            _refresh(walk, geometry, occupancy, members[batch], size[batch], cost[batch], set_up, rest, saved)
    best = total
    state = np.zeros(1, dtype=np.uint64)
    state[0] = seed
    # Equal batches get equal places in ``visited``, others most often different ones.
    key = np.empty(count, dtype=np.uint64)
    for order in range(count):
        key[order] = _next_word(state)
    temperature = hot_mm
    steps = min(np.int64(1000), max(np.int64(1), proposals))
    cooling = (cold_mm / hot_mm) ** (1.0 / steps)
    next_step = np.int64(1)
    for proposal in range(proposals):
        if proposal * steps >= next_step * proposals:
            next_step += 1
            temperature *= cooling
        one = _below(state, count)
        source = batch_of[one]
        choice = _below(state, 32)
        if choice == 0:
            target = _below(state, batches - 1)
        elif choice < 16 and near.shape[1] > 0:
            target = batch_of[near[one, _below(state, near.shape[1])]]
        else:
            target = batch_of[_below(state, count)]
        if target == source:
            continue
        draw = (np.float64(_next_word(state) >> np.uint64(11)) + 0.5) * (1.0 / 9007199254740992.0)
        limit = np.int64(np.floor(-np.log(draw) * temperature))
        back: Any = np.int64(-1)
        second: Any = np.int64(-1)
        fits = True
        for kind in range(kinds):
            if carried[target, kind] + load[one, kind] > capacity[kind]:
                fits = False
        if size[target] > 0 and not (fits and choice % 2 == 0):
            back = members[target, _below(state, size[target])]
            fits = True
            for kind in range(kinds):
                if carried[target, kind] + load[one, kind] - load[back, kind] > capacity[kind]:
                    fits = False
            if not fits and size[target] > 1:
                second = members[target, (place[back] + 1 + _below(state, size[target] - 1)) % size[target]]
            elif -saved[one] - saved[back] > limit:
                continue
            fits = True
            for kind in range(kinds):
                extra = load[one, kind] - load[back, kind]
                if second >= 0:
                    extra -= load[second, kind]
                if carried[target, kind] + extra > capacity[kind] or carried[source, kind] - extra > capacity[kind]:
                    fits = False
        if not fits:
            continue
        source_cost = cost[source] - saved[one]
        if back >= 0:
            for word in range(words):
                marked[word] = rest[one, word] | occupancy[back, word]
                if second >= 0:
                    marked[word] |= occupancy[second, word]
            source_cost = walk(marked, geometry) + set_up
            if second < 0 and source_cost - cost[source] - saved[back] > limit:
                continue
        for word in range(words):
            marked[word] = occupancy[one, word]
            if second >= 0:
                for position in range(size[target]):
                    order = members[target, position]
                    if order not in (back, second):
                        marked[word] |= occupancy[order, word]
            elif back >= 0:
                marked[word] |= rest[back, word]
            elif size[target] > 0:
                marked[word] |= rest[members[target, 0], word] | occupancy[members[target, 0], word]
        target_cost = walk(marked, geometry) + set_up
        change = source_cost - cost[source] + target_cost - cost[target]
        if change > limit:
            continue
        # Out first: the target may have no place left.
        if back >= 0:
            _move(batch_of, members, size, carried, place, load, back, batches - 1)
        if second >= 0:
            _move(batch_of, members, size, carried, place, load, second, batches - 1)
        _move(batch_of, members, size, carried, place, load, one, target)
        if back >= 0:
            _move(batch_of, members, size, carried, place, load, back, source)
        if second >= 0:
            _move(batch_of, members, size, carried, place, load, second, source)
        cost[source] = source_cost
        cost[target] = target_cost
        total += change
        for turn in range(2):
            batch = source if turn == 0 else target
            _refresh(walk, geometry, occupancy, members[batch], size[batch], cost[batch], set_up, rest, saved)
            if visited.shape[0] > 0 and size[batch] > 1:
                mixed = np.uint64(0)
                for position in range(size[batch]):
                    mixed ^= key[members[batch, position]]
                row = np.int64(mixed % np.uint64(visited.shape[0]))
                for position in range(visited.shape[1]):
                    visited[row, position] = members[batch, position] if position < size[batch] else np.int64(-1)
        if total < best:
            best = total
            for order in range(count):
                best_batch_of[order] = batch_of[order]
    for order in range(count):
        batch_of[order] = best_batch_of[order]
    return best
