r"""Readings of a scale that sends by itself: which one is the weight of the bag in hand, and which must be ignored.

A scale that sends all the time also sends while the pan swings, while it is empty, and long after the bag was taken
up by the verdict. A reading counts once, when all of this holds:

- it is *steady*: the line doesn't say otherwise, and it came the wanted number of times in a row within one d;
- it is not negative (the pan was emptied under a tare, or the zero has moved) and not the empty pan's;
- it is not *stale*: it was sent after the bag came into the hand;
- it is not *repeated*: since the last weight that counted, the pan was empty or changed by more than two d.

>>> reader = LineReader()
>>> reader.read("   47.10 g").mass_g, reader.read("~ 46.88 g").is_steady, reader.read("garbage")
(Decimal('47.10'), False, None)
>>> pan = Pan()
>>> sift(reader.read("47.10 g"), pan, d_g=Decimal("0.01"), sent_at_s=9.0, wanted_since_s=8.0)[0]
<Sifted.COUNTS: 'counts'>

Limits: a load changed by less than two d between two bags, without the pan ever being seen empty, is taken for the
same load; lift it, or type the weight. The line's pattern is the shop's to set: scales send what their maker chose.
"""

import re
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum

from fulfil.errors import WeighingRefused

PATTERN = r"(?P<unsteady>[~?])?\s*(?P<mass>[+-]?\s*[0-9]+(?:[.,][0-9]+)?)\s*(?P<unit>kg|g)"
"""The default line: a mark where the load still moves, the mass, its unit; anything may stand around it."""

_PER_UNIT = {"g": 0, "kg": 3}


@dataclass(frozen=True)
class ScaleReading:
    """One reading: the exact mass with its sign, and whether the scale calls it steady."""

    mass_g: Decimal
    is_steady: bool = True


@dataclass(frozen=True)
class LineReader:
    """Reads a scale's lines by a regular expression with the groups ``mass``, ``unit`` and ``unsteady``.

    ``unit`` and ``unsteady`` may be missing: grams, and steady.

    Raises:
        WeighingRefused: a pattern that isn't one, or has no group ``mass``.
    """

    pattern: str = PATTERN

    def __post_init__(self) -> None:
        try:
            groups = re.compile(self.pattern).groupindex
        except re.error as trouble:
            raise WeighingRefused("read a scale's lines by", self.pattern, f"a regular expression: {trouble}") from None
        if "mass" not in groups:
            raise WeighingRefused("read a scale's lines by", self.pattern, "a group named mass, as in (?P<mass>...)")

    def read(self, line: str) -> ScaleReading | None:
        """The reading in a line; None where there is none."""
        found = re.search(self.pattern, line, re.IGNORECASE)
        if found is None:
            return None
        groups = found.groupdict()
        unit = (groups.get("unit") or "g").lower()
        if unit not in _PER_UNIT:
            return None
        try:
            mass = Decimal(re.sub(r"\s", "", found["mass"]).replace(",", "."))
        except ArithmeticError:
            return None
        return ScaleReading(mass.scaleb(_PER_UNIT[unit]), not groups.get("unsteady"))


class Sifted(StrEnum):
    """What a reading is good for."""

    COUNTS = "counts"
    UNSTEADY = "unsteady"
    NEGATIVE = "negative"
    EMPTY = "empty"
    STALE = "stale"
    REPEATED = "repeated"


@dataclass(frozen=True)
class Pan:
    """What is known of the pan: the weight that counted last and still lies there, and the run of equal readings."""

    counted_g: Decimal | None = None
    run_g: Decimal | None = None
    run: int = 0


def sift(
    reading: ScaleReading,
    pan: Pan,
    *,
    d_g: Decimal,
    sent_at_s: float,
    wanted_since_s: float,
    steady_run: int = 1,
) -> tuple[Sifted, Pan]:
    """What the reading is good for, and the pan after it; times in seconds on one clock."""
    mass_g = reading.mass_g
    is_same = pan.run_g is not None and abs(mass_g - pan.run_g) <= d_g
    pan = replace(pan, run_g=mass_g, run=pan.run + 1 if is_same and reading.is_steady else 1)
    if not reading.is_steady or pan.run < steady_run:
        return Sifted.UNSTEADY, pan
    if abs(mass_g) <= 2 * d_g:
        return Sifted.EMPTY, replace(pan, counted_g=None)
    if mass_g < 0:
        return Sifted.NEGATIVE, replace(pan, counted_g=None)
    if pan.counted_g is not None and abs(mass_g - pan.counted_g) <= 2 * d_g:
        return Sifted.REPEATED, pan
    if sent_at_s < wanted_since_s:
        return Sifted.STALE, pan
    return Sifted.COUNTS, replace(pan, counted_g=mass_g)
