"""The two numbers on the floor and on the cart: a stop is white on black, a cart position is framed.

The stop's number looks the same on the map, on the pick list and on the bag label; so does the cart position.

>>> stop_mark(12, 12.0, 20).height_mm
12.0
"""

from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, Box, Disc, block, text_at
from fulfil.papers.wrap import LEAST_PT, centred_in, fitting_size


def stop_mark(number: int, width_mm: float, size_pt: float) -> Block:
    """A stop's number, white on a black disc."""
    radius = width_mm / 2
    size = fitting_size(str(number), Face.BOLD, size_pt, least_pt=LEAST_PT, width=width_mm * 0.8)
    base = centred_in(width_mm, size)
    text = text_at(radius, base, str(number), Face.BOLD, size, align="centre", is_white=True)
    return block(width_mm, Disc(radius, radius, radius, fill="black"), text)


def position_mark(number: int, width_mm: float, size_pt: float, *, high_mm: float) -> Block:
    """A cart position in a heavy frame."""
    size = fitting_size(str(number), Face.BOLD, size_pt, least_pt=LEAST_PT, width=width_mm - 1.8)
    text = text_at(width_mm / 2, centred_in(high_mm, size), str(number), Face.BOLD, size, align="centre")
    return block(high_mm, Box(0.35, 0.35, width_mm - 0.7, high_mm - 0.7, line_mm=0.7), text)
