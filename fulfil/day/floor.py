"""The shop's floor: room elements and bins from the catalogue, as a room that can be walked.

>>> from fulfil.records.place import ElementKind, RoomElement
>>> from fulfil.records.tiny import BIN
>>> elements = [RoomElement(kind=ElementKind.AISLE, name="1", x_mm=0), RoomElement(kind=ElementKind.AISLE, name="2",
...     x_mm=2400), RoomElement(kind=ElementKind.CROSS_AISLE, name="front", y_mm=0),
...     RoomElement(kind=ElementKind.CROSS_AISLE, name="back", y_mm=30000),
...     RoomElement(kind=ElementKind.BENCH, name="bench", x_mm=0, y_mm=0)]
>>> floor = floor_of(elements)
>>> floor.stop_of(BIN)
(0, 600)
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from fulfil.errors import RoomRefused
from fulfil.records.place import Bin, ElementKind, RoomElement, Side
from fulfil.room.block import Block


@dataclass(frozen=True)
class Floor:
    """A room with the names of its aisles; ``front_y_mm`` is where the room's own y = 0 lies on the catalogue's."""

    room: Block
    aisle_names: tuple[str, ...]
    front_y_mm: int

    def stop_of(self, place: Bin) -> tuple[int, int]:
        """Where a picker stands at a bin: (index of the aisle, mm from the front cross aisle).

        Raises:
            RoomRefused: when the bin lies in no aisle.
        """
        if place.aisle not in self.aisle_names:
            expected = f"one of the aisles {', '.join(self.aisle_names)}"
            raise RoomRefused(f"find the aisle of bin {place.code}", place.aisle, expected)
        return self.aisle_names.index(place.aisle), place.y_mm - self.front_y_mm


def floor_of(elements: Sequence[RoomElement]) -> Floor:
    """The floor that the room's elements describe: parallel aisles between a front and a back cross aisle.

    Raises:
        RoomRefused: when an element is missing, or the room is of a kind that has no walks here.
    """
    aisles = sorted(_of(elements, ElementKind.AISLE), key=lambda element: (element.x_mm, element.name))
    crossings = sorted(element.y_mm for element in _of(elements, ElementKind.CROSS_AISLE))
    benches = _of(elements, ElementKind.BENCH)
    if not aisles or len(crossings) != 2 or len(benches) != 1:
        found = f"{len(aisles)} aisles, {len(crossings)} cross aisles, {len(benches)} benches"
        raise RoomRefused("lay out the room", found, "one aisle or more, two cross aisles, one bench")
    front, back = crossings
    bench = benches[0]
    if bench.y_mm != front:
        raise RoomRefused("place the bench at y_mm", bench.y_mm, f"the front cross aisle, y_mm {front}")
    xs = tuple(aisle.x_mm for aisle in aisles)
    at_aisle = xs.index(bench.x_mm) if bench.x_mm in xs else 0
    off_aisle = None if bench.x_mm in xs else bench.x_mm
    room = Block(aisle_x_mm=xs, length_mm=back - front, bench_aisle=at_aisle, bench_x_mm=off_aisle)
    return Floor(room, tuple(aisle.name for aisle in aisles), front)


def in_walking_order(floor: Floor, bins: Iterable[Bin], stops: Sequence[tuple[int, int]]) -> list[Bin]:
    """The bins of a walk in the order of its stops.

    Bins at one stop: left side before right, lower level before higher, then by code.
    """
    at_stop: dict[tuple[int, int], list[Bin]] = {}
    for place in bins:
        at_stop.setdefault(floor.stop_of(place), []).append(place)
    ordered: list[Bin] = []
    for stop in dict.fromkeys(stops):
        ordered += sorted(at_stop[stop], key=lambda place: (place.side is Side.RIGHT, place.level, place.code))
    return ordered


def _of(elements: Iterable[RoomElement], kind: ElementKind) -> list[RoomElement]:
    return [element for element in elements if element.kind is kind]
