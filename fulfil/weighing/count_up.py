"""Count up in stages: each pour on the tared scale is told in pieces, and is part of the sample for the next one.

A first lot of pieces is known by the shop's unit weight, or was counted out by hand. Then the scale is tared and some
more are poured on, tared again, and so on (10, 60, 500 pieces). What is known of the unit weight before a pour is a
mean μ̂ with variance P. A pour of n pieces shows y; its innovation D = y − n μ̂ has the variance ::

    v² = n σ² + n² P + s² + B²

with the piece s.d. σ, s of a net reading (two indications) and B of errors that stay: the scale's own b on this pour
and what b on the earlier ones has done to μ̂, added with their signs against us. If the pour is told as n pieces it
updates the mean (a Kalman filter of one state, which is least squares in a row)::

    K = n P / (n² P + n σ² + s²)      μ̂ ← μ̂ + K D      P ← P (1 − K n)

**What the risks mean.** Counts that are built on counts aren't independent, but innovations are: for normal errors
those of the right counts are independent of each other, whatever the pours. So the chance that all stages pass is a
*product*, for the right counts and for any wrong ones, since a wrong count only moves the later innovations by a known
amount. :func:`passes_all` is that product. A stage that is one off passes with at most its own share of the risk, and
what follows can only make it less; over k stages risks are shared out (union bound), so the whole count keeps them.
A pour whose lasting error would spoil more than it teaches isn't learned from; then only the union bound is left, which
asks for no independence.

Without any scale error and with a hand-counted first stage of S pieces, v² = σ² n (1 + n/S): the miscount of scale
counting as Steiner and MacKay treat it (formula worked out here, their paper was not at hand).

>>> belief = of_first_pour(20, 18.0, piece_sd_g=0.009, reading_u_g=0.01, bias_g=0.0)
>>> pour = Pourer(piece_sd_g=0.009, reading_u_g=0.01, bias_g=0.0, d_g=Decimal("0.01"))
>>> risks = dict(risk_pass=0.0005, risk_reject=0.0025)
>>> stage = pour.stage(50, belief, **risks)
>>> print(stage.lower_g, stage.upper_g)
44.57 45.43
>>> pour.told(belief, 45.13, **risks), pour.told(belief, 45.45, **risks)
(50, None)
>>> later = belief.after(50, 45.13, pour)
>>> round(later.mean_g, 5), round(belief.u_g, 5), round(later.u_g, 5)
(0.90188, 0.00207, 0.00109)
>>> stages_of(500, belief, pour, first_pieces=20, risk_pass=0.001, risk_reject=0.005)
(54, 91, 120, 139, 76)

Limits: normal errors, one piece s.d.; a hand count at the start is believed (its doubt is
:mod:`fulfil.weighing.sample_proof`'s; two first pours that agree prove it).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from math import erfc, prod, sqrt

from fulfil.errors import QuantityRefused
from fulfil.weighing.error_model import SINGLE, ErrorModel, checked_mass, checked_pieces
from fulfil.weighing.limits import Risks, printed_limits
from fulfil.weighing.resolving import is_resolvable
from fulfil.weighing.window import window_of

MOST_STAGES = 12
"""More stages than this nobody keeps count of."""


@dataclass(frozen=True, slots=True)
class Belief:
    """What is known of the unit weight before a pour, in g; ``bias_g`` is what errors that stay may have done to it."""

    mean_g: float
    u_g: float
    bias_g: float = 0.0

    def after(self, pieces: int, net_g: float, pourer: "Pourer") -> "Belief":
        """What is known once a pour was told as so many pieces; as before where lasting errors outweigh the gain."""
        gain, left = self._gain(pieces, pourer)
        mean_g = self.mean_g + gain * (net_g - pieces * self.mean_g)
        learned = Belief(mean_g, self.u_g * sqrt(left), left * self.bias_g + gain * pourer.bias_g)
        return learned if learned._doubt_g2(pieces, pourer) < self._doubt_g2(pieces, pourer) else self

    def _doubt_g2(self, pieces: int, pourer: "Pourer") -> float:
        """What the next pour of as many pieces would be uncertain by, but for its pieces and its reading."""
        return (pieces * self.u_g) ** 2 + (pieces * self.bias_g + pourer.bias_g) ** 2

    def _gain(self, pieces: int, pourer: "Pourer") -> tuple[float, float]:
        """K and 1 − K n."""
        known = (pieces * self.u_g) ** 2
        noise = pieces * pourer.piece_sd_g**2 + pourer.at(pieces * self.mean_g).reading_u_g ** 2
        if known + noise == 0.0:
            return 0.0, 1.0
        return pieces * self.u_g**2 / (known + noise), noise / (known + noise)


@dataclass(frozen=True, slots=True)
class Stage:
    """One pour: the pieces it should hold, the limits the scale must show between, net, and their risks."""

    pieces: int
    target_g: float
    lower_g: Decimal
    upper_g: Decimal
    risks: Risks


@dataclass(frozen=True, slots=True)
class Pourer:
    """A part on a scale: piece s.d., standard uncertainty and lasting error of a net reading, and the display's d.

    A multi-interval scale has ``ranges`` besides, as (up to g, d g) in rising order; ``d_g`` is then that of the first,
    and ``reading_u_g`` what it is there. Where the scale is tared its ranges are those of the net load (R 76-1:2006,
    T.3.2.6 and 4.6; clause numbers from memory), so each pour has the interval of its own mass.
    """

    piece_sd_g: float
    reading_u_g: float
    bias_g: float
    d_g: Decimal
    ranges: tuple[tuple[Decimal, Decimal], ...] = ()

    def at(self, net_g: float) -> "Pourer":
        """The same on the interval that holds for a net load.

        >>> ranges = ((Decimal(300), Decimal("0.1")), (Decimal(600), Decimal("0.2")))
        >>> bench = Pourer(0.005, 0.05, 0.0, Decimal("0.1"), ranges)
        >>> bench.at(300.0).d_g, bench.at(300.1).d_g, round(bench.at(300.1).reading_u_g, 4)
        (Decimal('0.1'), Decimal('0.2'), 0.0707)
        """
        if not self.ranges:
            return self
        d_g = next((d for end, d in self.ranges if net_g <= float(end) + 1e-9), self.ranges[-1][1])
        more_g2 = (float(d_g) ** 2 - float(self.d_g) ** 2) / 12
        return replace(self, d_g=d_g, reading_u_g=sqrt(self.reading_u_g**2 + more_g2), ranges=())

    def model(self, pieces: int, belief: Belief) -> ErrorModel:
        """The error model of a pour."""
        if self.ranges:
            return self.at(pieces * belief.mean_g).model(pieces, belief)
        fixed = self.reading_u_g**2 + (pieces * belief.bias_g + self.bias_g) ** 2
        n = float(pieces)
        return ErrorModel(SINGLE, n, n, belief.mean_g, belief.u_g, self.piece_sd_g, fixed, 0.0)

    def stage(self, pieces: int, belief: Belief, *, risk_pass: float, risk_reject: float) -> Stage | None:
        """The limits for a pour of so many pieces, or None where they can't be told from one more or less."""
        d_g = self.at(pieces * belief.mean_g).d_g
        model = self.model(checked_pieces(pieces, True), belief)
        if not is_resolvable(model, risk_pass, risk_reject):
            return None
        window = window_of(model, risk_pass=risk_pass, risk_reject=risk_reject)
        printed = printed_limits(model, window, d_g, risk_pass=risk_pass, risk_reject=risk_reject)
        return None if printed is None else Stage(int(pieces), float(model.target_g), *printed)

    def most(self, belief: Belief, at_most: int, *, risk_pass: float, risk_reject: float) -> int:
        """The largest pour, up to ``at_most``, that can be told; 0 if not even one piece can."""
        enough, too_many = 0, at_most + 1
        while too_many - enough > 1:
            middle = (enough + too_many) // 2
            if self.stage(middle, belief, risk_pass=risk_pass, risk_reject=risk_reject) is not None:
                enough = middle
            else:
                too_many = middle
        return enough

    def told(self, belief: Belief, net_g: float, *, risk_pass: float, risk_reject: float) -> int | None:
        """How many pieces a reading is; None where it lies between two counts or can't be told."""
        pieces = round(net_g / belief.mean_g)
        stage = self.stage(pieces, belief, risk_pass=risk_pass, risk_reject=risk_reject) if pieces > 0 else None
        hair = float(self.d_g) * 1e-6
        if stage is None or not float(stage.lower_g) - hair <= net_g <= float(stage.upper_g) + hair:
            return None
        return pieces


