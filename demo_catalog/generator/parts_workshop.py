"""Goods of the workshop: enamel colours, adhesives, oils, cutters and cut lengths of rod, tube, wire and sheet.

Rods and tubes weigh what their geometry says; everything else is invented.
"""

from collections.abc import Iterator
from math import pi

from fulfil_demo_catalog.generator.fasteners import BRASS_G_PER_CM3, STEEL_G_PER_CM3, mass_g, ring_g, rod_g
from fulfil_demo_catalog.generator.kinds import PLAIN, Finish, Item, Kind, Size, range_of

COLOURS = (
    "white", "ivory", "cream", "lemon", "ochre", "orange", "vermilion", "crimson", "maroon", "rose", "violet", "lilac",
    "navy", "royal blue", "sky blue", "turquoise", "sea green", "moss green", "olive", "lime", "umber", "chestnut",
    "sand", "grey", "slate", "black", "gold", "silver", "copper", "flesh",
)  # fmt: skip

ADHESIVES = ("contact", "instant", "two-part", "wood", "shellac")
OILS = ("light", "medium", "heavy", "grease")


def workshop_goods() -> Iterator[Item]:
    """All workshop goods, family by family."""
    yield from range_of(_kind("enamel colour", "EC", "enamel colours for dials", "320890", (0.6, 1.2), "few",
                              (2.4, 0.02), 0.7, "flammable"), _jars("ml jar", (10, 14, 30), COLOURS),
                        (Finish("gloss", "G"), Finish("matt", "T", 1.01)))  # fmt: skip
    yield from range_of(_kind("adhesive", "AD", "adhesives for small repairs", "350610", (0.6, 1.2), "few", (2.8, 0.03),
                              0.5, "flammable"),
                        _jars("ml tube", (3, 5, 10, 20), ADHESIVES))  # fmt: skip
    yield from range_of(_kind("clock oil", "OI", "lubricating oils for clocks", "271019", (0.6, 1.2), "few",
                              (3.2, 0.05)), _jars("ml bottle", (2, 5, 10, 20), OILS))  # fmt: skip
    yield from range_of(_kind("soldering flux", "FX", "soldering flux", "381090", (0.8, 1.5), "single", (3.0, 0.03),
                              0.4, "corrosive"), _jars("ml bottle", (10, 25), ("acid", "paste")))  # fmt: skip
    yield from range_of(_kind("spray lacquer", "LQ", "spray lacquer for brass", "320890", (0.6, 1.2), "single",
                              (6.0, 0.01), 0.3, "flammable pressurised"),
                        _jars("ml can", (50, 100), ("clear", "gold")))  # fmt: skip
    yield from range_of(_kind("solder", "SO", "tin-lead solder wire", "831130", (0.8, 1.5), "few", (2.0, 0.05), 0.5,
                              "lead"), _solder())  # fmt: skip
    yield from range_of(_kind("drill", "DR", "twist drills", "820750", (0.5, 1.0), "few", (0.9, 0.1), 1.2, "sharp"),
                        _drills(), (Finish("bright", "A"), Finish("black", "B", 0.999)))  # fmt: skip
    yield from range_of(_kind("gear cutter", "GC", "gear cutters", "820770", (0.4, 0.8), "single", (14.0, 0.2), 0.5,
                              "sharp"), _gear_cutters())  # fmt: skip
    yield from range_of(_kind("graver", "GV", "gravers for turning", "820590", (0.5, 1.0), "single", (3.5, 0.1), 0.6,
                              "sharp"), _gravers())  # fmt: skip
    yield from range_of(_kind("piercing saw blade", "BL", "piercing saw blades", "820299", (1.0, 2.0), "handful",
                              (0.12, 0.2), 1.0, "sharp"), _blades())  # fmt: skip
    yield from range_of(_kind("broach", "BR", "five-sided broaches", "820760", (0.5, 1.0), "few", (1.4, 0.1), 0.8,
                              "sharp"), _broaches())  # fmt: skip
    yield from range_of(_kind("brass rod", "RB", "brass rods", "740721", (0.2, 0.5), "some", (0.3, 0.015), 1.3,
                              "leaded-brass"), _rods(BRASS_G_PER_CM3))  # fmt: skip
    yield from range_of(_kind("silver steel rod", "RS", "steel rods", "722850", (0.2, 0.5), "some", (0.4, 0.012), 1.2),
                        _rods(STEEL_G_PER_CM3))  # fmt: skip
    yield from range_of(_kind("brass tube", "TB", "brass tubes", "741121", (0.5, 1.0), "some", (0.6, 0.03)),
                        _tubes())  # fmt: skip
    yield from range_of(_kind("brass sheet", "HE", "brass sheets", "740921", (0.8, 1.5), "few", (0.5, 0.015)),
                        _sheets(8.44))  # fmt: skip
    yield from range_of(_kind("spring steel sheet", "HT", "spring steel sheets", "722699", (0.8, 1.5), "few",
                              (0.6, 0.02), 0.6, "sharp"), _sheets(STEEL_G_PER_CM3))  # fmt: skip
    yield from range_of(_kind("wire coil", "WC", "coils of wire", "740821", (0.8, 1.6), "few", (0.9, 0.03)), _coils(),
                        (Finish("brass", "M"), Finish("phosphor bronze", "Q", 1.04)))  # fmt: skip
    yield from range_of(_kind("clock chain", "CH", "brass chains for clock weights", "741980", (0.5, 1.0), "few",
                              (1.2, 0.02)), _chains(), (Finish("brass", "M"), Finish("steel", "E", 0.92)))  # fmt: skip
    yield from range_of(_kind("felt disc", "FE", "felt discs for clock feet", "560290", (2.0, 5.0), "handful",
                              (0.05, 0.1)), _felts(), (PLAIN, Finish("green", "E"), Finish("black", "B")))  # fmt: skip


