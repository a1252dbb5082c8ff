"""How much room parts take in a heap and in a flat bag, where nobody has measured it.

A heap of N pieces of mass m and density ρ fills N m / (ρ φ), φ being the packing fraction. Spheres poured and shaken
reach φ = 0.64 ± 0.02 (J. G. Berryman, Phys. Rev. A 27, 1053, 1983); small parts don't, and the fractions for
fasteners are guesses of practice:

>>> round(bulk_volume_mm3(100, 1.2, density_g_per_cm3=7.85, packing_fraction=PACKING_FRACTIONS["screws"]))
33970

A flat bag of width w and height h holds about w³ (h / (π w) − 0.142 (1 − 10^(−h/w))) (the "paper bag problem",
A. C. Robin, 2004, quoted from memory); it must also close, so plan with half to two thirds of that:

>>> round(flat_bag_mm3(60, 80) / 1000, 1), round(flat_bag_mm3(100, 150) / 1000)   # cm³
(62.4, 340)

Limits: a measured volume of a hundred pieces beats both formulas; say on papers that the volume is an estimate. The
bag formula takes inextensible film and is itself an approximation.
"""

from math import pi

from fulfil.errors import QuantityRefused

RANDOM_CLOSE_PACKING = 0.64
"""Packing fraction of equal spheres, random and close: 0.64 ± 0.02 (Berryman 1983)."""

PACKING_FRACTIONS = {"compact": 0.55, "screws": 0.45, "long": 0.35}
"""Fallback packing fractions: compact parts, screws, long parts and springs (common practice)."""

CLOSING_SHARE = 0.5
"""Share of a flat bag's volume to plan with so that it closes: one half, up to two thirds (common practice)."""


def bulk_volume_mm3(pieces: int, unit_weight_g: float, *, density_g_per_cm3: float, packing_fraction: float) -> float:
    """Volume in mm³ of a heap of `pieces`.

    Raises:
        QuantityRefused: for a value not above 0, or a packing fraction above 1.
    """
    if not (pieces > 0 and unit_weight_g > 0 and density_g_per_cm3 > 0):
        raise QuantityRefused(
            "estimate a heap of pieces, g, g/cm³",
            f"{pieces}, {unit_weight_g}, {density_g_per_cm3}",
            "all above 0",
        )
    if not 0 < packing_fraction <= 1:
        raise QuantityRefused("estimate a heap at the packing fraction", packing_fraction, "above 0, up to 1")
    return pieces * unit_weight_g / (density_g_per_cm3 * packing_fraction) * 1000


def flat_bag_mm3(width_mm: float, height_mm: float) -> float:
    """Greatest volume in mm³ of a flat bag, closed at three sides or four, w the shorter side.

    >>> flat_bag_mm3(80, 60) == flat_bag_mm3(60, 80)
    True
    """
    if not (width_mm > 0 and height_mm > 0):
        raise QuantityRefused("measure a flat bag", f"{width_mm} × {height_mm}", "two sides above 0 mm")
    w, h = sorted((width_mm, height_mm))
    volume: float = w**3 * (h / (pi * w) - 0.142 * (1 - 10 ** (-h / w)))
    return volume


def planned_bag_mm3(width_mm: float, height_mm: float, *, closing_share: float = CLOSING_SHARE) -> float:
    """Volume in mm³ to plan with so that the bag closes.

    >>> round(planned_bag_mm3(60, 80) / 1000, 1)
    31.2
    """
    if not 0 < closing_share <= 1:
        raise QuantityRefused("plan a bag with the closing share", closing_share, "above 0, up to 1")
    return closing_share * flat_bag_mm3(width_mm, height_mm)
