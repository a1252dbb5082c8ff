"""Unit weight: what one piece weighs, how sure that is, how much pieces differ, and where the number comes from.

From W grams for n pieces weighed together (reading uncertainty u_ref, piece s.d. σ known from elsewhere)::

    μ̂ = W / n        u²(μ̂) = σ²/n + u_ref²/n²

σ can't be seen in one group weighing: it comes from single pieces (n weighings), from k sub-batches of b pieces
(Var of the batch weights = b σ² + u_ref²), or from a prior c = σ/μ for the part's family. A scale can hide σ but never
shows it as smaller than what it could have seen: σ² is never set below u_ref²/b.

Pieces of a new lot have their own mean. With lot s.d. σ_L and an estimate from k lots, an unsampled lot has
u² = u²(μ̂) + σ_L² (1 + 1/k): :meth:`UnitWeight.after_lot_change`, until a sample of it is weighed.

Geometry and handbook tables plan the bags; they never decide whether one passes: sample first.

>>> sample = from_group(45.0, 50, reading_u_g=0.03, relative_piece_sd=0.01)
>>> print(sample)
0.9 g per piece, u 0.0014 g, piece s.d. 0.009 g, from one weighing of 50 pieces (piece s.d.: family prior)
>>> sample.is_usable_for_acceptance, from_table(0.9, "handbook").is_usable_for_acceptance
(True, False)

Limits: the hand count of the sample is believed here; what it may be off by is ``count_doubt``, from
:mod:`fulfil.weighing.sample_proof`.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal, TypeAlias

from fulfil.errors import QuantityRefused, WeighingRefused
from fulfil.weighing.tails import ndtri, stdtrit

Source: TypeAlias = Literal["group", "groups", "single pieces", "sub-batches", "geometry", "handbook"]
PieceSdSource: TypeAlias = Literal["single pieces", "sub-batches", "family prior"]

TABLE_BAND = 0.10
"""A table or drawing is believed to ±10 % (common practice): a plausibility check and a planning value."""

_WORDS: dict[Source, str] = {
    "group": "one weighing of {n} pieces",
    "groups": "repeated groups, {n} pieces in all",
    "single pieces": "{n} single pieces",
    "sub-batches": "sub-batches, {n} pieces in all",
    "geometry": "geometry",
    "handbook": "a handbook table",
}


@dataclass(frozen=True, slots=True)
class UnitWeight:
    """Mean mass of one piece of one part, finish and lot, in g, with what it takes to judge it."""

    mean_g: float
    u_g: float
    """Standard uncertainty of the mean, the lot term included when the lot isn't sampled."""
    piece_sd_g: float
    sample_pieces: int
    source: Source
    piece_sd_source: PieceSdSource
    piece_sd_freedom: float = math.inf
    """Degrees of freedom of the piece s.d.; infinite for a prior that is taken as known."""
    lots: int = 1
    """Lots the estimate was averaged over."""
    lot: str = ""
    """The lot that was sampled; empty after a lot change and for tables."""
    lot_u_g: float = 0.0
    """The part of ``u_g`` that is there because this lot isn't sampled."""
    count_doubt: float = 0.0
    """The chance that the sample's hand count was off (:mod:`fulfil.weighing.sample_proof`)."""

    def __post_init__(self) -> None:
        if not 0.0 < self.mean_g < math.inf:
            raise WeighingRefused("use unit weight", f"{self.mean_g} g", "a mass above 0 g; weigh a sample first")
        for name, spread in (("unit weight uncertainty", self.u_g), ("piece s.d.", self.piece_sd_g)):
            if not 0.0 <= spread < math.inf:
                raise WeighingRefused(f"use {name}", f"{spread} g", "0 g or more; weigh the sample again")

    @property
    def is_usable_for_acceptance(self) -> bool:
        """True when pieces of this part were weighed; geometry and tables are for planning only."""
        return self.source not in ("geometry", "handbook")

    @property
    def relative_piece_sd(self) -> float:
        """The relative piece s.d., c = σ/μ."""
        return self.piece_sd_g / self.mean_g

    def __str__(self) -> str:
        sd_note = "" if self.source == self.piece_sd_source else f" (piece s.d.: {self.piece_sd_source})"
        return (
            f"{self.mean_g:.6g} g per piece, u {self.u_g:.2g} g, piece s.d. {self.piece_sd_g:.2g} g, "
            f"from {_WORDS[self.source].format(n=self.sample_pieces)}{sd_note}"
        )

    def after_lot_change(self, lot_sd_g: float) -> "UnitWeight":
        """The same estimate for a lot that nobody has sampled: u has the scatter of lots in it, once."""
        if not 0.0 <= lot_sd_g < math.inf:
            raise WeighingRefused("use lot s.d.", f"{lot_sd_g} g", "0 g or more; compare two lots first")
        lot_u = lot_sd_g * math.sqrt(1.0 + 1.0 / self.lots)
        grown = math.sqrt(self.u_g**2 - self.lot_u_g**2 + lot_u**2)
        return replace(self, u_g=grown, lot="", lot_u_g=lot_u)

    def cautious(self, risk: float) -> "UnitWeight":
        """The estimate with its scatter widened for an s.d. that was itself estimated from few weighings.

        Widened by t/z, Student's quantile at ``risk`` by the normal one, so that a window made with normal quantiles
        keeps its risk: (x − μ)/s of normal data follows Student's t (JCGM 100:2008, G.3.2). Only what comes from the
        s.d. is widened. One t for the whole spread, at its effective degrees of freedom (G.4.1), would be narrower and
        is meant for coverages near 95 %: at a risk of 0.1 % with half the variance from an s.d. of nine degrees of
        freedom it lets through 1.8 times the risk, this way 0.7 times (``tests/weighing/test_budget.py``).

        >>> pieces = from_pieces([0.912, 0.905, 0.894, 0.901, 0.908], reading_u_g=0.0005)
        >>> round(pieces.cautious(0.001).piece_sd_g / pieces.piece_sd_g, 3)
        2.321
        """
        if math.isinf(self.piece_sd_freedom):
            return self
        factor = _student_by_normal(self.piece_sd_freedom, risk)
        return replace(
            self,
            piece_sd_g=self.piece_sd_g * factor,
            u_g=self.u_g * factor,
            lot_u_g=self.lot_u_g * factor,
            piece_sd_freedom=math.inf,
        )


