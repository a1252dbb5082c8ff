"""Clock parts of the demo shop: gears, pinions, bushes, arbors, hands, dials, pendulums, mainsprings, weights.

Gears weigh what a brass blank of their pitch diameter does
(:func:`fulfil_demo_catalog.generator.fasteners.gear_blank_g`), less what crossing out takes away; bushes, pillars and
arbors are rings and rods. Everything else is invented.
"""

from collections.abc import Iterator
from math import pi

from fulfil_demo_catalog.generator.fasteners import (
    BRASS_G_PER_CM3,
    STEEL_G_PER_CM3,
    gear_blank_g,
    mass_g,
    ring_g,
    rod_g,
)
from fulfil_demo_catalog.generator.kinds import BLACK, BLUED, PLAIN, Finish, Item, Kind, Size, range_of

POLISHED = Finish("polished", "A")
GILDED = Finish("gilded", "G", 1.004)
SILVERED = Finish("silvered", "V", 1.003)
LACQUERED = Finish("lacquered", "L", 1.002)
CROSSED_OUT = 0.62
"""What is left of a gear blank between rim, arms and hub."""


def clock_parts() -> Iterator[Item]:
    """All clock parts but the gears, family by family."""
    yield from range_of(_made("pinion", "PI", "steel pinions", "911490", (0.3, 0.8), "few", (1.8, 0.4)), _pinions(),
                        (PLAIN, Finish("hardened", "H")))  # fmt: skip
    yield from range_of(_made("bush", "BU", "turned brass bushes", "911490", (0.3, 0.8), "handful", (0.25, 0.1), 2.0,
                              "leaded-brass"), _bushes())  # fmt: skip
    yield from range_of(_made("bronze bush", "BZ", "turned bronze bushes", "848330", (0.3, 0.8), "handful",
                              (0.35, 0.12)), _bronze_bushes())  # fmt: skip
    yield from range_of(_bought("arbor", "AR", "steel arbors", "911490", (0.2, 0.5), "few", (0.6, 0.05)), _arbors(),
                        (POLISHED, BLUED))  # fmt: skip
    yield from range_of(_made("pillar", "PL", "turned brass pillars", "911490", (0.3, 0.8), "few", (0.8, 0.06), 1.2,
                              "leaded-brass"), _pillars(), (POLISHED, LACQUERED))  # fmt: skip
    yield from range_of(_made("collet", "CO", "turned brass collets", "911490", (0.3, 0.8), "handful", (0.4, 0.1), 1.0,
                              "leaded-brass"), _collets())  # fmt: skip
    for name in ("spade", "moon", "serpentine", "baton", "pierced"):
        prefix = {"spade": "HS", "moon": "HM", "serpentine": "HP", "baton": "HB", "pierced": "HR"}[name]
        kind = _made(f"{name} hand", prefix, "clock hands", "911490", (0.5, 1.5), "few", (1.5, 0.8), 0.8)
        yield from range_of(kind, _hands(name), (BLACK, BLUED, GILDED))
    yield from range_of(_made("dial", "DI", "clock dials", "911430", (0.5, 1.5), "single", (6.0, 0.05)), _dials(),
                        (Finish("white enamel", "W", 1.06), SILVERED, LACQUERED))  # fmt: skip
    yield from range_of(_made("numeral", "NU", "brass numerals for clock dials", "911490", (0.5, 1.2), "handful",
                              (0.3, 0.3), 0.6), _numerals(), (POLISHED, BLACK))  # fmt: skip
    yield from range_of(_bought("mainspring", "MS", "steel mainsprings", "911490", (0.8, 1.6), "single", (4.0, 0.08),
                                1.0, "sharp"), _mainsprings())  # fmt: skip
    yield from range_of(_bought("suspension spring", "SU", "suspension springs", "911490", (1.0, 2.0), "some",
                                (1.2, 1.0)), _suspension_springs())  # fmt: skip
    yield from range_of(_made("pendulum bob", "PB", "pendulum bobs", "911490", (0.5, 1.5), "single", (5.0, 0.02)),
                        _bobs(), (POLISHED, LACQUERED))  # fmt: skip
    yield from range_of(_made("pendulum rod", "PO", "pendulum rods", "911490", (0.3, 0.8), "single", (3.0, 0.03)),
                        _pendulum_rods())  # fmt: skip
    yield from range_of(_made("clock weight", "CW", "brass-cased clock weights with lead filling", "911490", (0.4, 1.0),
                              "single", (9.0, 0.015), 0.5, "lead"), _weights(), (POLISHED, LACQUERED))  # fmt: skip
    yield from range_of(_bought("winding key", "KY", "winding keys for clocks", "911490", (0.8, 1.5), "single",
                                (2.5, 0.1)), _keys(), (PLAIN, POLISHED))  # fmt: skip
    yield from range_of(_made("clock plate", "PA", "cast brass plates for clock movements", "911440", (0.8, 1.5),
                              "single", (7.0, 0.03)), _plates(), (PLAIN, POLISHED))  # fmt: skip
    yield from range_of(_made("cast foot", "CF", "cast brass feet for clock cases", "911290", (1.0, 2.0), "few",
                              (2.5, 0.04)), _feet(), (PLAIN, POLISHED, BLACK))  # fmt: skip
    yield from range_of(_made("bell", "BE", "bells for striking clocks", "911490", (0.8, 1.5), "single", (4.0, 0.06)),
                        _bells())  # fmt: skip


