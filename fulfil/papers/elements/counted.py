"""Counts with their noun.

>>> counted(1, "bag"), counted(12, "bag")
('1 bag', '12 bags')
"""

from fulfil.papers.elements.pieces_cell import pieces_text


def counted(count: int, noun: str) -> str:
    """``'1 bag'``, ``'12 bags'``; every noun of the papers takes a plain s."""
    return f"{pieces_text(count)} {noun}{'' if count == 1 else 's'}"
