"""What a sample says by itself: the unit weight of pieces counted out by hand, weighed in a group, singly, or both.

The mean is the group's, the piece s.d. that of the single pieces. Without singles it is that of an earlier sample of
the part, else the median of its family, else the prior of learning; the estimate says which.
:mod:`fulfil.counting.samples` then holds it against all else that is known, and writes it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import sqrt
from statistics import median

from fulfil.counting.count_lines import FAMILY_SD_FREEDOM, scale_of
from fulfil.counting.lot_weights import GIVEN_SD_FREEDOM, estimate_of
from fulfil.errors import WeighingRefused
from fulfil.records.equipment import ScaleRecord
from fulfil.records.part import Part, UnitWeight
from fulfil.store.books import Books
from fulfil.weighing import unit_weight
from fulfil.weighing.learning.prior import LEARNING_PRIOR

LEAST_SINGLES = 5
"""Fewer single pieces say next to nothing of their s.d.; ten are asked for (common practice)."""


@dataclass(frozen=True)
class Sample:
    """What was counted out and weighed, in g, digits as shown: a group with its tare, single pieces, or both."""

    pieces: int = 0
    gross_g: Decimal | None = None
    tare_g: Decimal = Decimal(0)
    single_g: tuple[Decimal, ...] = ()


@dataclass(frozen=True)
class Weighed:
    """A sample's estimate, that of its single pieces, and the net weight with its uncertainty behind it, g."""

    found: unit_weight.UnitWeight
    singles: unit_weight.UnitWeight | None
    is_group: bool
    net_g: float
    reading_u_g: float


def estimate(
    books: Books,
    part: Part,
    weights: Sequence[UnitWeight],
    sample: Sample,
    group_on: ScaleRecord | None,
    singles_on: ScaleRecord | None,
    lot: str,
) -> Weighed:
    """The sample's unit weight.

    Raises:
        WeighingRefused: too few pieces, no gross weight, or a piece that the scale can't tell from nothing.
    """
    from_singles = None
    if singles_on is not None:
        scale = scale_of(singles_on)
        singles = [float(scale.net_g(mass)) for mass in sample.single_g]
        if len(singles) < LEAST_SINGLES:
            raise WeighingRefused(
                "find a piece s.d. from single pieces", len(singles), f"at least {LEAST_SINGLES}, better ten"
            )
        from_singles = unit_weight.from_pieces(singles, reading_u_g=scale.indication_u_g(max(singles)), lot=lot)
        if group_on is None:
            total_g, each_u_g = sum(singles), scale.indication_u_g(max(singles))
            return Weighed(from_singles, from_singles, False, total_g, each_u_g * sqrt(len(singles)))
    if sample.pieces < 2:
        raise WeighingRefused(
            "take a unit weight from pieces", sample.pieces, "a sample of at least 2, better 50; count it out by hand"
        )
    if group_on is None or sample.gross_g is None:
        raise WeighingRefused("sample part", part.number, "a gross weight of the pieces")
    scale = scale_of(group_on)
    net_g = float(scale.net_g(sample.gross_g, sample.tare_g))
    if net_g / sample.pieces < float(scale.d_g):
        raise WeighingRefused(
            "take a unit weight of",
            f"{net_g / sample.pieces:.3g} g",
            f"at least the scale interval {scale.d_g} g; use a finer scale, or count this part by hand",
        )
    earlier_sd, freedom = _earlier_sd(books, part, weights)
    found = unit_weight.from_group(
        net_g,
        sample.pieces,
        reading_u_g=scale.net_window_u_g(net_g),
        relative_piece_sd=from_singles or earlier_sd,
        piece_sd_freedom=freedom,
        lot=lot,
    )
    return Weighed(found, from_singles, True, net_g, float(scale.net_window_u_g(net_g)))


def _earlier_sd(
    books: Books, part: Part, weights: Sequence[UnitWeight]
) -> tuple[float | unit_weight.UnitWeight, float]:
    """The part's own relative piece s.d., else its family's, else the prior of learning; and its freedom."""
    own = [one for one in weights if one.may_accept and one.piece_sd_g > 0]
    if own:
        best = max(own, key=lambda one: (one.piece_sd_freedom or 0.0, one.lot))
        if best.piece_sd_source in ("single pieces", "sub-batches"):
            return estimate_of(best), best.piece_sd_freedom or GIVEN_SD_FREEDOM
        return best.piece_sd_g / best.mean_g, best.piece_sd_freedom or GIVEN_SD_FREEDOM
    kin = [one.number for one in books.find(Part, family=part.family)]
    shares = [one.piece_sd_g / one.mean_g for one in books.find(UnitWeight, part_number=kin) if one.may_accept]
    return (median(shares) if shares else LEARNING_PRIOR.piece_sd_relative), FAMILY_SD_FREEDOM


def must_be_plausible(part: Part, found: unit_weight.UnitWeight) -> None:
    """Refuses a piece that is heavier than anything of its size can be: a wrong count, tare or unit.

    Raises:
        WeighingRefused: above the bound.
    """
    # The same bound as for a catalogue: nothing is denser than osmium, 22.6 mg/mm³.
    most_g = 22.6e-3 * (part.longest_mm + 1) ** 3
    if found.mean_g > most_g:
        raise WeighingRefused(
            "take a unit weight of",
            f"{found.mean_g:.4g} g",
            f"less than {most_g:.3g} g for a part of {part.longest_mm} mm; check the count, the tare and the unit",
        )
