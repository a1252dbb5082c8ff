"""One block: parallel aisles between a front and a back cross aisle, the bench at the front.

Aisle j runs along y from the front cross aisle (y = 0) to the back one (y = ``length_mm``) at x = ``aisle_x_mm[j]``.
The aisles are narrow: the bins left and right at one y are one stop. A stop is ``(aisle, y_mm)``.

>>> room = Block(aisle_x_mm=(0, 2500, 5000), length_mm=30000)
>>> room.distance_mm((0, 20000), (2, 25000))
20000
>>> room.shortest_walk([(1, 4000)]).length_mm
13000
>>> room.point_mm((3, 0))
Traceback (most recent call last):
    ...
fulfil.errors.RoomRefused: Cannot place stop '(3, 0)': expected an aisle from 0 to 2 and y from 0 to 30000 mm.

Limits: all aisles reach both cross aisles, and both directions are open; for other rooms see
:mod:`fulfil.room.blocks` and :mod:`fulfil.room.graph`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from fulfil.errors import RoomRefused
from fulfil.room.ratliff_rosenthal import block_length_mm, walk_block
from fulfil.room.walk import Point, Stop, Walk

if TYPE_CHECKING:
    from fulfil.room.kernel import BlockWalks


def whole_mm(value: object, what: str) -> int:
    """``value`` as a whole number of millimetres, refused if it isn't one."""
    if isinstance(value, bool) or not hasattr(value, "__index__"):
        raise RoomRefused(f"read {what}", value, "a whole number of millimetres")
    return int(value.__index__())


@dataclass(frozen=True)
class Block:
    """A room of parallel aisles between two cross aisles.

    Attributes:
        aisle_x_mm: where each aisle stands, ascending; uneven distances are fine.
        length_mm: from the front to the back cross aisle.
        bench_aisle: the bench stands where this aisle meets the front cross aisle.
        bench_x_mm: the bench stands there on the front cross aisle, perhaps off every aisle; overrides ``bench_aisle``.

    Raises:
        RoomRefused: no aisle, aisles not ascending, a length not above zero, a bench aisle that isn't there.
    """

    aisle_x_mm: tuple[int, ...]
    length_mm: int
    bench_aisle: int = 0
    bench_x_mm: int | None = None

    def __post_init__(self) -> None:
        aisles = tuple(whole_mm(x, "aisle_x_mm") for x in self.aisle_x_mm)
        if not aisles:
            raise RoomRefused("lay out a block with aisle_x_mm", self.aisle_x_mm, "at least one aisle")
        if any(x1 >= x2 for x1, x2 in pairwise(aisles)):
            raise RoomRefused("lay out a block with aisle_x_mm", self.aisle_x_mm, "every x above the one before")
        length_mm = whole_mm(self.length_mm, "length_mm")
        if length_mm <= 0:
            raise RoomRefused("lay out a block with length_mm", self.length_mm, "a length above 0 mm")
        bench_aisle = whole_mm(self.bench_aisle, "bench_aisle")
        if not 0 <= bench_aisle < len(aisles):
            raise RoomRefused("put the bench at aisle", self.bench_aisle, f"an aisle from 0 to {len(aisles) - 1}")
        object.__setattr__(self, "aisle_x_mm", aisles)
        object.__setattr__(self, "length_mm", length_mm)
        object.__setattr__(self, "bench_aisle", bench_aisle)
        if self.bench_x_mm is not None:
            object.__setattr__(self, "bench_x_mm", whole_mm(self.bench_x_mm, "bench_x_mm"))

    @property
    def bench_mm(self) -> Point:
        """The bench's place on the floor, (x, y)."""
        return (self.aisle_x_mm[self.bench_aisle] if self.bench_x_mm is None else self.bench_x_mm, 0)

    def point_mm(self, stop: Stop) -> Point:
        """The stop's place on the floor, (x, y); refused if it lies in no aisle."""
        try:
            aisle, y_mm = stop
            aisle, y_mm = whole_mm(aisle, "aisle of a stop"), whole_mm(y_mm, "y_mm of a stop")
        except RoomRefused:
            raise
        except (TypeError, ValueError):
            raise RoomRefused("read stop", stop, "a pair (aisle, y_mm)") from None
        if not (0 <= aisle < len(self.aisle_x_mm) and 0 <= y_mm <= self.length_mm):
            raise RoomRefused(
                "place stop",
                stop,
                f"an aisle from 0 to {len(self.aisle_x_mm) - 1} and y from 0 to {self.length_mm} mm",
            )
        return self.aisle_x_mm[aisle], y_mm

    def distance_mm(self, a: Stop | None, b: Stop | None) -> int:
        """The shortest way from ``a`` to ``b``; None stands for the bench."""
        (x1, y1), (x2, y2) = (self.bench_mm if stop is None else self.point_mm(stop) for stop in (a, b))
        if x1 == x2:
            return abs(y1 - y2)
        return abs(x1 - x2) + min(y1 + y2, 2 * self.length_mm - y1 - y2)

    def is_reachable(self, stop: Stop) -> bool:
        """Whether a walk can go from the bench to the stop and back: true of every stop in a block."""
        return self.point_mm(stop)[0] in self.aisle_x_mm

    def walk_length_mm(self, stops: Sequence[Stop]) -> int:
        """Only the length of :meth:`shortest_walk`, faster."""
        return block_length_mm(self.aisle_x_mm, self.length_mm, self.bench_mm, [self.point_mm(stop) for stop in stops])

    def shortest_walk(self, stops: Sequence[Stop]) -> Walk:
        """The shortest walk through ``stops``, exact (see :mod:`fulfil.room.ratliff_rosenthal`)."""
        placed = [(self.point_mm(stop), (int(stop[0]), int(stop[1]))) for stop in stops]
        return walk_block(self.aisle_x_mm, self.length_mm, self.bench_mm, placed)

    def evaluator(self, orders: Sequence[Sequence[Stop]]) -> "BlockWalks":
        """Compiled walk lengths of any batch of these orders, for :func:`fulfil.planning.batching.plan_batches`."""
        from fulfil.room.kernel import block_evaluator  # loads the compiler: only when batching asks

        return block_evaluator(self, orders)
