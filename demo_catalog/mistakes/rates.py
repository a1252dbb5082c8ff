"""The demo day's chance: what simulated pickers put into bags, what simulated scales show; nothing was ever weighed.

Every number comes from one seed and the code of the thing it is about, so that it doesn't depend on the order in which
things are asked for.

Model: a lot's true unit weight is drawn once around the catalogue's (by its standard uncertainty); a bag's net mass
is its pieces' sum; bags and boxes vary by their s.d.; an indication adds the scale's repeatability and is rounded
to d. Mistakes are planted at :class:`MistakeRates`. Late in the day the zero of the coarsest scale for bags moves by
``zero_shift_g``, so that the drift charts have something to find.
"""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from math import sqrt
from zlib import crc32

import numpy as np

from fulfil.quantities import nearest_step
from fulfil.records.equipment import ScaleRecord
from fulfil.records.part import UnitWeight


class Mistake(StrEnum):
    """What was planted."""

    ONE_SHORT = "one piece short"
    ONE_OVER = "one piece over"
    WRONG_PART = "wrong part"
    WRONG_BAG = "wrong bag in package"
    MISSING_BAG = "missing bag"


@dataclass(frozen=True)
class MistakeRates:
    """How often each mistake is planted: the first three per bag, the others per package (invented rates).

    ``zero_shifts_after`` is the share of the day's bags that are checked before the zero moves.
    ``eye_sees_wrong_part`` and ``hand_count_sees`` say how often the simulated checker notices; a person's eyes are not
    what the demo measures, so they are rates, not claims.
    """

    one_short: float = 0.012
    one_over: float = 0.012
    wrong_part: float = 0.008
    wrong_bag: float = 0.02
    missing_bag: float = 0.02
    zero_shift_g: float = 0.04
    zero_shifts_after: float = 0.8
    eye_sees_wrong_part: float = 0.9
    hand_count_sees: float = 0.98


class Chance:
    """Seeded chance, one stream for each thing and purpose."""

    def __init__(self, seed: int) -> None:
        self.seed = seed

    def stream(self, purpose: str, subject: str) -> np.random.Generator:
        """The stream for one thing; the same whenever it is asked for."""
        return np.random.default_rng([self.seed, crc32(purpose.encode()), crc32(subject.encode())])

    def pick(self, subject: str, rates: dict[Mistake, float]) -> Mistake | None:
        """The mistake planted at a subject, None for most."""
        draw = self.stream("mistake", subject).random()
        for mistake, rate in rates.items():
            if draw < rate:
                return mistake
            draw -= rate
        return None

    def happens(self, purpose: str, subject: str, rate: float) -> bool:
        """Whether something with a rate happens to a subject."""
        return bool(self.stream(purpose, subject).random() < rate)

    def net_g(self, weight: UnitWeight, pieces: int, subject: str) -> float:
        """True mass of ``pieces`` of a lot."""
        lot = f"{weight.part_number} {weight.lot}"
        mean_g = weight.mean_g + weight.u_g * self.stream("lot", lot).standard_normal()
        return float(pieces * mean_g + sqrt(pieces) * weight.piece_sd_g * self.stream("net", subject).standard_normal())

    def around(self, purpose: str, subject: str, mean_g: float, sd_g: float) -> float:
        """A mass around its mean: an empty bag, an empty box."""
        return float(mean_g + sd_g * self.stream(purpose, subject).standard_normal())

    def indication_g(self, scale: ScaleRecord, mass_g: float, subject: str) -> Decimal:
        """What a scale shows for a mass, never below zero."""
        shown = mass_g + scale.repeatability_g * self.stream("indication", subject).standard_normal()
        return nearest_step(Decimal(repr(max(0.0, float(shown)))), scale.d_g)
