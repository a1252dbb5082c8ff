"""NIST Handbook 133 (2018), net contents of packaged goods: maximum allowable variations (MAV) of a labelled count.

Up to 50 pieces every package is opened and counted (chapter 4, 4.2.1); above that the MAV of Appendix A, Table 2-7,
applies (4.2.2). The table's numbers are quoted from memory and not checked against the printed handbook; above
1 333 pieces the MAV is 1.5 % of the labelled count, rounded to a whole piece (half up).

>>> [mav_pieces(pieces) for pieces in (17, 18, 100, 250, 1000, 2000)]
[0, 1, 2, 6, 16, 30]

Limits: the MAV is a floor for packaged lots, not an aim: see :mod:`fulfil.standards.oiml_r87`. Local law governs.
"""

from bisect import bisect_left

from fulfil.errors import QuantityRefused

LAST_LABELLED_PIECES = (
    17, 83, 116, 150, 200, 240, 290, 345, 400, 465, 540, 625, 725, 815, 900, 990, 1075, 1165, 1250, 1333,
)  # fmt: skip
"""Upper ends (inclusive) of the labelled counts with an MAV of 0, 1, 2 … 19 pieces (Table 2-7, quoted from memory)."""


def mav_pieces(labelled_pieces: int) -> int:
    """The number of pieces by which one package may be short of its labelled count.

    Raises:
        QuantityRefused: a labelled count below 1.
    """
    if labelled_pieces < 1:
        raise QuantityRefused("find the allowable variation of pieces", labelled_pieces, "1 or more")
    if labelled_pieces > LAST_LABELLED_PIECES[-1]:
        return (15 * labelled_pieces + 500) // 1000
    return bisect_left(LAST_LABELLED_PIECES, labelled_pieces)
