"""The shortest walk through a two-way network, exactly, by a sweep from corner to corner.

Passages are taken one by one in a fixed order; for every state of :mod:`fulfil.room.sweeping.sweep_states` only the
cheapest walk so far is kept. The work grows with the number of corners in sight at once (the *width*), not with the
number of stops: aisles between four cross aisles have width four, however many aisles and stops there are.

Rule among equal walks: *fewest turns* of the cart inside passages; then the one found first, options in the order
of :mod:`fulfil.room.sweeping.sweep_states`, states in the order of first being met; what choice is left is settled by
:mod:`fulfil.room.route`.

Limits: no one-way passages, and at most :data:`WIDEST` corners in sight; :meth:`Sweep.of` answers None beyond.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numba import njit, types
from numpy.typing import NDArray

from fulfil.errors import RoomRefused
from fulfil.room.network import Network, Place
from fulfil.room.route import lay_out
from fulfil.room.sweeping.sweep_order import Step, narrowest_steps, width_of
from fulfil.room.sweeping.sweep_states import BOTH, HIGH, LOW, NONE, PASS, TWICE, Effect, reachable
from fulfil.room.walk import Stop, Walk

WIDEST = 6
"""Most corners in sight at once that a sweep takes on: some thousand states."""

# Costs carry the length above and the number of turns below this bit, so that one comparison settles both.
_TURN_BITS = 16
_FAR = np.int64(1) << np.int64(62)


@dataclass(frozen=True)
class Sweep:
    """A network with the order in which its passages are swept."""

    network: Network
    steps: tuple[Step, ...]

    @classmethod
    def of(cls, network: Network, orders: Sequence[Sequence[int]] = ()) -> "Sweep | None":
        """The narrowest sweep found, or None if the network has one-way passages or is too wide.

        Args:
            network: corners and passages.
            orders: orders of the corners worth trying, such as aisle by aisle.
        """
        if not network.is_two_way:
            return None
        steps = narrowest_steps(network, orders)
        return cls(network, steps) if width_of(steps) <= WIDEST else None

    @property
    def states(self) -> int:
        """How many states a sweep of this network can be in, the beginning and the finished walk included."""
        return int(self._program[0].shape[1])

    @cached_property
    def _program(self) -> tuple[NDArray[np.int32], NDArray[np.int32], NDArray[np.int64], dict[int, int]]:
        """State tables, table row of each step's options, costs without stops, step of each passage."""
        effects = [_effects(step) for step in self.steps]
        states, leads = reachable(width_of(self.steps), effects)
        number = {state: k for k, state in enumerate(states)}
        row = {effect: k for k, effect in enumerate(leads)}
        tables = np.full((len(row), len(states)), -1, dtype=np.int32)
        for effect, known in leads.items():
            for state, after in known.items():
                tables[row[effect], number[state]] = number[after]
        rows = np.full((len(effects), BOTH + 1), -1, dtype=np.int32)
        costs = np.full((len(effects), BOTH + 1), _FAR, dtype=np.int64)
        step_of: dict[int, int] = {}
        for step, choices in enumerate(effects):
            rows[step, : len(choices)] = [row[effect] for effect in choices]
            passage = self.steps[step][3]
            if passage < 0:
                costs[step, 0] = 0
            else:
                step_of[passage] = step
                length = self.network.passages[passage].length_mm << _TURN_BITS
                costs[step, :LOW] = (0, length, 2 * length)
        return tables, rows, costs, step_of

    def moves(self) -> list[list[tuple[int, int, int]]]:
        """For each step its changes of state (before, after, option); 0 is the beginning, 1 the walk finished."""
        tables, rows, _, _ = self._program
        found: list[list[tuple[int, int, int]]] = []
        states = {0}
        for options in rows:
            step = [
                (state, int(tables[row, state]), option)
                for option, row in enumerate(options)
                if row >= 0
                for state in sorted(states)
                if tables[row, state] >= 0
            ]
            found.append(step)
            states = {after for _, after, _ in step}
        return found

    def _costs(self, alongs: Mapping[int, Sequence[int]]) -> NDArray[np.int64]:
        """Cost of each option of each step, given where on each passage the stops are."""
        _, _, free, step_of = self._program
        costs = free.copy()
        for passage, ys in alongs.items():
            length_mm = self.network.passages[passage].length_mm
            step = step_of[passage]
            costs[step, NONE] = _FAR
            costs[step, LOW] = (2 * ys[-1] << _TURN_BITS) + (ys[-1] > 0)
            costs[step, HIGH] = (2 * (length_mm - ys[0]) << _TURN_BITS) + (ys[0] < length_mm)
            if len(ys) > 1:
                gap = max(b - a for a, b in pairwise(ys))
                costs[step, BOTH] = (2 * (length_mm - gap) << _TURN_BITS) + 2
        return costs

    def length_mm(self, placed: Sequence[tuple[Place, Stop]]) -> int:
        """Length of the shortest walk through the stops, without its route."""
        if not placed and self.network.start == self.network.end:
            return 0
        tables, rows, _, _ = self._program
        least, _ = _run(tables, rows, self._costs(_alongs(placed)))
        return self._length(int(least), placed)

    def walk(self, placed: Sequence[tuple[Place, Stop]]) -> Walk:
        """The shortest walk through the stops, each given with its place; refused if one can't be reached."""
        network = self.network
        if not placed and network.start == network.end:
            return Walk(0, (), (network.points[network.start],), 0)
        tables, rows, _, _ = self._program
        alongs = _alongs(placed)
        least, came = _run(tables, rows, self._costs(alongs))
        length_mm = self._length(int(least), placed)
        cut = network.cut(placed)
        edges: list[tuple[int, int, int]] = []
        state = 1
        for step in range(len(self.steps) - 1, -1, -1):
            state, option = divmod(int(came[step, state]), BOTH + 1)
            passage = self.steps[step][3]
            if passage < 0 or option == NONE:
                continue
            way = network.passages[passage]
            chain = cut.chains.get(passage, ((0, way.a), (way.length_mm, way.b)))
            edges.extend(_walked(chain, option, alongs.get(passage, ())))
        stops, path = lay_out(cut.points, edges, network.start, cut.stops_at)
        return Walk(length_mm, stops, path, length_mm)

    def _length(self, least: int, placed: Sequence[tuple[Place, Stop]]) -> int:
        if least >= _FAR:
            lost = [stop for place, stop in placed if not self.network.is_reachable(place)]
            raise RoomRefused("walk to stop", lost[0] if lost else "end", "a way from the bench and back")
        return least >> _TURN_BITS


