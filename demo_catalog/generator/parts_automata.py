"""Parts for automata: cams, joints, springs, levers, wooden and plastic parts.

All of it is invented; springs are the length of their wire, wooden and plastic parts solids of common densities.
"""

from collections.abc import Iterator
from math import pi

from fulfil_demo_catalog.generator.fasteners import STEEL_G_PER_CM3, gear_blank_g, mass_g, ring_g, rod_g
from fulfil_demo_catalog.generator.kinds import BLACK, PLAIN, STAINLESS, ZINC, Finish, Item, Kind, Size, range_of

BEECH_G_PER_CM3 = 0.70
ACETAL_G_PER_CM3 = 1.41
RUBBER_G_PER_CM3 = 1.25
OILED = Finish("oiled", "O", 1.02)
PAINTED_RED = Finish("red", "R", 1.04)
PAINTED_BLACK = Finish("black", "B", 1.04)
NATURAL = Finish("natural", "N")


def automata_parts() -> Iterator[Item]:
    """Parts of automata, family by family."""
    for material, prefix, density_g_per_cm3, spread, finishes in (
        ("brass", "CB", 8.44, (0.3, 0.8), (PLAIN,)),
        ("acetal", "CA", ACETAL_G_PER_CM3, (0.3, 1.0), (Finish("white", "W"), PAINTED_BLACK)),
        ("beech", "CE", BEECH_G_PER_CM3, (2.0, 4.0), (NATURAL, OILED)),
    ):
        hs_code = {"brass": "848310", "acetal": "392690", "beech": "442199"}[material]
        kind = _kind(f"{material} cam", prefix, f"{material} cams", hs_code, "make", spread, "few", (1.5, 0.1))
        yield from range_of(kind, _cams(density_g_per_cm3), finishes)
    for joint in ("ball", "hinge", "knee", "neck"):
        prefix = {"ball": "JB", "hinge": "JH", "knee": "JK", "neck": "JN"}[joint]
        kind = _kind(f"{joint} joint", prefix, "wooden joints for toy figures", "950300", "make", (2.0, 4.0), "handful",
                     (0.6, 0.1))  # fmt: skip
        yield from range_of(kind, _joints(joint), (NATURAL, OILED, PAINTED_RED))
    yield from range_of(_kind("compression spring", "SA", "steel helical springs", "732020", "buy", (1.0, 2.0), "some",
                              (0.25, 0.1), 1.2), _coil_springs(False), (ZINC, STAINLESS))  # fmt: skip
    yield from range_of(_kind("tension spring", "SB", "steel helical springs", "732020", "buy", (1.0, 2.0), "some",
                              (0.3, 0.1), 1.2), _coil_springs(True), (ZINC, STAINLESS))  # fmt: skip
    yield from range_of(_kind("torsion spring", "SD", "steel torsion springs", "732090", "buy", (1.0, 2.0), "some",
                              (0.35, 0.1)), _torsion_springs(), (ZINC, STAINLESS))  # fmt: skip
    yield from range_of(_kind("lever", "LE", "steel levers", "848310", "make", (0.8, 1.5), "few", (0.8, 0.08)),
                        _levers(), (BLACK, ZINC))  # fmt: skip
    yield from range_of(_kind("crank", "CR", "steel cranks", "848310", "make", (0.5, 1.0), "few", (1.8, 0.08)),
                        _cranks())  # fmt: skip
    yield from range_of(_kind("plastic gear", "GP", "moulded acetal gears", "392690", "buy", (0.3, 1.0), "some",
                              (0.3, 0.06)), _plastic_gears(), (Finish("white", "W"), PAINTED_BLACK))  # fmt: skip
    yield from range_of(_kind("pulley", "PU", "acetal pulleys", "848350", "buy", (0.3, 1.0), "few", (0.5, 0.06)),
                        _pulleys(), (Finish("white", "W"), PAINTED_BLACK))  # fmt: skip
    yield from range_of(_kind("drive band", "DB", "rubber drive bands", "401039", "buy", (2.0, 5.0), "some",
                              (0.2, 0.1)), _bands())  # fmt: skip
    yield from range_of(_kind("rubber washer", "WU", "rubber washers", "401693", "buy", (2.0, 5.0), "handful",
                              (0.02, 0.05)), _rubber_washers())  # fmt: skip
    yield from range_of(_kind("wooden wheel", "WD", "wooden wheels for toy figures", "950300", "buy", (2.0, 4.0),
                              "some", (0.2, 0.03)), _wooden_wheels(), (NATURAL, PAINTED_RED))  # fmt: skip
    yield from range_of(_kind("wooden dowel", "WO", "beech dowels", "440929", "buy", (2.0, 4.0), "some", (0.1, 0.02)),
                        _wooden_dowels())  # fmt: skip
    yield from range_of(_kind("leather hinge", "LH", "leather hinges for bellows", "420500", "buy", (2.0, 5.0), "some",
                              (0.2, 0.2)), _leather(), (NATURAL, PAINTED_BLACK))  # fmt: skip
    yield from range_of(_kind("disc magnet", "MG", "small metal disc magnets", "850511", "buy", (0.3, 0.8), "some",
                              (0.15, 0.15), 0.5, "magnet"), _magnets())  # fmt: skip


