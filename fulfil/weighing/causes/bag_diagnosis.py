"""Why one bag weighs what it weighs: see :mod:`fulfil.weighing.causes.diagnosis`.

Fifty screws of 1.2 g, one missing:

>>> best = explain_bag(58.8, part_number="CAP-M3x16", pieces=50, unit_weight_g=1.2, unit_weight_u_g=0.001,
...                    piece_sd_g=0.006, indication_u_g=0.03)[0]
>>> best.cause.value, best.probability > 0.99
('one short', True)
>>> best.sentence
'One piece short: 49 of 50. Count again.'
"""

from collections.abc import Sequence

import numpy as np

from fulfil.weighing.causes.mistake_priors import BAG_PRIORS, BagPriors
from fulfil.weighing.causes.ranking import (
    DECISIVE_ODDS,
    FARTHEST_PART_SD,
    Cause,
    Explanation,
    Ranking,
    check_numbers,
)
from fulfil.weighing.causes.two_mistakes import add_foreign_piece, add_miscount_and_part, add_miscount_and_tare
from fulfil.weighing.lookalike import LookAlikeIndex

MOST_PIECES_OFF = 20
"""Three to this many pieces off are one explanation, "several"; more is something else."""

LOT_SD_RELATIVE = 0.005
"""S.d. of a unit weight between lots as a share of it, when nothing better is known (judgement)."""

ZERO_SD_INDICATIONS = 10.0
"""S.d. of a zero that has moved, in standard uncertainties of the indication (judgement)."""


