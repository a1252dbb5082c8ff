"""Screws of the demo shop.

Socket cap screws weigh what the published table of :mod:`fulfil_demo_catalog.generator.fasteners` lists. The other
heads are solids of nominal dimensions (quoted from memory, good enough for an invented shop): a shank of the mean
thread diameter d − 0.6495 P, plus the head.
"""

from collections.abc import Iterator
from math import pi, sqrt

from fulfil_demo_catalog.generator.fasteners import (
    STEEL_G_PER_CM3,
    mass_g,
    socket_cap_screw_g,
    socket_cap_screw_lengths_mm,
)
from fulfil_demo_catalog.generator.kinds import (
    BLACK,
    BLUED,
    BRASS,
    BRASS_PLATED,
    METAL,
    SHEET_BRASS,
    STAINLESS,
    ZINC,
    Finish,
    Item,
    Kind,
    Size,
    range_of,
)

PITCH_MM = {1.2: 0.25, 1.6: 0.35, 2.0: 0.4, 2.5: 0.45, 3.0: 0.5, 4.0: 0.7, 5.0: 0.8, 6.0: 1.0}
"""Coarse pitch of metric threads (ISO 261)."""

LENGTHS_MM = (2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 30, 35, 40, 50, 60)
STEEL_FINISHES = (ZINC, BLACK, STAINLESS, BRASS_PLATED)
CLOCK_FINISHES = (ZINC, STAINLESS, BLUED, BRASS)

# Head diameter and height in units of the thread diameter, and the share of that cylinder that is metal.
_HEADS = {
    "countersunk screw": (1.9, 0.55, 0.45),
    "cheese-head screw": (1.75, 0.66, 0.92),
    "pan-head screw": (1.95, 0.6, 0.8),
    "round-head screw": (1.85, 0.7, 0.72),
}


def screws() -> Iterator[Item]:
    """All screws, family by family."""
    yield from range_of(_kind("cap screw", "CS", "steel cap screws", popularity=2.0), _cap_sizes(), STEEL_FINISHES)
    for prefix, family in zip(("SK", "SC", "SP", "SR"), _HEADS, strict=True):
        finishes = CLOCK_FINISHES if family in ("cheese-head screw", "round-head screw") else STEEL_FINISHES
        yield from range_of(_kind(family, prefix, f"{METAL} {family}s"), _headed_sizes(family), finishes)
    yield from range_of(_kind("hex-head screw", "SH", "steel hexagon head screws"), _hex_sizes(), (ZINC, STAINLESS))
    yield from range_of(_kind("set screw", "SS", "steel set screws"), _set_sizes(), (BLACK, STAINLESS))
    yield from range_of(
        Kind(
            "thumb screw", "ST", "fasteners", "turned brass thumb screws for clock cases", "741533", "make",
            (0.3, 0.8), "some", 0.45, (0.9, 0.05), 0.6, "leaded-brass",
        ),
        _thumb_sizes(), (Finish("polished", "A"), Finish("nickel-plated", "N", 1.002)),
    )  # fmt: skip
    yield from range_of(
        Kind(
            "wood screw", "SW", "fasteners", f"{METAL} wood screws for automata figures", "731812", "buy",
            (0.7, 1.2), "hundreds", 0.42, (0.03, 0.02),
        ),
        _wood_sizes(), (ZINC, SHEET_BRASS, BLACK),
    )  # fmt: skip


def _kind(family: str, prefix: str, goods: str, popularity: float = 1.0) -> Kind:
    return Kind(
        family, prefix, "fasteners", f"{goods} for clock movements", "731815", "buy",
        (0.5, 1.0), "hundreds", 0.45, (0.035, 0.02), popularity,
    )  # fmt: skip


def _lengths_mm(thread: float) -> list[int]:
    """Lengths from about 1.25 to 13 thread diameters."""
    return [length for length in LENGTHS_MM if 1.25 * thread <= length <= 13 * thread]


