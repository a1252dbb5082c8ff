"""What one standard fastener, ball, washer, pin or gear blank should weigh: geometry, and published tables.

A volume of simple shape times a handbook density, in grams (1 cm³ = 1000 mm³):

>>> round(ball_g(5), 5)                       # steel ball, ISO 3290
0.51378
>>> round(washer_g("M10"), 2)                 # plain washer, ISO 7089 / DIN 125
3.57
>>> round(hex_nut_g("M8"), 3)                 # hexagon nut, DIN 934, chamfers left out
5.397
>>> socket_cap_screw_g("M3", 16)              # ISO 4762 / DIN 912, trade table
1.2
>>> round(dowel_pin_g(3, 20), 3)              # parallel pin, ISO 2338
1.11
>>> round(gear_blank_g(0.5, 20, 5, 3), 3)     # brass blank, module 0.5, 20 teeth, 5 wide, bore 3
3.027

A size that the tables haven't got is refused, not interpolated:

>>> socket_cap_screw_g("M3", 17)
Traceback (most recent call last):
    ...
fulfil.errors.UnknownRefused: Cannot find the listed weight of an ISO 4762 screw 'M3 x 17': expected a length in mm of 5, 6, 8, 10, 12, 16, 20, 25 or 30.

Limits: such a value is a plausibility band of ±10 % for a catalogue entry, never the unit weight by which a bag is
accepted: thread, chamfer, plating and lot all move it. Sources stand in the first line of each file in
`fulfil_demo_catalog.generator.tables`; densities are handbook values quoted from memory.
"""  # noqa: E501 - a refusal is one sentence

from math import pi, sqrt

from fulfil_demo_catalog.generator import tables

from fulfil.errors import QuantityRefused, UnknownRefused

DENSITY_G_PER_CM3 = {
    "steel": 7.85,
    "stainless A2": 7.9,
    "brass CuZn39Pb3": 8.47,
    "bronze": 8.8,
    "aluminium": 2.70,
    "PA6": 1.14,
    "POM": 1.41,
    "zinc": 7.14,
    "lead": 11.34,
}
"""Handbook densities in g/cm³ (quoted from memory)."""

STEEL_G_PER_CM3 = DENSITY_G_PER_CM3["steel"]
BRASS_G_PER_CM3 = DENSITY_G_PER_CM3["brass CuZn39Pb3"]

PLAUSIBLE_BAND = 0.10
"""How far a unit weight may lie from its handbook value before someone should look at it (common practice)."""


def mass_g(volume_mm3: float, density_g_per_cm3: float) -> float:
    """Mass in g of a volume in mm³.

    >>> mass_g(1000, 7.85)
    7.85
    """
    if not volume_mm3 > 0 or not density_g_per_cm3 > 0:
        raise QuantityRefused(
            "weigh a volume in mm³ by a density in g/cm³",
            f"{volume_mm3}, {density_g_per_cm3}",
            "both above zero",
        )
    return volume_mm3 * density_g_per_cm3 / 1000


def ball_g(diameter_mm: float, *, density_g_per_cm3: float = STEEL_G_PER_CM3) -> float:
    """Mass in g of a ball: ρ π d³ / 6 (sizes of ISO 3290-1)."""
    return mass_g(pi * diameter_mm**3 / 6, density_g_per_cm3)


def rod_g(diameter_mm: float, length_mm: float, *, density_g_per_cm3: float = BRASS_G_PER_CM3) -> float:
    """Mass in g of a round rod: ρ π d² L / 4.

    >>> round(rod_g(6, 1000), 3)
    239.484
    """
    return mass_g(pi * diameter_mm**2 / 4 * length_mm, density_g_per_cm3)


def dowel_pin_g(diameter_mm: float, length_mm: float, *, density_g_per_cm3: float = STEEL_G_PER_CM3) -> float:
    """Mass in g of a parallel pin (ISO 2338 / DIN 7) as a plain cylinder; chamfers make real pins lighter."""
    return rod_g(diameter_mm, length_mm, density_g_per_cm3=density_g_per_cm3)


def ring_g(
    inner_mm: float, outer_mm: float, thickness_mm: float, *, density_g_per_cm3: float = STEEL_G_PER_CM3
) -> float:
    """Mass in g of a flat ring or bush: ρ π/4 (d2² − d1²) h.

    >>> ring_g(10, 5.3, 1)
    Traceback (most recent call last):
        ...
    fulfil.errors.QuantityRefused: Cannot weigh a ring of inner diameter '10': expected less than its outer 5.3 mm.
    """
    if not 0 <= inner_mm < outer_mm:
        raise QuantityRefused("weigh a ring of inner diameter", inner_mm, f"less than its outer {outer_mm} mm")
    return mass_g(pi / 4 * (outer_mm**2 - inner_mm**2) * thickness_mm, density_g_per_cm3)


