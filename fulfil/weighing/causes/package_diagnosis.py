"""Why a package weighs what it weighs: see :mod:`fulfil.weighing.causes.diagnosis`.

Bags of one part share the error of its unit weight, so it adds up over them before it is squared; a bag
that isn't there takes its share of that error with it.
"""

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from fulfil.errors import WeighingRefused
from fulfil.weighing.causes.bag_diagnosis import LOT_SD_RELATIVE, add_scale_zero
from fulfil.weighing.causes.mistake_priors import PACKAGE_PRIORS, PackagePriors
from fulfil.weighing.causes.packed_bag import PackedBag
from fulfil.weighing.causes.ranking import (
    DECISIVE_ODDS,
    FARTHEST_PART_SD,
    Cause,
    Explanation,
    Ranking,
    check_numbers,
)
from fulfil.weighing.lookalike import LookAlikeIndex

Floats = NDArray[np.float64]


def explain_package(
    gross_g: float,
    bags: Sequence[PackedBag],
    *,
    packing_g: float,
    packing_sd_g: float,
    indication_u_g: float,
    filling_g: float = 0.0,
    near_bags: Sequence[tuple[str, float]] = (),
    other_boxes_g: Sequence[tuple[str, float]] = (),
    catalogue: LookAlikeIndex | None = None,
    lot_sd_relative: float = LOT_SD_RELATIVE,
    zero_sd_g: float | None = None,
    other_density_per_g: float | None = None,
    priors: PackagePriors = PACKAGE_PRIORS,
    least_probability: float = 0.001,
    decisive_odds: float = DECISIVE_ODDS,
) -> tuple[Explanation, ...]:
    """Ranked explanations of one package's weight, the likeliest first.

    Args:
        gross_g: Indication with the closed package, g.
        bags: What should be in it.
        packing_g: Box, filling and papers together, g.
        packing_sd_g: Their s.d., g.
        indication_u_g: Standard uncertainty of the indication, g.
        filling_g: The part of ``packing_g`` that can be forgotten (filling, papers), g.
        near_bags: Bags of other orders that lay beside these, as (code, g): one may be in place of another.
        other_boxes_g: Boxes that may have been taken, as (code, g with filling and papers).
        catalogue: Parts that may have been taken for those in the bags.
        lot_sd_relative: S.d. of a unit weight between lots, as a share of it.
        zero_sd_g: S.d. of a zero that has moved, g; None: ``ZERO_SD_INDICATIONS`` × ``indication_u_g``.
        other_density_per_g: Density of "something else", 1/g; None: flat over 0 to twice the expected weight.
        priors: How often each thing happens.
        least_probability: Explanations below this are left out.
        decisive_odds: Less than these odds between the first two heads the list with "cannot tell".

    Returns:
        Explanations; ``subject`` is the bag code, for a look-alike the part number that may be in it and
        for a lot shift the part number.

    Raises:
        WeighingRefused: no bags, or a number that can't be.
        UnknownRefused: a bag's part is not in ``catalogue``.
    """
    if not bags:
        raise WeighingRefused("explain a package with bags:", 0, "one bag or more")
    check_numbers(
        "explain a package",
        above_zero={"scale's u in g": indication_u_g},
        zero_or_more={"packing in g": packing_g, "packing s.d. in g": packing_sd_g, "filling in g": filling_g},
        finite={"indication in g": gross_g},
    )
    codes = [bag.bag_code for bag in bags]
    numbers = [bag.part_number for bag in bags]
    q, mu, u, sd, tare, tare_sd = np.array(
        [(b.pieces, b.unit_weight_g, b.unit_weight_u_g, b.piece_sd_g, b.tare_g, b.tare_sd_g) for b in bags]
    ).T
    left = np.array([bag.miscount_share for bag in bags])
    names, part = np.unique(numbers, return_inverse=True)
    shared = np.bincount(part, weights=q * u)
    right = float((q * sd**2 + tare_sd**2).sum() + (shared**2).sum() + packing_sd_g**2 + indication_u_g**2)
    expected_g = float((q * mu + tare).sum()) + packing_g
    ranking = Ranking(gross_g - expected_g)

    def with_change(change: Floats) -> Floats:
        """Variance with ``change`` pieces more of a bag's part; the last axis is the bags."""
        total = shared[part]
        changed: Floats = right + change * sd**2 + (total + change * u) ** 2 - total**2
        return changed

    ranking.add(
        Cause.RIGHT,
        priors.right,
        shift_g=0.0,
        variance_g2=right,
        say=lambda _: "Everything may be in it and the weight off by chance. Check the bags against the list.",
    )
    ranking.add(
        Cause.BAG_MISSING,
        priors.bag_missing,
        shift_g=-(q * mu + tare),
        variance_g2=with_change(-q) - tare_sd**2,
        subject=codes.__getitem__,
        say=lambda row: f"Bag {codes[row]} ({bags[row].pieces} {numbers[row]}) isn't in it. Look for it.",
        is_one=False,
    )
    ranking.add(
        Cause.BAG_DOUBLED,
        priors.bag_doubled,
        shift_g=q * mu + tare,
        variance_g2=with_change(q) + tare_sd**2,
        subject=codes.__getitem__,
        say=lambda row: (
            f"A second bag like {codes[row]} ({bags[row].pieces} {numbers[row]}) is in it. "
            "Take it out: another package may lack it."
        ),
        is_one=False,
    )
    _add_mixed_up(ranking, priors, codes, q * mu + tare, right, near_bags, packing_g, other_boxes_g)
    for cause, prior, change in (
        (Cause.ONE_SHORT, priors.one_short, -1),
        (Cause.ONE_OVER, priors.one_over, 1),
        (Cause.TWO_SHORT, priors.two_short, -2),
        (Cause.TWO_OVER, priors.two_over, 2),
    ):
        ranking.add(
            cause,
            np.where(q + change >= 0, prior * left, 0.0),
            shift_g=change * mu,
            variance_g2=with_change(np.full(q.size, change)),
            subject=codes.__getitem__,
            say=_say_miscount(bags, change),
            is_one=False,
        )
    _, first = np.unique(q, return_index=True)
    if first.size > 1:
        changes = q[first][:, None] - q
        ranking.add(
            Cause.OTHER_COUNT,
            np.where(np.abs(changes) > 2, left * priors.other_count / (first.size - 1), 0.0),
            shift_g=changes * mu,
            variance_g2=with_change(changes),
            subject=lambda row: codes[row % q.size],
            say=lambda row: _miscounted(
                bags[row % q.size],
                bags[first[row // q.size]].pieces,
                f" (the count of bag {codes[first[row // q.size]]})",
            ),
            is_one=False,
        )
    if catalogue is not None:
        without = with_change(-q)
        place = np.array([catalogue.place(number) for number in numbers])
        row_bag, wrong = catalogue.by_weight.within_reach(
            q, gross_g - expected_g + q * mu, np.sqrt(without), sds=FARTHEST_PART_SD
        )
        count = q[row_bag]
        ranking.add(
            Cause.LOOK_ALIKE,
            left[row_bag] * priors.look_alike * catalogue.mistake_shares(place[row_bag], wrong),
            shift_g=count * (catalogue.mean_g[wrong] - mu[row_bag]),
            variance_g2=without[row_bag]
            + count * catalogue.piece_sd_g[wrong] ** 2
            + (count * catalogue.u_g[wrong]) ** 2,
            subject=lambda row: catalogue.part_numbers[wrong[row]],
            say=lambda row: (
                f"Bag {codes[row_bag[row]]} may hold {catalogue.part_numbers[wrong[row]]}, not "
                f"{numbers[row_bag[row]]}. {catalogue.difference(int(place[row_bag[row]]), int(wrong[row]))[1]}"
            ),
            is_one=False,
            rest="A bag may hold another part. Look at each bag against its label.",
        )
    for cause, prior, sign, how in (
        (Cause.TARE_FORGOTTEN, priors.tare_forgotten, 1, "wasn't tared off"),
        (Cause.TARE_TWICE, priors.tare_twice, -1, "was tared off twice"),
    ):
        ranking.add(
            cause,
            np.where(tare > 0, prior / q.size, 0.0),
            shift_g=sign * tare,
            variance_g2=right,
            say=_say_tare(tare, how),
        )
    if filling_g > 0:
        ranking.add(
            Cause.PACKING_LEFT_OUT,
            priors.packing_left_out,
            shift_g=-filling_g,
            variance_g2=right,
            say=lambda _: f"The filling or papers ({filling_g:.1f} g) may be left out. Open it and look.",
        )
        ranking.add(
            Cause.PACKING_DOUBLED,
            priors.packing_doubled,
            shift_g=filling_g,
            # Filling is poured in by eye: twice as much is so roughly (judgement).
            variance_g2=right + (0.2 * filling_g) ** 2,
            say=lambda _: f"There may be twice the filling in it ({filling_g:.1f} g more). Open it and look.",
        )
    ranking.add(
        Cause.LOT_SHIFT,
        priors.lot_shift,
        shift_g=0.0,
        variance_g2=right + (lot_sd_relative * np.bincount(part, weights=q * mu)) ** 2,
        subject=lambda row: str(names[row]),
        say=lambda row: f"This lot of {names[row]} may weigh differently. Sample its bin again.",
        is_one=False,
    )
    add_scale_zero(ranking, priors.scale_zero, right, indication_u_g, zero_sd_g)
    ranking.add_flat(
        priors.something_else,
        density_per_g=0.5 / expected_g if other_density_per_g is None else other_density_per_g,
        sentence="None of the usual mistakes fits. Unpack it, check every bag against the list.",
    )
    return ranking.explanations(least_probability=least_probability, decisive_odds=decisive_odds)


def _add_mixed_up(
    ranking: Ranking,
    priors: PackagePriors,
    codes: Sequence[str],
    mass_g: Floats,
    right: float,
    near_bags: Sequence[tuple[str, float]],
    packing_g: float,
    other_boxes_g: Sequence[tuple[str, float]],
) -> None:
    """What got among each other on the cart or at the bench: bags of two orders, two bags at once, boxes."""
    if near_bags:
        near_g = np.array([one_g for _, one_g in near_bags])
        ranking.add(
            Cause.BAG_SWAPPED,
            priors.bag_swapped / near_g.size,
            shift_g=(near_g[None, :] - mass_g[:, None]).ravel(),
            variance_g2=np.full(mass_g.size * near_g.size, right),
            subject=lambda row: codes[row // near_g.size],
            say=lambda row: (
                f"Bag {near_bags[row % near_g.size][0]} of another order may be in it, "
                f"not {codes[row // near_g.size]}. Scan each bag."
            ),
            is_one=False,
            rest="A bag of another order may be in it in place of one of these. Scan each bag.",
        )
    if mass_g.size > 1:
        one, other = np.triu_indices(mass_g.size, 1)
        ranking.add(
            Cause.TWO_BAGS_MISSING,
            priors.two_bags_missing / one.size,
            shift_g=-(mass_g[one] + mass_g[other]),
            variance_g2=np.full(one.size, right),
            subject=lambda row: codes[one[row]],
            say=lambda row: f"Bags {codes[one[row]]} and {codes[other[row]]} aren't in it. Look for both.",
            is_one=False,
            rest="Two bags may not be in it. Check every bag against the list.",
        )
    if other_boxes_g:
        ranking.add(
            Cause.OTHER_BOX,
            priors.other_box / len(other_boxes_g),
            shift_g=np.array([box_g - packing_g for _, box_g in other_boxes_g]),
            variance_g2=np.full(len(other_boxes_g), right),
            subject=lambda row: other_boxes_g[row][0],
            say=lambda row: f"It may be in box {other_boxes_g[row][0]}. Look at the box's own mark.",
            is_one=False,
        )


def _say_miscount(bags: Sequence[PackedBag], change: int) -> Callable[[int], str]:
    return lambda row: _miscounted(bags[row], bags[row].pieces + change)


def _say_tare(tare_g: Floats, how: str) -> Callable[[int], str]:
    return lambda row: f"An empty bag of {tare_g[row]:.2f} g {how}. Clear the tare, weigh again."


def _miscounted(bag: PackedBag, count: int, why: str = "") -> str:
    return f"Bag {bag.bag_code} may hold {count} {bag.part_number}{why}, not {bag.pieces}. Open it and count."
