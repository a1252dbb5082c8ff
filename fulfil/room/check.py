"""What is off in a room: bins in no aisle, bins nobody can reach, two bins in one place, lengths in the wrong unit.

All findings at once, each with what to do. Measures that a room can't have at all (a length of zero, say) are
refused when it is made; here is what can be, but shouldn't.

>>> from fulfil.room.block import Block
>>> bins = [ShelvedBin("1-01", (0, 900), "left", 0, line=2), ShelvedBin("1-02", (0, 900), "left", 0, line=3),
...         ShelvedBin("1-99", (0, 42000), "left", 0, line=4)]
>>> for finding in check_room(Block((0, 2500), 30000), bins, source="bins.csv"):
...     print(finding.line, finding.says)
3 the bin is in the same place as bin 1-01
4 the bin 1-99 lies outside the room: expected an aisle from 0 to 1 and y from 0 to 30000 mm

Limits: a wrong unit is guessed from what people and rooms measure; the finding says "looks like".
"""

from collections.abc import Sequence
from itertools import pairwise

from fulfil.errors import RoomRefused
from fulfil.records.finding import Finding
from fulfil.room.block import Block
from fulfil.room.blocks import Blocks
from fulfil.room.graph import WalkingGraph
from fulfil.room.network import UNREACHABLE
from fulfil.room.sides import ShelvedBin

AnyRoom = Block | Blocks | WalkingGraph

NARROWEST_MM = 600
"""Aisles nearer to each other leave no room for a person and a rack (common practice)."""

SHORTEST_MM = 1000
"""A whole room smaller than this is in the wrong unit."""

UNITS_MM = (("metres", 1000.0), ("inches", 25.4), ("centimetres", 10.0))
"""Units that millimetres get mixed up with, and how many millimetres they are."""


def check_room(
    room: AnyRoom, bins: Sequence[ShelvedBin], *, source: str, bin_width_mm: int | None = None
) -> tuple[Finding, ...]:
    """Everything that is off, the room first, then the bins in their order.

    Args:
        room: as the bins' stops name it.
        bins: the bins, with the line each came from.
        source: the name of the file or table, for the findings.
        bin_width_mm: how wide bins are along the aisle; None to look only for bins in the very same place.
    """
    findings = [*_size(room, source), *_cut_off(room, source)]
    placed: list[ShelvedBin] = []
    for bin_ in bins:
        try:
            room.point_mm(bin_.stop)
        except RoomRefused as refusal:
            findings.append(
                Finding(
                    source,
                    bin_.line,
                    "y_mm",
                    str(bin_.stop[1]),
                    f"the bin {bin_.code} lies outside the room: expected {refusal.expected}",
                    "correct its aisle or y_mm",
                )
            )
            continue
        placed.append(bin_)
        if not room.is_reachable(bin_.stop):
            findings.append(
                Finding(
                    source,
                    bin_.line,
                    "code",
                    bin_.code,
                    "no way leads from the bench to the bin and back",
                    "open a passage or move the bin",
                )
            )
    findings += [*_same_place(placed, source, bin_width_mm or 0), *_bin_units(room, placed, source)]
    order = {bin_.line: number for number, bin_ in enumerate(bins)}
    return tuple(sorted(findings, key=lambda one: -1 if one.line is None else order[one.line]))


def _size(room: AnyRoom, source: str) -> list[Finding]:
    """Room measures that look like another unit, and aisles too close together."""
    if isinstance(room, WalkingGraph):
        points = room.network.points
        xs, ys = [x for x, _ in points], [y for _, y in points]
        across, along = max(xs) - min(xs), max(ys) - min(ys)
        largest = max(across, along, *(link.length_mm for link in room.network.passages))
    elif isinstance(room, Block):
        largest = max(room.length_mm, room.aisle_x_mm[-1] - room.aisle_x_mm[0])
    else:
        spans = [high - low for low, high in room.aisle_span_mm]
        largest = max(*spans, room.aisle_x_mm[-1] - room.aisle_x_mm[0])
    if largest < SHORTEST_MM:
        unit = "metres" if largest < 100 else "inches or centimetres"
        return [
            Finding(
                source,
                None,
                "room",
                f"{largest} mm",
                f"the room's longest measure looks like {unit}",
                "give all lengths in millimetres",
            )
        ]
    if isinstance(room, WalkingGraph):
        return []
    return [
        Finding(
            source,
            None,
            "aisle_x_mm",
            f"{x1}, {x2}",
            f"the aisles {number} and {number + 1} are nearer than {NARROWEST_MM} mm and overlap",
            "correct where they stand",
        )
        for number, (x1, x2) in enumerate(pairwise(room.aisle_x_mm))
        if x2 - x1 < NARROWEST_MM
    ]


def _cut_off(room: AnyRoom, source: str) -> list[Finding]:
    """Corners that no way leads to, or from."""
    if isinstance(room, Block):
        return []
    network = room.network
    table = network.corner_distance_mm
    lost = [
        f"({x}, {y})"
        for corner, (x, y) in enumerate(network.points)
        if max(table[network.start, corner], table[corner, network.end]) >= UNREACHABLE
    ]
    if not lost:
        return []
    return [
        Finding(
            source,
            None,
            "room",
            " ".join(lost),
            "no way leads from the bench to these corners and back",
            "open a passage, or take them out of the room",
        )
    ]


def _same_place(bins: Sequence[ShelvedBin], source: str, bin_width_mm: int) -> list[Finding]:
    """Bins in one place, or overlapping along the aisle."""
    findings = []
    rows: dict[tuple[object, str, int], list[ShelvedBin]] = {}
    for bin_ in bins:
        rows.setdefault((bin_.stop[0], bin_.side, bin_.level), []).append(bin_)
    for row in rows.values():
        row.sort(key=lambda one: one.stop[1])
        for one, two in pairwise(row):
            apart = two.stop[1] - one.stop[1]
            if apart == 0 or apart < bin_width_mm:
                says = "is in the same place as" if apart == 0 else f"stands only {apart} mm from"
                findings.append(
                    Finding(
                        source,
                        two.line,
                        "code",
                        two.code,
                        f"the bin {says} bin {one.code}",
                        "correct side, level or y_mm of one of them",
                    )
                )
    return findings


def _bin_units(room: AnyRoom, bins: Sequence[ShelvedBin], source: str) -> list[Finding]:
    """Bins that all crowd at the front, as they do when y was given in another unit."""
    if len(bins) < 10 or isinstance(room, WalkingGraph):
        return []
    length_mm = room.length_mm if isinstance(room, Block) else max(high for _, high in room.aisle_span_mm)
    farthest = max(bin_.stop[1] for bin_ in bins)
    for unit, mm in UNITS_MM:
        if 0.5 * length_mm <= farthest * mm <= 1.05 * length_mm:
            return [
                Finding(
                    source,
                    None,
                    "y_mm",
                    f"0 to {farthest}",
                    f"the bins' places along the aisles look like {unit}",
                    "give all lengths in millimetres",
                )
            ]
    return []