def _kind(
    family: str, prefix: str, goods: str, hs_code: str, supply: str, spread: tuple[float, float], habit: str,
    price_eur: tuple[float, float], popularity: float = 1.0, hazards: str = "",
) -> Kind:  # fmt: skip
    customs = goods if " for " in goods else f"{goods} for automata"
    return Kind(
        family, prefix, "automata", customs, hs_code, supply, spread, habit, 0.4, price_eur, popularity, hazards
    )


def _cams(density_g_per_cm3: float) -> Iterator[Size]:
    for shape, filled in (("snail", 0.7), ("heart", 0.6), ("eccentric", 0.98), ("drop", 0.75), ("three-lobe", 0.65)):
        for across_mm in (15, 20, 25, 30, 40, 50, 60):
            for bore_mm in (3, 4, 6):
                thick_mm = 3 if density_g_per_cm3 > 5 else 6
                weight_g = filled * ring_g(bore_mm, across_mm, thick_mm, density_g_per_cm3=density_g_per_cm3)
                name = f"{shape} {across_mm}, bore {bore_mm}"
                yield Size(name, weight_g, pi / 4 * across_mm**2 * thick_mm, across_mm)


def _joints(joint: str) -> Iterator[Size]:
    for across_mm in (4, 5, 6, 8, 10, 12, 15, 18, 20, 25):
        for long in ("short", "long"):
            length_mm = across_mm * (2.0 if long == "short" else 3.5)
            filled = {"ball": 0.62, "hinge": 0.8, "knee": 0.72, "neck": 0.66}[joint]
            volume_mm3 = filled * pi / 4 * across_mm**2 * length_mm
            weight_g = mass_g(volume_mm3, BEECH_G_PER_CM3) + 0.02 * across_mm
            yield Size(f"{across_mm}, {long}", weight_g, pi / 4 * across_mm**2 * length_mm, length_mm)


def _coil_springs(has_hooks: bool) -> Iterator[Size]:
    for wire_mm in (0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0, 1.2):
        for index in (6, 8, 11):
            outer_mm = round(wire_mm * (index + 1), 1)
            for long_mm in [each for each in (6, 8, 10, 12, 16, 20, 25, 30, 40, 50) if 2 <= each / outer_mm <= 9]:
                turns = long_mm / (wire_mm * (1.1 if has_hooks else 2.6)) + (2 if has_hooks else 1.5)
                weight_g = rod_g(wire_mm, turns * pi * (outer_mm - wire_mm), density_g_per_cm3=STEEL_G_PER_CM3)
                over_all_mm = long_mm + (2 * outer_mm if has_hooks else 0)
                name = f"{wire_mm:g} x {outer_mm:g} x {long_mm}"
                yield Size(name, weight_g, pi / 4 * outer_mm**2 * over_all_mm, over_all_mm)


def _torsion_springs() -> Iterator[Size]:
    for wire_mm in (0.3, 0.4, 0.5, 0.6, 0.8, 1.0):
        for turns in (2.25, 3.25, 4.5, 6.0):
            for hand in ("left", "right"):
                outer_mm = 9 * wire_mm
                wire_length_mm = turns * pi * (outer_mm - wire_mm) + 50 * wire_mm
                weight_g = rod_g(wire_mm, wire_length_mm, density_g_per_cm3=STEEL_G_PER_CM3)
                name = f"{wire_mm:g} x {outer_mm:g}, {turns:g} turns, {hand}"
                yield Size(name, weight_g, outer_mm**2 * 30 * wire_mm * 0.6, 34 * wire_mm)


def _levers() -> Iterator[Size]:
    for long_mm in (15, 20, 25, 30, 40, 50, 60, 80):
        for holes in (2, 3, 5):
            for thick_mm in (1, 1.5):
                volume_mm3 = (long_mm * 8 - holes * 7) * thick_mm
                name = f"{long_mm} x {thick_mm:g}, {holes} holes"
                yield Size(name, mass_g(volume_mm3, STEEL_G_PER_CM3), 1.4 * volume_mm3, long_mm)


