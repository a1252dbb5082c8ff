"""Pieces in bulk by weight: goods in, tubs of tens of thousands.

Nothing resolves 40,000 pieces to the piece; the weight gives an interval, and the interval is printed.
With net weight W the counts N that fit are those whose deviation W − N μ̂ is within z standard
deviations of itself, an exact quadratic in N (E. C. Fieller, J. Royal Stat. Soc. B 16 (1954) 175)::

    (W − N μ̂)² ≤ z² (N σ² + N² u²(μ) + s²)

Tubs weighed one by one add their scale terms in squares, but share one unit weight: its error is common
and grows with the total (JCGM 100:2008, 5.2.2). A tub of M3 washers:

>>> tub = estimate_pieces(4890.0, 110.0, unit_weight_g=0.1195, unit_weight_u_g=0.0002, piece_sd_g=0.0018,
...                       indication_u_g=0.6)
>>> tub.pieces, tub.lower, tub.upper
(40000, 39869, 40132)
>>> tub.sentence
'40000 pieces, 95 % between 39869 and 40132.'
>>> sample_for_half_width(40000, 40, unit_weight_g=0.1195, piece_sd_g=0.0018, indication_u_g=0.6)
950

Pieces are whole. Where the weight is so well known that a whole number would show, and it lies between two of them by
more than three standard deviations, no number of these pieces weighs that:

>>> spools = estimate_pieces(19.4 * 2.112 + 250.0, 250.0, unit_weight_g=2.112, unit_weight_u_g=0.001, piece_sd_g=0.006,
...                          indication_u_g=0.01)
>>> spools.fits_a_whole_number, round(spools.odd_pieces, 2), round(spools.odd_u, 3)
(False, 19.4, 0.016)

Limits: one part, mixed well; a sample from the top of a tub is not a sample of the tub.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import ceil, floor, isfinite, sqrt

from fulfil.errors import WeighingRefused
from fulfil.weighing.causes.ranking import check_numbers
from fulfil.weighing.tails import ndtri

FARTHEST_SD = 3.0
"""Beyond so many standard deviations from every whole number, no whole number fits (once in 370 by chance)."""


@dataclass(frozen=True, slots=True)
class BulkCount:
    """An estimated count with its interval.

    Attributes:
        pieces: Best estimate, net weight over unit weight, halves to even.
        lower, upper: The counts that fit the weight at ``coverage``; both ends fit.
        coverage: Probability of the interval.
        net_g: Net weight it rests on, g.
        piece_u: What piece-to-piece scatter adds to the standard uncertainty, in pieces.
        unit_weight_u: What the unit weight's uncertainty adds, in pieces.
        weighing_u: What scale and tare add, in pieces.
        odd_pieces, odd_u: Pieces by weight, with their s.d., of the tub (or all together) that lies farthest between
            two whole numbers, in its standard deviations.
    """

    pieces: int
    lower: int
    upper: int
    coverage: float
    net_g: float
    piece_u: float
    unit_weight_u: float
    weighing_u: float
    odd_pieces: float = 0.0
    odd_u: float = 1.0

    @property
    def fits_a_whole_number(self) -> bool:
        """False where a whole number would show and none does."""
        return _between(self.odd_pieces) <= FARTHEST_SD * self.odd_u

    @property
    def sentence(self) -> str:
        """The estimate in words, for the paper."""
        if not self.fits_a_whole_number:
            return (
                f"No whole number of pieces fits: {self.odd_pieces:.2f} by weight, s.d. {self.odd_u:.2g}. "
                "Check the tare, look for foreign matter and for another part."
            )
        if self.lower == self.upper:
            return f"{self.pieces} pieces, {100 * self.coverage:g} % sure."
        return f"{self.pieces} pieces, {100 * self.coverage:g} % between {self.lower} and {self.upper}."

    @property
    def largest_part(self) -> str:
        """What widens the interval most: the unit weight, the pieces or the weighing."""
        parts = (("unit weight", self.unit_weight_u), ("pieces", self.piece_u), ("weighing", self.weighing_u))
        return max(parts, key=lambda part: part[1])[0]

    def cost_of_interval(self, unit_price: Decimal) -> Decimal:
        """Money that the interval leaves open: price of the pieces between its ends, unrounded."""
        return unit_price * (self.upper - self.lower)


def estimate_pieces(
    gross_g: float,
    tare_g: float,
    *,
    unit_weight_g: float,
    unit_weight_u_g: float,
    piece_sd_g: float,
    indication_u_g: float,
    tare_u_g: float = 0.0,
    min_load_g: float = 0.0,
    coverage: float = 0.95,
) -> BulkCount:
    """Pieces in one tub or bin, with the interval.

    Args:
        gross_g: Indication with the tub, g.
        tare_g: The empty tub, g.
        unit_weight_g: Unit weight, g.
        unit_weight_u_g: Its standard uncertainty, g.
        piece_sd_g: Piece-to-piece s.d., g.
        indication_u_g: Standard uncertainty of the indication, g.
        tare_u_g: Standard uncertainty of the tare, g.
        min_load_g: Minimum load of the scale, g; a smaller gross is refused.
        coverage: Probability of the interval, between 0 and 1.

    Raises:
        WeighingRefused: a number isn't finite or can't be, the tare is heavier than the gross, the gross is
            below the minimum load, or the unit weight is too uncertain for any interval.
    """
    return estimate_tubs(
        [gross_g],
        [tare_g],
        unit_weight_g=unit_weight_g,
        unit_weight_u_g=unit_weight_u_g,
        piece_sd_g=piece_sd_g,
        indication_u_g=indication_u_g,
        tare_u_g=tare_u_g,
        min_load_g=min_load_g,
        coverage=coverage,
    )


def estimate_tubs(
    gross_g: Sequence[float],
    tare_g: Sequence[float],
    *,
    unit_weight_g: float,
    unit_weight_u_g: float,
    piece_sd_g: float,
    indication_u_g: float,
    tare_u_g: float = 0.0,
    min_load_g: float = 0.0,
    coverage: float = 0.95,
) -> BulkCount:
    """Pieces in several tubs of one part together; the unit weight's error stays common to all of them.

    Arguments as in :func:`estimate_pieces`, one gross and one tare for each tub.
    """
    if not gross_g or len(gross_g) != len(tare_g):
        raise WeighingRefused(
            "count tubs with tares", len(tare_g), f"one for each of {len(gross_g)} tubs, at least one"
        )
    check_numbers(
        "count pieces in bulk",
        above_zero={"unit weight in g": unit_weight_g, "scale's u in g": indication_u_g},
        zero_or_more={
            "unit weight's u in g": unit_weight_u_g,
            "piece s.d. in g": piece_sd_g,
            "tare's u in g": tare_u_g,
            "minimum load in g": min_load_g,
        },
    )
    for gross, tare in zip(gross_g, tare_g, strict=True):
        check_numbers("count a tub", above_zero={}, zero_or_more={"tare in g": tare}, finite={"gross in g": gross})
        if gross < min_load_g:
            raise WeighingRefused(
                "count a tub weighing in g", gross, f"the scale's minimum load of {min_load_g:g} g or more"
            )
        if tare >= gross:
            raise WeighingRefused(
                "count a tub with tare in g", tare, f"less than its gross of {gross:g} g; weigh the empty tub again"
            )
    net_g = sum(gross_g) - sum(tare_g)
    weighing_u_g = sqrt(len(gross_g)) * sqrt(indication_u_g**2 + tare_u_g**2)
    low, high = _interval(net_g, unit_weight_g, unit_weight_u_g, piece_sd_g, weighing_u_g, _quantile(coverage))
    best = net_g / unit_weight_g
    pieces = round(best)
    one_u_g = sqrt(indication_u_g**2 + tare_u_g**2)

    def spread(pieces: float, scale_u_g: float) -> float:
        return sqrt(pieces * piece_sd_g**2 + (pieces * unit_weight_u_g) ** 2 + scale_u_g**2) / unit_weight_g

    each = [(gross - tare) / unit_weight_g for gross, tare in zip(gross_g, tare_g, strict=True)]
    seen = [(best, spread(best, weighing_u_g)), *((tub, spread(tub, one_u_g)) for tub in each)]
    odd_pieces, odd_u = max(seen, key=lambda one: _between(one[0]) / one[1])
    return BulkCount(
        pieces=pieces,
        lower=min(ceil(low), pieces),
        upper=max(floor(high), pieces),
        coverage=coverage,
        net_g=net_g,
        piece_u=sqrt(best) * piece_sd_g / unit_weight_g,
        unit_weight_u=best * unit_weight_u_g / unit_weight_g,
        weighing_u=weighing_u_g / unit_weight_g,
        odd_pieces=odd_pieces,
        odd_u=odd_u,
    )


def sample_for_half_width(
    pieces: int,
    half_width_pieces: float,
    *,
    unit_weight_g: float,
    piece_sd_g: float,
    indication_u_g: float,
    sample_u_g: float = 0.0,
    coverage: float = 0.95,
) -> int:
    """Smallest sample whose unit weight brings the interval of a bulk count to ± a half-width.

    Args:
        pieces: Pieces to be counted.
        half_width_pieces: Wanted half-width, in pieces, above zero.
        unit_weight_g: Unit weight, about, g.
        piece_sd_g: Piece-to-piece s.d., g.
        indication_u_g: Standard uncertainty of the net weight of all pieces, g.
        sample_u_g: Standard uncertainty of the sample's net weight, g.
        coverage: Probability of the interval.

    Raises:
        WeighingRefused: a number can't be, or no sample is large enough since the pieces and the scale alone are wider.
    """
    check_numbers(
        "choose a sample",
        above_zero={"pieces": pieces, "half-width in pieces": half_width_pieces, "unit weight in g": unit_weight_g},
        zero_or_more={
            "piece s.d. in g": piece_sd_g,
            "scale's u in g": indication_u_g,
            "sample's u in g": sample_u_g,
        },
    )
    allowed = (half_width_pieces * unit_weight_g / _quantile(coverage)) ** 2
    left = (allowed - pieces * piece_sd_g**2 - indication_u_g**2) / pieces**2
    if left <= 0:
        floor_pieces = _quantile(coverage) * sqrt(pieces * piece_sd_g**2 + indication_u_g**2) / unit_weight_g
        raise WeighingRefused(
            f"find a sample that counts {pieces} pieces to ±",
            half_width_pieces,
            f"more than ± {floor_pieces:.1f} pieces, which scatter and scale alone make; weigh less at a time",
        )
    n = (piece_sd_g**2 + sqrt(piece_sd_g**4 + 4 * left * sample_u_g**2)) / (2 * left)
    return max(1, ceil(n))


def _interval(
    net_g: float, unit_weight_g: float, unit_weight_u_g: float, piece_sd_g: float, weighing_u_g: float, z: float
) -> tuple[float, float]:
    """Both roots of the quadratic in the module docstring, in pieces, the lower not below zero."""
    a = unit_weight_g**2 - (z * unit_weight_u_g) ** 2
    if a <= 0:
        raise WeighingRefused(
            "count pieces with a unit weight's u in g",
            unit_weight_u_g,
            f"less than {unit_weight_g / z:.3g} g, or no interval ends; sample the part first",
        )
    half_b = net_g * unit_weight_g + 0.5 * (z * piece_sd_g) ** 2
    c = net_g**2 - (z * weighing_u_g) ** 2
    root = sqrt(half_b**2 - a * c)
    return max(0.0, (half_b - root) / a), (half_b + root) / a


def _between(pieces: float) -> float:
    """How far a number lies from the nearest whole one."""
    return abs(pieces - round(pieces))


def _quantile(coverage: float) -> float:
    if not (isfinite(coverage) and 0 < coverage < 1):
        raise WeighingRefused("give an interval with coverage", coverage, "a number between 0 and 1")
    return float(ndtri(0.5 + coverage / 2))
