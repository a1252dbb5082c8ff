"""Search by simulated annealing: swap orders between carts and move orders to free places, colder and colder.

The rule is Kirkpatrick, Gelatt & Vecchi 1983, *Optimization by Simulated Annealing*, Science 220(4598):671-680,
doi 10.1126/science.220.4598.671: a change that lengthens the walks by ``d`` is taken with probability
``exp(-d / temperature)``, the temperature falls geometrically. It stops after a number of proposals, never by a
clock, so the same seed gives the same plan on any machine.

Two bounds spare most walk computations. The chance is drawn first, so the largest lengthening that
would be taken is known; and a walk never gets shorter by adding stops, so what taking an order out
saves bounds from below what any exchange of it can give.

Limits: orders of one group only (:mod:`fulfil.planning.batching` separates groups); every plan it sees keeps to all
capacities, so it needs a plan that does to begin with.
"""

from typing import Any

import numpy as np
from numba import njit, types

from fulfil.planning.walks import WALK_FUNCTION


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
        types.uint64[:, ::1],
        types.int64[::1],
    ),
    cache=True,
    nogil=True,
)
def _refresh(
    walk: Any, geometry: Any, occupancy: Any, orders: Any, size: Any, length: Any, rest: Any, saved: Any
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
        saved[order] = length - walk(rest[order], geometry) if size > 1 else length


@njit(
    types.int64(
        WALK_FUNCTION,
        types.int64[::1],
        types.uint64[:, ::1],
        types.int64[:, ::1],
        types.int64[::1],
        types.int64[:, ::1],
        types.int64,
        types.uint64,
        types.int64,
        types.float64,
        types.float64,
        types.int64[::1],
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
    largest: Any,
    seed: Any,
    proposals: Any,
    hot_mm: Any,
    cold_mm: Any,
    batch_of: Any,
) -> Any:
    """Change ``batch_of`` in place to the best plan met; return its length in mm.

    Args:
        walk: Compiled length of a walk.
        geometry: The room, packed.
        occupancy: One row of words for each order.
        load: What each order takes of each kind of capacity, one row for each order.
        capacity: What a cart holds of each kind.
        near: For each order, others worth sharing a cart with (a rectangle; may have no columns).
        largest: No batch that keeps to the capacities has more orders than this.
        seed: Start of the random numbers.
        proposals: How many changes are tried.
        hot_mm: First temperature.
        cold_mm: Last temperature.
        batch_of: The batch of each order, numbered from 0; a plan that keeps to the capacities. At most two
            batches more than it has are used.
    """
    count, words = occupancy.shape
    kinds = capacity.size
    batches = np.int64(2)
    for order in range(count):
        batches = max(batches, batch_of[order] + 3)
    size = np.zeros(batches, dtype=np.int64)
    members = np.zeros((batches, largest), dtype=np.int64)
    place = np.zeros(count, dtype=np.int64)
    carried = np.zeros((batches, kinds), dtype=np.int64)
    for order in range(count):
        batch = batch_of[order]
        place[order] = size[batch]
        members[batch, size[batch]] = order
        size[batch] += 1
        for kind in range(kinds):
            carried[batch, kind] += load[order, kind]
    rest = np.zeros((count, words), dtype=np.uint64)
    saved = np.zeros(count, dtype=np.int64)
    length = np.zeros(batches, dtype=np.int64)
    marked = np.zeros(words, dtype=np.uint64)
    total = np.int64(0)
    for batch in range(batches):
        if size[batch] > 0:
            for word in range(words):
                marked[word] = np.uint64(0)
            for position in range(size[batch]):
                for word in range(words):
                    marked[word] |= occupancy[members[batch, position], word]
            length[batch] = walk(marked, geometry)
            total += length[batch]
            _refresh(walk, geometry, occupancy, members[batch], size[batch], length[batch], rest, saved)
    best = total
    best_batch_of = np.empty(count, dtype=np.int64)
    for order in range(count):
        best_batch_of[order] = batch_of[order]
    state = np.zeros(1, dtype=np.uint64)
    state[0] = seed
    temperature = hot_mm
    steps = min(np.int64(1000), max(np.int64(1), proposals))
    cooling = (cold_mm / hot_mm) ** (1.0 / steps)
    next_step = np.int64(1)
    near_count = near.shape[1]
    for proposal in range(proposals):
        if proposal * steps >= next_step * proposals:
            next_step += 1
            temperature *= cooling
        one = _below(state, count)
        source = batch_of[one]
        choice = _below(state, 32)
        if choice == 0:
            target = _below(state, batches)
        elif choice < 16 and near_count > 0:
            target = batch_of[near[one, _below(state, near_count)]]
        else:
            target = batch_of[_below(state, count)]
        if target == source:
            continue
        draw = (np.float64(_next_word(state) >> np.uint64(11)) + 0.5) * (1.0 / 9007199254740992.0)
        limit = np.int64(np.floor(-np.log(draw) * temperature))
        fits = True
        for kind in range(kinds):
            if carried[target, kind] + load[one, kind] > capacity[kind]:
                fits = False
        if fits and (size[target] == 0 or choice % 2 == 0):
            for word in range(words):
                marked[word] = occupancy[one, word]
            if size[target] > 0:
                first = members[target, 0]
                for word in range(words):
                    marked[word] |= rest[first, word] | occupancy[first, word]
            target_length = walk(marked, geometry)
            change = target_length - length[target] - saved[one]
            if change > limit:
                continue
            source_length = length[source] - saved[one]
            size[source] -= 1
            moved = members[source, size[source]]
            members[source, place[one]] = moved
            place[moved] = place[one]
            members[target, size[target]] = one
            place[one] = size[target]
            size[target] += 1
            for kind in range(kinds):
                carried[source, kind] -= load[one, kind]
                carried[target, kind] += load[one, kind]
            batch_of[one] = target
        else:
            if size[target] == 0:
                continue
            other = members[target, _below(state, size[target])]
            if -saved[one] - saved[other] > limit:
                continue
            fits = True
            for kind in range(kinds):
                extra = load[one, kind] - load[other, kind]
                if carried[target, kind] + extra > capacity[kind] or carried[source, kind] - extra > capacity[kind]:
                    fits = False
            if not fits:
                continue
            for word in range(words):
                marked[word] = rest[one, word] | occupancy[other, word]
            source_length = walk(marked, geometry)
            change = source_length - length[source]
            if change - saved[other] > limit:
                continue
            for word in range(words):
                marked[word] = rest[other, word] | occupancy[one, word]
            target_length = walk(marked, geometry)
            change += target_length - length[target]
            if change > limit:
                continue
            members[source, place[one]] = other
            members[target, place[other]] = one
            place[one], place[other] = place[other], place[one]
            for kind in range(kinds):
                extra = load[one, kind] - load[other, kind]
                carried[source, kind] -= extra
                carried[target, kind] += extra
            batch_of[one] = target
            batch_of[other] = source
        length[source] = source_length
        length[target] = target_length
        total += change
        _refresh(walk, geometry, occupancy, members[source], size[source], source_length, rest, saved)
        _refresh(walk, geometry, occupancy, members[target], size[target], target_length, rest, saved)
        if total < best:
            best = total
            for order in range(count):
                best_batch_of[order] = batch_of[order]
    for order in range(count):
        batch_of[order] = best_batch_of[order]
    return best
