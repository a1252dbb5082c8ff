"""Is a hand-counted sample's unit weight right? Every other figure that the shop has of the part bears witness.

A sample of n pieces by a person's count weighs W. Witnesses to W/n are single pieces, the last sample of the lot, other
lots, the catalogue's weight. Each is held against it by itself: they contradict when they lie farther apart than the
joint standard uncertainty, at its effective degrees of freedom (Welch–Satterthwaite, JCGM 100:2008, G.4.1), explains
once in 370 times (three standard deviations of a normal). A table counts as wrong only beyond its band.

What doesn't contradict may still be off by a piece. The chance of that, ``count_doubt``, is Bayes' rule over the count
errors of :data:`COUNT_ERRORS`, in this sample and in witnesses that were counted by hand themselves: their estimates
must have one mean. A lone sample keeps the doubt that it came with; ten single pieces or a second sample of another
number of pieces take it away.

>>> ten = Witness("single pieces", 0.9, 0.0028, freedom=9)
>>> proof = prove_count(44.1, 50, piece_sd_g=0.009, reading_u_g=0.02, witnesses=[ten])
>>> print(proof.contradictions[0])
0.882 g by this sample, 0.9 g by single pieces: 5.8 joint standard uncertainties apart; by that the sample holds 49 \
pieces
>>> prove_count(45.0, 50, piece_sd_g=0.009, reading_u_g=0.02, witnesses=[]).count_doubt
0.01
>>> prove_count(45.0, 50, piece_sd_g=0.009, reading_u_g=0.02, witnesses=[ten]).count_doubt < 1e-5
True

Limits: normal errors. The rates of count errors are judgement: no published figure was found for a count of small
parts by hand. They matter only where nothing bears witness.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from fulfil.errors import WeighingRefused
from fulfil.weighing.error_model import checked_mass, checked_pieces
from fulfil.weighing.tails import ndtr, stdtr

COUNT_DOUBT = 0.01
"""How often a sample counted out by hand isn't what it is said to be (judgement)."""

COUNT_ERRORS = {-1: 0.42, 1: 0.42, -2: 0.07, 2: 0.07, -10: 0.01, 10: 0.01}
"""Pieces too many in a sample that was miscounted, with their shares: one or two, or a lost ten (judgement)."""

CONTRADICTS = math.erfc(3.0 / math.sqrt(2.0))
"""Chance, two-sided, below which two estimates are taken to contradict each other: three standard deviations."""


@dataclass(frozen=True, slots=True)
class Witness:
    """What else says how much one piece weighs: a mean with its standard uncertainty, in g."""

    name: str
    mean_g: float
    u_g: float
    freedom: float = math.inf
    """Degrees of freedom of ``u_g``."""
    pieces: int = 0
    """For a group that was counted by hand: how many; 0 for what no count is behind."""
    count_doubt: float = 0.0
    """The chance that this count was off."""
    band: float = 0.0
    """For a table: the share of its value that it may be off by before that says anything."""


@dataclass(frozen=True, slots=True)
class Contradiction:
    """A witness that can't be right together with the sample."""

    witness: Witness
    sample_mean_g: float
    apart: float
    """Distance in joint standard uncertainties, beyond a table's band."""
    pieces_by_witness: int
    """Pieces in the sample if the witness is right."""

    def __str__(self) -> str:
        beyond = f" beyond its ± {self.witness.band:.0%}" if self.witness.band else ""
        return (
            f"{self.sample_mean_g:.4g} g by this sample, {self.witness.mean_g:.4g} g by {self.witness.name}: "
            f"{self.apart:.1f} joint standard uncertainties apart{beyond}; by that the sample holds "
            f"{self.pieces_by_witness} piece{'' if self.pieces_by_witness == 1 else 's'}"
        )


@dataclass(frozen=True, slots=True)
class SampleProof:
    """What the witnesses say: what contradicts the sample, and how likely its count is off all the same."""

    contradictions: tuple[Contradiction, ...]
    count_doubt: float
    witnesses: tuple[Witness, ...]

    @property
    def is_alone(self) -> bool:
        """True where nothing but the person's count says how many pieces were weighed."""
        return not any(not witness.band for witness in self.witnesses)


