"""The address block: its lines as given, the last (the country) in bold.

>>> address("to", ("Test Person", "PORTUGAL"), 60).height_mm > 8
True
"""

from collections.abc import Sequence

from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, above
from fulfil.papers.page import SMALL_PT, STRONG_PT
from fulfil.papers.wrap import paragraph


def address(label: str, lines: Sequence[str], width: float, size_pt: float = STRONG_PT) -> Block:
    """A small label over the lines, each wrapped whole."""
    rows = [paragraph(label, Face.TEXT, SMALL_PT, width)]
    rows += [paragraph(line, Face.TEXT, size_pt, width) for line in lines[:-1]]
    rows += [paragraph(line, Face.BOLD, size_pt, width) for line in lines[-1:]]
    return above(*rows)
