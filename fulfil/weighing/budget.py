"""The uncertainty budget of a bag's weight: named terms, which one dominates, and what would shrink it.

The net deviation of a bag of N pieces has the variance of :mod:`fulfil.weighing.error_model`; here it is taken apart
(JCGM 100:2008, 5.1 and 8: a budget lists every component with its standard uncertainty and degrees of freedom):

====================  ==========================  =======================================================
term                  standard uncertainty        comes from
====================  ==========================  =======================================================
unit weight           N u(μ)                      the sample; common to all bags of the lot
pieces                √N σ                        piece-to-piece scatter, with the freedom of its s.d.
scale, repeatability  s_r                         repeated weighings of one load
scale, display        d/√12                       rounding (JCGM 100:2008, F.2.2.1)
scale, bias           share × MPE in service      linearity, eccentric loads, drift since adjustment
bag, one to the next  its s.d.                    the type's tare
bag, all of a lot     its shared s.d.             a delivery that is heavier or lighter than the type
====================  ==========================  =======================================================

Effective degrees of freedom follow Welch and Satterthwaite (JCGM 100:2008, G.4.1). They are shown; windows widen term
by term with Student's t, which holds at small risks too (:meth:`fulfil.weighing.unit_weight.UnitWeight.cautious`).

>>> from decimal import Decimal
>>> from fulfil.weighing.unit_weight import from_group
>>> screws = from_group(45.0, 50, reading_u_g=0.03, relative_piece_sd=0.01, piece_sd_freedom=8)
>>> scale = Scale("II", Decimal("0.1"), Decimal("0.01"), Decimal(3000), repeatability_g=0.012, bias_share=0.5)
>>> budget = budget_of(100, screws, scale, tare_g=2.1, tare_sd_g=0.02, tare_shared_g=0.02)
>>> for term in budget.terms:
...     print(f"{term.name:22}{term.u_g:.4f} g  {budget.share(term):4.0%}")
unit weight           0.1407 g   63%
pieces                0.0900 g   26%
scale, repeatability  0.0120 g    0%
scale, display        0.0029 g    0%
scale, bias           0.0500 g    8%
bag, one to the next  0.0200 g    1%
bag, all of a lot     0.0200 g    1%
>>> round(budget.u_g, 4), round(budget.freedom), budget.sentence
(0.1771, 10, 'Most of it is the unit weight (63 %): take a larger sample.')

Limits: terms are taken as independent; the sample's own bias on the same scale is within the unit weight's.
"""

from dataclasses import dataclass
from math import fsum, inf, sqrt

from fulfil.weighing.sample_proof import effective_freedom
from fulfil.weighing.scale import Scale
from fulfil.weighing.unit_weight import UnitWeight

_REMEDIES = {
    "unit weight": "take a larger sample",
    "pieces": "only fewer pieces in a bag make it smaller",
    "scale, repeatability": "shield the scale from draughts, or use a finer one",
    "scale, display": "use a finer scale",
    "scale, bias": "have the scale adjusted, or use a finer one",
    "bag, one to the next": "tare each empty bag",
    "bag, all of a lot": "weigh ten empty bags of this delivery",
    "lot not sampled": "sample this lot",
    "bags' own weighings": "weigh the bags on a finer scale",
    "bags counted by hand": "weigh these bags too",
    "box, one to the next": "weigh the empty box first",
    "cushioning": "weigh the empty box first",
    "empty box's weight": "use a finer scale",
    "closing strip": "lay strip and papers into the empty box when it is weighed",
    "package's weighing": "use a finer scale",
}


@dataclass(frozen=True, slots=True)
class Term:
    """One component: its standard uncertainty in g with its degrees of freedom."""

    name: str
    u_g: float
    freedom: float = inf

    @property
    def remedy(self) -> str:
        """What would make it smaller."""
        return _REMEDIES[self.name]


@dataclass(frozen=True, slots=True)
class Budget:
    """All components of one bag's weight."""

    pieces: int
    terms: tuple[Term, ...]

    @property
    def u_g(self) -> float:
        """The combined standard uncertainty, in g."""
        return sqrt(fsum(term.u_g**2 for term in self.terms))

    @property
    def freedom(self) -> float:
        """Effective degrees of freedom of it; terms with the same ones rest on one s.d. and are taken together."""
        by_freedom: dict[float, float] = {}
        for term in self.terms:
            by_freedom[term.freedom] = by_freedom.get(term.freedom, 0.0) + term.u_g**2
        return effective_freedom(*((variance, freedom) for freedom, variance in by_freedom.items()))

    @property
    def largest(self) -> Term:
        """The term that makes most of it; the first of equal ones."""
        return max(self.terms, key=lambda term: term.u_g)

    def share(self, term: Term) -> float:
        """A term's share of the variance."""
        return term.u_g**2 / self.u_g**2 if self.u_g > 0.0 else 0.0

    @property
    def sentence(self) -> str:
        """What dominates and what would shrink it."""
        return f"Most of it is the {self.largest.name} ({self.share(self.largest) * 100:.0f} %): {self.largest.remedy}."


def budget_of(
    pieces: int,
    part: UnitWeight,
    scale: Scale,
    *,
    tare_g: float = 0.0,
    tare_sd_g: float = 0.0,
    tare_shared_g: float = 0.0,
    is_tared: bool = False,
) -> Budget:
    """The budget of a bag of ``pieces`` on a scale.

    Args:
        pieces: pieces in the bag, from 1.
        part: their unit weight.
        scale: where the bag is weighed.
        tare_g: expected mass of the empty bag, g.
        tare_sd_g: its s.d. from bag to bag, g.
        tare_shared_g: standard uncertainty of what all bags of a delivery have in common, g.
        is_tared: the net weight is the difference of two readings, and the bag is out of it.
    """
    load_g = pieces * part.mean_g + tare_g
    sampled_u_g = sqrt(max(part.u_g**2 - part.lot_u_g**2, 0.0))
    readings = 2 if is_tared else 1
    reading_g = scale.net_u_g(load_g) if is_tared else scale.indication_u_g(load_g)
    window_g = scale.net_window_u_g(load_g) if is_tared else scale.window_u_g(load_g)
    display_g = float(scale.d_g) * sqrt(readings / 12.0)
    steady_g = sqrt(max(reading_g**2 - display_g**2, 0.0))
    bias_g = sqrt(max(window_g**2 - reading_g**2, 0.0))
    terms = [
        Term("unit weight", pieces * sampled_u_g, part.piece_sd_freedom),
        *([Term("lot not sampled", pieces * part.lot_u_g)] if part.lot_u_g else []),
        Term("pieces", sqrt(pieces) * part.piece_sd_g, part.piece_sd_freedom),
        Term("scale, repeatability", steady_g),
        Term("scale, display", display_g),
        Term("scale, bias", bias_g),
    ]
    if not is_tared:
        terms += [Term("bag, one to the next", tare_sd_g), Term("bag, all of a lot", tare_shared_g)]
    return Budget(pieces, tuple(terms))
