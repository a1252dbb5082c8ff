"""What to assume where the catalogue says nothing: bulk volumes of parts, usable volumes of bags.

Both are stand-ins, and whoever reads the catalogue is told so: measure 100 pieces in a beaker, fill one bag.

*Bulk volume* of a piece is V = m / (rho phi): mass over density and packing fraction. Where the material isn't known,
rho is that of steel, 7.85 mg/mm³. phi falls as a piece gets longer against its own volume; .55 compact, .45 screws,
.35 long parts and springs (quoted from memory, order of magnitude of random loose packings). Without a mass, a piece is
taken as a ball of its longest side.

>>> round(bulk_volume_mm3(mean_g=1.2, longest_mm=19), 1)
339.7
>>> round(bulk_volume_mm3(mean_g=None, longest_mm=10), 1)
952.0

*Usable volume* of a flat bag of width w and height h (w the shorter) is the paper bag formula
V = w³ (h / (pi w) - .142 (1 - 10^(-h/w))) (A. C. Robin, "Paper bag problem", Mathematics Today 40, 2004; quoted from
memory), of which .6 can be filled and closed (common practice).

>>> usable_volume_mm3(60, 80), usable_volume_mm3(100, 150)
(37454, 203973)
"""

from math import pi

_STEEL_G_PER_MM3 = 7.85e-3
_CLOSES_AT = 0.6


def bulk_volume_mm3(*, mean_g: float | None, longest_mm: int) -> float:
    """Estimated room that one piece takes in a heap, in mm³, from its mean mass and longest side."""
    ball_mm3 = pi / 6 * longest_mm**3
    if mean_g is None:
        return ball_mm3 / 0.55
    solid_mm3 = mean_g / _STEEL_G_PER_MM3
    slenderness = longest_mm**3 / solid_mm3
    packing = 0.55 if slenderness <= 10 else 0.45 if slenderness <= 60 else 0.35
    return solid_mm3 / packing


def usable_volume_mm3(width_mm: int, height_mm: int) -> int:
    """Estimated volume that a flat bag holds closed, in mm³, from its flat inside size."""
    w, h = sorted((width_mm, height_mm))
    return int(_CLOSES_AT * w**3 * (h / (pi * w) - 0.142 * (1 - 10 ** (-h / w))))
