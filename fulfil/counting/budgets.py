"""Uncertainty budgets for the shop: of a planned bag, and of the largest bag of a part that each scale counts.

A budget is made from what the shop knows *now* (:mod:`fulfil.weighing.budget`); a window keeps the limits that it was
made with.
"""

from dataclasses import dataclass

from fulfil.counting.count_lines import SHARED_TARE_SD, estimate_of, lot_weight, scale_of
from fulfil.counting.reach import Reach
from fulfil.records.equipment import BagType, ScaleRecord
from fulfil.records.part import UnitWeight
from fulfil.records.plan import Bag
from fulfil.store.books import Books
from fulfil.weighing.budget import Budget, budget_of


@dataclass(frozen=True)
class ScaleBudget:
    """The budget of the largest bag that a scale counts of a part."""

    scale_code: str
    budget: Budget


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


def largest_budgets(books: Books, weight: UnitWeight, reaches: tuple[Reach, ...]) -> tuple[ScaleBudget, ...]:
    """For each scale that counts the part, the budget of the largest bag it counts, in the bag type known best."""
    bag_types = sorted(books.find(BagType), key=lambda one: (one.tare_sd_g, one.code))
    sd_g = bag_types[0].tare_sd_g if bag_types else 0.0
    estimate = estimate_of(weight)
    return tuple(
        ScaleBudget(
            reach.scale_code,
            budget_of(
                reach.after,
                estimate,
                scale_of(books.need(ScaleRecord, reach.scale_code)),
                tare_sd_g=sd_g,
                tare_shared_g=SHARED_TARE_SD * sd_g,
            ),
        )
        for reach in reaches
        if reach.after > 0
    )


def budget_lines(budget: Budget) -> list[str]:
    """The budget in lines, terms of one percent and more, largest first; and what would shrink it."""
    terms = sorted(budget.terms, key=lambda term: -term.u_g)
    freedom = f", {budget.freedom:.0f} effective degrees of freedom" if budget.freedom < 1e6 else ""
    return [
        f"Its weight is known to {budget.u_g:.2g} g (standard uncertainty{freedom}):",
        *(f"  {term.name}: {term.u_g:.2g} g, {budget.share(term):.0%}" for term in terms if budget.share(term) >= 0.01),
        budget.sentence,
    ]