def gears() -> Iterator[Item]:
    """Brass gears, all plain ones before the gilded; the catalogue takes as many as it needs."""
    kind = _made("gear", "GE", "brass gears", "911490", (0.3, 0.8), "few", (1.6, 0.15), 2.0)
    yield from range_of(kind, _gears(), (PLAIN,))
    yield from range_of(kind, _gears(), (GILDED,))


def _made(
    family: str, prefix: str, goods: str, hs_code: str, spread: tuple[float, float], habit: str,
    price_eur: tuple[float, float], popularity: float = 1.0, hazards: str = "",
) -> Kind:  # fmt: skip
    customs = goods if "clock" in goods else f"{goods} for clock movements"
    return Kind(family, prefix, "clock", customs, hs_code, "make", spread, habit, 0.5, price_eur, popularity, hazards)


def _bought(
    family: str, prefix: str, goods: str, hs_code: str, spread: tuple[float, float], habit: str,
    price_eur: tuple[float, float], popularity: float = 1.0, hazards: str = "",
) -> Kind:  # fmt: skip
    customs = goods if "clock" in goods else f"{goods} for clock movements"
    return Kind(family, prefix, "clock", customs, hs_code, "buy", spread, habit, 0.42, price_eur, popularity, hazards)


def _gears() -> Iterator[Size]:
    for module_mm in (0.3, 0.4, 0.5, 0.6, 0.8, 1.0):
        for teeth in [*range(18, 61, 2), *range(63, 121, 3), 25, 35, 45, 55, 65, 70, 80, 85, 95, 100, 110]:
            for wide_mm, bore_mm in ((1.0, 1.5), (1.5, 2.0), (2.0, 3.0), (3.0, 4.0)):
                outer_mm = module_mm * (teeth + 2)
                if not 8 * bore_mm >= outer_mm - 30 or outer_mm < 3 * bore_mm or not 3 <= outer_mm / wide_mm <= 60:
                    continue
                is_turned = outer_mm <= 20
                weight_g = gear_blank_g(module_mm, teeth, wide_mm, bore_mm) * (1 if is_turned else CROSSED_OUT)
                envelope_mm3 = pi / 4 * outer_mm**2 * wide_mm
                name = f"m {module_mm:g}, {teeth} teeth, {wide_mm:g} wide, bore {bore_mm:g}"
                hazards = "leaded-brass" if is_turned else ""
                yield Size(name, weight_g, envelope_mm3, outer_mm, "geometry" if is_turned else "supplier", hazards)


def _pinions() -> Iterator[Size]:
    for module_mm in (0.3, 0.4, 0.5, 0.6, 0.8):
        for leaves in (6, 7, 8, 10, 12, 14, 16):
            for long_mm in (4, 6, 8, 10, 14):
                weight_g = 0.94 * rod_g(module_mm * leaves, long_mm, density_g_per_cm3=STEEL_G_PER_CM3)
                outer_mm = module_mm * (leaves + 2)
                name = f"m {module_mm:g}, {leaves} leaves, {long_mm} long"
                yield Size(name, weight_g, pi / 4 * outer_mm**2 * long_mm, max(outer_mm, long_mm))


