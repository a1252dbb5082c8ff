"""Uncertainty budgets for the shop: of a planned bag, and of the largest bag of a part that each scale counts.

A budget is made from what the shop knows *now* (:mod:`fulfil.weighing.budget`); a window keeps the limits that it was
made with.
"""

from dataclasses import dataclass
from decimal import Decimal
from math import hypot

from fulfil.counting.count_lines import SHARED_TARE_SD, bag_tare_u_g, scale_of
from fulfil.counting.lot_weights import estimate_of, lot_weight
from fulfil.counting.reach import Reach
from fulfil.records.equipment import BagType, ScaleRecord
from fulfil.records.part import UnitWeight
from fulfil.records.plan import Bag
from fulfil.store.books import Books
from fulfil.weighing.budget import Budget, budget_of
from fulfil.weighing.independence import SecondWeighing, second_weighing
from fulfil.weighing.scale import Scale
from fulfil.weighing.unit_weight import UnitWeight as UnitWeightEstimate
from fulfil.weighing.window import count_window
from fulfil.weighing.worst_sample import WorstRisks, chance_words, worst_risks


@dataclass(frozen=True)
class ScaleBudget:
    """The budget of the largest bag that a scale counts of a part; ``worst``: its risks by an unlucky sample."""

    scale_code: str
    budget: Budget
    worst: WorstRisks


def bag_budget(books: Books, bag: Bag) -> Budget | None:
    """The budget of a bag that is counted by weight, or of one of its pours; None for one that is counted by hand."""
    scale = books.get(ScaleRecord, bag.scale_code) if bag.lower_g is not None else None
    weight = lot_weight(books, bag.part_number, bag.lot)
    bag_type = books.get(BagType, bag.bag_type)
    if scale is None or weight is None or bag_type is None:
        return None
    if bag.method.is_net:
        return budget_of(bag.pour_pieces, weight.estimate, scale_of(scale), is_tared=True)
    return budget_of(
        bag.pieces,
        weight.estimate,
        scale_of(scale),
        tare_g=float(bag.tare_g),
        tare_sd_g=bag_type.tare_sd_g,
        tare_shared_g=SHARED_TARE_SD * bag_type.tare_sd_g,
    )


@dataclass(frozen=True)
class _Planned:
    estimate: UnitWeightEstimate
    scale: Scale
    lower_g: Decimal
    upper_g: Decimal
    tare_u_g: float


def _planned(books: Books, bag: Bag) -> _Planned | None:
    """What a bag's window rests on, as it is known now; None for one that is counted by hand."""
    scale = books.get(ScaleRecord, bag.scale_code) if bag.lower_g is not None else None
    weight = lot_weight(books, bag.part_number, bag.lot)
    bag_type = books.get(BagType, bag.bag_type)
    if scale is None or weight is None or bag_type is None or bag.lower_g is None or bag.upper_g is None:
        return None
    return _Planned(weight.estimate, scale_of(scale), bag.lower_g, bag.upper_g, bag_tare_u_g(bag_type))


def bag_worst(books: Books, bag: Bag) -> WorstRisks | None:
    """A planned bag's risks by the worst believable unit weight, from what is known now; None as :func:`bag_budget`."""
    known = _planned(books, bag)
    if known is None:
        return None
    limits = known.lower_g, known.upper_g
    if bag.method.is_net:
        return worst_risks(
            bag.pour_pieces, *limits, known.estimate, known.scale, is_tared=True, pours=max(1, bag.pours)
        )
    return worst_risks(
        bag.pieces, *limits, known.estimate, known.scale, tare_g=float(bag.tare_g), tare_u_g=known.tare_u_g
    )


def bag_second(books: Books, bag: Bag) -> SecondWeighing | None:
    """What the checker's weighing of a planned bag adds to the picker's; None as :func:`bag_budget`."""
    known = _planned(books, bag)
    if known is None:
        return None
    estimate, scale, tare_u_g = known.estimate, known.scale, known.tare_u_g
    if bag.method.is_net:
        return second_weighing(bag.pour_pieces, known.lower_g, known.upper_g, estimate, scale, is_tared=True)
    return second_weighing(
        bag.pieces, known.lower_g, known.upper_g, estimate, scale, tare_g=float(bag.tare_g), tare_u_g=tare_u_g
    )


def worst_words(worst: WorstRisks) -> str:
    """What the worst believable unit weight does to a bag's risks, in words."""
    short, over = chance_words(worst.p_pass_one_short), chance_words(worst.p_pass_one_over)
    return (
        f"By the worst believable unit weight (95th percentile over samples) one short passes with {short}, "
        f"one over with {over}, a right bag is sent back with {chance_words(worst.p_reject)}"
    )


def largest_budgets(books: Books, weight: UnitWeight, reaches: tuple[Reach, ...]) -> tuple[ScaleBudget, ...]:
    """For each scale that counts the part, the budget of the largest bag it counts, in the bag type known best."""
    bag_types = sorted(books.find(BagType), key=lambda one: (one.tare_sd_g, one.code))
    sd_g = bag_types[0].tare_sd_g if bag_types else 0.0
    return tuple(_largest(books, reach, estimate_of(weight), sd_g) for reach in reaches if reach.after > 0)


def _largest(books: Books, reach: Reach, estimate: UnitWeightEstimate, tare_sd_g: float) -> ScaleBudget:
    scale, settings = scale_of(books.need(ScaleRecord, reach.scale_code)), books.settings()
    shared_g = SHARED_TARE_SD * tare_sd_g
    budget = budget_of(reach.after, estimate, scale, tare_sd_g=tare_sd_g, tare_shared_g=shared_g)
    tare_u_g = hypot(tare_sd_g, shared_g)
    known = estimate.cautious(min(settings.risk_pass, settings.risk_reject / 2))
    window = count_window(
        reach.after,
        unit_weight_g=known.mean_g,
        unit_weight_u_g=known.u_g,
        piece_sd_g=known.piece_sd_g,
        indication_u_g=scale.window_u_g(reach.after * known.mean_g),
        tare_u_g=tare_u_g,
        risk_pass=settings.risk_pass,
        risk_reject=settings.risk_reject,
        d_g=scale.d_g,
    )
    lower_g, upper_g = (Decimal(repr(round(limit_g, 6))) for limit_g in (window.lower_g, window.upper_g))
    worst = worst_risks(reach.after, lower_g, upper_g, estimate, scale, tare_u_g=tare_u_g)
    return ScaleBudget(reach.scale_code, budget, worst)


def budget_lines(budget: Budget) -> list[str]:
    """The budget in lines, terms of one percent and more, largest first; and what would shrink it."""
    terms = sorted(budget.terms, key=lambda term: -term.u_g)
    freedom = f", {budget.freedom:.0f} effective degrees of freedom" if budget.freedom < 1e6 else ""
    return [
        f"Its weight is known to {budget.u_g:.2g} g (standard uncertainty{freedom}):",
        *(f"  {term.name}: {term.u_g:.2g} g, {budget.share(term):.0%}" for term in terms if budget.share(term) >= 0.01),
        budget.sentence,
    ]
