"""The part cell: what the part looks like first, then its number, then its description, if that says more.

>>> looks("cap screw", "M3 x 16", "zinc")
'cap screw · M3 x 16 · zinc'
>>> round(part_cell("SCR-0016", "Cap screw M3 x 16", "cap screw · M3 x 16 · zinc", 70).height_mm, 1)
8.9
>>> says_more("Cap screw M3 x 16, zinc", "cap screw · M3 x 16 · zinc"), says_more("Cap screw, socket", "cap screw")
(False, True)
"""

import re

from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above
from fulfil.papers.page import BODY_PT, STRONG_PT
from fulfil.papers.wrap import item_lines, led_paragraph, set_lines


def looks(family: str, size: str, finish: str) -> str:
    """What a person can see: ``'cap screw · M3 x 16 · zinc'``."""
    return " · ".join(word for word in (family, size, finish) if word)


def says_more(description: str, look: str) -> bool:
    """Whether a description has a word that the looks haven't; if not, it needn't be read twice."""
    return not set(re.findall(r"[^\s,;·]+", description.casefold())) <= set(re.findall(r"[^\s,;·]+", look.casefold()))


def look_lines(look: str, size_pt: float, width: float) -> Block:
    """The looks in bold, on lines that break between family, size and finish where they must.

    >>> [mark.text for part in look_lines("acetal cam · eccentric 30 · white", 11, 60).parts for mark in part.marks]
    ['acetal cam · eccentric 30', 'white']
    """
    return set_lines(item_lines(look.split(" · "), Face.BOLD, size_pt, width), Face.BOLD, size_pt)


def part_cell(part_number: str, description: str, look: str, width: float) -> Block:
    """Looks in bold, the part number in the code face, the description wrapped whole where it says more."""
    more = description if says_more(description, look) else ""
    return above(look_lines(look, STRONG_PT, width), led_paragraph(part_number, more, BODY_PT, width))
