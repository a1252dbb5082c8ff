"""What a second weighing adds to the first, and what another scale or the first pieces counted by hand add.

Picker and checker weigh the same bag by the same unit weight: the error of the sample, the scatter of the very pieces
in the bag and the bag's own tare are in both weighings, and so is the bias of one scale. Two chances of one in a
thousand are then far from one in a million. For a bag that is one piece off, S what both share and I what each has for
itself,

    P(both pass) = ∫ φ(s) P(first passes | s) P(second passes | s) ds

With n pieces counted out by hand and weighed alone, the checker has a unit weight of this bag: D' = x - (N/n) w. The
scatter of the N pieces and that of the n leave D' uncorrelated with D (σ² (N - N) = 0), so only the tare is shared, and
its own window is half a unit weight on either side, the nearest whole count.

>>> from fulfil.weighing.unit_weight import from_group
>>> screws = from_group(45.0, 50, reading_u_g=0.03, relative_piece_sd=0.01)
>>> scale = Scale("II", Decimal("0.1"), Decimal("0.01"), Decimal(3000), repeatability_g=0.012, bias_share=0.5)
>>> adds = second_weighing(90, Decimal("82.65"), Decimal("83.55"), screws, scale, tare_g=2.1, tare_u_g=0.02)
>>> f"{adds.first:.2g} {adds.same_scale:.2g} {adds.other_scale:.2g} {adds.by_hand:.1g} ({adds.by_hand_pieces})"
'0.003 0.0026 0.0015 0.0001 (10)'

Limits: normal errors; the other scale is of the same kind; the hand count of the n is right.
"""

from dataclasses import dataclass
from decimal import Decimal
from math import erfc, sqrt

import numpy as np

from fulfil.weighing.scale import Scale
from fulfil.weighing.unit_weight import UnitWeight
from fulfil.weighing.worst_sample import RARE, chance_words

FIRST_BY_HAND = (5, 10, 20, 40)
"""Of these the fewest pieces are named that make a bag one piece off pass ten times more rarely, or the best."""
WORTH = 10.0
_NODES = np.linspace(-8.0, 8.0, 4001)
"""S.d. of what is shared; the steps are small beside the own part of a fine scale, where Hermite's nodes are not."""
_SHARES = np.exp(-0.5 * _NODES**2) / np.sqrt(2 * np.pi) * (_NODES[1] - _NODES[0])
_erfc = np.frompyfunc(erfc, 1, 1)
"""Python's own: for one bag it takes 0.02 s, where loading SciPy takes 0.15 s."""


@dataclass(frozen=True, slots=True)
class SecondWeighing:
    """Chances that a bag one piece off (the likelier side) passes the first weighing, and the first and a second one.

    ``by_hand``: with the first ``by_hand_pieces`` counted by hand and weighed alone; None where the bag has too few.
    """

    first: float
    same_scale: float
    other_scale: float
    by_hand: float | None
    by_hand_pieces: int

    @property
    def sentence(self) -> str:
        """What the second weighing is worth, in words."""
        hand = ""
        if self.first < RARE:
            return (
                "The checker's weighing shares the picker's unit weight; one piece off passes even one weighing with "
                f"{chance_words(self.first)}"
            )
        if self.by_hand is not None:
            hand = f", with its first {self.by_hand_pieces} pieces counted by hand {chance_words(self.by_hand)}"
        return (
            f"The checker's weighing shares the picker's unit weight: one piece off passes one weighing with "
            f"{chance_words(self.first)}, both with {chance_words(self.same_scale)}, on another scale "
            f"{chance_words(self.other_scale)}{hand}"
        )


def second_weighing(
    pieces: int,
    lower_g: Decimal,
    upper_g: Decimal,
    part: UnitWeight,
    scale: Scale,
    *,
    tare_g: float = 0.0,
    tare_u_g: float = 0.0,
    is_tared: bool = False,
) -> SecondWeighing:
    """What a second weighing of a bag by the same limits adds.

    Args:
        pieces: pieces in the bag, or in one of its pours.
        lower_g: lower limit on the display, g, gross (net where the scale is tared).
        upper_g: upper limit, likewise.
        part: unit weight of the pieces.
        scale: where the bag is weighed.
        tare_g: expected mass of the empty bag, g; 0 where the scale is tared.
        tare_u_g: its standard uncertainty, g.
        is_tared: the net weight is the difference of two readings.
    """
    load_g = pieces * part.mean_g + tare_g
    reading_g2 = float(scale.net_u_g(load_g) if is_tared else scale.indication_u_g(load_g)) ** 2
    window_g2 = float(scale.net_window_u_g(load_g) if is_tared else scale.window_u_g(load_g)) ** 2
    bias_g2 = max(window_g2 - reading_g2, 0.0)
    low, high = float(lower_g) - load_g, float(upper_g) - load_g
    adds = []
    for off in (-1, 1):
        count = pieces + off
        limits = low - off * part.mean_g, high - off * part.mean_g
        goods_g2 = count * part.piece_sd_g**2 + (count * part.u_g) ** 2 + tare_u_g**2
        first = _both(limits, goods_g2 + bias_g2, reading_g2, limits, None)
        same = _both(limits, goods_g2 + bias_g2, reading_g2, limits, reading_g2)
        other = _both(limits, goods_g2, reading_g2 + bias_g2, limits, reading_g2 + bias_g2)
        by_hand = {
            n: _both(
                limits,
                tare_u_g**2,
                goods_g2 - tare_u_g**2 + reading_g2 + bias_g2,
                ((-0.5 - off) * part.mean_g, (0.5 - off) * part.mean_g),
                part.piece_sd_g**2 * max(pieces - n, 0) * pieces / n + reading_g2 * (1 + (pieces / n) ** 2),
            )
            for n in FIRST_BY_HAND
            if n < pieces
        }
        adds.append((first, same, other, by_hand))
    first, same, other, by_hand = max(adds, key=lambda one: one[0])
    enough = [n for n, chance in by_hand.items() if chance <= same / WORTH]
    best = enough[0] if enough else min(by_hand, key=lambda n: by_hand[n], default=0)
    return SecondWeighing(first, same, other, by_hand.get(best), best)


def _both(
    limits: tuple[float, float],
    shared_g2: float,
    own_g2: float,
    second: tuple[float, float],
    second_g2: float | None,
) -> float:
    """The chance that a deviation with a shared and an own part lies within the limits, in the second weighing too."""
    at = _NODES * sqrt(shared_g2)

    def within(low: float, high: float, g2: float) -> np.ndarray:
        sd = sqrt(g2) or 1e-12
        # Φ(z) = erfc(−z/√2)/2
        return np.asarray((_erfc((at - high) / (sd * sqrt(2))) - _erfc((at - low) / (sd * sqrt(2)))) / 2, dtype=float)

    chance = within(*limits, own_g2)
    if second_g2 is not None:
        chance = chance * within(*second, second_g2)
    return float((_SHARES * chance).sum())
