"""The three sides of a demo part, from its longest side and the volume of its envelope; invented like the parts.

A family is a *disc* (as wide as long, its thickness from the volume), a *rod* (a round cross-section), a *sheet* (its
width a share of its length) or else a *block* (a square cross-section). Sides are whole millimetres, rounded up.

>>> sides_mm("pendulum rod", 850.0, 3**2 * 850.0), sides_mm("dial", 100.0, 2 * 6283.2), sides_mm("enamel colour", 58, 48e3)
((850, 4, 4), (100, 100, 2), (58, 29, 29))
"""  # noqa: E501 - an example is one line

from math import ceil, pi, sqrt

_DISCS = {
    "ball bearing", "hex nut", "thin nut", "square nut", "knurled nut", "retaining ring", "gear", "plastic gear",
    "dial", "mainspring", "pendulum bob", "gear cutter", "lithium cell", "felt disc", "pulley", "wooden wheel",
    "disc magnet",
    "drive band", "wire coil", "bell",
}  # fmt: skip
_RODS = {
    "dowel pin", "taper pin", "split pin", "rivet", "pinion", "bush", "bronze bush", "arbor", "pillar", "collet",
    "drill", "pendulum rod", "graver", "broach", "brass rod", "silver steel rod", "brass tube", "cylinder",
    "clock weight",
    "compression spring", "tension spring", "wooden dowel", "cylinder pin", "damper wire",
}  # fmt: skip
_WIDTHS = {
    "hand": 0.16, "numeral": 0.5, "comb": 0.35, "bedplate": 0.5, "clock plate": 0.75, "sheet": 0.5, "lever": 0.15,
    "leather hinge": 0.15, "suspension spring": 0.3, "piercing saw blade": 0.01,
}  # fmt: skip
_HEADS = 1.7
"""How much wider the head of a screw, rivet or pin is than a rod of its metal."""


def sides_mm(family: str, longest_mm: float, envelope_mm3: float) -> tuple[int, int, int]:
    """Longest, second and shortest side."""
    last = family.split()[-1]
    if last == "ball":
        width = thickness = longest_mm
    elif family in _DISCS or last in ("washer", "cam"):
        width, thickness = longest_mm, envelope_mm3 / (pi / 4 * longest_mm**2) * (2.6 if family == "bell" else 1)
    elif family in _RODS or last == "screw":
        heads = _HEADS if last in ("screw", "rivet") or family == "split pin" else 1
        width = thickness = heads * sqrt(envelope_mm3 / (pi / 4 * longest_mm))
    elif (share := _WIDTHS.get(family, _WIDTHS.get(last))) is not None:
        width, thickness = share * longest_mm, envelope_mm3 / (share * longest_mm**2)
    else:
        width = thickness = sqrt(envelope_mm3 / longest_mm)
    longest, second, third = sorted((_whole(longest_mm), _whole(width), _whole(thickness)), reverse=True)
    most = _whole(longest_mm)
    return most, min(second, most), min(third, longest, most)


def _whole(side_mm: float) -> int:
    return max(1, ceil(side_mm - 1e-9))
