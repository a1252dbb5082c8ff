"""OIML R 87:2016, quantity of product in prepackages: tolerable deficiencies, by mass and by count.

Tolerable deficiency T of one prepackage (Table 1; up to 1 000 g also Directive 76/211/EEC, Annex I, 2.4; the whole
table, with counts, also in China AQSIQ Decree 75 (2005), Annex 3), nominal quantity Q_n in g:

=================  =========      =================  =========
Q_n up to          T              Q_n up to          T
=================  =========      =================  =========
50                 9 %            1 000              15 g
100                4.5 g          10 000             1.5 %
200                4.5 %          15 000             150 g
300                9 g            above              1 %
500                3 %
=================  =========      =================  =========

T is rounded up to 0.1 g, above 1 000 g to a whole gram. By count: no deficiency up to 50 pieces, above it 1 %, a part
of a piece rounded up to a whole one (Decree 75, Annex 3; R 87 Table 1 quoted from memory).

>>> from decimal import Decimal
>>> tolerable_deficiency_g(Decimal(250)), tolerable_deficiency_pieces(250)
(Decimal('9.0'), 3)
>>> shortage_grade(short_pieces=2, labelled_pieces=100)
'T1'

Limits: these are legal floors for prepacked lots. A bag made to order aims at no shortage at all; use them only to
say how serious one is. Local law on prepackages governs.
"""

from decimal import ROUND_CEILING, Decimal
from typing import Literal, TypeAlias

from fulfil.errors import QuantityRefused

ShortageGrade: TypeAlias = Literal["none", "tolerable", "T1", "T2"]

_ROWS: tuple[tuple[int | None, Decimal | None, Decimal | None], ...] = (
    (50, Decimal("0.09"), None),
    (100, None, Decimal("4.5")),
    (200, Decimal("0.045"), None),
    (300, None, Decimal(9)),
    (500, Decimal("0.03"), None),
    (1_000, None, Decimal(15)),
    (10_000, Decimal("0.015"), None),
    (15_000, None, Decimal(150)),
    (None, Decimal("0.01"), None),
)
"""Upper end of Q_n in g (inclusive), T as a part of Q_n, or T in g."""

MOST_PIECES_WITHOUT_DEFICIENCY = 50


def tolerable_deficiency_g(nominal_g: Decimal) -> Decimal:
    """T for a nominal mass (or volume in ml), rounded up as the table says; exact.

    Raises:
        QuantityRefused: a nominal quantity not above 0.
    """
    if not (nominal_g.is_finite() and nominal_g > 0):
        raise QuantityRefused("find the tolerable deficiency of", f"{nominal_g} g", "a nominal quantity above 0 g")
    share, grams = next((share, grams) for last, share, grams in _ROWS if last is None or nominal_g <= last)
    deficiency = grams if grams is not None else nominal_g * (share or 0)
    step = Decimal("0.1") if nominal_g <= 1_000 else Decimal(1)
    return deficiency.quantize(step, ROUND_CEILING)


def tolerable_deficiency_pieces(labelled_pieces: int) -> int:
    """T for a labelled count.

    >>> [tolerable_deficiency_pieces(pieces) for pieces in (50, 51, 100, 101, 200, 1000)]
    [0, 1, 1, 2, 2, 10]
    """
    if labelled_pieces < 1:
        raise QuantityRefused("find the tolerable deficiency of pieces", labelled_pieces, "1 or more")
    if labelled_pieces <= MOST_PIECES_WITHOUT_DEFICIENCY:
        return 0
    return -(-labelled_pieces // 100)


def shortage_grade(*, short_pieces: int, labelled_pieces: int) -> ShortageGrade:
    """How serious a short count is: within T, beyond T ("T1", few allowed) or beyond 2 T ("T2", none allowed)."""
    tolerable = tolerable_deficiency_pieces(labelled_pieces)
    if short_pieces <= 0:
        return "none"
    if short_pieces > 2 * tolerable:
        return "T2"
    return "T1" if short_pieces > tolerable else "tolerable"