def _bush_sizes(density_g_per_cm3: float, bores_mm: tuple[float, ...]) -> Iterator[Size]:
    for bore_mm in bores_mm:
        for outer_mm in (bore_mm + 1, bore_mm + 1.5, bore_mm + 2.5):
            for long_mm in (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 6.0):
                weight_g = ring_g(bore_mm, outer_mm, long_mm, density_g_per_cm3=density_g_per_cm3)
                name = f"{bore_mm:g} x {outer_mm:g} x {long_mm:g}"
                yield Size(name, weight_g, pi / 4 * outer_mm**2 * long_mm, max(outer_mm, long_mm), "geometry")


def _bushes() -> Iterator[Size]:
    yield from _bush_sizes(BRASS_G_PER_CM3, (0.5, 0.6, 0.7, 0.8, 0.9, 1, 1.1, 1.2, 1.4, 1.5, 1.6, 1.8, 2, 2.2, 2.5, 2.8,
                                             3, 3.5, 4, 4.5, 5, 6))  # fmt: skip


def _bronze_bushes() -> Iterator[Size]:
    yield from _bush_sizes(8.8, (1, 1.5, 2, 2.5, 3, 4, 5, 6))


def _arbors() -> Iterator[Size]:
    for across_mm in (1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6):
        for long_mm in (20, 25, 30, 35, 40, 50, 60, 80, 100, 120, 150):
            weight_g = rod_g(across_mm, long_mm, density_g_per_cm3=STEEL_G_PER_CM3)
            yield Size(f"{across_mm:g} x {long_mm}", weight_g, pi / 4 * across_mm**2 * long_mm, long_mm, "geometry")


def _pillars() -> Iterator[Size]:
    for across_mm in (4, 5, 6, 8, 10):
        for long_mm in (8, 10, 12, 15, 20, 25, 30, 35, 40, 50, 60):
            weight_g = rod_g(across_mm, long_mm) - rod_g(across_mm / 2.5, 8)
            yield Size(f"{across_mm} x {long_mm}", weight_g, pi / 4 * across_mm**2 * long_mm, long_mm)


def _collets() -> Iterator[Size]:
    for bore_mm in (1, 1.5, 2, 2.5, 3, 4, 5, 6):
        for outer_mm in (2.5 * bore_mm, 3 * bore_mm + 1):
            for long_mm in (2, 3, 4, 5):
                weight_g = ring_g(bore_mm, outer_mm, long_mm, density_g_per_cm3=BRASS_G_PER_CM3)
                name = f"{bore_mm:g} x {outer_mm:g} x {long_mm}"
                yield Size(name, weight_g, pi / 4 * outer_mm**2 * long_mm, max(outer_mm, long_mm))


def _hands(pattern: str) -> Iterator[Size]:
    wide = {"spade": 0.12, "moon": 0.13, "serpentine": 0.14, "baton": 0.08, "pierced": 0.16}[pattern]
    for use, factor in (("hour", 1.25), ("minute", 1.0), ("second", 0.5)):
        for long_mm in (20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100):
            volume_mm3 = 0.45 * long_mm * wide * long_mm * factor * 0.6
            yield Size(f"{use} {long_mm}", mass_g(volume_mm3, STEEL_G_PER_CM3), 3 * volume_mm3, long_mm + 6)


def _dials() -> Iterator[Size]:
    for across_mm in (40, 50, 60, 70, 80, 90, 100, 110, 120, 140, 160, 180, 200, 220):
        for numerals in ("Roman", "Arabic", "strokes"):
            volume_mm3 = pi / 4 * across_mm**2 * 0.8
            yield Size(f"{across_mm}, {numerals}", mass_g(volume_mm3, 8.44), 2 * volume_mm3, across_mm)