def _cranks() -> Iterator[Size]:
    for throw_mm in (3, 4, 5, 6, 8, 10, 12, 15, 20):
        for across_mm in (2, 3, 4):
            weight_g = rod_g(across_mm, 40 + 4 * throw_mm, density_g_per_cm3=STEEL_G_PER_CM3)
            yield Size(f"throw {throw_mm}, {across_mm} rod", weight_g, 50 * (throw_mm + across_mm) * across_mm, 50)


def _plastic_gears() -> Iterator[Size]:
    for module_mm in (0.5, 0.8, 1.0):
        for teeth in (10, 12, 14, 16, 18, 20, 22, 24, 26, 28, 30, 32, 36, 40, 42, 48, 50, 54, 60):
            for bore_mm in (2, 3):
                outer_mm = module_mm * (teeth + 2)
                weight_g = 0.8 * gear_blank_g(module_mm, teeth, 5, bore_mm, density_g_per_cm3=ACETAL_G_PER_CM3)
                name = f"m {module_mm:g}, {teeth} teeth, bore {bore_mm}"
                yield Size(name, weight_g, pi / 4 * outer_mm**2 * 5, outer_mm)


def _pulleys() -> Iterator[Size]:
    for outer_mm in (8, 10, 12, 15, 18, 20, 25, 30, 40):
        for bore_mm in (2, 3, 4):
            weight_g = 0.75 * ring_g(bore_mm, outer_mm, 5, density_g_per_cm3=ACETAL_G_PER_CM3)
            yield Size(f"{outer_mm}, bore {bore_mm}", weight_g, pi / 4 * outer_mm**2 * 5, outer_mm)


def _bands() -> Iterator[Size]:
    for inner_mm in (15, 20, 25, 30, 35, 40, 50, 60, 70, 80, 100):
        for thick_mm in (1, 1.5, 2, 3):
            volume_mm3 = pi * (inner_mm + thick_mm) * pi / 4 * thick_mm**2
            name = f"{inner_mm} x {thick_mm:g}"
            yield Size(name, mass_g(volume_mm3, RUBBER_G_PER_CM3), 3 * volume_mm3, inner_mm + 2 * thick_mm)


def _rubber_washers() -> Iterator[Size]:
    for bore_mm in (1, 1.5, 2, 2.5, 3, 4, 5, 6):
        for thick_mm in (0.5, 1, 1.5, 2):
            outer_mm = 2 * bore_mm + 1
            weight_g = ring_g(bore_mm, outer_mm, thick_mm, density_g_per_cm3=RUBBER_G_PER_CM3)
            name = f"{bore_mm:g} x {outer_mm:g} x {thick_mm:g}"
            yield Size(name, weight_g, pi / 4 * outer_mm**2 * thick_mm, outer_mm)


def _wooden_wheels() -> Iterator[Size]:
    for outer_mm in (10, 12, 15, 20, 25, 30, 40, 50):
        for bore_mm in (3, 4, 6):
            weight_g = ring_g(bore_mm, outer_mm, outer_mm / 4, density_g_per_cm3=BEECH_G_PER_CM3)
            yield Size(f"{outer_mm}, bore {bore_mm}", weight_g, pi / 16 * outer_mm**3, outer_mm)


def _wooden_dowels() -> Iterator[Size]:
    for across_mm in (2, 3, 4, 5, 6, 8, 10):
        for long_mm in (30, 50, 100, 150, 200, 300):
            weight_g = rod_g(across_mm, long_mm, density_g_per_cm3=BEECH_G_PER_CM3)
            yield Size(f"{across_mm} x {long_mm}", weight_g, pi / 4 * across_mm**2 * long_mm, long_mm)


def _leather() -> Iterator[Size]:
    for wide_mm in (8, 10, 12, 15, 20, 25):
        for long_mm in (20, 30, 40, 60, 80):
            volume_mm3 = wide_mm * long_mm * 0.9
            yield Size(f"{wide_mm} x {long_mm}", mass_g(volume_mm3, 0.86), 1.6 * volume_mm3, long_mm)


def _magnets() -> Iterator[Size]:
    for across_mm in (2, 3, 4, 5, 6, 8, 10):
        for thick_mm in (1, 2, 3):
            weight_g = rod_g(across_mm, thick_mm, density_g_per_cm3=7.5)
            yield Size(
                f"{across_mm} x {thick_mm}", weight_g, pi / 4 * across_mm**2 * thick_mm, max(across_mm, thick_mm)
            )
