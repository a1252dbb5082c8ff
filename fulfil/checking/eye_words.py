"""What tells a part from its look-alike, in words that the eye can use.

>>> screw = Seen("cap screw", "M3 x 16", "zinc", 19)
>>> tell_apart(screw, Seen("cap screw", "M3 x 16", "stainless", 19)).words
'zinc, not stainless'
>>> tell_apart(screw, Seen("cap screw", "M3 x 20", "zinc", 23))
Apart(words='M3 x 16, not M3 x 20: 4 mm shorter', right_mm=19, wrong_mm=23)
>>> tell_apart(screw, Seen("hex nut", "M3", "zinc", 6)).words
'not hex nut'
>>> tell_apart(Seen("ball", "5.5", "", 6), Seen("ball", "5.556", "", 6)).words
'5.5, not 5.556: measure it'
>>> tell_apart(Seen("dial", "60", "", 60), Seen("dial", "60", "lacquered", 60)).words
'plain, not lacquered'
>>> tell_apart(screw, screw).words
''

Rule *what the eye sees first*: the kind, then the finish, then the size; a size is said with the difference of the
longest sides where that is a millimetre or more, and both lengths are given to be drawn; else it must be measured.
"""

from dataclasses import dataclass

PLAIN = "plain"
"""What a part without a finish looks like."""


@dataclass(frozen=True)
class Seen:
    """What can be seen of a part; ``longest_mm`` is its longest side."""

    family: str
    size: str
    finish: str
    longest_mm: int


@dataclass(frozen=True)
class Apart:
    """The words, empty where nothing tells; lengths to be drawn to scale, 0 where length doesn't decide."""

    words: str
    right_mm: int = 0
    wrong_mm: int = 0


def tell_apart(right: Seen, wrong: Seen) -> Apart:
    """What the right part is and the wrong one isn't."""
    if right.family != wrong.family:
        return Apart(f"not {wrong.family}")
    if right.finish != wrong.finish:
        return Apart(f"{right.finish or PLAIN}, not {wrong.finish or PLAIN}")
    if right.size == wrong.size:
        return Apart("")
    words = f"{right.size}, not {wrong.size}" if right.size and wrong.size else f"not {wrong.size or 'without a size'}"
    longer = right.longest_mm - wrong.longest_mm
    if not longer:
        return Apart(f"{words}: measure it")
    comparison = "longer" if longer > 0 else "shorter"
    return Apart(f"{words}: {abs(longer)} mm {comparison}", right.longest_mm, wrong.longest_mm)