def _numerals() -> Iterator[Size]:
    for high_mm in (6, 8, 10, 12, 15, 20):
        for numeral in ("I", "II", "III", "IIII", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII"):
            volume_mm3 = 0.09 * high_mm**2 * len(numeral) * 0.8
            yield Size(f"{numeral}, {high_mm} high", mass_g(volume_mm3, 8.44), 2 * volume_mm3, high_mm)


def _mainsprings() -> Iterator[Size]:
    for wide_mm in (3, 4, 5, 6, 8, 10, 12, 15, 18, 20, 22, 25):
        for thick_mm in (0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.45):
            for long_mm in (600, 900, 1200, 1500, 2000):
                if long_mm * thick_mm < 120 or wide_mm < 15 * thick_mm:
                    continue
                volume_mm3 = wide_mm * thick_mm * long_mm
                coiled_mm = 1.7 * (volume_mm3 / wide_mm) ** 0.5 + 10
                name = f"{wide_mm} x {thick_mm:g} x {long_mm}"
                yield Size(name, mass_g(volume_mm3, STEEL_G_PER_CM3), coiled_mm**2 * wide_mm * 0.5, coiled_mm)


def _suspension_springs() -> Iterator[Size]:
    for long_mm in (8, 10, 12, 15, 18, 20, 25, 30):
        for wide_mm in (3, 5, 7, 9):
            for thick_mm in (0.05, 0.08, 0.1, 0.12):
                volume_mm3 = long_mm * wide_mm * thick_mm + 12 * wide_mm
                name = f"{long_mm} x {wide_mm} x {thick_mm:g}"
                yield Size(name, mass_g(volume_mm3, 8.2), 3 * volume_mm3, long_mm + 6)


def _bobs() -> Iterator[Size]:
    for across_mm in (20, 25, 30, 35, 40, 50, 60, 70, 80, 100):
        for thick_mm in (5, 8, 12):
            volume_mm3 = pi / 4 * across_mm**2 * thick_mm * 0.6
            yield Size(f"{across_mm} x {thick_mm}", mass_g(volume_mm3, 7.9), 1.6 * volume_mm3, across_mm)


def _pendulum_rods() -> Iterator[Size]:
    for wood, density_g_per_cm3 in (("spruce", 0.45), ("steel", 7.85)):
        for across_mm in (3, 5, 8):
            for long_mm in (150, 200, 250, 300, 400, 500, 600, 750, 850):
                weight_g = rod_g(across_mm, long_mm, density_g_per_cm3=density_g_per_cm3) + 2.5
                yield Size(f"{wood} {across_mm} x {long_mm}", weight_g, across_mm**2 * long_mm, long_mm)


def _weights() -> Iterator[Size]:
    for nominal_g in (100, 150, 200, 250, 300, 400, 500, 750, 1000, 1250, 1500, 2000, 2500):
        across_mm = 2.1 * (nominal_g / 10) ** (1 / 3) * 5
        yield Size(f"{nominal_g} g", nominal_g, nominal_g / 9.5e-3, 2 * across_mm)


def _keys() -> Iterator[Size]:
    for square_mm in (1.75, 2, 2.25, 2.5, 2.75, 3, 3.25, 3.5, 3.75, 4, 4.25, 4.5, 4.75, 5, 5.5, 6):
        for wings in ("two wings", "crank"):
            volume_mm3 = (620 if wings == "crank" else 430) + 160 * square_mm
            yield Size(f"{square_mm:g}, {wings}", mass_g(volume_mm3, 8.2), 4 * volume_mm3, 28 + 4 * square_mm)


def _plates() -> Iterator[Size]:
    for wide_mm, high_mm in ((40, 50), (50, 60), (60, 80), (70, 90), (80, 100), (90, 120), (100, 140), (120, 160)):
        for thick_mm in (1.5, 2, 3):
            volume_mm3 = wide_mm * high_mm * thick_mm
            for side in ("front", "back"):
                weight_g = mass_g(volume_mm3 * (0.9 if side == "front" else 0.86), BRASS_G_PER_CM3)
                yield Size(f"{side} {wide_mm} x {high_mm} x {thick_mm:g}", weight_g, 1.5 * volume_mm3, high_mm)


def _feet() -> Iterator[Size]:
    for shape in ("ball", "claw", "turned", "leaf"):
        for high_mm in (10, 12, 15, 18, 20, 25, 30, 40):
            volume_mm3 = 0.4 * high_mm**3 * {"ball": 1.2, "claw": 0.9, "turned": 1.0, "leaf": 0.8}[shape]
            yield Size(f"{shape} {high_mm}", mass_g(volume_mm3, 8.5), 1.8 * volume_mm3, 1.2 * high_mm)


def _bells() -> Iterator[Size]:
    for across_mm in (20, 25, 30, 35, 40, 45, 50, 60, 70, 80):
        for metal, density_g_per_cm3 in (("bronze", 8.7), ("steel", 7.85)):
            volume_mm3 = 1.3 * across_mm**2 * 1.2
            yield Size(f"{metal} {across_mm}", mass_g(volume_mm3, density_g_per_cm3), 0.15 * across_mm**3, across_mm)
