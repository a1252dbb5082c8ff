"""Letters in the order and the forms in which they are printed: Hebrew and Arabic run from right to left.

A line is written in the order in which it is said; the Unicode bidirectional algorithm (Unicode Standard Annex 9) gives
the order in which it is seen, and Arabic letters take the form of their place in the word (Unicode Standard, ch. 9).
Both are the work of python-bidi and arabic-reshaper. A text without such letters stays as it is.

>>> as_seen("שלום 12") == "12 םולש", as_seen("Weg 5 (Hof)")
(True, 'Weg 5 (Hof)')

A number with hyphens keeps its order after Arabic letters too, where the algorithm alone would turn "260302-017" into
"017-260302" (rules W2 and W4): an invisible left-to-right mark (U+200E) stands on both sides of it.

>>> as_seen("طلب 260302-017").startswith("260302-017 ")
True

Limits: vowel signs of Arabic are left out; a line is ordered by itself, after it was wrapped.
"""

import re
import unicodedata
from functools import lru_cache
from typing import Any

_BACKWARD = ("R", "AL", "AN")
_HYPHENED = re.compile(r"[0-9]+(?:-[0-9]+)+")
_MARK = "\u200e"


@lru_cache(maxsize=4096)
def as_seen(text: str) -> str:
    """The line in the order and forms in which it is printed, from left to right."""
    if text.isascii() or not any(unicodedata.bidirectional(letter) in _BACKWARD for letter in text):
        return text
    # Loaded late: few papers need them.
    from bidi.algorithm import get_display

    held = _HYPHENED.sub(lambda number: f"{_MARK}{number[0]}{_MARK}", text)
    return str(get_display(_reshaper().reshape(held))).replace(_MARK, "")


@lru_cache(maxsize=4096)
def runs_both_ways(text: str) -> bool:
    """Whether a line has letters that run from right to left and letters that don't.

    >>> runs_both_ways("Packing list / רשימה"), runs_both_ways("רשימה 12"), runs_both_ways("Weg 5")
    (True, False, False)
    """
    if text.isascii():
        return False
    ways = {unicodedata.bidirectional(letter) for letter in text}
    return "L" in ways and not ways.isdisjoint(_BACKWARD)


@lru_cache(maxsize=1)
def _reshaper() -> Any:
    from arabic_reshaper import ArabicReshaper

    # The faces have the forms of the letters and lam-alef, but no word written as one sign.
    return ArabicReshaper(configuration={"delete_harakat": True, "ARABIC LIGATURE ALLAH": False})
