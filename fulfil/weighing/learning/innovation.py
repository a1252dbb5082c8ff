"""What each weighing of a known count adds to what was known before it: residuals for a drift chart.

A chart against a unit weight from a small sample would mistake the sample's own error for a drift. The *innovation* of
a weighing doesn't: it is its deviation from what the sample and all weighings before it predict, over the s.d. of just
that (recursive residuals: R. L. Brown, J. Durbin, J. M. Evans, J. Royal Stat. Soc. B 37 (1975) 149). For a bag of N
pieces, net W, noise s of scale and tare, with the estimate μ̂ ± u so far::

    e = W − N μ̂        S = N² u² + N σ² + s²        z = e/√S
    μ̂ ← μ̂ + (N u²/S) e        u² ← u² (1 − N² u²/S)

While nothing drifts, the z are independent standard normal, whatever the sample was.

>>> bags = innovations([50, 50, 50], [45.0, 45.1, 44.9], [0.03, 0.03, 0.03], unit_weight_g=0.9,
...                    unit_weight_u_g=0.009 / 50**0.5, piece_sd_g=0.009)
>>> [round(e / s, 2) for e, s in zip(bags.residual_g, bags.sd_g)]
[0.0, 1.18, -1.63]

Limits: a shift is slowly taken into the estimate: one that began right after a sample of one bag's size is seen only if
it is large, one after a large sample or many bags is seen in full. σ is taken as known.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite, sqrt

from fulfil.errors import WeighingRefused


@dataclass(frozen=True, slots=True)
class Innovations:
    """Residuals in the order of time, each with what was expected and its s.d., in g; and the estimate after all.

    ``expected_g`` is N μ̂ as known before the weighing.
    """

    residual_g: tuple[float, ...]
    expected_g: tuple[float, ...]
    sd_g: tuple[float, ...]
    unit_weight_g: float
    unit_weight_u_g: float


def innovations(
    pieces: Sequence[int],
    net_g: Sequence[float],
    noise_u_g: Sequence[float],
    *,
    unit_weight_g: float,
    unit_weight_u_g: float,
    piece_sd_g: float,
) -> Innovations:
    """The innovations of one lot's weighings, given its unit weight before the first of them.

    Raises:
        WeighingRefused: columns of unlike length, a number that can't be, or no scatter at all.
    """
    if not len(pieces) == len(net_g) == len(noise_u_g):
        raise WeighingRefused("chart columns of", (len(pieces), len(net_g), len(noise_u_g)), "one length")
    for name, value in (("unit weight", unit_weight_g), ("its u", unit_weight_u_g), ("piece s.d.", piece_sd_g)):
        if not (isfinite(value) and value >= 0.0):
            raise WeighingRefused(f"chart with {name}", f"{value} g", "a number of 0 g or more")
    mean, variance = unit_weight_g, unit_weight_u_g**2
    residuals, expected, spreads = [], [], []
    for count, net, noise in zip(pieces, net_g, noise_u_g, strict=True):
        total = count * count * variance + count * piece_sd_g**2 + noise**2
        if not (isfinite(net) and total > 0.0):
            raise WeighingRefused("chart a weighing of", f"{net} g ± {noise} g", "a net weight with some uncertainty")
        residual = net - count * mean
        residuals.append(residual)
        expected.append(count * mean)
        spreads.append(sqrt(total))
        mean += count * variance / total * residual
        variance *= 1.0 - count * count * variance / total
    return Innovations(tuple(residuals), tuple(expected), tuple(spreads), mean, sqrt(max(variance, 0.0)))
