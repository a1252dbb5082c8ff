"""The risks of a window by the worst believable unit weight, beside their mean over all that it may be.

The error of a unit weight is one for all bags of a part. A risk that is stated as a mean over it may hold on average
and not for this part: one unlucky sample in twenty does worse than its 95th percentile, which is stated here. A bag one
piece short passes more often the heavier the pieces really are, one piece over the lighter; a right bag is sent back
more often the farther off they are, on either side. So the percentiles over what the true unit weight may be
(JCGM 106:2012, 6) are the risks at its own quantiles: at + and - t(0.95) u for the two, at t(0.975) u for the third,
with Student's t where u rests on few pieces (JCGM 100:2008, G.3).

>>> from fulfil.weighing.unit_weight import from_group
>>> from fulfil.weighing.limits import risks_of_limits
>>> screws = from_group(45.0, 50, reading_u_g=0.03, relative_piece_sd=0.01)
>>> scale = Scale("II", Decimal("0.1"), Decimal("0.01"), Decimal(3000), repeatability_g=0.012)
>>> worst = worst_risks(90, Decimal("82.65"), Decimal("83.55"), screws, scale, tare_g=2.1, tare_u_g=0.02)
>>> f"{worst.p_pass_one_short:.2%} {worst.p_pass_one_over:.2%} {worst.p_reject:.2%}"
'0.33% 0.42% 0.97%'

Windows may be chosen by the mean or by the 95th percentile (:func:`held_by_worst`): then the chance that a bag one
piece off passes is held at these quantiles. Sending right bags back stays a mean: it costs a recount, no customer.

Limits: the piece s.d. and the scale's bias are as in the mean; of pours the union bound is taken.
"""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from math import isfinite
from typing import TypeVar

from fulfil.weighing.error_model import ErrorModel
from fulfil.weighing.limits import risks_of_limits
from fulfil.weighing.resolving import quantile
from fulfil.weighing.scale import Scale
from fulfil.weighing.tails import stdtrit
from fulfil.weighing.unit_weight import UnitWeight

SHARE = 0.95
"""The percentile over samples that is stated."""
MOST_HALVINGS = 12
RARE = 1e-6
"""A chance below this is told in words."""
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class WorstRisks:
    """95th percentiles over what the true unit weight may be, each by itself."""

    p_pass_one_short: float
    p_pass_one_over: float
    p_reject: float

    @property
    def p_pass(self) -> float:
        """The larger of both chances that a bag one piece off passes."""
        return max(self.p_pass_one_short, self.p_pass_one_over)


def worst_risks(
    pieces: int,
    lower_g: Decimal,
    upper_g: Decimal,
    part: UnitWeight,
    scale: Scale,
    *,
    tare_g: float = 0.0,
    tare_u_g: float = 0.0,
    is_tared: bool = False,
    pours: int = 1,
) -> WorstRisks:
    """The risks of limits as shown, by the worst believable unit weight.

    Args:
        pieces: pieces in the bag, or in each of its pours.
        lower_g: lower limit on the display, g, gross (net where the scale is tared).
        upper_g: upper limit, likewise.
        part: unit weight of the pieces.
        scale: where the bag is weighed.
        tare_g: expected mass of the empty bag, g; 0 where the scale is tared.
        tare_u_g: its standard uncertainty, g.
        is_tared: the net weight is the difference of two readings.
        pours: how many pours of so many pieces make up the bag.

    Raises:
        QuantityRefused: pieces below 1 or not whole.
        WeighingRefused: limits the wrong way round.
    """
    load_g = pieces * part.mean_g + tare_g
    one_sided, two_sided = (_t(share, part.piece_sd_freedom) * part.u_g for share in (SHARE, (1 + SHARE) / 2))

    def at(error_g: float) -> tuple[float, float, float]:
        found = risks_of_limits(
            pieces,
            lower_g,
            upper_g,
            unit_weight_g=part.mean_g,
            unit_weight_u_g=part.u_g,
            piece_sd_g=part.piece_sd_g,
            indication_u_g=float(scale.net_window_u_g(load_g) if is_tared else scale.window_u_g(load_g)),
            tare_g=tare_g,
            tare_u_g=tare_u_g,
            d_g=scale.d_g,
            averaged_over="own sample",
            unit_weight_error_g=error_g,
        )
        return float(found.p_pass_one_short), float(found.p_pass_one_over), float(found.p_reject)

    short, over = at(one_sided)[0], at(-one_sided)[1]
    reject = max(at(two_sided)[2], at(-two_sided)[2])
    return WorstRisks(*(min(1.0, pours * risk) for risk in (short, over, reject)))


def chance_words(p: float) -> str:
    """A chance as printed: figures that no count of bags could ever show are told in words.

    >>> chance_words(0.00392), chance_words(2e-9)
    ('0.39 %', 'less than 1 in a million')
    """
    return "less than 1 in a million" if p < RARE else f"{100 * p:.2g} %"


def held_by_worst(make: Callable[[float], T | None], worst: Callable[[T], float], risk_pass: float) -> T | None:
    """What ``make`` gives for the largest of ``risk_pass``, its half, its quarter … whose worst is within it.

    None where ``make`` gives nothing for one of them before that: narrower windows don't hold the other risk either.

    >>> held_by_worst(lambda risk: risk, lambda risk: 3 * risk, 0.001)
    0.00025
    """
    for halving in range(MOST_HALVINGS):
        made = make(risk_pass / 2**halving)
        if made is None or worst(made) <= risk_pass:
            return made
    return None


def is_held_by_worst(bag: ErrorModel, freedom: float, *, risk_pass: float, risk_reject: float) -> bool:
    """Whether some window of a bag of single numbers holds the risk to pass by the worst believable unit weight."""
    known = ErrorModel(
        bag.arithmetic, bag.pieces, bag.loose_pieces, bag.unit_weight_g, 0.0, bag.piece_sd_g, bag.fixed_variance_g2,
        bag.tare_g, bag.is_own_sample,
    )  # fmt: skip
    error_g = _t(SHARE, freedom) * bag.unit_weight_u_g
    z_pass = quantile(risk_pass)
    down, up = (
        bag.unit_weight_g - z_pass * known.spread(offset) - (bag.pieces + offset) * error_g for offset in (-1, 1)
    )
    return bool(bag.reject_probability(-down, up) <= risk_reject)


def _t(share: float, freedom: float) -> float:
    """Student's quantile; the normal one for a freedom without end."""
    return float(stdtrit(freedom, share)) if isfinite(freedom) else quantile(1.0 - share)