def from_group(
    net_g: float,
    pieces: int,
    *,
    reading_u_g: float,
    relative_piece_sd: float | UnitWeight,
    piece_sd_freedom: float = math.inf,
    lot: str = "",
) -> UnitWeight:
    """From one weighing of ``pieces`` together; the relative piece s.d. is a family's, or that of single pieces.

    ``piece_sd_freedom`` says how well a family's is known; that of single pieces brings its own.

    Raises:
        WeighingRefused: fewer than two pieces, or a weight that can't be.
    """
    return from_groups(
        [(net_g, pieces)],
        reading_u_g=reading_u_g,
        relative_piece_sd=relative_piece_sd,
        piece_sd_freedom=piece_sd_freedom,
        lot=lot,
    )


def from_groups(
    groups: Sequence[tuple[float, int]],
    *,
    reading_u_g: float,
    relative_piece_sd: float | UnitWeight,
    piece_sd_freedom: float = math.inf,
    lot: str = "",
) -> UnitWeight:
    """From repeated groups of fresh pieces, as (net g, pieces); one μ̂ = ΣW/Σn, u² = σ²/Σn + k u_ref²/(Σn)².

    >>> print(from_groups([(45.0, 50), (45.1, 50)], reading_u_g=0.03, relative_piece_sd=0.01))
    0.901 g per piece, u 0.001 g, piece s.d. 0.009 g, from repeated groups, 100 pieces in all (piece s.d.: family prior)
    """
    total_g = math.fsum(_sample_weight(net) for net, _ in groups)
    pieces = sum(count for _, count in groups)
    _check_sample(pieces)
    _check_reading(reading_u_g)
    sd_source: PieceSdSource = "family prior"
    freedom = piece_sd_freedom
    if isinstance(relative_piece_sd, UnitWeight):
        sd_source, freedom = relative_piece_sd.piece_sd_source, relative_piece_sd.piece_sd_freedom
        relative_piece_sd = relative_piece_sd.relative_piece_sd
    if not 0.0 <= relative_piece_sd < 1.0:
        raise WeighingRefused("use relative piece s.d.", relative_piece_sd, "a part of 1, such as 0.01 for 1 %")
    mean = total_g / pieces
    piece_sd = relative_piece_sd * mean
    u = math.sqrt(piece_sd**2 / pieces + len(groups) * reading_u_g**2 / pieces**2)
    source: Source = "group" if len(groups) == 1 else "groups"
    return UnitWeight(mean, u, piece_sd, pieces, source, sd_source, freedom, lot=lot)


