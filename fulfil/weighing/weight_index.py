"""Parts sorted by unit weight: which of them can weigh this much at this count?

Parts are kept in classes whose relative scatter r = √(σ² + u²)/μ lies within a factor of two, each sorted by unit
weight, so that a part of wide scatter widens the search in its own class only. M pieces of part b can weigh W when::

    |M μ_b − W| ≤ h + z s_b      s_b² = M σ_b² + M² u²(μ_b) + u_s²

>>> index = WeightIndex(mean_g=np.array([1.2, 1.23, 1.4]), u_g=np.full(3, 0.001), piece_sd_g=np.full(3, 0.006))
>>> rows, parts = index.within_reach([10, 10], [12.0, 14.0], [0.03, 0.03], sds=3.0, half_width_g=0.3)
>>> rows.tolist(), parts.tolist()
([0, 0, 1], [0, 1, 2])
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fulfil.weighing.tails import ndtr

Floats = NDArray[np.float64]


class WeightIndex:
    """P parts by unit weight; arrays of g, shape (P,), unit weights above zero."""

    def __init__(self, mean_g: Floats, u_g: Floats, piece_sd_g: Floats) -> None:
        self._mean_g, self._u_g, self._piece_sd_g = mean_g, u_g, piece_sd_g
        self._classes = _scatter_classes(mean_g, u_g, piece_sd_g)

    def within_reach(
        self,
        pieces: ArrayLike,
        weight_g: ArrayLike,
        noise_g: ArrayLike,
        *,
        sds: float,
        half_width_g: ArrayLike = 0.0,
    ) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
        """Pairs (row, part) where so many pieces of the part can weigh that much.

        That is |M μ_b − weight| ≤ half-width + sds · s_b. The bound s_b ≤ M r μ_b + noise, r the largest
        relative scatter in b's class, narrows the search before each pair is tried.
        """
        packed, target, noise, half = np.broadcast_arrays(
            np.asarray(pieces, dtype=np.float64),
            np.asarray(weight_g, dtype=np.float64),
            np.asarray(noise_g, dtype=np.float64),
            np.asarray(half_width_g, dtype=np.float64),
        )
        reach = half + sds * noise
        rows: list[NDArray[np.intp]] = []
        parts: list[NDArray[np.intp]] = []
        for scatter, members, weights in self._classes:
            low = np.searchsorted(weights, (target - reach) / (packed * (1 + sds * scatter)), side="left")
            if sds * scatter < 1:
                high = np.searchsorted(weights, (target + reach) / (packed * (1 - sds * scatter)), side="right")
            else:
                high = np.full(packed.size, weights.size)
            number = np.maximum(high - low, 0)
            row = np.repeat(np.arange(packed.size), number)
            within = np.arange(row.size) - np.repeat(np.cumsum(number) - number, number)
            part = members[low[row] + within]
            # Class by class, so that the working arrays stay small.
            count = packed[row]
            variance = count * self._piece_sd_g[part] ** 2 + (count * self._u_g[part]) ** 2 + noise[row] ** 2
            slack = half[row] + sds * np.sqrt(variance)
            able = np.abs(count * self._mean_g[part] - target[row]) <= slack
            rows.append(row[able])
            parts.append(part[able])
        return np.concatenate(rows), np.concatenate(parts)

    def chance_inside(
        self, pieces: ArrayLike, part: NDArray[np.intp], target_g: Floats, half_width_g: Floats, noise_g: Floats
    ) -> Floats:
        """Chance that so many pieces of a part weigh within a half-width of the target, row by row."""
        count = np.asarray(pieces, dtype=np.float64)
        gap = count * self._mean_g[part] - target_g
        variance = count * self._piece_sd_g[part] ** 2 + (count * self._u_g[part]) ** 2 + noise_g**2
        return _between(-half_width_g - gap, half_width_g - gap, np.sqrt(variance))


def _between(low: Floats, high: Floats, sd: Floats) -> Floats:
    """P(low < X < high) of X ~ N(0, sd²), without losing the far tails."""
    safe = np.where(sd > 0, sd, 1.0)
    mirrored = low > 0
    first, second = np.where(mirrored, -high, low) / safe, np.where(mirrored, -low, high) / safe
    exact = ((low < 0) & (high > 0)).astype(np.float64)
    return np.where(sd > 0, ndtr(second) - ndtr(first), exact)


def _scatter_classes(mean_g: Floats, u_g: Floats, piece_sd_g: Floats) -> list[tuple[float, NDArray[np.intp], Floats]]:
    """Parts grouped by doubling relative scatter: (largest scatter, members by weight, their weights)."""
    scatter = np.hypot(u_g, piece_sd_g) / mean_g
    octave = np.ceil(np.log2(np.maximum(scatter, 2.0**-10))).astype(np.int64)
    classes = []
    for value in np.unique(octave):
        members = np.flatnonzero(octave == value)
        members = members[np.argsort(mean_g[members], kind="stable")]
        classes.append((float(2.0**value), members, mean_g[members]))
    return classes