def prove_count(
    net_g: float,
    pieces: int,
    *,
    piece_sd_g: float,
    reading_u_g: float,
    witnesses: Sequence[Witness],
    piece_sd_freedom: float = math.inf,
    count_doubt: float = COUNT_DOUBT,
) -> SampleProof:
    """Holds a sample against every witness.

    Args:
        net_g: net weight of the sample, g.
        pieces: pieces in it, by hand count.
        piece_sd_g: piece-to-piece s.d., g.
        reading_u_g: standard uncertainty of ``net_g``, g.
        witnesses: what else is known; may be empty.
        piece_sd_freedom: degrees of freedom of the piece s.d.
        count_doubt: chance that a count by hand is off, before anything is known.

    Raises:
        QuantityRefused: pieces below 1 or not whole.
        WeighingRefused: a weight that isn't above 0 g, an s.d. below 0, a doubt that is no probability.
    """
    checked_pieces(pieces, True)
    checked_mass(net_g, "unit weight", True)
    spread_g = checked_mass(piece_sd_g, "piece s.d.", True)
    reading_g = checked_mass(reading_u_g, "indication uncertainty", True)
    if not 0.0 <= count_doubt < 1.0:
        raise WeighingRefused("use a doubt of a count of", count_doubt, "a probability from 0 to below 1")
    mean_g = net_g / pieces
    pieces_u2, reading_u2 = spread_g**2 / pieces, (reading_g / pieces) ** 2
    contradictions = tuple(
        found
        for witness in witnesses
        if (found := _contradiction(mean_g, pieces, net_g, pieces_u2, reading_u2, piece_sd_freedom, witness))
    )
    doubt = _doubt(net_g, pieces, pieces_u2 + reading_u2, [one for one in witnesses if not one.band], count_doubt)
    return SampleProof(contradictions, doubt, tuple(witnesses))


def effective_freedom(*terms: tuple[float, float]) -> float:
    """Effective degrees of freedom of a sum of (variance, freedom): Welch–Satterthwaite, JCGM 100:2008, G.4.1, (G.2b).

    >>> round(effective_freedom((0.25**2, 9), (0.57**2, 4), (0.82**2, 14)), 1)  # ibid., example: 19.0
    19.0
    """
    total = math.fsum(variance for variance, _ in terms)
    below = math.fsum(variance**2 / freedom for variance, freedom in terms if variance > 0.0)
    return total**2 / below if below > 0.0 else math.inf


def _contradiction(
    mean_g: float, pieces: int, net_g: float, pieces_u2: float, reading_u2: float, freedom: float, witness: Witness
) -> Contradiction | None:
    # What a table is off by within its band is no witness against anybody; beyond it the sample's own u decides.
    u2 = 0.0 if witness.band else witness.u_g**2
    joint = math.sqrt(pieces_u2 + reading_u2 + u2)
    distance = max(0.0, abs(mean_g - witness.mean_g) - witness.band * witness.mean_g)
    if distance == 0.0:
        return None
    apart = distance / joint if joint > 0.0 else math.inf
    known = effective_freedom((pieces_u2, freedom), (reading_u2, math.inf), (u2, witness.freedom))
    chance = 2.0 * float(ndtr(-apart) if math.isinf(known) else stdtr(known, -apart))
    if chance >= CONTRADICTS:
        return None
    return Contradiction(witness, mean_g, apart, round(net_g / witness.mean_g))


def _doubt(net_g: float, pieces: int, u2: float, witnesses: Sequence[Witness], count_doubt: float) -> float:
    """Bayes' rule over who miscounted by how many, for estimates that all have one mean (flat before)."""
    if not witnesses:
        return count_doubt
    # A t has the variance ν/(ν − 2) times its scale's; below ν = 3 it is taken as three times as wide.
    wide = [one.u_g**2 * (one.freedom / (one.freedom - 2.0) if one.freedom >= 3.0 else 9.0)
            if math.isfinite(one.freedom) else one.u_g**2 for one in witnesses]  # fmt: skip
    variances = [u2, *wide]
    choices = [_errors(pieces, count_doubt), *(_errors(one.pieces, one.count_doubt) for one in witnesses)]
    masses = [net_g, *(one.mean_g * max(one.pieces, 1) for one in witnesses)]
    counts = [pieces, *(max(one.pieces, 1) for one in witnesses)]
    logs: list[tuple[float, bool]] = []
    for errors in product(*choices):
        means = [mass / (count + off) for mass, count, (off, _) in zip(masses, counts, errors, strict=True)]
        log_prior = math.fsum(math.log(share) for _, share in errors)
        logs.append((log_prior + _log_agreement(means, variances), errors[0][0] != 0))
    top = max(log for log, _ in logs)
    weights = [(math.exp(log - top), is_off) for log, is_off in logs]
    return math.fsum(weight for weight, is_off in weights if is_off) / math.fsum(weight for weight, _ in weights)


def _errors(pieces: int, doubt: float) -> list[tuple[int, float]]:
    """Possible errors of a count with their chances; only the right count where there is no doubt."""
    if pieces == 0 or doubt == 0.0:
        return [(0, 1.0)]
    possible = {off: share for off, share in COUNT_ERRORS.items() if pieces + off > 0}
    return [(0, 1.0 - doubt), *((off, doubt * share / sum(possible.values())) for off, share in possible.items())]


def _log_agreement(means: Sequence[float], variances: Sequence[float]) -> float:
    """Log of the likelihood that all are estimates of one mean, but for what doesn't depend on the means."""
    least = max(variances) * 1e-12 + 1e-300
    weights = [1.0 / max(variance, least) for variance in variances]
    common = math.fsum(weight * mean for weight, mean in zip(weights, means, strict=True)) / math.fsum(weights)
    return -0.5 * math.fsum(weight * (mean - common) ** 2 for weight, mean in zip(weights, means, strict=True))
