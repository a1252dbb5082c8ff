"""Size and weight limits of postal items (Universal Postal Union), as presets that a shop's services may point to.

Sizes are whole millimetres, sides in any order; a roll is given as its length and diameter.  Girth is twice the sum
of the two smaller sides.

>>> girth_mm((300, 450, 650))
1500
>>> broken_limits(SMALL_PACKET, (150, 600, 150), weight_g=1990)
()
>>> broken_limits(SMALL_PACKET, (603, 100, 100), weight_g=2300)
('longest side 603 mm is over 602 mm', 'weight 2300 g is over 2000 g')

Limits: these are the union's outer limits as restated in public postal guidance; the Convention's regulations were
not read, and each post and destination may allow less. The tolerance of 2 mm is taken to apply to the longest side
only, the strict reading. Values marked in `SizeLimits.source` as quoted from memory have not been checked.
"""

from dataclasses import dataclass
from decimal import Decimal

from fulfil.errors import QuantityRefused


@dataclass(frozen=True, slots=True)
class SizeLimits:
    """What one kind of postal item may measure and weigh; None where the preset sets no limit."""

    name: str
    source: str
    most_weight_g: int
    longest_mm: int
    tolerance_mm: int = 0
    sum_of_sides_mm: int | None = None
    length_plus_girth_mm: int | None = None
    least_face_mm: tuple[int, int] | None = None
    """Shorter and longer side of the smallest face that an item must have room for an address on."""


@dataclass(frozen=True, slots=True)
class RollLimits:
    """What a roll may measure: length plus twice the diameter, and its length alone."""

    name: str
    source: str
    most_weight_g: int
    longest_mm: int
    length_plus_two_diameters_mm: int
    least_length_mm: int
    least_length_plus_two_diameters_mm: int


_RESTATED = "UPU regulations as restated in public postal guidance"

SMALL_PACKET = SizeLimits("letter-post small packet", _RESTATED, 2000, 600, 2, 900, None, (90, 140))
SMALL_PACKET_ROLL = RollLimits("letter-post small packet, roll", _RESTATED, 2000, 900, 1040, 100, 170)
PARCEL_SMALL = SizeLimits("parcel, 1.05 m", _RESTATED, 20_000, 1050, 0, None, 2000)
PARCEL_MEDIUM = SizeLimits("parcel, 1.5 m", _RESTATED, 20_000, 1500, 0, None, 3000)
PARCEL_LARGE = SizeLimits("parcel, 2.0 m", "UPU regulations, quoted from memory", 20_000, 2000, 0, None, 3000)

_PARCELS = frozenset(limits.name for limits in (PARCEL_SMALL, PARCEL_MEDIUM, PARCEL_LARGE))
PRESETS = {
    limits.name: limits for limits in (SMALL_PACKET, SMALL_PACKET_ROLL, PARCEL_SMALL, PARCEL_MEDIUM, PARCEL_LARGE)
}

PARCEL_MOST_BY_AGREEMENT_G = 31_500
"""Parcels weigh 20 kg at most, up to this much where both posts agree (public postal guidance)."""


def is_parcel(preset: str, gross_g: Decimal) -> bool:
    """Whether a postal item is a parcel: by its service's preset, or since letter post ends at the small packet's mass.

    >>> is_parcel("parcel, 1.05 m", Decimal(300)), is_parcel("", Decimal(2001)), is_parcel("", Decimal(2000))
    (True, True, False)
    """
    return preset in _PARCELS or gross_g > SMALL_PACKET.most_weight_g


def girth_mm(sides_mm: tuple[int, int, int]) -> int:
    """Twice the sum of the two smaller sides.

    >>> girth_mm((0, 10, 10))
    Traceback (most recent call last):
        ...
    fulfil.errors.QuantityRefused: Cannot measure the sides '(0, 10, 10)': expected three lengths above 0 mm.
    """
    _, second, third = _sorted(sides_mm)
    return 2 * (second + third)


def broken_limits(limits: SizeLimits, sides_mm: tuple[int, int, int], *, weight_g: int) -> tuple[str, ...]:
    """The limits that an item breaks, one sentence each; empty when it keeps them all.

    >>> broken_limits(PARCEL_SMALL, (1000, 300, 250), weight_g=5000)
    ('length and girth 2100 mm are over 2000 mm',)
    """
    longest, second, third = _sorted(sides_mm)
    broken = []
    if longest > limits.longest_mm + limits.tolerance_mm:
        broken.append(f"longest side {longest} mm is over {limits.longest_mm + limits.tolerance_mm} mm")
    total = longest + second + third
    if limits.sum_of_sides_mm is not None and total > limits.sum_of_sides_mm:
        broken.append(f"length, width and depth together {total} mm are over {limits.sum_of_sides_mm} mm")
    with_girth = longest + girth_mm(sides_mm)
    if limits.length_plus_girth_mm is not None and with_girth > limits.length_plus_girth_mm:
        broken.append(f"length and girth {with_girth} mm are over {limits.length_plus_girth_mm} mm")
    if limits.least_face_mm is not None:
        least_second, least_longest = limits.least_face_mm
        if longest < least_longest or second < least_second:
            broken.append(f"largest face {second} × {longest} mm is under {least_second} × {least_longest} mm")
    return (*broken, *_too_heavy(limits.most_weight_g, weight_g))


def broken_roll_limits(limits: RollLimits, *, length_mm: int, diameter_mm: int, weight_g: int) -> tuple[str, ...]:
    """The limits that a roll breaks, one sentence each; empty when it keeps them all.

    >>> broken_roll_limits(SMALL_PACKET_ROLL, length_mm=900, diameter_mm=70, weight_g=500)
    ()
    >>> broken_roll_limits(SMALL_PACKET_ROLL, length_mm=900, diameter_mm=71, weight_g=500)
    ('length and two diameters 1042 mm are over 1040 mm',)
    """
    if length_mm <= 0 or diameter_mm <= 0:
        raise QuantityRefused("measure the roll", f"{length_mm} × {diameter_mm}", "two lengths above 0 mm")
    broken = []
    if length_mm > limits.longest_mm:
        broken.append(f"length {length_mm} mm is over {limits.longest_mm} mm")
    if length_mm < limits.least_length_mm:
        broken.append(f"length {length_mm} mm is under {limits.least_length_mm} mm")
    total = length_mm + 2 * diameter_mm
    if total > limits.length_plus_two_diameters_mm:
        broken.append(f"length and two diameters {total} mm are over {limits.length_plus_two_diameters_mm} mm")
    if total < limits.least_length_plus_two_diameters_mm:
        broken.append(f"length and two diameters {total} mm are under {limits.least_length_plus_two_diameters_mm} mm")
    return (*broken, *_too_heavy(limits.most_weight_g, weight_g))


def _too_heavy(most_weight_g: int, weight_g: int) -> tuple[str, ...]:
    return (f"weight {weight_g} g is over {most_weight_g} g",) if weight_g > most_weight_g else ()


def _sorted(sides_mm: tuple[int, int, int]) -> tuple[int, int, int]:
    if len(sides_mm) != 3 or min(sides_mm) <= 0:
        raise QuantityRefused("measure the sides", sides_mm, "three lengths above 0 mm")
    third, second, longest = sorted(sides_mm)
    return longest, second, third
