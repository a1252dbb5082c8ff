"""Parts of music-box movements: combs, pinned cylinders, governors, bedplates, and the little that is electric.

All of it is invented. Cylinders of one size differ only by the pins of their tune: near twins by weight, which only
an eye or a bar code can tell.
"""

from collections.abc import Iterator
from math import pi

from fulfil_demo_catalog.generator.fasteners import STEEL_G_PER_CM3, mass_g, ring_g, rod_g
from fulfil_demo_catalog.generator.kinds import BLACK, PLAIN, Finish, Item, Kind, Size, range_of


def music_parts() -> Iterator[Item]:
    """Parts of music-box movements, family by family."""
    yield from range_of(_music("comb", "MC", "steel combs", "make", (0.5, 1.0), "single", (7.0, 0.3), "sharp"),
                        _combs(), (PLAIN, Finish("nickel-plated", "N", 1.004)))  # fmt: skip
    yield from range_of(_music("cylinder", "MY", "pinned brass cylinders", "make", (0.5, 1.0), "single", (14.0, 0.1),
                               "sharp"), _cylinders())  # fmt: skip
    yield from range_of(_music("cylinder pin", "MP", "steel pins for music-box cylinders", "buy", (0.8, 1.5), "few",
                               (2.2, 0.1), "sharp"), _cylinder_pins())  # fmt: skip
    yield from range_of(_music("damper wire", "MD", "damper wires", "buy", (1.5, 3.0), "few", (1.8, 0.1), ""),
                        _damper_wires())  # fmt: skip
    yield from range_of(_music("governor", "MV", "air-brake governors", "make", (0.8, 1.5), "single", (9.0, 0.2), ""),
                        _governors())  # fmt: skip
    yield from range_of(_music("bedplate", "MB", "cast bedplates", "make", (0.8, 1.5), "single", (6.0, 0.04), ""),
                        _bedplates(), (BLACK, Finish("gold-painted", "G", 1.01)))  # fmt: skip
    yield from range_of(_music("paper strip", "MR", "blank paper strips", "buy", (0.8, 1.6), "some", (0.4, 0.05), ""),
                        _strips())  # fmt: skip
    yield from range_of(_music("amplifier board", "MA", "small amplifier boards", "buy", (0.5, 1.0), "single",
                               (12.0, 0.2), "static-sensitive"), _boards())  # fmt: skip
    yield from range_of(_music("lithium cell", "ML", "lithium cells", "buy", (0.5, 1.0), "single", (1.5, 0.2),
                               "lithium-battery"), _cells())  # fmt: skip


def _music(
    family: str, prefix: str, goods: str, supply: str, spread: tuple[float, float], habit: str,
    price_eur: tuple[float, float], hazards: str,
) -> Kind:  # fmt: skip
    hs_code = {"ML": "850650", "MA": "851840", "MR": "482390"}.get(prefix, "920999")
    customs = goods if " for " in goods else f"{goods} for music boxes"
    popularity = 0.15 if hazards in ("lithium-battery", "static-sensitive") else 1.0
    return Kind(family, prefix, "music", customs, hs_code, supply, spread, habit, 0.4, price_eur, popularity, hazards)


def _combs() -> Iterator[Size]:
    for teeth in (18, 22, 24, 30, 36, 50, 72):
        for key in ("C", "D", "E flat", "F", "G", "A"):
            wide_mm = 1.6 * teeth + 6
            volume_mm3 = (
                wide_mm * 26 * 1.7 * {"C": 1, "D": 0.995, "E flat": 0.99, "F": 0.985, "G": 0.98, "A": 0.975}[key]
            )
            yield Size(f"{teeth} teeth, {key}", mass_g(volume_mm3, STEEL_G_PER_CM3), 2 * volume_mm3, max(wide_mm, 26))


def _cylinders() -> Iterator[Size]:
    for teeth in (18, 22, 30, 36, 50, 72):
        for tune in range(1, 11):
            long_mm = 1.6 * teeth + 4
            weight_g = ring_g(12, 13.2, long_mm, density_g_per_cm3=8.44) + 3.1 + 0.004 * tune
            yield Size(f"{teeth} teeth, tune {tune}", weight_g, pi / 4 * 14**2 * long_mm, long_mm)


def _cylinder_pins() -> Iterator[Size]:
    for across_mm in (0.25, 0.3, 0.35, 0.4, 0.45):
        for long_mm in (1.2, 1.5, 1.8, 2.2):
            weight_g = 200 * rod_g(across_mm, long_mm, density_g_per_cm3=STEEL_G_PER_CM3) + 0.4
            yield Size(f"{across_mm:g} x {long_mm:g}, 200 in a phial", weight_g, 1300, 24)


def _damper_wires() -> Iterator[Size]:
    for across_mm in (0.08, 0.1, 0.12, 0.15):
        for long_mm in (6, 8, 10, 12):
            weight_g = 50 * rod_g(across_mm, long_mm, density_g_per_cm3=STEEL_G_PER_CM3) + 0.9
            yield Size(f"{across_mm:g} x {long_mm}, 50 in a phial", weight_g, 1300, 24)


def _governors() -> Iterator[Size]:
    for teeth in (18, 22, 30, 36, 50, 72):
        for vane in ("two vanes", "four vanes"):
            weight_g = 4.2 + 0.11 * teeth + (0.35 if vane == "four vanes" else 0)
            yield Size(f"for {teeth} teeth, {vane}", weight_g, 3200 + 60 * teeth, 24 + teeth / 6)


def _bedplates() -> Iterator[Size]:
    for teeth in (18, 22, 30, 36, 50, 72):
        for metal, density_g_per_cm3 in (("zinc", 6.7), ("iron", 7.2)):
            volume_mm3 = (1.6 * teeth + 24) * 48 * 2.6
            yield Size(f"{metal}, {teeth} teeth", mass_g(volume_mm3, density_g_per_cm3), 2 * volume_mm3,
                       max(48, 1.6 * teeth + 24))  # fmt: skip


def _strips() -> Iterator[Size]:
    for notes, wide_mm in ((15, 41), (20, 70), (30, 70)):
        for long_mm in (300, 500, 700):
            weight_g = wide_mm * long_mm * 200e-6
            yield Size(f"{notes} notes, {long_mm}", weight_g, wide_mm * 2000, max(wide_mm, 55))


def _boards() -> Iterator[Size]:
    for power_w in (1, 2, 3, 5):
        yield Size(f"{power_w} W", 4.5 + 1.3 * power_w, 9000 + 2500 * power_w, 32 + 2 * power_w)


def _cells() -> Iterator[Size]:
    for across_mm, high_mm in ((16, 3.2), (20, 3.2), (24, 5)):
        weight_g = rod_g(across_mm, high_mm, density_g_per_cm3=3.1)
        yield Size(f"3 V, {across_mm} x {high_mm:g}", weight_g, pi / 4 * across_mm**2 * high_mm, across_mm)