def washer_g(thread: str, *, density_g_per_cm3: float = STEEL_G_PER_CM3) -> float:
    """Mass in g of a plain washer ISO 7089 / DIN 125 for `thread`, from its nominal dimensions."""
    row = _row("iso_7089_washers.csv", "find the plain washer", thread=thread)
    return ring_g(float(row["d1_mm"]), float(row["d2_mm"]), float(row["h_mm"]), density_g_per_cm3=density_g_per_cm3)


def hex_nut_g(thread: str, *, standard: str = "DIN 934", density_g_per_cm3: float = STEEL_G_PER_CM3) -> float:
    """Mass in g of a hexagon nut, ρ m (√3/2 s² − π/4 (d − 0.6495 P)²), chamfers left out.

    `standard` is "DIN 934" or "ISO 4032" (there with the greatest height m).

    >>> round(hex_nut_g("M5", standard="ISO 4032"), 2)
    1.46
    """
    row = _row("hex_nuts.csv", f"find the {standard} nut", standard=standard, thread=thread)
    minor_mm = float(thread.removeprefix("M")) - 0.6495 * float(row["pitch_mm"])
    face_mm2 = sqrt(3) / 2 * float(row["s_mm"]) ** 2 - pi / 4 * minor_mm**2
    return mass_g(face_mm2 * float(row["m_mm"]), density_g_per_cm3)


def special_nut_g(thread: str, standard: str) -> float:
    """Listed mass in g of a steel nut to DIN 985 (prevailing torque) or DIN 935 (slotted).

    >>> special_nut_g("M6", "DIN 985")
    2.4
    """
    row = _row("special_nuts.csv", f"find the {standard} nut", standard=standard, thread=thread)
    return float(row["listed_g"])


def socket_cap_screw_g(thread: str, length_mm: int) -> float:
    """Listed mass in g of a steel hexagon socket head cap screw (ISO 4762 / DIN 912).

    Raises:
        UnknownRefused: for a size outside the table.
    """
    lengths = socket_cap_screw_lengths_mm(thread)
    if length_mm not in lengths:
        *most, last = lengths
        raise UnknownRefused(
            "find the listed weight of an ISO 4762 screw",
            f"{thread} x {length_mm}",
            f"a length in mm of {', '.join(map(str, most))} or {last}",
        )
    row = _row("iso_4762_screws.csv", "find the screw", thread=thread, length_mm=str(length_mm))
    return float(row["listed_g"])


def socket_cap_screw_lengths_mm(thread: str) -> tuple[int, ...]:
    """The lengths in mm that the table lists for `thread`, ascending.

    >>> socket_cap_screw_lengths_mm("M12")
    (20, 30, 40, 50)
    """
    _row("iso_4762_screws.csv", "find the listed screws", thread=thread)
    rows = tables.read("iso_4762_screws.csv")
    return tuple(sorted(int(row["length_mm"]) for row in rows if row["thread"] == thread))


def gear_blank_g(
    module_mm: float,
    teeth: int,
    width_mm: float,
    bore_mm: float,
    *,
    density_g_per_cm3: float = BRASS_G_PER_CM3,
) -> float:
    """Mass in g of a spur gear, as a ring of its pitch diameter m z: teeth and gaps about cancel out."""
    return ring_g(bore_mm, module_mm * teeth, width_mm, density_g_per_cm3=density_g_per_cm3)


def is_plausible(unit_weight_g: float, handbook_g: float, *, band: float = PLAUSIBLE_BAND) -> bool:
    """Whether a unit weight lies within `band` (a fraction) of its handbook value, both ends included.

    >>> is_plausible(1.23, hex_nut_g("M5")), is_plausible(12.3, hex_nut_g("M5"))
    (True, False)
    """
    return abs(unit_weight_g - handbook_g) <= band * handbook_g


def _row(table: str, attempted: str, **wanted: str) -> dict[str, str]:
    rows = tables.read(table)
    for row in rows:
        if all(row[column] == value for column, value in wanted.items()):
            return row
    threads = dict.fromkeys(row["thread"] for row in rows if row.get("standard") in (None, wanted.get("standard")))
    if not threads:
        standards = dict.fromkeys(row["standard"] for row in rows)
        raise UnknownRefused(attempted, wanted["thread"], f"a standard of {', '.join(standards)}")
    raise UnknownRefused(attempted, wanted["thread"], f"one of {', '.join(threads)}")
