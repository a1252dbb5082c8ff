"""What is believed of scatter before the first weighing; it needs no arrays, so what only asks for it loads none.

>>> LEARNING_PRIOR.piece_sd_relative, LEARNING_PRIOR.lot_sd_relative
(0.01, 0.005)
"""

from dataclasses import dataclass
from math import isfinite

from fulfil.errors import WeighingRefused


@dataclass(frozen=True, slots=True)
class LearningPrior:
    """What is known of scatter before weighing: scaled inverse chi-square priors of σ² and τ².

    Attributes:
        piece_sd_relative: Expected piece s.d. as a share of the unit weight (of the family; judgement).
        piece_sd_df: How many single weighings that knowledge is worth.
        lot_sd_relative: Expected s.d. between lots as a share of the unit weight; 0: lots don't differ.
        lot_sd_df: How many lots that knowledge is worth.
    """

    piece_sd_relative: float = 0.01
    piece_sd_df: float = 4.0
    lot_sd_relative: float = 0.005
    lot_sd_df: float = 4.0

    def __post_init__(self) -> None:
        for name in ("piece_sd_relative", "piece_sd_df", "lot_sd_df"):
            value = getattr(self, name)
            if not (isfinite(value) and value > 0):
                raise WeighingRefused(f"learn with a prior {name} of", value, "a number above 0")
        if not (isfinite(self.lot_sd_relative) and self.lot_sd_relative >= 0):
            raise WeighingRefused("learn with a prior lot_sd_relative of", self.lot_sd_relative, "0 or more")


LEARNING_PRIOR = LearningPrior()
