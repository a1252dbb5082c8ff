"""One foreign piece in a bag, and two mistakes at once: rarer than each alone, named where nothing plainer fits.

A foreign piece lies among the others, or in place of one of them; how much it weighs the catalogue says, parts of
nearby bins and of the family first. Two mistakes are taken as independent: their rates multiply. A miscount comes with
a tare slip, with a bag of another type, or with another part.

>>> from fulfil.weighing.causes.ranking import Ranking
>>> ranking = Ranking(deviation_g=-1.2 + 2.1)
>>> ranking.add(Cause.RIGHT, 0.97, shift_g=0.0, variance_g2=0.01, say=lambda row: "All there.")
>>> add_miscount_and_tare(ranking, pieces=50, unit_weight_g=1.2, tare_g=2.1, bag_types=(), right_g2=0.01,
...                       priors=BagPriors())
>>> ranking.explanations()[0].sentence
"One piece short (49 of 50), and the bag's 2.10 g weren't tared off. Count again, tare an empty bag, weigh again."
"""

from collections.abc import Sequence

import numpy as np

from fulfil.weighing.causes.mistake_priors import BagPriors
from fulfil.weighing.causes.ranking import FARTHEST_PART_SD, Cause, Ranking
from fulfil.weighing.lookalike import LookAlikeIndex

_COUNTS = ((-1, "one_short"), (1, "one_over"), (-2, "two_short"), (2, "two_over"))
_REST = "Two things may be off at once. Empty the bag, look at every piece, count by hand."


def add_foreign_piece(
    ranking: Ranking,
    catalogue: LookAlikeIndex,
    *,
    part_number: str,
    unit_weight_g: float,
    deviation_g: float,
    right_g2: float,
    priors: BagPriors,
) -> None:
    """One piece of another part beside the right ones, or in place of one of them: half the prior each."""
    reach = np.sqrt(right_g2)
    targets = np.array([deviation_g, deviation_g + unit_weight_g])
    able = np.flatnonzero(targets > 0)
    row, wrong = catalogue.by_weight.within_reach(np.ones(able.size), targets[able], reach, sds=FARTHEST_PART_SD)
    in_place = able[row] == 1
    numbers = [catalogue.part_numbers[one] for one in wrong]
    ranking.add(
        Cause.FOREIGN_PIECE,
        0.5 * priors.foreign_piece * catalogue.mistake_shares(catalogue.place(part_number), wrong),
        shift_g=catalogue.mean_g[wrong] - np.where(in_place, unit_weight_g, 0.0),
        variance_g2=right_g2 + catalogue.piece_sd_g[wrong] ** 2 + catalogue.u_g[wrong] ** 2,
        subject=numbers.__getitem__,
        say=lambda one: (
            f"A piece of {numbers[one]} may lie {'in place of one' if in_place[one] else 'among the'} {part_number}. "
            "Empty the bag, look at every piece."
        ),
        is_one=False,
        rest="A piece of another part may be in it. Empty the bag, look at every piece.",
    )


def add_miscount_and_tare(
    ranking: Ranking,
    *,
    pieces: int,
    unit_weight_g: float,
    tare_g: float,
    bag_types: Sequence[tuple[str, float]],
    right_g2: float,
    priors: BagPriors,
) -> None:
    """A piece or two off, and the tare forgotten, taken twice, or another bag's."""
    again = "tare an empty bag, weigh again"
    slips = [
        (tare_g, priors.tare_forgotten, f"the bag's {tare_g:.2f} g weren't tared off. Count again, {again}"),
        (-tare_g, priors.tare_twice, f"the bag's {tare_g:.2f} g were tared off twice. Count again, {again}"),
    ]
    slips = [slip for slip in slips if tare_g > 0]
    slips += [
        (mass_g - tare_g, priors.other_bag_type / len(bag_types), f"it is a {name} bag. Count again, take its own tare")
        for name, mass_g in bag_types
    ]
    rows = [
        (off * unit_weight_g + slip_g, getattr(priors, name) * rate, f"{_off(off, pieces)}, and {how}.")
        for off, name in _COUNTS
        if pieces + off >= 0
        for slip_g, rate, how in slips
    ]
    if rows and priors.right > 0:
        ranking.add(
            Cause.TWO_MISTAKES,
            np.array([rate for _, rate, _ in rows]) / priors.right,
            shift_g=np.array([shift_g for shift_g, _, _ in rows]),
            variance_g2=right_g2,
            say=lambda one: rows[one][2],
            is_one=False,
            rest=_REST,
        )


def add_miscount_and_part(
    ranking: Ranking,
    catalogue: LookAlikeIndex,
    *,
    part_number: str,
    pieces: int,
    net_g: float,
    right_net_g: float,
    noise_g2: float,
    priors: BagPriors,
) -> None:
    """Another part, and a piece off besides."""
    offs = [(off, name) for off, name in _COUNTS[:2] if pieces + off > 0]
    counts = np.array([pieces + off for off, _ in offs], dtype=np.float64)
    row, wrong = catalogue.by_weight.within_reach(
        counts, np.full(counts.size, net_g), noise_g2**0.5, sds=FARTHEST_PART_SD
    )
    if row.size == 0 or priors.right == 0:
        return
    rates = np.array([getattr(priors, name) for _, name in offs]) / priors.right
    count = counts[row]
    numbers = [catalogue.part_numbers[one] for one in wrong]
    ranking.add(
        Cause.TWO_MISTAKES,
        rates[row] * priors.look_alike * catalogue.mistake_shares(catalogue.place(part_number), wrong),
        shift_g=count * catalogue.mean_g[wrong] - right_net_g,
        variance_g2=count * catalogue.piece_sd_g[wrong] ** 2 + (count * catalogue.u_g[wrong]) ** 2 + noise_g2,
        subject=numbers.__getitem__,
        say=lambda one: (
            f"{_off(offs[row[one]][0], pieces)}, and they are {numbers[one]}, not {part_number}. "
            "Look at the pieces, count again."
        ),
        is_one=False,
        rest=_REST,
    )


def _off(off: int, pieces: int) -> str:
    many = "One piece" if abs(off) == 1 else "Two pieces"
    return f"{many} {'over' if off > 0 else 'short'} ({pieces + off} of {pieces})"
