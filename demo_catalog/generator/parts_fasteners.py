"""Nuts, washers, pins, rings, balls and small bearings of the demo shop.

Hexagon nuts, plain washers, parallel pins and balls weigh what :mod:`fulfil_demo_catalog.generator.fasteners` computes
from their standards' dimensions; shapes without a standard there are solids of invented dimensions.
"""

from collections.abc import Iterator
from math import pi, sqrt

from fulfil_demo_catalog.generator.fasteners import (
    BRASS_G_PER_CM3,
    STEEL_G_PER_CM3,
    ball_g,
    dowel_pin_g,
    hex_nut_g,
    mass_g,
    ring_g,
    rod_g,
    washer_g,
)
from fulfil_demo_catalog.generator.kinds import (
    BLACK,
    BLUED,
    BRASS,
    METAL,
    PLAIN,
    SHEET_BRASS,
    STAINLESS,
    ZINC,
    Finish,
    Item,
    Kind,
    Size,
    range_of,
)

COPPER = Finish("copper-plated", "C", 1.002)
HARDENED = Finish("hardened", "H")


def fasteners() -> Iterator[Item]:
    """All of them but the screws, family by family."""
    yield from range_of(_nut("hex nut", "NH", popularity=2.0), _hex_nuts(1.0), (ZINC, BLACK, STAINLESS, BRASS))
    yield from range_of(_nut("thin nut", "NT"), _hex_nuts(0.6), (ZINC, STAINLESS, BRASS))
    yield from range_of(_nut("square nut", "NS"), _square_nuts(), (ZINC, BLUED, BRASS))
    yield from range_of(_nut("knurled nut", "NK"), _knurled_nuts(), (BRASS,))
    yield from range_of(_washer("plain washer", "WP", 2.0), _plain_washers(), (ZINC, BLACK, STAINLESS, SHEET_BRASS))
    yield from range_of(_washer("wide washer", "WW"), _wide_washers(), (ZINC, STAINLESS, SHEET_BRASS))
    yield from range_of(_washer("shim washer", "WS", habit="some"), _shims(), (PLAIN, SHEET_BRASS))
    yield from range_of(_washer("spring washer", "WR", hs_code="731821"), _spring_washers(), (ZINC, STAINLESS))
    yield from range_of(_pin("dowel pin", "PD", (0.1, 0.3), 1.4), _dowel_pins(), (HARDENED, STAINLESS))
    yield from range_of(_pin("taper pin", "PT", (0.3, 0.6), 1.4), _taper_pins(), (PLAIN, BRASS))
    yield from range_of(_pin("split pin", "PS", (0.8, 1.5)), _split_pins(), (ZINC, SHEET_BRASS))
    yield from range_of(_pin("rivet", "PR", (0.5, 1.0)), _rivets(), (PLAIN, COPPER, SHEET_BRASS))
    yield from range_of(
        Kind("retaining ring", "RR", "fasteners", "steel retaining rings for clock arbors", "731829", "buy",
             (1.0, 2.0), "some", 0.3, (0.06, 0.05)),
        _retaining_rings(), (BLACK, STAINLESS),
    )  # fmt: skip
    for material, digit, density_g_per_cm3, least_mm, goods, hs_code in (
        ("bearing steel", "1", STEEL_G_PER_CM3, 0, "bearing balls of steel for clock movements", "848291"),
        ("stainless", "2", 7.9, 0, "bearing balls of stainless steel for clock movements", "848291"),
        ("brass", "3", BRASS_G_PER_CM3, 1.5, "brass balls for automata runs", "741980"),
        ("glass", "4", 2.5, 3, "glass balls for automata runs", "700210"),
    ):
        kind = Kind(f"{material} ball", "BA", "fasteners", goods, hs_code, "buy", (0.1, 0.3), "hundreds", 0.62,
                    (0.03, 0.02), 1.6)  # fmt: skip
        yield from range_of(kind, _balls(digit, density_g_per_cm3, least_mm))
    yield from range_of(
        Kind("ball bearing", "BB", "clock", "small ball bearings for clock arbors", "848210", "buy",
             (0.3, 0.8), "few", 0.6, (1.4, 0.3)),
        _bearings(), (Finish("open", "O"), Finish("shielded", "D", 1.03)),
    )  # fmt: skip


def _nut(family: str, prefix: str, popularity: float = 1.0) -> Kind:
    return Kind(family, prefix, "fasteners", f"{METAL} {family}s for clock movements", "731816", "buy", (0.5, 1.0),
                "hundreds", 0.58, (0.02, 0.02), popularity)  # fmt: skip