def from_pieces(masses_g: Sequence[float], *, reading_u_g: float, lot: str = "") -> UnitWeight:
    """From single pieces weighed one by one: mean, and the piece s.d. with the scale's own scatter taken out."""
    return _from_batches(masses_g, 1, reading_u_g, "single pieces", lot)


def from_sub_batches(nets_g: Sequence[float], batch_pieces: int, *, reading_u_g: float, lot: str = "") -> UnitWeight:
    """From sub-batches of ``batch_pieces`` each, one weighing per batch."""
    if batch_pieces < 1:
        raise QuantityRefused("weigh sub-batches of pieces", batch_pieces, "a whole number from 1")
    return _from_batches(nets_g, batch_pieces, reading_u_g, "sub-batches", lot)


def from_table(
    mean_g: float, source: Literal["geometry", "handbook"], *, relative_piece_sd: float = 0.01
) -> UnitWeight:
    """From a drawing or a table: u is the ±10 % band as a rectangular limit; for planning, never for acceptance."""
    if not 0.0 < mean_g < math.inf:
        raise WeighingRefused("use unit weight", f"{mean_g} g", "a mass above 0 g; read the table again")
    u = TABLE_BAND * mean_g / math.sqrt(3.0)
    return UnitWeight(mean_g, u, relative_piece_sd * mean_g, 0, source, "family prior", lots=1)


def _from_batches(
    nets_g: Sequence[float], batch_pieces: int, reading_u_g: float, source: Literal["single pieces", "sub-batches"],
    lot: str,
) -> UnitWeight:  # fmt: skip
    n = len(nets_g)
    if n < 2:
        raise WeighingRefused(
            "find a piece s.d. from weighings", n, "at least two; weigh ten single pieces or ten sub-batches"
        )
    _check_reading(reading_u_g)
    weights = [_sample_weight(net) for net in nets_g]
    mean = math.fsum(weights) / n
    variance = math.fsum((weight - mean) ** 2 for weight in weights) / (n - 1)
    # The reading's scatter is inside `variance` already: it is taken out of σ and not added to u a second time.
    piece_variance = max(variance - reading_u_g**2, reading_u_g**2) / batch_pieces
    batch_variance = max(variance, batch_pieces * piece_variance + reading_u_g**2)
    return UnitWeight(
        mean_g=mean / batch_pieces,
        u_g=math.sqrt(batch_variance / n) / batch_pieces,
        piece_sd_g=math.sqrt(piece_variance),
        sample_pieces=n * batch_pieces,
        source=source,
        piece_sd_source=source,
        piece_sd_freedom=n - 1,
        lot=lot,
    )


def _sample_weight(net_g: float) -> float:
    if not 0.0 < net_g < math.inf:
        raise WeighingRefused(
            "weigh a sample of", f"{net_g} g", "a net weight above 0 g; zero the scale, tare the tray, weigh again"
        )
    return float(net_g)


def _check_sample(pieces: int) -> None:
    if pieces < 2:
        raise WeighingRefused(
            "take a unit weight from pieces", pieces, "a sample of at least 2, better 10; count it out by hand"
        )


def _check_reading(reading_u_g: float) -> None:
    if not 0.0 <= reading_u_g < math.inf:
        raise WeighingRefused("use reading uncertainty", f"{reading_u_g} g", "0 g or more; take it from the scale")


@lru_cache(maxsize=4096)
def _student_by_normal(freedom: float, risk: float) -> float:
    return float(stdtrit(freedom, risk) / ndtri(risk))
