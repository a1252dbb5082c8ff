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
>>> gear = Seen("gear", "20 teeth", "", 22, is_as_wide=True)
>>> tell_apart(gear, Seen("gear", "24 teeth", "", 26, is_as_wide=True)).words
'20 teeth, not 24 teeth: 4 mm narrower'
>>> tell_apart(Seen("bush", "5 x 6.5 x 2.5", "", 7), Seen("bush", "5 x 6 x 4", "", 6)).words
'5 x 6.5 x 2.5, not 5 x 6 x 4: measure it'
>>> tell_apart(screw, screw).words
''

Rule *what the eye sees first*: the kind, then the finish, then the size; a size is said with the difference of the
longest sides where that is surely seen, and both lengths are given to be drawn; else it must be measured. Sides are
kept in whole millimetres, so one millimetre between two of them may be mere rounding (6.0 and 6.1 are 6 and 7).
"""

from dataclasses import dataclass

PLAIN = "plain"
"""What a part without a finish looks like."""
SEEN_MM = 2
"""The least difference of two whole-millimetre sides that is no rounding."""


@dataclass(frozen=True)
class Seen:
    """What can be seen of a part; ``longest_mm`` is its longest side, of a part that is as wide as long its width."""

    family: str
    size: str
    finish: str
    longest_mm: int
    is_as_wide: bool = False


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
    if abs(longer) < SEEN_MM:
        return Apart(f"{words}: measure it")
    more, less = ("wider", "narrower") if right.is_as_wide and wrong.is_as_wide else ("longer", "shorter")
    comparison = more if longer > 0 else less
    return Apart(f"{words}: {abs(longer)} mm {comparison}", right.longest_mm, wrong.longest_mm)
