"""A bag as the weight of its package sees it.

>>> PackedBag("B-1", "NUT-M5", 50, 1.23, 0.001, 0.006, 2.1, 0.05).unit_weight_g
1.23
"""

from dataclasses import dataclass

from fulfil.weighing.causes.ranking import check_numbers


@dataclass(frozen=True, slots=True)
class PackedBag:
    """One bag that should be in a package: what it should hold, and what it should weigh.

    Attributes:
        bag_code, part_number: Which bag, and of what.
        pieces: How many are in it, 1 or more.
        unit_weight_g, unit_weight_u_g, piece_sd_g: Unit weight, standard uncertainty and piece s.d., g.
        tare_g, tare_sd_g: The empty bag with its label and its s.d., g.
        miscount_share: What its own check left of the chance that its count or part is wrong; 1: it wasn't checked.
    """

    bag_code: str
    part_number: str
    pieces: int
    unit_weight_g: float
    unit_weight_u_g: float
    piece_sd_g: float
    tare_g: float = 0.0
    tare_sd_g: float = 0.0
    miscount_share: float = 1.0

    def __post_init__(self) -> None:
        check_numbers(
            f"explain a package by its bag {self.bag_code}",
            above_zero={"pieces": self.pieces, "unit weight in g": self.unit_weight_g},
            zero_or_more={
                "unit weight's u in g": self.unit_weight_u_g,
                "piece s.d. in g": self.piece_sd_g,
                "tare in g": self.tare_g,
                "tare s.d. in g": self.tare_sd_g,
                "share of miscounts": self.miscount_share,
            },
        )
