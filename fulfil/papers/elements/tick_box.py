"""The tick box: big enough for a gloved hand and a blunt pencil.

>>> tick_box().height_mm
7.0
"""

from fulfil.papers.ink import Block, Box, block

TICK_MM = 7.0


def tick_box(side_mm: float = TICK_MM) -> Block:
    """An empty square."""
    return block(side_mm, Box(0.0, 0.0, side_mm, side_mm, line_mm=0.5))
