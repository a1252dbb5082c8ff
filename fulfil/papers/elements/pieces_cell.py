"""The pieces to count: the largest figures on a paper; five digits and more are set in groups of three.

>>> pieces_text(250), pieces_text(12500) == "12\N{NARROW NO-BREAK SPACE}500"
('250', True)
"""

from fulfil.papers.faces import Face
from fulfil.papers.ink import Block, block, text_at
from fulfil.papers.wrap import LEAST_PT, centred_in, fitting_size


def pieces_text(pieces: int) -> str:
    """Whole pieces; groups of three from five digits on, by a narrow space (ISO 80000-1:2022, 7.3.1)."""
    return str(pieces) if pieces < 10_000 else f"{pieces:,}".replace(",", "\N{NARROW NO-BREAK SPACE}")


def pieces_words(pieces: int) -> str:
    """With the word, as labels have it: ``'250 pcs'``, ``'1 pc'``."""
    return f"{pieces_text(pieces)} {'pc' if pieces == 1 else 'pcs'}"


def pieces_cell(pieces: int, width: float, size_pt: float, *, high_mm: float) -> Block:
    """The figure, right-bound, in the middle of ``high_mm``."""
    text = pieces_text(pieces)
    size = fitting_size(text, Face.BOLD, size_pt, least_pt=LEAST_PT, width=width)
    return block(high_mm, text_at(width, centred_in(high_mm, size), text, Face.BOLD, size, align="right"))