def of_first_pour(pieces: int, net_g: float, *, piece_sd_g: float, reading_u_g: float, bias_g: float) -> Belief:
    """What a first lot that was counted by hand says of the unit weight.

    Raises:
        QuantityRefused: pieces below 2.
        WeighingRefused: a mass that can't be.
    """
    checked_pieces(pieces, True)
    if pieces < 2:
        raise QuantityRefused("count up from pieces", pieces, "2 or more, better 20, counted by hand")
    mean_g = checked_mass(net_g, "unit weight", True) / pieces
    return Belief(mean_g, sqrt(piece_sd_g**2 / pieces + (reading_u_g / pieces) ** 2), bias_g / pieces)


def stages_of(
    pieces: int, belief: Belief, pourer: Pourer, *, risk_pass: float, risk_reject: float, first_pieces: int = 0
) -> tuple[int, ...]:
    """Sizes of the pours that count ``pieces`` up, the fewest that hold the risks; empty where none do.

    With ``first_pieces`` that many were counted by hand already and ``belief`` is what they said.
    """
    for most in range(1, MOST_STAGES + 1):
        sizes: list[int] = []
        known, rest = belief, pieces - first_pieces
        while rest > 0 and len(sizes) < most:
            size = pourer.most(known, rest, risk_pass=risk_pass / most, risk_reject=risk_reject / most)
            if size == 0:
                return ()
            sizes.append(size)
            known, rest = known.after(size, size * known.mean_g, pourer), rest - size
        if rest == 0:
            return tuple(sizes)
    return ()


