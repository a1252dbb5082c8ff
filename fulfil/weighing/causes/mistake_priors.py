"""How often each mistake is behind a weight that is off: the priors of the diagnosis.

The defaults are judgement for a bench where one weighing in thirty is off for a reason. They matter
only where two explanations weigh the same; a shop that has counted its own mistakes passes its own.
Rates needn't sum to one, only their ratios count.

>>> BagPriors(one_short=-0.1)
Traceback (most recent call last):
    ...
fulfil.errors.WeighingRefused: Cannot take the prior one_short '-0.1': expected a number of 0 or more.
"""

from dataclasses import dataclass, fields
from math import isfinite

from fulfil.errors import WeighingRefused


@dataclass(frozen=True, slots=True)
class BagPriors:
    """How often each thing is behind the weight of one bag (judgement)."""

    right: float = 0.97
    one_short: float = 0.006
    one_over: float = 0.004
    two_short: float = 0.0015
    two_over: float = 0.001
    several_short: float = 0.001
    several_over: float = 0.001
    other_count: float = 0.001
    labels_swapped: float = 0.001
    look_alike: float = 0.003
    foreign_piece: float = 0.0005
    tare_forgotten: float = 0.002
    tare_twice: float = 0.001
    other_bag_type: float = 0.002
    lot_shift: float = 0.003
    scale_zero: float = 0.001
    something_else: float = 0.001

    def __post_init__(self) -> None:
        _check_priors(self)


@dataclass(frozen=True, slots=True)
class PackagePriors:
    """How often each thing is behind the weight of one package (judgement).

    The causes that befall one bag (missing, doubled, swapped, miscounted, wrong part) are rates per bag; a lot
    shift is a rate per part; the others are rates per package. What a bag's own check has ruled out is left out
    bag by bag (:attr:`fulfil.weighing.causes.packed_bag.PackedBag.miscount_share`).
    """

    right: float = 0.97
    bag_missing: float = 0.002
    bag_doubled: float = 0.0005
    one_short: float = 0.003
    one_over: float = 0.002
    two_short: float = 0.0005
    two_over: float = 0.0005
    other_count: float = 0.0005
    look_alike: float = 0.001
    tare_forgotten: float = 0.002
    tare_twice: float = 0.002
    packing_left_out: float = 0.002
    packing_doubled: float = 0.002
    bag_swapped: float = 0.001
    two_bags_missing: float = 0.0005
    other_box: float = 0.001
    lot_shift: float = 0.001
    scale_zero: float = 0.001
    something_else: float = 0.002

    def __post_init__(self) -> None:
        _check_priors(self)


def _check_priors(priors: BagPriors | PackagePriors) -> None:
    for field in fields(priors):
        rate = getattr(priors, field.name)
        if not (isfinite(rate) and rate >= 0):
            raise WeighingRefused(f"take the prior {field.name}", rate, "a number of 0 or more")
    if priors.something_else == 0:
        raise WeighingRefused("take the prior something_else", 0.0, "a number above 0: no list is complete")


BAG_PRIORS = BagPriors()
PACKAGE_PRIORS = PackagePriors()