def explain_bag(
    gross_g: float,
    *,
    part_number: str,
    pieces: int,
    unit_weight_g: float,
    unit_weight_u_g: float,
    piece_sd_g: float,
    indication_u_g: float,
    tare_g: float = 0.0,
    tare_sd_g: float = 0.0,
    other_lines: Sequence[tuple[str, int]] = (),
    other_bag_tares_g: Sequence[tuple[str, float]] = (),
    catalogue: LookAlikeIndex | None = None,
    lot_sd_g: float | None = None,
    zero_sd_g: float | None = None,
    other_density_per_g: float | None = None,
    priors: BagPriors = BAG_PRIORS,
    least_probability: float = 0.001,
    decisive_odds: float = DECISIVE_ODDS,
) -> tuple[Explanation, ...]:
    """Ranked explanations of one bag's weight, the likeliest first.

    Args:
        gross_g: Indication with the bag, g.
        part_number: Part that should be in it.
        pieces: Count that should be in it.
        unit_weight_g: Its unit weight, g.
        unit_weight_u_g: The unit weight's standard uncertainty, g.
        piece_sd_g: Piece-to-piece s.d., g.
        indication_u_g: Standard uncertainty of the indication, g.
        tare_g: The empty bag, g.
        tare_sd_g: S.d. of empty bags, g.
        other_lines: Part number and count of the other lines at the bench: their counts may have been taken
            for this one's and, for parts in ``catalogue``, their bags may lie under this label.
        other_bag_tares_g: Bag types in use, (name, tare in g).
        catalogue: Parts that may have been taken for this one; nearby bins and the family count more.
        lot_sd_g: S.d. of the unit weight between lots, g; None: ``LOT_SD_RELATIVE`` of the unit weight.
        zero_sd_g: S.d. of a zero that has moved, g; None: ``ZERO_SD_INDICATIONS`` × ``indication_u_g``.
        other_density_per_g: Density of "something else", 1/g; None: flat over 0 to twice the expected weight, and
            falling with the square of the weight beyond.
        priors: How often each thing happens.
        least_probability: Explanations below this are left out.
        decisive_odds: Less than these odds between the first two heads the list with "cannot tell".

    Returns:
        Explanations whose probabilities sum to one, up to those left out and the heading "cannot tell".
        ``subject`` is the part number or bag type concerned.

    Raises:
        WeighingRefused: a number isn't finite, or a weight, count or uncertainty can't be.
        UnknownRefused: the part is not in ``catalogue``.
    """
    check_numbers(
        f"explain a bag of {part_number}",
        above_zero={"pieces": pieces, "unit weight in g": unit_weight_g, "scale's u in g": indication_u_g},
        zero_or_more={
            "unit weight's u in g": unit_weight_u_g,
            "piece s.d. in g": piece_sd_g,
            "tare in g": tare_g,
            "tare s.d. in g": tare_sd_g,
        },
        finite={"indication in g": gross_g},
    )
    mu = unit_weight_g
    noise = indication_u_g**2 + tare_sd_g**2

    expected_g = pieces * mu + tare_g
    right = pieces * piece_sd_g**2 + (pieces * unit_weight_u_g) ** 2 + noise
    ranking = Ranking(gross_g - expected_g)

    def add_counts(cause: Cause, prior: float, counts: Sequence[int], *, is_one: bool = True, why: str = "") -> None:
        possible = np.array([count for count in counts if count >= 0 and count != pieces])
        if possible.size == 0:
            return
        share = 1.0 / np.abs(possible - pieces) if is_one else np.ones(possible.size)
        ranking.add(
            cause,
            prior * share / share.sum(),
            shift_g=(possible - pieces) * mu,
            variance_g2=possible * piece_sd_g**2 + (possible * unit_weight_u_g) ** 2 + noise,
            subject=lambda _: part_number,
            say=lambda row: f"{_off(int(possible[row]), pieces)}{why}. Count again.",
            is_one=is_one,
        )

    ranking.add(
        Cause.RIGHT,
        priors.right,
        shift_g=0.0,
        variance_g2=right,
        say=lambda _: f"All {pieces} may be there and the weight off by chance. Count again.",
    )
    add_counts(Cause.ONE_SHORT, priors.one_short, [pieces - 1])
    add_counts(Cause.ONE_OVER, priors.one_over, [pieces + 1])
    add_counts(Cause.TWO_SHORT, priors.two_short, [pieces - 2])
    add_counts(Cause.TWO_OVER, priors.two_over, [pieces + 2])
    other_counts = sorted({count for _, count in other_lines if abs(count - pieces) > 2})
    fewer = [count for count in range(pieces - MOST_PIECES_OFF, pieces - 2) if count not in other_counts]
    more = [count for count in range(pieces + 3, pieces + MOST_PIECES_OFF + 1) if count not in other_counts]
    add_counts(Cause.SEVERAL_SHORT, priors.several_short, fewer)
    add_counts(Cause.SEVERAL_OVER, priors.several_over, more)
    add_counts(
        Cause.OTHER_COUNT,
        priors.other_count,
        other_counts,
        is_one=False,
        why=", another line's count",
    )
    if catalogue is not None:
        _add_other_parts(
            ranking, catalogue, part_number, pieces, gross_g - tare_g, pieces * mu, noise, other_lines, priors
        )
        add_foreign_piece(
            ranking,
            catalogue,
            part_number=part_number,
            unit_weight_g=mu,
            deviation_g=gross_g - expected_g,
            right_g2=right,
            priors=priors,
        )
        add_miscount_and_part(
            ranking,
            catalogue,
            part_number=part_number,
            pieces=pieces,
            net_g=gross_g - tare_g,
            right_net_g=pieces * mu,
            noise_g2=noise,
            priors=priors,
        )
    if tare_g > 0:
        ranking.add(
            Cause.TARE_FORGOTTEN,
            priors.tare_forgotten,
            shift_g=tare_g,
            variance_g2=right,
            say=lambda _: f"The bag's {tare_g:.2f} g weren't tared off. Tare an empty bag, weigh again.",
        )
        ranking.add(
            Cause.TARE_TWICE,
            priors.tare_twice,
            shift_g=-tare_g,
            variance_g2=right,
            say=lambda _: f"The bag's {tare_g:.2f} g were tared off twice. Clear the tare, weigh again.",
        )
    types = sorted((name, weight) for name, weight in other_bag_tares_g if weight != tare_g)
    add_miscount_and_tare(
        ranking, pieces=pieces, unit_weight_g=mu, tare_g=tare_g, bag_types=types, right_g2=right, priors=priors
    )
    if types:
        ranking.add(
            Cause.OTHER_BAG_TYPE,
            priors.other_bag_type / len(types),
            shift_g=np.array([weight for _, weight in types]) - tare_g,
            variance_g2=right,
            subject=lambda row: types[row][0],
            say=lambda row: (
                f"A {types[row][0]} bag of {types[row][1]:.2f} g, not {tare_g:.2f} g. Weigh with its own tare."
            ),
            is_one=False,
        )
    ranking.add(
        Cause.LOT_SHIFT,
        priors.lot_shift,
        shift_g=0.0,
        variance_g2=right + (pieces * (LOT_SD_RELATIVE * mu if lot_sd_g is None else lot_sd_g)) ** 2,
        subject=lambda _: part_number,
        say=lambda _: f"This lot of {part_number} may weigh differently. Sample the bin again, then weigh.",
    )
    add_scale_zero(ranking, priors.scale_zero, right, indication_u_g, zero_sd_g)
    ranking.add_flat(
        priors.something_else,
        density_per_g=_flat_per_g(expected_g, gross_g) if other_density_per_g is None else other_density_per_g,
        sentence="None of the usual mistakes fits. Empty the bag, look at every piece, count by hand.",
    )
    return ranking.explanations(least_probability=least_probability, decisive_odds=decisive_odds)


