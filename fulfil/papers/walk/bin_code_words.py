"""How a bin's code is read, told by the first one of a list whose code says aisle, section and level itself.

>>> from types import SimpleNamespace
>>> stop = SimpleNamespace(bin_code="05L-14-1B", aisle="05", side="left", section=14, level=1, way_word="aisle")
>>> bin_code_words([stop])
'05L-14-1B is aisle 05, left, section 14, level 1, drawer B.'
"""

import re
from collections.abc import Sequence
from typing import Protocol


class CodedBin(Protocol):
    """A bin's code with the place that it names."""

    @property
    def bin_code(self) -> str:
        """The code."""

    @property
    def aisle(self) -> str:
        """The aisle's name."""

    @property
    def side(self) -> str:
        """Left or right."""

    @property
    def section(self) -> int:
        """The section."""

    @property
    def level(self) -> int:
        """The level."""

    @property
    def way_word(self) -> str:
        """Aisle or passage."""


def bin_code_words(bins: Sequence[CodedBin]) -> str:
    """The sentence; empty where no code is made of its place. What follows the level is the drawer."""
    for one in bins:
        side = one.side[:1].upper()
        shape = rf"\D*0*{re.escape(one.aisle.lstrip('0') or '0')}-?{side}-0*{one.section}-0*{one.level}([A-Z]?)"
        found = re.fullmatch(shape, one.bin_code)
        if found is not None:
            drawer = f", drawer {found[1]}" if found[1] else ""
            place = f"{one.way_word} {one.aisle}, {one.side}, section {one.section}, level {one.level}"
            return f"{one.bin_code} is {place}{drawer}."
    return ""