def passes_all(stages: Sequence[Stage], off: Sequence[int], belief: Belief, pourer: Pourer, *, unit_g: float) -> float:
    """The chance that every stage passes with ``off[i]`` pieces too many in the i-th, lasting errors left out.

    ``stages`` are as made for beliefs that follow each other, their limits taken as distances from each target.
    ``unit_g`` is the true unit weight, from which ``belief`` may be off by its u.
    """
    if len(stages) != len(off):
        raise QuantityRefused("ask for stages that are off", len(off), f"one number for each of {len(stages)}")
    shift, known, chances = 0.0, belief, []
    for stage, extra in zip(stages, off, strict=True):
        n, there = stage.pieces, pourer.at(stage.target_g)
        half_d = float(there.d_g) / 2
        # ``shift`` is what wrong counts before have moved the mean by.
        move = extra * unit_g - n * shift
        variance = (n + extra) * pourer.piece_sd_g**2 + (n * known.u_g) ** 2 + there.reading_u_g**2
        spread = sqrt(max(variance - float(there.d_g) ** 2 / 12, 1e-300))
        low = float(stage.lower_g) - half_d - stage.target_g - move
        high = float(stage.upper_g) + half_d - stage.target_g - move
        chances.append(0.5 * (erfc(-high / spread / sqrt(2)) - erfc(-low / spread / sqrt(2))))
        after = known.after(n, n * known.mean_g + move, pourer)
        shift, known = shift + after.mean_g - known.mean_g, Belief(known.mean_g, after.u_g, after.bias_g)
    return max(0.0, prod(chances))