def _flat_per_g(expected_g: float, gross_g: float) -> float:
    return 0.5 / expected_g * min(1.0, (2 * expected_g / gross_g) ** 2 if gross_g > 0 else 1.0)


def add_scale_zero(
    ranking: Ranking, prior: float, right_g2: float, indication_u_g: float, zero_sd_g: float | None
) -> None:
    """That the zero of the scale has moved; of a bag and of a package alike.

    Args:
        ranking: Where it is added.
        prior: How often it happens.
        right_g2: The variance of a right weight, g².
        indication_u_g: Standard uncertainty of the indication, g.
        zero_sd_g: By how much zeros move, g; None for :data:`ZERO_SD_INDICATIONS`.
    """
    ranking.add(
        Cause.SCALE_ZERO,
        prior,
        shift_g=0.0,
        variance_g2=right_g2 + (ZERO_SD_INDICATIONS * indication_u_g if zero_sd_g is None else zero_sd_g) ** 2,
        say=lambda _: "The scale's zero may have moved. Empty it, zero it, try the check weight, weigh again.",
    )


def _add_other_parts(
    ranking: Ranking,
    catalogue: LookAlikeIndex,
    part_number: str,
    pieces: int,
    net_g: float,
    right_g: float,
    noise: float,
    other_lines: Sequence[tuple[str, int]],
    priors: BagPriors,
) -> None:
    """Another part at this count, and another line's bag under this label."""
    mean_g, u_g, sd_g = catalogue.mean_g, catalogue.u_g, catalogue.piece_sd_g
    right = catalogue.place(part_number)
    _, wrong = catalogue.by_weight.within_reach([pieces], [net_g], [noise**0.5], sds=FARTHEST_PART_SD)
    ranking.add(
        Cause.LOOK_ALIKE,
        priors.look_alike * catalogue.mistake_shares(right, wrong),
        shift_g=pieces * mean_g[wrong] - right_g,
        variance_g2=pieces * sd_g[wrong] ** 2 + (pieces * u_g[wrong]) ** 2 + noise,
        subject=lambda row: catalogue.part_numbers[wrong[row]],
        say=lambda row: (
            f"{pieces} {catalogue.part_numbers[wrong[row]]}, not {part_number}. "
            f"{catalogue.difference(right, int(wrong[row]))[1]}"
        ),
        is_one=False,
        rest="Another part may be in it. Look at the pieces against the label.",
    )
    others = sorted({line for line in other_lines if line[0] != part_number and line[0] in catalogue})
    theirs = np.array([catalogue.place(number) for number, _ in others], dtype=np.intp)
    counts = np.array([count for _, count in others], dtype=np.float64)
    ranking.add(
        Cause.LABELS_SWAPPED,
        priors.labels_swapped / max(1, len(others)),
        shift_g=counts * mean_g[theirs] - right_g,
        variance_g2=counts * sd_g[theirs] ** 2 + (counts * u_g[theirs]) ** 2 + noise,
        subject=lambda row: others[row][0],
        say=lambda row: f"This is the bag of {others[row][1]} {others[row][0]}. Swap the labels back.",
        is_one=False,
    )


def _off(count: int, ordered: int) -> str:
    off = count - ordered
    many = {1: "One piece", 2: "Two pieces"}.get(abs(off), f"{abs(off)} pieces")
    return f"{many} {'over' if off > 0 else 'short'}: {count} of {ordered}"
