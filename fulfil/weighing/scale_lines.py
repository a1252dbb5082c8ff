r"""Lines that a scale sends by itself: what each shows, and when that is steady.

A line is read by a regular expression with named groups: ``mass``; ``unit`` (g or kg, else g); ``steady`` or
``unsteady``, one of which is found where the scale says so. Where it says nothing, a reading is steady once as many
lines in a row show the same, common practice; a scale that sends only when its key is pressed says one line.

>>> read_line("  +  51.09 g", USUAL)
Shown(shown='51.09', is_steady=None)
>>> read_line("US  0.5230 kg", r"(?P<unsteady>US)? *(?P<mass>[0-9.]+) (?P<unit>k?g)")
Shown(shown='523.0', is_steady=False)

>>> watch = Watch(USUAL, equal_lines=3)
>>> [watch.hear(line) for line in ("0.00 g", "31.20 g", "51.09 g", "51.09 g", "51.09 g", "51.09 g", "51.09 g")]
[None, None, None, None, '51.09', None, None]
>>> [watch.hear(line) for line in ("0.00 g", "51.09 g", "51.09 g", "51.09 g")]
[None, None, None, '51.09']

Limits: a reading is heard once, until the scale has shown another; nothing below zero, and not zero, is heard.
"""

import re
from dataclasses import dataclass, field
from decimal import Decimal

USUAL = r"(?P<mass>[+-]? *[0-9]+(?:[.,][0-9]+)?) *(?P<unit>kg|g)\b"
"""A number, then g or kg, with whatever stands around them."""
EQUAL_LINES = 3
MOST_LETTERS = 80


@dataclass(frozen=True)
class Shown:
    """Grams with the digits that the scale shows; ``is_steady`` is None where the line doesn't say."""

    shown: str
    is_steady: bool | None


def read_line(line: str, pattern: str) -> Shown | None:
    """What a line shows; None where it isn't one of the pattern, or too long to be one."""
    found = re.search(pattern, line) if len(line) <= MOST_LETTERS else None
    if found is None:
        return None
    named = found.groupdict()
    digits = (named["mass"] or "").replace(" ", "").replace(",", ".").lstrip("+")
    if not re.fullmatch(r"-?[0-9]{1,9}(\.[0-9]{1,9})?", digits):
        return None
    mass = Decimal(digits)
    if (named.get("unit") or "g").lower() == "kg":
        mass = mass.scaleb(3)
    says = True if named.get("steady") else False if named.get("unsteady") else None
    if says is None and {"steady", "unsteady"} & named.keys():
        # Of a scale that marks one of the two, a line without the mark is the other.
        says = "unsteady" in named
    return Shown(f"{mass:f}", says)


@dataclass
class Watch:
    """Hears a scale's lines and gives each steady reading once."""

    pattern: str
    equal_lines: int = EQUAL_LINES
    _last: str = field(default="", init=False)
    _run: int = field(default=0, init=False)
    _heard: str = field(default="", init=False)

    def hear(self, line: str) -> str | None:
        """A reading in grams that has become steady with this line."""
        seen = read_line(line, self.pattern)
        if seen is None:
            return None
        self._run = self._run + 1 if seen.shown == self._last else 1
        self._last = seen.shown
        if seen.shown != self._heard:
            self._heard = ""
        is_steady = self._run >= self.equal_lines if seen.is_steady is None else seen.is_steady
        if not is_steady or self._heard or Decimal(seen.shown) <= 0:
            return None
        self._heard = seen.shown
        return seen.shown