def _shank_mm3(thread: float, length_mm: float) -> float:
    return pi / 4 * (thread - 0.6495 * PITCH_MM[thread]) ** 2 * length_mm


def _size(thread: float, length_mm: int, volume_mm3: float, over_all_mm: float) -> Size:
    return Size(f"M{thread:g} x {length_mm}", mass_g(volume_mm3, STEEL_G_PER_CM3), volume_mm3, over_all_mm, "geometry")


def _cap_sizes() -> Iterator[Size]:
    for length_mm in _lengths_mm(1.6):
        head_mm3 = pi / 4 * 3.0**2 * 1.6 - sqrt(3) / 2 * 1.5**2 * 0.7
        yield _size(1.6, length_mm, _shank_mm3(1.6, length_mm) + head_mm3, length_mm + 1.6)
    for thread in (2.0, 2.5, 3.0, 4.0, 5.0, 6.0):
        for length_mm in socket_cap_screw_lengths_mm(f"M{thread:g}"):
            listed_g = socket_cap_screw_g(f"M{thread:g}", length_mm)
            volume_mm3 = listed_g / STEEL_G_PER_CM3 * 1000
            yield Size(f"M{thread:g} x {length_mm}", listed_g, volume_mm3, length_mm + thread, "handbook")


def _headed_sizes(family: str) -> Iterator[Size]:
    across, high, metal = _HEADS[family]
    for thread in (1.2, 1.6, 2.0, 2.5, 3.0, 4.0, 5.0):
        head_mm3 = pi / 4 * (across * thread) ** 2 * high * thread * metal
        for length_mm in _lengths_mm(thread):
            is_sunk = family == "countersunk screw"
            shank_mm = length_mm - high * thread if is_sunk else length_mm
            over_all_mm = length_mm if is_sunk else length_mm + high * thread
            yield _size(thread, length_mm, _shank_mm3(thread, shank_mm) + head_mm3, over_all_mm)


def _hex_sizes() -> Iterator[Size]:
    for thread, flats_mm, high_mm in ((3.0, 5.5, 2.0), (4.0, 7.0, 2.8), (5.0, 8.0, 3.5), (6.0, 10.0, 4.0)):
        for length_mm in _lengths_mm(thread):
            head_mm3 = sqrt(3) / 2 * flats_mm**2 * high_mm
            yield _size(thread, length_mm, _shank_mm3(thread, length_mm) + head_mm3, length_mm + high_mm)


def _set_sizes() -> Iterator[Size]:
    for thread, key_mm in ((1.6, 0.7), (2.0, 0.9), (2.5, 1.3), (3.0, 1.5), (4.0, 2.0), (5.0, 2.5), (6.0, 3.0)):
        for length_mm in [length for length in LENGTHS_MM if thread <= length <= 6 * thread]:
            socket_mm3 = sqrt(3) / 2 * key_mm**2 * min(length_mm / 2, thread)
            yield _size(thread, length_mm, _shank_mm3(thread, length_mm) - socket_mm3, length_mm)


def _thumb_sizes() -> Iterator[Size]:
    for thread in (2.0, 2.5, 3.0, 4.0, 5.0):
        for length_mm in (6, 8, 10, 12, 16, 20):
            volume_mm3 = _shank_mm3(thread, length_mm) + pi / 4 * (3 * thread) ** 2 * 1.2 * thread
            yield Size(f"M{thread:g} x {length_mm}", mass_g(volume_mm3, 8.47), volume_mm3, length_mm + 1.2 * thread)


def _wood_sizes() -> Iterator[Size]:
    for shank_mm in (1.6, 2.0, 2.5, 3.0, 3.5, 4.0):
        for length_mm in [length for length in LENGTHS_MM if 4 * shank_mm <= length <= 13 * shank_mm]:
            volume_mm3 = pi / 4 * (0.8 * shank_mm) ** 2 * length_mm + 0.6 * shank_mm**3
            yield Size(f"{shank_mm:g} x {length_mm}", mass_g(volume_mm3, STEEL_G_PER_CM3), volume_mm3, length_mm)