def _kind(
    family: str, prefix: str, goods: str, hs_code: str, spread: tuple[float, float], habit: str,
    price_eur: tuple[float, float], popularity: float = 1.0, hazards: str = "",
) -> Kind:  # fmt: skip
    customs = goods if " for " in goods else f"{goods} for clock repair"
    return Kind(family, prefix, "workshop", customs, hs_code, "buy", spread, habit, 0.5, price_eur, popularity, hazards)


def _jars(vessel: str, contents_ml: tuple[int, ...], names: tuple[str, ...]) -> Iterator[Size]:
    for rank, name in enumerate(names):
        for millilitres in contents_ml:
            weight_g = 1.02 * millilitres + 6 + 0.5 * millilitres ** (2 / 3) * 2 + 0.03 * rank
            volume_mm3 = 1500 * millilitres + 3000
            yield Size(f"{name}, {millilitres} {vessel}", weight_g, volume_mm3, 1.6 * volume_mm3 ** (1 / 3))


def _solder() -> Iterator[Size]:
    for across_mm in (0.7, 1.0, 1.5):
        for nominal_g in (10, 25, 50, 100):
            yield Size(f"{across_mm:g} wire, {nominal_g} g", nominal_g + 4, nominal_g * 260, 30 + nominal_g / 4)


def _drills() -> Iterator[Size]:
    for tenths in [*range(3, 31), *range(32, 62, 2)]:
        across_mm = tenths / 10
        long_mm = round(18 + 12 * across_mm)
        weight_g = 0.72 * rod_g(across_mm, long_mm, density_g_per_cm3=STEEL_G_PER_CM3)
        yield Size(f"{across_mm:g} x {long_mm}", weight_g, pi / 4 * across_mm**2 * long_mm, long_mm)


def _gear_cutters() -> Iterator[Size]:
    for module_mm in (0.3, 0.4, 0.5, 0.6, 0.75, 0.8, 1.0):
        for leaves in ("6 to 7", "8 to 11", "12 to 18", "19 to 34", "35 up"):
            rank = ("6 to 7", "8 to 11", "12 to 18", "19 to 34", "35 up").index(leaves)
            weight_g = ring_g(7, 24, 2 + 2 * module_mm) * (0.8 + 0.01 * rank)
            yield Size(f"m {module_mm:g}, {leaves} teeth", weight_g, pi / 4 * 24**2 * 4, 24)


