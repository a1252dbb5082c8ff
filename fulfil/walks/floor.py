"""The shop's floor: room elements and bins from the catalogue, as a room that can be walked.

What the elements describe decides which room it is. Corners and passages make a walking graph. Aisles and cross aisles
make *one block* where there are two cross aisles, every aisle reaches both, both ways are open and the bench stands on
the front one; else *several blocks*, with these rules:

- an aisle runs from the cross aisle that ``from`` names (empty: the front one) to the one that ``to`` names (empty: the
  other end of the room); with ``length_mm`` it is that long instead, a dead end or a stretch beyond;
- a one-way aisle is open from its ``from`` to its ``to``, a one-way passage likewise;
- a cross aisle with ``length_mm`` begins at its ``x_mm``, else it is as wide as the room;
- the bench stands anywhere on an aisle or cross aisle; a second bench named ``end`` is where walks end.

>>> from fulfil.records.place import ElementKind, RoomElement
>>> from fulfil.records.tiny import BIN
>>> elements = [RoomElement(kind=ElementKind.AISLE, name="1", x_mm=0), RoomElement(kind=ElementKind.AISLE, name="2",
...     x_mm=2400), RoomElement(kind=ElementKind.CROSS_AISLE, name="front", y_mm=0),
...     RoomElement(kind=ElementKind.CROSS_AISLE, name="back", y_mm=30000),
...     RoomElement(kind=ElementKind.BENCH, name="bench", x_mm=0, y_mm=0)]
>>> floor = floor_of(elements)
>>> floor.stop_of(BIN), type(floor.room).__name__
((0, 600), 'Block')
>>> middle = RoomElement(kind=ElementKind.CROSS_AISLE, name="middle", y_mm=15000)
>>> type(floor_of([*elements, middle]).room).__name__
'Blocks'

Limits: a room is described by aisles or by passages, not by both; an aisle can be written as a passage.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from fulfil.errors import RoomRefused
from fulfil.records.place import Bin, ElementKind, RoomElement
from fulfil.room.block import Block
from fulfil.room.blocks import Blocks, Span
from fulfil.room.check import AnyRoom
from fulfil.room.graph import Corner, Passage, WalkingGraph
from fulfil.room.sides import ShelvedBin, bins_along
from fulfil.room.walk import Point, Stop, Walk

END = "end"
"""The name of the second bench: where walks end."""

_PLAIN = ("front", "middle", "back")


@dataclass(frozen=True)
class Way:
    """A line of the floor along which bins stand: from its beginning to its end, as bins count along it.

    ``crossings`` are the named places along it, by the millimetres from its beginning.
    """

    name: str
    from_mm: Point
    to_mm: Point
    crossings: Mapping[int, str] = field(default_factory=dict)
    is_one_way: bool = False


@dataclass(frozen=True)
class Floor:
    """A room with the names of its aisles or passages.

    ``front_y_mm`` is where the room's own y = 0 lies on the catalogue's; ``way_word`` is "aisle" or "passage".
    """

    room: AnyRoom
    aisle_names: tuple[str, ...]
    front_y_mm: int
    way_word: str = "aisle"
    ways: Mapping[int | str, Way] = field(default_factory=dict, repr=False, compare=False)

    def stop_of(self, place: Bin) -> Stop:
        """Where a picker stands at a bin: (index of the aisle, mm from the front) or (passage, mm along it).

        Raises:
            RoomRefused: when the bin lies in no aisle.
        """
        if place.aisle not in self.aisle_names:
            expected = f"one of the {self.way_word}s {', '.join(self.aisle_names)}"
            raise RoomRefused(f"find the {self.way_word} of bin {place.code}", place.aisle, expected)
        if isinstance(self.room, WalkingGraph):
            return place.aisle, place.y_mm
        return self.aisle_names.index(place.aisle), place.y_mm - self.front_y_mm

    def shelved(self, place: Bin, line: int | None = None) -> ShelvedBin:
        """The bin as the room sees it; ``line`` is its line in a file, if any."""
        return ShelvedBin(place.code, self.stop_of(place), place.side.value, place.level, line)


def floor_of(elements: Sequence[RoomElement]) -> Floor:
    """The floor that the room's elements describe.

    The same elements give the floor that was laid out for them before, with all that its room has worked out since.

    Raises:
        RoomRefused: when an element is missing or can't be what it says.
    """
    return _floor_of(tuple(tuple(element.__dict__.items()) for element in elements))


@lru_cache(maxsize=16)
def _floor_of(said: tuple[tuple[tuple[str, Any], ...], ...]) -> Floor:
    elements = [RoomElement.model_validate(dict(element)) for element in said]
    benches = [one for one in _of(elements, ElementKind.BENCH) if one.name != END]
    aisles = sorted(_of(elements, ElementKind.AISLE), key=lambda element: (element.x_mm, element.name))
    passages = _of(elements, ElementKind.PASSAGE)
    crossings = sorted(_of(elements, ElementKind.CROSS_AISLE), key=lambda element: (element.y_mm, element.name))
    is_laid_out = bool(passages) if not aisles else len(crossings) >= 2 and not passages
    if not is_laid_out or len(benches) != 1:
        found = f"{len(aisles)} aisles, {len(crossings)} cross aisles, {len(passages)} passages, {len(benches)} benches"
        raise RoomRefused(
            "lay out the room",
            found,
            "one bench, and aisles with two cross aisles or more, or passages between corners",
        )
    end = next((one for one in _of(elements, ElementKind.BENCH) if one.name == END), None)
    if passages:
        return _graph(elements, passages, benches[0], end)
    return _block(aisles, crossings, benches[0], end) or _blocks(aisles, crossings, benches[0], end)


def in_walking_order(floor: Floor, bins: Iterable[Bin], walk: Walk) -> list[Bin]:
    """The bins of a walk in the order of taking, by the rule *same side first* (:mod:`fulfil.room.sides`)."""
    places = {place.code: place for place in bins}
    return [places[one.code] for one in bins_along(walk, [floor.shelved(place) for place in places.values()])]


def _block(
    aisles: Sequence[RoomElement], crossings: Sequence[RoomElement], bench: RoomElement, end: RoomElement | None
) -> Floor | None:
    """One block, None where the elements say more than that."""
    front, back = crossings[0].y_mm, crossings[-1].y_mm
    is_plain = not any(one.from_name or one.to_name or one.length_mm or one.is_one_way for one in [*aisles, *crossings])
    if len(crossings) != 2 or not is_plain or bench.y_mm != front or end is not None:
        return None
    xs = tuple(aisle.x_mm for aisle in aisles)
    at_aisle = xs.index(bench.x_mm) if bench.x_mm in xs else 0
    off_aisle = None if bench.x_mm in xs else bench.x_mm
    room = Block(aisle_x_mm=xs, length_mm=back - front, bench_aisle=at_aisle, bench_x_mm=off_aisle)
    ends = {0: "the front", back - front: "the back"}
    ways: dict[int | str, Way] = {
        number: Way(aisle.name, (aisle.x_mm, 0), (aisle.x_mm, back - front), ends)
        for number, aisle in enumerate(aisles)
    }
    return Floor(room, tuple(aisle.name for aisle in aisles), front, ways=ways)


def _blocks(
    aisles: Sequence[RoomElement], crossings: Sequence[RoomElement], bench: RoomElement, end: RoomElement | None
) -> Floor:
    spans = [_span(aisle, crossings) for aisle in aisles]
    room = Blocks(
        aisle_x_mm=tuple(aisle.x_mm for aisle in aisles),
        cross_y_mm=tuple(crossing.y_mm for crossing in crossings),
        bench_mm=(bench.x_mm, bench.y_mm),
        end_mm=None if end is None else (end.x_mm, end.y_mm),
        aisle_span_mm=tuple(span for span, _ in spans),
        cross_span_mm=_cross_spans(aisles, crossings, [bench, *([end] if end else [])]),
        one_way=tuple((number, way) for number, (aisle, (_, way)) in enumerate(zip(aisles, spans, strict=True))
                      if aisle.is_one_way),
    )  # fmt: skip
    names = {crossing.y_mm: _crossing_words(crossing, crossings) for crossing in crossings}
    ways: dict[int | str, Way] = {}
    for number, (aisle, ((low, high), _)) in enumerate(zip(aisles, spans, strict=True)):
        x_mm = aisle.x_mm
        known = {
            y - low: names[y]
            for y, (left, right) in zip(room.cross_y_mm, room.cross_span_mm, strict=True)
            if low <= y <= high and left <= x_mm <= right
        }
        if bench.x_mm == x_mm and bench.y_mm not in names:
            known[bench.y_mm - low] = "the bench"
        ways[number] = Way(aisle.name, (x_mm, low), (x_mm, high), known, aisle.is_one_way)
    return Floor(room, tuple(aisle.name for aisle in aisles), 0, ways=ways)


def _span(aisle: RoomElement, crossings: Sequence[RoomElement]) -> tuple[Span, int]:
    """From where to where an aisle runs, and 1 if it leads towards the back, -1 towards the front."""
    y_of = {crossing.name: crossing.y_mm for crossing in crossings}
    front, back = crossings[0].y_mm, crossings[-1].y_mm
    for name in (aisle.from_name, aisle.to_name):
        if name and name not in y_of:
            raise RoomRefused(
                f"end aisle {aisle.name} at",
                name,
                f"one of the cross aisles {', '.join(one.name for one in crossings)}",
            )
    from_y = y_of[aisle.from_name] if aisle.from_name else front
    to_y = y_of[aisle.to_name] if aisle.to_name else front if from_y == back else back
    way = 1 if to_y > from_y else -1
    if aisle.length_mm:
        to_y = from_y + way * aisle.length_mm
    return (min(from_y, to_y), max(from_y, to_y)), way


def _cross_spans(
    aisles: Sequence[RoomElement], crossings: Sequence[RoomElement], benches: Sequence[RoomElement]
) -> tuple[Span, ...]:
    spans = []
    for crossing in crossings:
        xs = [*(aisle.x_mm for aisle in aisles), *(one.x_mm for one in benches if one.y_mm == crossing.y_mm)]
        whole = (min(xs), max(xs))
        spans.append((crossing.x_mm, crossing.x_mm + crossing.length_mm) if crossing.length_mm else whole)
    return tuple(spans)


def _crossing_words(crossing: RoomElement, crossings: Sequence[RoomElement]) -> str:
    """What pickers call a cross aisle: the front and the back are never called otherwise."""
    if crossing is crossings[0]:
        return "the front"
    if crossing is crossings[-1]:
        return "the back"
    return f"the {crossing.name}" if crossing.name in _PLAIN else f"cross aisle {crossing.name}"


def _graph(
    elements: Sequence[RoomElement], passages: Sequence[RoomElement], bench: RoomElement, end: RoomElement | None
) -> Floor:
    corners = [*_of(elements, ElementKind.CORNER), *_of(elements, ElementKind.BENCH)]
    room = WalkingGraph(
        corners=tuple(Corner(corner.name, corner.x_mm, corner.y_mm) for corner in corners),
        passages=tuple(
            Passage(one.name, one.from_name, one.to_name, one.length_mm or None, one.is_one_way) for one in passages
        ),
        bench=bench.name,
        end=None if end is None else end.name,
    )
    words = {corner.name: f"the {corner.name}" if corner in (bench, end) else corner.name for corner in corners}
    points = room.network.points
    ways: dict[int | str, Way] = {
        one.name: Way(
            one.name,
            points[link.a],
            points[link.b],
            {0: words[one.from_name], link.length_mm: words[one.to_name]},
            one.is_one_way,
        )
        for one, link in zip(passages, room.network.passages, strict=True)
    }
    return Floor(room, tuple(one.name for one in passages), 0, "passage", ways)


def _of(elements: Iterable[RoomElement], kind: ElementKind) -> list[RoomElement]:
    return [element for element in elements if element.kind is kind]
