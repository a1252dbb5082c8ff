"""The main room of the demo shop, and two small rooms of other shapes.

The main room is one block: twelve parallel aisles, 2.4 m apart and 30 m long, between a front and a back cross aisle;
the bench stands at the front end of aisle 6. Each aisle has two sides, fifty sections of 0.6 m, five levels and two
drawers on each: 12,000 places. A bin is named by its place, 04L-17-3B for aisle 4, left, section 17, level 3, drawer B.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from fulfil_demo_catalog.generator.catalogue import CataloguePart, parts
from fulfil_demo_catalog.generator.chance import Chance

ROOM_COLUMNS = ("element", "name", "x_mm", "y_mm", "from", "to", "length_mm", "one_way")
BIN_COLUMNS = ("bin", "aisle", "side", "section", "level", "y_mm", "part", "lot", "pieces")

AISLES = 12
PITCH_MM = 2_400
LENGTH_MM = 30_000
SECTIONS = 50
SECTION_MM = 600
LEVELS = 5
BENCH_AISLE = 6


@dataclass(frozen=True, order=True)
class Place:
    """A drawer of the main room."""

    aisle: int
    side: str
    section: int
    level: int
    drawer: str

    @property
    def code(self) -> str:
        """The bin's code, read off the rack."""
        return f"{self.aisle:02d}{self.side[0].upper()}-{self.section:02d}-{self.level}{self.drawer}"

    @property
    def y_mm(self) -> int:
        """The middle of the section, from the front."""
        return self.section * SECTION_MM - SECTION_MM // 2

    @property
    def from_bench_mm(self) -> int:
        """The way from the bench."""
        return abs(self.aisle - BENCH_AISLE) * PITCH_MM + self.y_mm


def places() -> list[Place]:
    """All drawers of the main room, by place."""
    return [
        Place(aisle, side, section, level, drawer)
        for aisle in range(1, AISLES + 1)
        for side in ("left", "right")
        for section in range(1, SECTIONS + 1)
        for level in range(1, LEVELS + 1)
        for drawer in "AB"
    ]


def main_room() -> list[tuple[str, ...]]:
    """The rows of room.csv."""
    x_mm = [PITCH_MM // 2 + PITCH_MM * aisle for aisle in range(AISLES)]
    return _parallel(x_mm, {"front": 0, "back": LENGTH_MM}, x_mm[BENCH_AISLE - 1])


def _parallel(aisles_x_mm: list[int], cross_y_mm: dict[str, int], bench_x_mm: int) -> list[tuple[str, ...]]:
    aisles = [("aisle", str(n), str(x), "", "", "", "", "") for n, x in enumerate(aisles_x_mm, start=1)]
    crossings = [("cross-aisle", name, "", str(y), "", "", "", "") for name, y in cross_y_mm.items()]
    return [*aisles, *crossings, ("bench", "bench", str(bench_x_mm), "0", "", "", "", "")]


def three_cross_aisles() -> tuple[list[tuple[str, ...]], list[tuple[str, ...]]]:
    """Room and bins of a room with a middle cross aisle: six aisles, 15 m, crossed at 0, 7.5 and 15 m."""
    room = _parallel([1_000 + 2_200 * n for n in range(6)], {"front": 0, "middle": 7_500, "back": 15_000}, 1_000)
    stocked = iter(_small_stock("three cross aisles"))
    bins: list[tuple[str, ...]] = []
    for aisle in range(1, 7):
        for section, y_mm in enumerate(range(500, 15_000, 1_000), start=1):
            if y_mm != 7_500:
                side = "left" if section % 2 else "right"
                part, pieces = next(stocked)
                code = f"T{aisle}{side[0].upper()}-{section:02d}"
                bins.append((code, str(aisle), side, str(section), "1", str(y_mm), part.number, part.lot, str(pieces)))
    return room, bins


ODD_CORNERS = {"C2": (6_000, 0), "C3": (12_000, 0), "C4": (0, 5_000), "C5": (6_000, 5_000), "C6": (12_000, 8_000),
               "C7": (3_000, 11_000)}  # fmt: skip
ODD_PASSAGES = (
    ("P1", "bench", "C2", 6_000, ""),
    ("P2", "C2", "C3", 6_000, ""),
    ("P3", "bench", "C4", 5_000, ""),
    ("P4", "C2", "C5", 5_000, ""),
    ("P5", "C4", "C5", 6_000, "yes"),
    ("P6", "C5", "C6", 7_000, ""),
    ("P7", "C3", "C6", 8_000, "yes"),
    ("P8", "C4", "C7", 7_200, ""),
    ("P9", "C5", "C7", 6_900, ""),
)
"""Name, from, to, length and one way; P6, P8 and P9 bend, so they are longer than the straight line.
The bench is itself a corner."""


def odd() -> tuple[list[tuple[str, ...]], list[tuple[str, ...]]]:
    """Room and bins of a room of corners and passages, two of them one way."""
    corners = [("corner", name, str(x), str(y), "", "", "", "") for name, (x, y) in ODD_CORNERS.items()]
    passages = [
        ("passage", name, "", "", start, end, str(length), one_way)
        for name, start, end, length, one_way in ODD_PASSAGES
    ]
    room: list[tuple[str, ...]] = [*corners, *passages, ("bench", "bench", "0", "0", "", "", "", "")]
    stocked = iter(_small_stock("odd room"))
    bins: list[tuple[str, ...]] = []
    for name, _, _, length_mm, _ in ODD_PASSAGES:
        for section, y_mm in enumerate(range(600, length_mm - 300, 1_200), start=1):
            part, pieces = next(stocked)
            code = f"{name}-{section:02d}"
            side = "right" if section % 2 else "left"
            bins.append((code, name, side, str(section), "1", str(y_mm), part.number, part.lot, str(pieces)))
    return room, bins


def _small_stock(topic: str) -> Iterator[tuple[CataloguePart, int]]:
    """Different parts of the catalogue, the often ordered first, each with a plain stock."""
    chance = Chance(topic)
    by_popularity = sorted(parts(), key=lambda part: (-part.popularity, part.number))
    for part in by_popularity:
        yield part, 20 + chance.below(400)