def _gravers() -> Iterator[Size]:
    for shape in ("square", "lozenge", "round", "knife"):
        for across_mm in (2, 2.5, 3, 4):
            weight_g = rod_g(across_mm, 100, density_g_per_cm3=STEEL_G_PER_CM3) * (1.2 if shape == "square" else 0.9)
            yield Size(f"{shape} {across_mm:g}", weight_g, across_mm**2 * 100, 100)


def _blades() -> Iterator[Size]:
    for grade in range(8):
        for long_mm in (110, 130):
            thick_mm = 0.22 + 0.03 * grade
            volume_mm3 = thick_mm * (0.55 + 0.07 * grade) * long_mm
            yield Size(f"grade {grade} x {long_mm}", mass_g(volume_mm3, STEEL_G_PER_CM3), 2 * volume_mm3, long_mm)


def _broaches() -> Iterator[Size]:
    for hundredths in range(40, 320, 10):
        across_mm = hundredths / 100
        long_mm = round(35 + 14 * across_mm)
        weight_g = 0.6 * rod_g(across_mm, long_mm, density_g_per_cm3=STEEL_G_PER_CM3) + 0.8
        yield Size(f"{across_mm:g} x {long_mm}", weight_g, across_mm**2 * long_mm + 200, long_mm)


def _rods(density_g_per_cm3: float) -> Iterator[Size]:
    for across_mm in (1, 1.2, 1.5, 1.8, 2, 2.5, 3, 3.5, 4, 5, 6, 8, 10):
        for long_mm in (100, 150, 200, 300, 500, 800):
            weight_g = rod_g(across_mm, long_mm, density_g_per_cm3=density_g_per_cm3)
            if weight_g < 700:
                yield Size(f"{across_mm:g} x {long_mm}", weight_g, pi / 4 * across_mm**2 * long_mm, long_mm, "geometry")


def _tubes() -> Iterator[Size]:
    for outer_mm in (1.5, 2, 2.5, 3, 4, 5, 6, 8, 10):
        for wall_mm in (0.25, 0.45, 0.9):
            for long_mm in (100, 200, 300, 500):
                if wall_mm < outer_mm / 3:
                    weight_g = ring_g(outer_mm - 2 * wall_mm, outer_mm, long_mm, density_g_per_cm3=8.44)
                    name = f"{outer_mm:g} x {wall_mm:g} x {long_mm}"
                    yield Size(name, weight_g, pi / 4 * outer_mm**2 * long_mm, long_mm, "geometry")


def _sheets(density_g_per_cm3: float) -> Iterator[Size]:
    for thick_mm in (0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.8, 1.0, 1.2, 1.5):
        for wide_mm, long_mm in ((50, 100), (100, 100), (100, 200)):
            volume_mm3 = thick_mm * wide_mm * long_mm
            name = f"{thick_mm:g} x {wide_mm} x {long_mm}"
            yield Size(name, mass_g(volume_mm3, density_g_per_cm3), 1.2 * volume_mm3 + 2000, long_mm)


def _coils() -> Iterator[Size]:
    for across_mm in (0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0, 1.2, 1.5):
        for long_m in (1, 3, 5, 10):
            weight_g = rod_g(across_mm, 1000 * long_m)
            if weight_g < 200:
                yield Size(f"{across_mm:g}, {long_m} m", weight_g, 60 * 60 * 6 + weight_g / 4e-3, 60)


def _chains() -> Iterator[Size]:
    for link_mm in (1.8, 2.2, 2.8, 3.4):
        for long_m in (0.5, 1, 1.5, 2, 3):
            weight_g = long_m * 7.2 * link_mm**2
            yield Size(f"{link_mm:g} links, {long_m:g} m", weight_g, weight_g / 2.2e-3, 40 + 10 * long_m)


def _felts() -> Iterator[Size]:
    for across_mm in (8, 10, 12, 15, 18, 20, 25, 30):
        for thick_mm in (1, 2, 3):
            volume_mm3 = pi / 4 * across_mm**2 * thick_mm
            yield Size(f"{across_mm} x {thick_mm}", mass_g(volume_mm3, 0.35), volume_mm3, across_mm)
