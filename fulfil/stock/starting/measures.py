"""Masses, lengths and sizes as they stand on a plate or a ruler: with a unit, a decimal comma, a cross between.

>>> mass_g("6 kg"), mass_g("0,01"), mass_g("12,4 / 20")
(Decimal('6000'), Decimal('0.01'), Decimal('0.62'))
>>> length_mm("1,2 m"), sides_mm("16 x 11 x 6 cm", 3)
(1200, (160, 110, 60))
"""

import re
from decimal import Decimal

from fulfil.errors import QuantityRefused
from fulfil.files.mapping.header_words import FACTORS

_NUMBER = r"([0-9]{1,9}(?:[.,][0-9]{1,6})?)"
_MEASURE = re.compile(rf"{_NUMBER}\s*([^\W\d_]*)(?:\s*/\s*([0-9]{{1,4}}))?")


def mass_g(said: str) -> Decimal:
    """Grams; ``12.4/20`` is what one of twenty weighs, to the milligram."""
    read = _measure(said, "g", "a mass, such as 0.01 g, 6 kg, or 12.4/20 for one of twenty")
    return read.quantize(Decimal("0.001")).normalize() + 0 if "/" in said else read


def length_mm(said: str) -> int:
    """Whole millimetres, rounded up: what a part needs, no less."""
    read = _measure(said, "mm", "a length, such as 900 mm or 1.2 m")
    return int(read.to_integral_value("ROUND_CEILING"))


def sides_mm(said: str, count: int) -> tuple[int, ...]:
    """Lengths with a cross between; a unit at the end holds for all."""
    expected = f"{count} lengths with x between, such as {' x '.join(['160', '110', '60'][:count])}"
    sides = [side.strip() for side in re.split("[x×*]", said.casefold())]
    unit = re.search(r"[^\W\d_]*$", sides[-1])
    sides = [side if side[-1:].isalpha() else side + (unit[0] if unit else "") for side in sides]
    if len(sides) != count or not all(sides):
        raise QuantityRefused("read the size", said, expected)
    return tuple(length_mm(side) for side in sides)


def _measure(said: str, unit: str, expected: str) -> Decimal:
    found = _MEASURE.fullmatch(said.strip().casefold())
    factor = FACTORS[unit].get(found[2] or unit) if found else None
    if found is None or factor is None or found[3] in ("0", "00"):
        raise QuantityRefused("read", said, expected)
    number = Decimal(found[1].replace(",", ".")) * factor / (int(found[3]) if found[3] else 1)
    return number.quantize(Decimal(1)) if number == number.to_integral_value() and factor != 1 else number
