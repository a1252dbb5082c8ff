"""Long numbers by their last three digits: large, where the eye compares them; what is the same for all stays small.

>>> split("B2603020017"), split("O-7")
(('B2603020', '017'), ('', 'O-7'))
>>> round(number_tail("B2603020017", small_pt=10, large_pt=16, width=60).height_mm, 1)
6.8
"""

from fulfil.papers.faces import MM_PER_POINT, Face, width_mm
from fulfil.papers.ink import Block, block, text_at
from fulfil.papers.wrap import FIRST_BASE_LINE, LEAST_PT, fitting_size, line_mm, paragraph

TAIL = 3
"""How many characters stand large."""
_LEAST_HEAD = 4


def split(number: str) -> tuple[str, str]:
    """What stands small and what large; a short number is large as a whole."""
    return (number[:-TAIL], number[-TAIL:]) if len(number) >= TAIL + _LEAST_HEAD else ("", number)


def number_tail(number: str, *, small_pt: float, large_pt: float, width: float) -> Block:
    """The number on one line, its last digits large; on lines of its own where it is wider than ``width`` mm."""
    head, tail = split(number)
    head_mm = width_mm(head, Face.CODE, small_pt)
    if head_mm + width_mm(tail, Face.CODE, LEAST_PT) > width:
        return paragraph(number, Face.CODE, small_pt, width)
    size = fitting_size(tail, Face.CODE, large_pt, least_pt=LEAST_PT, width=width - head_mm)
    base = FIRST_BASE_LINE * large_pt * MM_PER_POINT
    marks = [text_at(0.0, base, head, Face.CODE, small_pt)] if head else []
    return block(line_mm(large_pt), *marks, text_at(head_mm, base, tail, Face.CODE, size))


def same_beginning(numbers: list[str]) -> str:
    """What all numbers of a paper begin with, so that it is said once; empty where too little would be left out.

    >>> same_beginning(["B2603020017", "B2603020102"]), same_beginning(["O-1", "O-2"]), same_beginning([])
    ('B2603020', '', '')
    """
    if not numbers:
        return ""
    first, last = min(numbers), max(numbers)
    same = next((i for i, (a, b) in enumerate(zip(first, last, strict=False)) if a != b), len(first))
    same = min(same, *(len(number) - TAIL for number in numbers))
    return first[:same] if same >= _LEAST_HEAD else ""
