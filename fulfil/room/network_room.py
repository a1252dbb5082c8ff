"""What rooms with a walking network have in common: distances and walks, once stops have places in it."""

from abc import ABC, abstractmethod
from collections.abc import Iterable, Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from fulfil.errors import RoomRefused
from fulfil.room.network import UNREACHABLE, Network, Place
from fulfil.room.walk import Point, Stop, Walk

if TYPE_CHECKING:
    from fulfil.room.sweeping.sweep import Sweep
    from fulfil.room.sweeping.sweep_walks import SweepWalks


class NetworkRoom(ABC):
    """A room that knows its network, and the place of each stop in it.

    Walks are exact by :mod:`fulfil.room.sweeping.sweep` where all passages are two-way and few corners are in sight at
    once, otherwise by :mod:`fulfil.room.touring.tour`.
    """

    @cached_property
    @abstractmethod
    def network(self) -> Network:
        """The room's corners and passages."""

    @abstractmethod
    def place(self, stop: Stop) -> Place:
        """Where in the network a stop is, refused if it lies in no passage."""

    def sweep_orders(self) -> Iterable[Sequence[int]]:
        """Orders of the corners worth sweeping in; none if the room knows none."""
        return ()

    @cached_property
    def sweep(self) -> "Sweep | None":
        """The sweep that finds walks exactly; None where passages are one-way or too many corners in sight."""
        from fulfil.room.sweeping.sweep import Sweep  # loads the compiler: only when a walk is asked for

        return Sweep.of(self.network, tuple(self.sweep_orders()))

    @property
    def always_proven(self) -> bool:
        """Whether every walk in this room is found exactly, however many stops it has."""
        return self.sweep is not None

    def point_mm(self, stop: Stop) -> Point:
        """The stop's place on the floor, (x, y)."""
        return self.network.point_mm(self.place(stop))

    def distance_mm(self, a: Stop | None, b: Stop | None) -> int:
        """The shortest way from ``a`` to ``b``, refused if there is none; None stands for the bench.

        A walk that ends elsewhere leaves from the bench and arrives at its end: ``distance_mm(a, None)`` leads there.
        """
        if a is None and b is None and self.network.start == self.network.end:
            return 0
        distance_mm = self.network.distance_mm(
            None if a is None else self.place(a), None if b is None else self.place(b)
        )
        if distance_mm >= UNREACHABLE:
            raise RoomRefused("walk from", f"{a or 'bench'} to {b or 'bench'}", "a way between them")
        return distance_mm

    def is_reachable(self, stop: Stop) -> bool:
        """Whether a walk can go from the bench to the stop and back."""
        return self.network.is_reachable(self.place(stop))

    def shortest_walk(self, stops: Sequence[Stop]) -> Walk:
        """The shortest walk through ``stops``; :attr:`Walk.proven` says whether it is."""
        from fulfil.room.touring.tour import walk_by_tour  # loads the compiler, too

        placed = [(self.place(stop), stop) for stop in stops]
        return self.sweep.walk(placed) if self.sweep else walk_by_tour(self.network, placed)

    def walk_length_mm(self, stops: Sequence[Stop]) -> int:
        """Only the length of :meth:`shortest_walk`, faster; where that is searched, without the proof."""
        from fulfil.room.touring.tour import walk_by_tour  # loads the compiler, too

        placed = [(self.place(stop), stop) for stop in stops]
        return (
            self.sweep.length_mm(placed) if self.sweep else walk_by_tour(self.network, placed, proves=False).length_mm
        )

    def evaluator(self, orders: Sequence[Sequence[Stop]]) -> "SweepWalks":
        """Compiled walk lengths of any batch of these orders, for :func:`fulfil.planning.batching.plan_batches`.

        Raises:
            RoomRefused: walks in this room are searched, not swept (:attr:`sweep` is None).
        """
        from fulfil.room.sweeping.sweep_walks import SweepWalks  # loads the compiler: only when batching asks

        return SweepWalks.of(self, orders)
