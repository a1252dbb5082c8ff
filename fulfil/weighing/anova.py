"""Lots and pieces: one-way analysis of variance with random effects, without losing digits.

Readings y_ij = μ + L_i + ε_ij of piece j in lot i. With k lots of n pieces, MSB and MSW the mean squares between and
within lots::

    σ_e² = MSW        σ_L² = max(0, (MSB − MSW)/n)

(Searle, Casella & McCulloch, Variance Components, 1992; lots of unequal size use n₀ = (N − Σn_i²/N)/(k − 1)).

Sums of squares of readings that share many leading digits cancel. Every reading is first reduced by the first one (for
``Decimal`` readings, as a scale shows them, that is exact), then squares are taken about the means in a second pass and
added with :func:`math.fsum`. The hardest certified data sets of the NIST Statistical Reference Datasets, with thirteen
constant leading digits, come out to all digits from decimal readings.

>>> from decimal import Decimal as D
>>> lots = one_way([[D("0.912"), D("0.905"), D("0.894")], [D("0.921"), D("0.918"), D("0.926")]])
>>> print(f"{lots.residual_sd:.5f} {lots.lot_sd:.5f} {lots.f:.3f} {lots.p_value:.3f}")
0.00702 0.01206 9.851 0.035

Limits: the ANOVA estimate of σ_L² from few lots is very uncertain; with two lots it may be 0 by luck.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from scipy.special import fdtrc

from fulfil.errors import WeighingRefused
from fulfil.weighing.unit_weight import UnitWeight


@dataclass(frozen=True, slots=True)
class OneWay:
    """The table of a one-way analysis of variance, in the unit of the readings (squared for sums and mean squares)."""

    group_pieces: tuple[int, ...]
    mean: float
    """Unweighted mean of the group means."""
    ss_between: float
    df_between: int
    ss_within: float
    df_within: int

    @property
    def ms_between(self) -> float:
        """Mean square between groups."""
        return self.ss_between / self.df_between

    @property
    def ms_within(self) -> float:
        """Mean square within groups, σ_e²."""
        return self.ss_within / self.df_within

    @property
    def residual_sd(self) -> float:
        """The s.d. of pieces of one lot."""
        return math.sqrt(self.ms_within)

    @property
    def f(self) -> float:
        """The F statistic MSB/MSW; infinite if no two pieces of a lot differ."""
        return self.ms_between / self.ms_within if self.ss_within > 0 else math.inf

    @property
    def p_value(self) -> float:
        """The chance of an F as large as this if lots don't differ."""
        return float(fdtrc(self.df_between, self.df_within, self.f))

    @property
    def r_squared(self) -> float:
        """The share of the total sum of squares that lies between groups."""
        return self.ss_between / (self.ss_between + self.ss_within)

    @property
    def lot_variance(self) -> float:
        """σ_L², the ANOVA estimate, never below 0."""
        total = sum(self.group_pieces)
        typical = (total - sum(n * n for n in self.group_pieces) / total) / self.df_between
        return max(0.0, (self.ms_between - self.ms_within) / typical)

    @property
    def lot_sd(self) -> float:
        """σ_L, the s.d. of lot means."""
        return math.sqrt(self.lot_variance)

    @property
    def intraclass_correlation(self) -> float:
        """σ_L² / (σ_L² + σ_e²)."""
        return self.lot_variance / (self.lot_variance + self.ms_within)


def one_way(groups: Sequence[Sequence[float | Decimal]]) -> OneWay:
    """Analyse readings by group.

    Raises:
        WeighingRefused: fewer than two groups, an empty group, no group with two readings, or a reading that isn't a
            finite number.
    """
    if len(groups) < 2 or not all(groups) or all(len(group) < 2 for group in groups):
        raise WeighingRefused(
            "compare lots by groups", len(groups), "two or more lots, all with readings and one with at least two"
        )
    for reading in (reading for group in groups for reading in group):
        if not math.isfinite(reading):
            raise WeighingRefused("compare lots by reading", reading, "a finite number; weigh that piece again")
    start = groups[0][0]
    reduced = [[_less(reading, start) for reading in group] for group in groups]
    total = sum(map(len, reduced))
    means = [math.fsum(group) / len(group) for group in reduced]
    grand = math.fsum(value for group in reduced for value in group) / total
    return OneWay(
        group_pieces=tuple(map(len, reduced)),
        mean=float(start) + math.fsum(means) / len(means),
        ss_between=math.fsum(len(group) * (mean - grand) ** 2 for group, mean in zip(reduced, means, strict=True)),
        df_between=len(groups) - 1,
        ss_within=math.fsum((value - mean) ** 2 for group, mean in zip(reduced, means, strict=True) for value in group),
        df_within=total - len(groups),
    )


def unit_weight_over_lots(lots: Sequence[Sequence[float | Decimal]], *, reading_u_g: float) -> UnitWeight:
    """The unit weight of a lot that nobody has sampled, from single pieces of other lots; u² has σ_L² (1 + 1/k) in it.

    >>> lots = [[0.912, 0.905, 0.894, 0.903], [0.921, 0.918, 0.926, 0.922], [0.899, 0.907, 0.903, 0.896]]
    >>> print(unit_weight_over_lots(lots, reading_u_g=0.0005))
    0.908833 g per piece, u 0.013 g, piece s.d. 0.0054 g, from 12 single pieces
    """
    table = one_way(lots)
    k = len(lots)
    piece_variance = max(table.ms_within - reading_u_g**2, reading_u_g**2)
    within = max(table.ms_within, piece_variance + reading_u_g**2)
    u = math.sqrt(within * math.fsum(1 / n for n in table.group_pieces)) / k
    known = UnitWeight(
        mean_g=table.mean,
        u_g=u,
        piece_sd_g=math.sqrt(piece_variance),
        sample_pieces=sum(table.group_pieces),
        source="single pieces",
        piece_sd_source="single pieces",
        piece_sd_freedom=table.df_within,
    )
    return replace(known, lots=k).after_lot_change(table.lot_sd)


def _less(reading: float | Decimal, start: float | Decimal) -> float:
    if isinstance(reading, Decimal) and isinstance(start, Decimal):
        return float(reading - start)
    return float(reading) - float(start)