def _washer(
    family: str, prefix: str, popularity: float = 1.0, hs_code: str = "731822", habit: str = "hundreds"
) -> Kind:
    return Kind(family, prefix, "fasteners", f"{METAL} {family}s for clock movements", hs_code, "buy", (1.0, 2.0),
                habit, 0.55, (0.01, 0.02), popularity)  # fmt: skip


def _pin(family: str, prefix: str, spread: tuple[float, float], popularity: float = 1.0) -> Kind:
    hs_code = {"split pin": "731824", "rivet": "731823"}.get(family, "731829")
    return Kind(family, prefix, "fasteners", f"{METAL} {family}s for clock movements", hs_code, "buy", spread,
                "hundreds", 0.5, (0.025, 0.02), popularity)  # fmt: skip


def _hex_nuts(height: float) -> Iterator[Size]:
    for thread, flats_mm, high_mm in (
        ("M2", 4.0, 1.6), ("M2.5", 5.0, 2.0), ("M3", 5.5, 2.4), ("M4", 7.0, 3.2), ("M5", 8.0, 4.0), ("M6", 10.0, 5.0),
        ("M8", 13.0, 6.5),
    ):  # fmt: skip
        envelope_mm3 = sqrt(3) / 2 * flats_mm**2 * high_mm * height
        yield Size(thread, hex_nut_g(thread) * height, envelope_mm3, flats_mm * 2 / sqrt(3), "geometry")


def _square_nuts() -> Iterator[Size]:
    for thread, flats_mm, high_mm in ((1.6, 3.2, 1.0), (2, 4, 1.2), (2.5, 5, 1.6), (3, 5.5, 1.8), (4, 7, 2.2),
                                      (5, 8, 2.7), (6, 10, 3.2)):  # fmt: skip
        volume_mm3 = (flats_mm**2 - pi / 4 * (0.9 * thread) ** 2) * high_mm
        yield Size(f"M{thread:g}", mass_g(volume_mm3, STEEL_G_PER_CM3), flats_mm**2 * high_mm, flats_mm * sqrt(2))


def _knurled_nuts() -> Iterator[Size]:
    for thread in (2, 2.5, 3, 4, 5, 6):
        for outer_mm in (3 * thread, 4 * thread):
            high_mm = 1.2 * thread
            weight_g = ring_g(0.9 * thread, outer_mm, high_mm, density_g_per_cm3=STEEL_G_PER_CM3)
            yield Size(f"M{thread:g}, {outer_mm:g} across", weight_g, pi / 4 * outer_mm**2 * high_mm, outer_mm)


def _ring(name: str, inner_mm: float, outer_mm: float, thickness_mm: float, basis: str = "geometry") -> Size:
    weight_g = ring_g(inner_mm, outer_mm, thickness_mm)
    return Size(name, weight_g, pi / 4 * outer_mm**2 * thickness_mm, outer_mm, basis)


def _plain_washers() -> Iterator[Size]:
    for thread, inner_mm, outer_mm, thickness_mm in (
        ("M1.6", 1.7, 4, 0.3), ("M2", 2.2, 5, 0.3), ("M2.5", 2.7, 6, 0.5), ("M3", 3.2, 7, 0.5), ("M4", 4.3, 9, 0.8),
    ):  # fmt: skip
        yield _ring(thread, inner_mm, outer_mm, thickness_mm)
    for thread, outer_mm, thickness_mm in (("M5", 10, 1), ("M6", 12, 1.6), ("M8", 16, 1.6)):
        yield Size(thread, washer_g(thread), pi / 4 * outer_mm**2 * thickness_mm, outer_mm, "geometry")


def _wide_washers() -> Iterator[Size]:
    for thread, inner_mm, outer_mm, thickness_mm in (
        ("M2", 2.2, 6, 0.8), ("M2.5", 2.7, 8, 0.8), ("M3", 3.2, 9, 0.8), ("M4", 4.3, 12, 1), ("M5", 5.3, 15, 1.2),
        ("M6", 6.4, 18, 1.6), ("M8", 8.4, 24, 2),
    ):  # fmt: skip
        yield _ring(thread, inner_mm, outer_mm, thickness_mm)


def _shims() -> Iterator[Size]:
    for bore_mm in (1, 1.5, 2, 2.5, 3, 4, 5, 6, 8):
        for thickness_mm in (0.05, 0.1, 0.15, 0.2, 0.3, 0.5):
            outer_mm = 1.6 * bore_mm + 1.4
            yield _ring(f"{bore_mm:g} x {outer_mm:.3g} x {thickness_mm:g}", bore_mm, outer_mm, thickness_mm, "supplier")


def _spring_washers() -> Iterator[Size]:
    for thread in (1.6, 2, 2.5, 3, 4, 5, 6, 8):
        yield _ring(f"M{thread:g}", 1.06 * thread, 1.8 * thread, 0.27 * thread, "supplier")


