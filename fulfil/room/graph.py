"""Any odd room, as a walking graph: corners of the floor, and passages between them with bins along.

A passage is as long as the straight line between its corners unless it says otherwise, and may be open one way
only. A stop is ``(passage, along_mm)``, counted from the passage's first corner; left and right bins at one place
are one stop.

>>> room = WalkingGraph(
...     corners=(Corner("bench", 0, 0), Corner("door", 4000, 0), Corner("loft", 4000, 3000)),
...     passages=(Passage("hall", "bench", "door"), Passage("stairs", "door", "loft", length_mm=5000)),
...     bench="bench",
... )
>>> walk = room.shortest_walk([("stairs", 2000), ("hall", 1000)])
>>> walk.length_mm, walk.stops, walk.proven
(12000, (('hall', 1000), ('stairs', 2000)), True)

Limits: exact for any number of stops if all passages are two-way and the room can be swept with at most six corners
in sight (:mod:`fulfil.room.sweeping.sweep`), otherwise exact up to 13 different stops and searched, with a proven
bound, above.
"""

from dataclasses import dataclass
from functools import cached_property
from math import isqrt

from fulfil.errors import RoomRefused
from fulfil.room.block import whole_mm
from fulfil.room.network import Link, Network, Place
from fulfil.room.network_room import NetworkRoom
from fulfil.room.walk import Point, Stop


@dataclass(frozen=True)
class Corner:
    """A named point of the floor where passages meet or end."""

    name: str
    x_mm: int
    y_mm: int


@dataclass(frozen=True)
class Passage:
    """A named way from one corner to another and, unless ``one_way``, back.

    Attributes:
        name: its name, used in stops.
        from_corner: the corner that places along it are counted from.
        to_corner: the other corner.
        length_mm: None for the straight line, rounded to the nearest millimetre.
        one_way: open only from the first corner to the other.
    """

    name: str
    from_corner: str
    to_corner: str
    length_mm: int | None = None
    one_way: bool = False


@dataclass(frozen=True)
class WalkingGraph(NetworkRoom):
    """A room of corners and passages.

    Attributes:
        corners: each with a name of its own.
        passages: each with a name of its own.
        bench: the corner where walks start.
        end: the corner where walks end, if not at the bench.

    Raises:
        RoomRefused: a name comes twice, a corner isn't there, a passage has no length.
    """

    corners: tuple[Corner, ...]
    passages: tuple[Passage, ...]
    bench: str
    end: str | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "corners", tuple(self.corners))
        object.__setattr__(self, "passages", tuple(self.passages))
        for what, things in (("corner", self.corners), ("passage", self.passages)):
            names = [thing.name for thing in things]
            twice = sorted(name for name in set(names) if names.count(name) > 1)
            if twice:
                raise RoomRefused(f"lay out {what}", twice[0], f"every {what} to have a name of its own")
        if not self.passages:
            raise RoomRefused("lay out passages", self.passages, "at least one passage")
        for what, name in (("bench", self.bench), ("end", self.end)):
            if name is not None and name not in self._corner_number:
                raise RoomRefused(f"put the {what} at corner", name, "the name of a corner")
        _ = self.network

    @cached_property
    def _corner_number(self) -> dict[str, int]:
        return {corner.name: number for number, corner in enumerate(self.corners)}

    @cached_property
    def _passage_number(self) -> dict[str, int]:
        return {passage.name: number for number, passage in enumerate(self.passages)}

    @property
    def bench_mm(self) -> Point:
        """The bench's place on the floor, (x, y)."""
        return self.network.points[self.network.start]

    @cached_property
    def network(self) -> Network:
        """The room's corners and passages, numbered."""
        points = tuple(
            (whole_mm(corner.x_mm, "x_mm of a corner"), whole_mm(corner.y_mm, "y_mm of a corner"))
            for corner in self.corners
        )
        links = []
        for passage in self.passages:
            ends = (passage.from_corner, passage.to_corner)
            for name in ends:
                if name not in self._corner_number:
                    raise RoomRefused(f"lead passage {passage.name} to corner", name, "the name of a corner")
            a, b = (self._corner_number[name] for name in ends)
            length_mm = passage.length_mm
            if length_mm is None:
                length_mm = _straight_mm(points[a], points[b])
            if a == b or whole_mm(length_mm, "length_mm of a passage") <= 0:
                raise RoomRefused("lay out passage", passage.name, "two different corners and a length above 0 mm")
            links.append(Link(a, b, length_mm, passage.one_way))
        start = self._corner_number[self.bench]
        return Network(points, tuple(links), start, start if self.end is None else self._corner_number[self.end])

    def place(self, stop: Stop) -> Place:
        """The stop's passage by number and how far along it, refused if there is none."""
        try:
            name, along_mm = stop
            number = self._passage_number.get(name)
        except (TypeError, ValueError):
            raise RoomRefused("read stop", stop, "a pair (passage, along_mm)") from None
        if number is None:
            raise RoomRefused("place a stop in passage", name, "the name of a passage")
        along_mm = whole_mm(along_mm, "along_mm of a stop")
        if not 0 <= along_mm <= self.network.passages[number].length_mm:
            raise RoomRefused(
                "place stop", stop, f"a place from 0 to {self.network.passages[number].length_mm} mm along"
            )
        return number, along_mm


def _straight_mm(a: Point, b: Point) -> int:
    """Distance of two points, rounded to the nearest millimetre, halves up."""
    return (isqrt(4 * ((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2)) + 1) // 2
