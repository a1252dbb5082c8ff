"""The three outcomes for a line: count by weight, split into bags that can be, or count by hand. Never a silent guess.

The order of the decision:

1. a unit weight from geometry or a table, or a piece too light for the scale: by hand (and sample first);
2. a whole bag whose *printed* window holds both risks, averaged over the part's own sample, within the scale's range:
   weigh (so a plan is a shade stricter than :func:`fulfil.weighing.window.largest_count`);
3. else k = 2 … ``k_max`` bags as equal as possible. The chance that any of k bags goes wrong is at most the sum of the
   single chances (union bound), so every bag is held to 1/k of both risks and the line keeps its own. The common error
   of the unit weight makes the bags' errors dependent; the bound holds all the same, it is only cautious;
4. else by hand; the reason says which risk gives and whether a larger sample would do.

Where the sample's hand count isn't proven, a bag is weighed only if both risks hold with the chance added that the
sample was miscounted (:mod:`fulfil.weighing.causes.miscount`).

House rule for the lightest piece: 3 e, as NIST Handbook 44 has for prescription scales (2.20, S.1.2.3; quoted from
memory), and never less than one interval d.

>>> from fulfil.weighing.unit_weight import from_group
>>> bench = Scale("III", Decimal("0.1"), Decimal("0.1"), Decimal(3000), repeatability_g=0.02)
>>> screws = from_group(45.0, 50, reading_u_g=0.03, relative_piece_sd=0.01)
>>> for pieces in (50, 150, 2000):
...     plan = counting_plan(pieces, screws, bench, tare_g=2.1, tare_u_g=0.02)
...     print(plan.method, plan.bag_pieces)
weigh (50,)
split (75, 75)
hand (2000,)
>>> print(plan.reason)
2000 pieces by weight: in one bag, one short or over would pass with 12 % and a right bag would be sent \
back with 87 %; even 5 bags don't hold the risks. Count by hand; no larger sample would do.

Limits: those of the error model; the bags of one line are planned for one scale and one lot.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Literal, TypeAlias

from fulfil.errors import QuantityRefused
from fulfil.quantities import equal_shares
from fulfil.standards.nist_hb44 import LEAST_PIECE_E
from fulfil.weighing.causes.miscount import passes_miscounted
from fulfil.weighing.error_model import SINGLE, ErrorModel, checked_mass, checked_pieces
from fulfil.weighing.limits import Risks, printed_limits, risks_between
from fulfil.weighing.resolving import is_resolvable
from fulfil.weighing.sampling import smallest_sample
from fulfil.weighing.scale import Scale
from fulfil.weighing.unit_weight import UnitWeight
from fulfil.weighing.window import window_of
from fulfil.weighing.window_types import CountWindow

Method: TypeAlias = Literal["weigh", "split", "hand"]


@dataclass(frozen=True, slots=True)
class CountedBag:
    """One bag that is counted by weight: its window, the limits as printed, and the risks of the printed limits."""

    pieces: int
    window: CountWindow
    lower_g: Decimal
    upper_g: Decimal
    risks: Risks


@dataclass(frozen=True, slots=True)
class CountingPlan:
    """How a line is counted. ``bag_pieces`` sums to the pieces ordered; ``bags`` is empty for a count by hand."""

    method: Method
    bag_pieces: tuple[int, ...]
    bags: tuple[CountedBag, ...]
    reason: str
    gives: Literal["", "risk_pass", "risk_reject", "both"] = ""
    """Which risk can't be met in one bag with limits at half a unit weight; empty when it can or isn't asked."""
    sample_pieces: int | None = None
    """Smallest sample that would let the whole line be weighed in one bag, if there is one and it is needed."""

    @property
    def p_any_passes(self) -> float:
        """Union bound of the chance that some bag of the line passes one piece off."""
        return math.fsum(max(bag.risks.p_pass_one_short, bag.risks.p_pass_one_over) for bag in self.bags)

    @property
    def p_any_rejected(self) -> float:
        """Union bound of the chance that some right bag of the line is sent back."""
        return math.fsum(bag.risks.p_reject for bag in self.bags)


def counting_plan(
    pieces: int,
    unit_weight: UnitWeight,
    scale: Scale,
    *,
    tare_g: float = 0.0,
    tare_u_g: float = 0.0,
    k_max: int = 5,
    risk_pass: float = 0.001,
    risk_reject: float = 0.005,
) -> CountingPlan:
    """Decide how a line of ``pieces`` is counted on this scale; the risks are those of the whole line.

    ``tare_g`` is the expected mass of one empty bag and ``tare_u_g`` its s.d.; windows are gross.

    Raises:
        QuantityRefused: pieces below 1 or not whole, ``k_max`` below 1.
        WeighingRefused: a tare or risk that can't be.
    """
    checked_pieces(pieces, True)
    tare_g, tare_u_g = checked_mass(tare_g, "tare", True), checked_mass(tare_u_g, "tare uncertainty", True)
    if k_max < 1:
        raise QuantityRefused("split into bags, at most", k_max, "1 or more")
    by_hand = hand_reason(unit_weight, scale)
    if by_hand:
        return CountingPlan("hand", (pieces,), (), by_hand)
    line = _Line(unit_weight.cautious(min(risk_pass, risk_reject / 2) / k_max), scale, tare_g, tare_u_g)
    for k in range(1, min(k_max, pieces) + 1):
        counted = _all_counted(equal_shares(pieces, k), line, risk_pass, risk_reject)
        if counted is not None:
            return _weighed(counted, risk_pass, risk_reject)
    return _given_up(pieces, line, k_max, risk_pass, risk_reject)


def counted_bags(
    bag_pieces: Sequence[int],
    unit_weight: UnitWeight,
    scale: Scale,
    *,
    tare_g: float = 0.0,
    tare_u_g: float = 0.0,
    risk_pass: float = 0.001,
    risk_reject: float = 0.005,
) -> tuple[CountedBag, ...] | None:
    """The bags of a line whose sizes are settled already, or None where they can't all be counted by weight.

    For a plan whose bags follow from their volume. ``bag_pieces`` differ by one piece at most, larger ones first; each
    bag is held to its share of both risks, so that the line keeps them (rule 3 above).
    """
    if hand_reason(unit_weight, scale):
        return None
    cautious = unit_weight.cautious(min(risk_pass, risk_reject / 2) / len(bag_pieces))
    line = _Line(cautious, scale, float(tare_g), float(tare_u_g))
    return _all_counted(bag_pieces, line, risk_pass, risk_reject)


def _all_counted(
    sizes: Sequence[int], line: "_Line", risk_pass: float, risk_reject: float
) -> tuple[CountedBag, ...] | None:
    k = len(sizes)
    largest = line.bag(sizes[0], risk_pass / k, risk_reject / k)
    if largest is None:
        return None
    smallest = largest if sizes[-1] == sizes[0] else line.bag(sizes[-1], risk_pass / k, risk_reject / k)
    if smallest is None:
        return None
    return tuple(largest if size == sizes[0] else smallest for size in sizes)


@dataclass(frozen=True, slots=True)
class _Line:
    unit_weight: UnitWeight
    scale: Scale
    tare_g: float
    tare_u_g: float

    def model(self, pieces: int) -> ErrorModel:
        part = self.unit_weight
        indication_u = self.scale.window_u_g(pieces * part.mean_g + self.tare_g)
        fixed = indication_u**2 + self.tare_u_g**2
        count = float(pieces)
        return ErrorModel(SINGLE, count, count, part.mean_g, part.u_g, part.piece_sd_g, fixed, self.tare_g)

    def bag(self, pieces: int, risk_pass: float, risk_reject: float) -> CountedBag | None:
        """The counted bag, or None when the scale can't weigh it or its printed window doesn't hold both risks."""
        net_g = pieces * self.unit_weight.mean_g
        if net_g < float(self.scale.min_load_g or 0) or net_g + self.tare_g > float(self.scale.capacity_g):
            return None
        model = self.model(pieces)
        if not is_resolvable(model, risk_pass, risk_reject):
            return None
        window = window_of(model, risk_pass=risk_pass, risk_reject=risk_reject)
        printed = printed_limits(model, window, self.scale.d_g, risk_pass=risk_pass, risk_reject=risk_reject)
        if printed is None:
            return None
        lower, upper, risks = printed
        if self.unit_weight.count_doubt > 0.0:
            risks = self._with_doubt(model, lower, upper, risks)
            if not risks.hold(risk_pass, risk_reject):
                return None
        return CountedBag(pieces, window, lower, upper, risks)

    def _with_doubt(self, model: ErrorModel, lower_g: Decimal, upper_g: Decimal, risks: Risks) -> Risks:
        """The risks with what a miscounted sample adds to them."""
        half_d = float(self.scale.d_g) / 2
        part = self.unit_weight
        more = float(
            passes_miscounted(
                model,
                float(lower_g) - half_d - model.target_g,
                float(upper_g) + half_d - model.target_g,
                sample_pieces=part.sample_pieces,
                count_doubt=part.count_doubt,
            )
        )
        return replace(
            risks, p_pass_one_short=risks.p_pass_one_short + more, p_pass_one_over=risks.p_pass_one_over + more
        )


def hand_reason(part: UnitWeight, scale: Scale) -> str:
    """Why this part is never counted by weight on this scale, whatever the count; empty where it may be."""
    if not part.is_usable_for_acceptance:
        return f"The unit weight {part.mean_g:.4g} g comes from {part.source}, not from pieces. Sample first: {_SAMPLE}"
    if part.mean_g < float(scale.d_g):
        return (
            f"Too light for this scale: one piece is {part.mean_g:.3g} g, less than its interval of {scale.d_g} g. "
            "Count by hand."
        )
    if part.mean_g < LEAST_PIECE_E * float(scale.e_g):
        return (
            f"Too light for this scale: one piece is {part.mean_g:.3g} g, "
            f"less than {LEAST_PIECE_E} e = {LEAST_PIECE_E * scale.e_g} g. Count by hand."
        )
    return ""


_SAMPLE = "count 50 pieces out by hand, weigh them together and record it; until then count by hand."


def _weighed(bags: tuple[CountedBag, ...], risk_pass: float, risk_reject: float) -> CountingPlan:
    sizes = tuple(bag.pieces for bag in bags)
    promise = (
        f"one piece off passes at most {_percent(risk_pass)}, a right bag is sent back at most {_percent(risk_reject)}"
    )
    if len(sizes) == 1:
        return CountingPlan("weigh", sizes, bags, f"{sizes[0]} pieces by weight: {promise}.")
    listed = " + ".join(map(str, sizes))
    return CountingPlan("split", sizes, bags, f"Split into {len(sizes)} bags of {listed}: over all of them, {promise}.")


def _given_up(pieces: int, line: _Line, k_max: int, risk_pass: float, risk_reject: float) -> CountingPlan:
    part, scale = line.unit_weight, line.scale
    net_g = pieces * part.mean_g
    if net_g < float(scale.min_load_g or 0):
        reason = f"{_weigh(pieces)} {net_g:.3g} g, less than the scale's minimum load of {scale.min_load_g} g."
        return CountingPlan("hand", (pieces,), (), f"{reason} Count by hand.")
    if net_g / k_max + line.tare_g > float(scale.capacity_g):
        reason = f"{_weigh(pieces)} {net_g:.0f} g, too much for {k_max} bags on a scale of {scale.capacity_g} g."
        return CountingPlan("hand", (pieces,), (), f"{reason} Use a larger scale, or count by hand.")
    model = line.model(pieces)
    half = 0.5 * part.mean_g
    risks = risks_between(model, -half, half)
    p_pass = max(risks.p_pass_one_short, risks.p_pass_one_over)
    passes_too_often, rejects_too_often = p_pass > risk_pass, risks.p_reject > risk_reject
    gives: Literal["", "risk_pass", "risk_reject", "both"] = "both"
    if not (passes_too_often and rejects_too_often):
        gives = "risk_pass" if passes_too_often else "risk_reject" if rejects_too_often else ""
    sample = smallest_sample(
        pieces,
        unit_weight_g=part.mean_g,
        piece_sd_g=part.piece_sd_g,
        indication_u_g=scale.window_u_g(net_g + line.tare_g),
        reading_u_g=scale.net_window_u_g(net_g),
        tare_u_g=line.tare_u_g,
        risk_pass=risk_pass,
        risk_reject=risk_reject,
    )
    remedy = "no larger sample would do" if sample is None else f"a sample of {sample} pieces would do in one bag"
    return CountingPlan(
        "hand",
        (pieces,),
        (),
        f"{pieces} pieces by weight: in one bag, one short or over would pass with {_percent(p_pass)} and a right bag "
        f"would be sent back with {_percent(risks.p_reject)}; even {k_max} bags don't hold the risks. "
        f"Count by hand; {remedy}.",
        gives,
        sample,
    )


def _percent(probability: float) -> str:
    return f"{100 * probability:.2g} %"


def _weigh(pieces: int) -> str:
    return "1 piece weighs" if pieces == 1 else f"{pieces} pieces weigh"