def _dowel_pins() -> Iterator[Size]:
    for across_mm in (0.8, 1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6):
        for length_mm in [each for each in (3, 4, 5, 6, 8, 10, 12, 14, 16, 18, 20, 24, 30, 36, 40)
                          if 2 * across_mm <= each <= 14 * across_mm]:  # fmt: skip
            weight_g = dowel_pin_g(across_mm, length_mm)
            yield Size(f"{across_mm:g} x {length_mm}", weight_g, weight_g / 7.85e-3, length_mm, "geometry")


def _taper_pins() -> Iterator[Size]:
    for across_mm in (0.6, 0.8, 1, 1.2, 1.5, 2, 2.5, 3, 4):
        for length_mm in [each for each in (5, 8, 10, 12, 16, 20, 25, 30, 40, 50) if each <= 16 * across_mm]:
            # A taper of 1 in 50 on the small end's diameter (ISO 2339): the mean of both ends, near enough.
            weight_g = rod_g(across_mm + length_mm / 100, length_mm, density_g_per_cm3=STEEL_G_PER_CM3)
            yield Size(f"{across_mm:g} x {length_mm}", weight_g, weight_g / 7.85e-3, length_mm, "geometry")


def _split_pins() -> Iterator[Size]:
    for across_mm in (0.6, 0.8, 1, 1.2, 1.6, 2, 2.5, 3.2):
        for length_mm in [each for each in (4, 6, 8, 10, 12, 16, 20, 25, 32, 40) if 5 <= each / across_mm <= 20]:
            weight_g = rod_g(0.9 * across_mm, length_mm + 3 * across_mm, density_g_per_cm3=STEEL_G_PER_CM3)
            yield Size(f"{across_mm:g} x {length_mm}", weight_g, weight_g / 6e-3, length_mm + 2 * across_mm)


def _rivets() -> Iterator[Size]:
    for across_mm in (0.8, 1, 1.2, 1.6, 2, 2.5, 3):
        for length_mm in (3, 4, 5, 6, 8, 10, 12, 16):
            volume_mm3 = pi / 4 * across_mm**2 * length_mm + 0.9 * across_mm**3
            weight_g = mass_g(volume_mm3, STEEL_G_PER_CM3)
            yield Size(f"{across_mm:g} x {length_mm}", weight_g, volume_mm3, length_mm + 0.6 * across_mm)


def _retaining_rings() -> Iterator[Size]:
    for across_mm in (0.8, 1.2, 1.5, 1.9, 2.3, 3.2, 4, 5, 6, 7, 8, 9, 10, 12, 15):
        outer_mm = 2.1 * across_mm + 0.6
        weight_g = 0.55 * ring_g(across_mm, outer_mm, 0.12 * across_mm + 0.1)
        yield Size(f"{across_mm:g}", weight_g, pi / 4 * outer_mm**2 * (0.12 * across_mm + 0.1), outer_mm)


def _balls(digit: str, density_g_per_cm3: float, least_mm: float) -> Iterator[Size]:
    """Balls keep their old numbers: the diameter in micrometres, five digits, and a digit for the material."""
    for across_mm in (0.8, 1, 1.2, 1.5, 1.588, 2, 2.381, 2.5, 3, 3.175, 3.5, 3.969, 4, 4.5, 4.763, 5, 5.5, 5.556, 6,
                      6.35, 7, 7.144, 7.938, 8, 8.731, 9, 9.525, 10, 11, 12, 12.7, 14, 16):  # fmt: skip
        if across_mm < least_mm:
            continue
        number = f"{round(across_mm * 1000):05d}{digit}"
        weight_g = ball_g(across_mm, density_g_per_cm3=density_g_per_cm3)
        yield Size(f"{across_mm:g}", weight_g, pi / 6 * across_mm**3, across_mm, "geometry", number=number)


def _bearings() -> Iterator[Size]:
    for bore_mm in (1, 1.5, 2, 2.5, 3, 4, 5, 6, 7, 8):
        for outer_mm, wide_mm in ((2.2 * bore_mm + 1.4, 0.7 * bore_mm + 0.8), (2.6 * bore_mm + 2, 0.8 * bore_mm + 1.2),
                                  (3.1 * bore_mm + 2.4, bore_mm + 1.4)):  # fmt: skip
            outer_mm, wide_mm = round(outer_mm), round(wide_mm * 2) / 2
            weight_g = 0.68 * ring_g(bore_mm, outer_mm, wide_mm)
            name = f"{bore_mm:g} x {outer_mm} x {wide_mm:g}"
            yield Size(name, weight_g, pi / 4 * outer_mm**2 * wide_mm, outer_mm)