def _effects(step: Step) -> list[Effect]:
    """What each option of the step does; an advance against its passage enters it from the second corner."""
    kind, i, j, passage = step
    if passage < 0:
        return [(kind, i, -1, 0)]
    if kind == "advance":
        order = (NONE, PASS, TWICE, HIGH, LOW, BOTH) if j else range(BOTH + 1)
        return [(kind, i, -1, option) for option in order]
    return [(kind, i, j, option) for option in range(BOTH + 1)]


def _alongs(placed: Sequence[tuple[Place, Stop]]) -> dict[int, list[int]]:
    """Where on each passage the stops are, ascending, each place once."""
    alongs: dict[int, set[int]] = {}
    for (passage, along_mm), _ in placed:
        alongs.setdefault(passage, set()).add(along_mm)
    return {passage: sorted(ys) for passage, ys in alongs.items()}


def _walked(chain: Sequence[tuple[int, int]], option: int, ys: Sequence[int]) -> list[tuple[int, int, int]]:
    """The stretches of a passage that an option walks: (point, point, times); ``ys`` are the places of its stops."""
    from_mm, to_mm = chain[-1][0], chain[-1][0]
    if option == LOW:
        from_mm = ys[-1]
    elif option == HIGH:
        from_mm, to_mm = 0, ys[0]
    elif option == BOTH:
        from_mm, to_mm = max(pairwise(ys), key=lambda ends: ends[1] - ends[0])
    times = 1 if option == PASS else 2
    return [(i, j, times) for (since, i), (to, j) in pairwise(chain) if not (from_mm <= since and to <= to_mm)]


@njit(
    types.Tuple((types.int64, types.int32[:, ::1]))(  # type: ignore[no-untyped-call]
        types.int32[:, ::1], types.int32[:, ::1], types.int64[:, ::1]
    ),
    cache=True,
)
def _run(
    tables: NDArray[np.int32], rows: NDArray[np.int32], costs: NDArray[np.int64]
) -> tuple[np.int64, NDArray[np.int32]]:
    """Least cost of the finished walk, and for each step and state where it came from (state·6 + option)."""
    steps, options = rows.shape
    states = tables.shape[1]
    far = np.int64(1) << np.int64(62)
    now = np.full(states, far, dtype=np.int64)
    then = np.full(states, far, dtype=np.int64)
    came = np.full((steps, states), -1, dtype=np.int32)
    now[0] = 0
    for step in range(steps):
        then[:] = far
        for state in range(states):
            so_far = now[state]
            if so_far >= far:
                continue
            for option in range(options):
                row = rows[step, option]
                if row < 0:
                    break
                extra = costs[step, option]
                if extra >= far:
                    continue
                to = tables[row, state]
                if to >= 0 and so_far + extra < then[to]:
                    then[to] = so_far + extra
                    came[step, to] = state * options + option
        now, then = then, now
    return now[1], came
