"""A room of parallel aisles from six answers: its ways, and a code and a place for every bin.

Aisles stand side by side, each with bins to its left and right; a cross aisle runs along the front and one along the
back, and the bench stands at the front end of an aisle. Another room is drawn by editing ``room.csv``.

>>> floor = Floor(aisles=2, apart_mm=2400, sections=3, width_mm=900, levels=2, bench_aisle=1)
>>> [place.code for place in floor.places()][:3], len(floor.places())
(['1L-01-1', '1R-01-1', '1L-01-2'], 24)
>>> [row["element"] for row in floor.rows()]
['aisle', 'aisle', 'cross-aisle', 'cross-aisle', 'bench']
"""

from dataclasses import dataclass
from functools import partial

from fulfil.errors import QuantityRefused
from fulfil.quantities import parse_pieces
from fulfil.shop.conversation import Question, Script
from fulfil.stock.starting.measures import length_mm

_CROSS_MM = 600
"""From the middle of a cross aisle to the first section, and from the last one: half of a way of 1.2 m."""


@dataclass(frozen=True)
class Place:
    """A bin's place: its code, and its cells of ``bins.csv``."""

    code: str
    aisle: str
    side: str
    section: int
    level: int
    y_mm: int

    def cells(self) -> dict[str, str]:
        """The cells that say where it is."""
        return {
            "bin": self.code, "aisle": self.aisle, "side": self.side, "section": str(self.section),
            "level": str(self.level), "y_mm": str(self.y_mm),
        }  # fmt: skip


@dataclass(frozen=True)
class Floor:
    """The answers: aisles, the distance between their middles, sections on a side, their width, levels, the bench."""

    aisles: int
    apart_mm: int
    sections: int
    width_mm: int
    levels: int
    bench_aisle: int

    @property
    def back_mm(self) -> int:
        """Where the back cross aisle runs."""
        return 2 * _CROSS_MM + self.sections * self.width_mm

    def rows(self) -> list[dict[str, str]]:
        """The rows of ``room.csv``."""
        x_mm = [self.apart_mm // 2 + place * self.apart_mm for place in range(self.aisles)]
        aisles = [{"element": "aisle", "name": str(no), "x_mm": str(at)} for no, at in enumerate(x_mm, start=1)]
        crosses = [
            {"element": "cross-aisle", "name": name, "y_mm": str(at)}
            for name, at in (("front", 0), ("back", self.back_mm))
        ]
        bench = {"element": "bench", "name": "bench", "x_mm": str(x_mm[self.bench_aisle - 1]), "y_mm": "0"}
        return [*aisles, *crosses, bench]

    def places(self) -> list[Place]:
        """Every bin, nearest to the bench first: by aisle from the bench's on, section, level, side."""
        by_distance = sorted(range(1, self.aisles + 1), key=lambda aisle: (abs(aisle - self.bench_aisle), aisle))
        digits = len(str(self.aisles))
        return [
            Place(
                f"{aisle:0{digits}d}{side[0].upper()}-{section:02d}-{level}", str(aisle), side, section, level,
                _CROSS_MM + (2 * section - 1) * self.width_mm // 2,
            )
            for aisle in by_distance
            for section in range(1, self.sections + 1)
            for level in range(1, self.levels + 1)
            for side in ("left", "right")
        ]  # fmt: skip


def room_script() -> Script[Floor]:
    """The six questions."""
    aisles = yield _count("aisles", "How many aisles has the room?", 1, 40)
    apart = yield Question(
        "aisle distance", "From the middle of one aisle to the next, such as 2.4 m?", length_mm, "2.4 m", stand_in=2400
    )
    sections = yield _count("sections", "How many sections are on one side of an aisle?", 1, 99)
    width = yield Question("section width", "How wide is a section, such as 900 mm?", length_mm, "900 mm", stand_in=900)
    levels = yield _count("levels", "How many bins are above each other in a section?", 1, 9)
    bench = yield Question(
        "bench", "At the front of which aisle is the packing bench?", partial(_number, 1, aisles), "1", stand_in=1
    )
    return Floor(aisles, max(1, apart), sections, max(1, width), levels, bench)


def _count(key: str, asks: str, least: int, most: int) -> Question:
    return Question(key, asks, partial(_number, least, most), stand_in=least)


def _number(least: int, most: int, said: str) -> int:
    read = parse_pieces(said)
    if not least <= read <= most:
        raise QuantityRefused("take", said, f"a whole number from {least} to {most}")
    return read
