"""A bag counted on the tared scale: in one pour, or in several of the same number, tared before each.

A bag that is tared by its type carries the tare's scatter; for pieces of 50 mg that alone may be a quarter of a piece.
Tared itself, one weighing more, it is out of the balance, and a net weight is left: two readings and the scale's
lasting error. What one pour can't tell, several can: each is the same number of pieces between the same limits, so that
a paper may print them. Pieces that don't come out even are counted in by hand first, fewer than there are pours.

The risks are those of the whole bag. Each of k pours is held to 1/k of both (union bound); that a miscounted sample
makes every pour wrong alike is one chance for the bag, not k.

>>> from decimal import Decimal
>>> from fulfil.weighing.unit_weight import from_group
>>> fine = Scale("II", Decimal("0.01"), Decimal("0.001"), Decimal(220), repeatability_g=0.0015, bias_share=0.25)
>>> pins = from_group(5.0, 100, reading_u_g=0.003, relative_piece_sd=0.01)
>>> for pieces in (50, 500, 497):
...     found = counted_pours(pieces, pins, fine)
...     print(found.pours, found.each.pieces, found.odd_pieces, found.each.lower_g, found.each.upper_g)
1 50 0 2.476 2.524
10 50 0 2.476 2.524
7 71 0 3.526 3.574
>>> counted_pours(500, from_group(1.0, 100, reading_u_g=0.003, relative_piece_sd=0.01), fine) is None  # 10 mg a piece
True

Limits: those of :mod:`fulfil.weighing.count_up`; unlike there the limits stand before anything is poured, so that the
bag's own pieces teach nothing.
"""

from dataclasses import dataclass, replace
from math import ceil, sqrt

from fulfil.weighing.causes.miscount import passes_miscounted
from fulfil.weighing.count_up import MOST_STAGES, Belief, Pourer, Stage
from fulfil.weighing.error_model import checked_pieces
from fulfil.weighing.limits import Risks
from fulfil.weighing.scale import Scale
from fulfil.weighing.split import hand_reason
from fulfil.weighing.unit_weight import UnitWeight


@dataclass(frozen=True, slots=True)
class CountedPours:
    """A bag in equal pours; ``odd_pieces`` are counted in by hand before the first. ``risks`` are the whole bag's."""

    pours: int
    each: Stage
    odd_pieces: int
    risks: Risks

    @property
    def pieces(self) -> int:
        """All pieces of the bag."""
        return self.pours * self.each.pieces + self.odd_pieces


def pourer_of(unit_weight: UnitWeight, scale: Scale, net_g: float) -> Pourer:
    """The part on this scale, for net weights of about this size."""
    reading_u_g = float(scale.net_u_g(net_g))
    lasting_g2 = float(scale.net_window_u_g(net_g)) ** 2 - reading_u_g**2
    return Pourer(unit_weight.piece_sd_g, reading_u_g, sqrt(max(lasting_g2, 0.0)), scale.d_g)


def belief_of(unit_weight: UnitWeight) -> Belief:
    """What the shop knows of the unit weight before the first pour."""
    return Belief(unit_weight.mean_g, unit_weight.u_g)


def counted_pours(
    pieces: int,
    unit_weight: UnitWeight,
    scale: Scale,
    *,
    tare_g: float = 0.0,
    most_pours: int = MOST_STAGES,
    risk_pass: float = 0.001,
    risk_reject: float = 0.005,
) -> CountedPours | None:
    """The fewest equal pours that count ``pieces``, or None where none do.

    Up to half as many pours more are taken if they come out even: "5 of 100" is easier to do than "4 of 124 and 4".
    ``tare_g`` is the empty bag's mass, for the scale's capacity.

    Raises:
        QuantityRefused: pieces below 1 or not whole.
    """
    checked_pieces(pieces, True)
    if hand_reason(unit_weight, scale) or pieces * unit_weight.mean_g + tare_g > float(scale.capacity_g):
        return None
    known = unit_weight.cautious(min(risk_pass, risk_reject / 2) / most_pours)
    found: CountedPours | None = None
    for pours in range(1, min(most_pours, pieces) + 1):
        if found is not None and pours > ceil(1.5 * found.pours):
            break
        if found is not None and pieces % pours:
            continue
        made = _in_pours(pieces, pours, known, scale, risk_pass, risk_reject)
        if made is not None and (found is None or made.odd_pieces == 0):
            found = made
            if found.odd_pieces == 0:
                break
    return found


def _in_pours(
    pieces: int, pours: int, known: UnitWeight, scale: Scale, risk_pass: float, risk_reject: float
) -> CountedPours | None:
    each = pieces // pours
    net_g = each * known.mean_g
    if net_g < float(scale.min_load_g or 0):
        return None
    pourer, belief = pourer_of(known, scale, net_g), belief_of(known)
    stage = pourer.stage(each, belief, risk_pass=risk_pass / pours, risk_reject=risk_reject / pours)
    if stage is None:
        return None
    risks = _of_bag(stage, pours)
    if known.count_doubt > 0.0:
        half_d = float(scale.d_g) / 2
        low, high = float(stage.lower_g) - half_d - stage.target_g, float(stage.upper_g) + half_d - stage.target_g
        model = pourer.model(each, belief)
        more = float(
            passes_miscounted(model, low, high, sample_pieces=known.sample_pieces, count_doubt=known.count_doubt)
        )
        risks = replace(
            risks, p_pass_one_short=risks.p_pass_one_short + more, p_pass_one_over=risks.p_pass_one_over + more
        )
        if not risks.hold(risk_pass, risk_reject):
            return None
    return CountedPours(pours, stage, pieces - pours * each, risks)


def _of_bag(stage: Stage, pours: int) -> Risks:
    """The union bound over equal pours."""
    one = stage.risks
    short, over, rejects = (
        pours * one.p_pass_one_short,
        pours * one.p_pass_one_over,
        min(1.0, pours * one.p_reject),
    )
    two_short, two_over = pours * one.p_pass_two_short, pours * one.p_pass_two_over
    return Risks(two_short, short, 1.0 - rejects, over, two_over, rejects)
