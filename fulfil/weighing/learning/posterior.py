"""The posterior behind :mod:`fulfil.weighing.learning.learning`: exact in means and lots, a grid in the two s.d.

For one part with lots i, given σ and τ, each lot's weighings reduce to three sums::

    A = Σ N²/v     B = Σ N r/v     C = Σ r²/v + log v        v = N σ² + s²,  r = W − N m

(m a reference mean, so that no digits are lost in differences of large numbers), and the lot's estimate
B/A of its shift from m has variance 1/A + τ². Integrating all lots and a flat mean leaves the log
posterior of (σ, τ) up to a constant. A grid of ``NODES`` × ``NODES`` values spaced evenly in log σ, log τ is
moved and narrowed ``ROUNDS`` times to ±``SPAN_SD`` posterior s.d., one s.d. from node to node, where the
trapezoid rule on a normal peak errs by 5e-9 (2 exp(−2π²/h²) for a step of h s.d.); what it cuts off the
longer tail of σ² is 1e-4 of it. Work goes in blocks of whole parts to stay in the cache.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log, pi, sqrt

import numpy as np
from numpy.typing import NDArray

from fulfil.weighing.learning.prior import LearningPrior
from fulfil.weighing.tails import ndtr

Floats = NDArray[np.float64]
Rows = NDArray[np.intp]

NODES = 11
ROUNDS = 5
SPAN_SD = 5.0
FIRST_SPAN = log(30.0)
BLOCK_ROWS = 4096


@dataclass(frozen=True, eq=False, slots=True)
class _Block:
    """Weighings of whole parts, sorted by lot: ``lot_start`` and ``part_start`` index the first rows."""

    lot_start: Rows
    part_start: Rows
    lot_part: Rows
    row_part: Rows
    pieces: Floats
    residual_g: Floats
    noise_g2: Floats
    centre_g: Floats
    half_g: Floats
    reference_g: Floats
    priors: "_Priors"


@dataclass(frozen=True, eq=False, slots=True)
class _Priors:
    """Priors of several parts, in columns of one row each: log of the expected s.d. in g, and degrees of freedom."""

    log_sigma: Floats
    sigma_df: Floats
    log_tau: Floats
    tau_df: Floats
    has_lots: NDArray[np.bool_]

    @classmethod
    def of(cls, priors: Sequence[LearningPrior], reference_g: Floats) -> "_Priors":
        lot_sd = np.array([prior.lot_sd_relative for prior in priors])
        return cls(
            np.log([prior.piece_sd_relative for prior in priors] * reference_g)[:, None],
            np.array([prior.piece_sd_df for prior in priors])[:, None],
            np.log(np.where(lot_sd > 0, lot_sd, 1.0) * reference_g)[:, None],
            np.array([prior.lot_sd_df for prior in priors])[:, None],
            lot_sd[:, None] > 0,
        )


def learn_parts(
    cell: Rows,
    cell_part: Rows,
    pieces: Floats,
    net_g: Floats,
    noise_g: Floats,
    centre_g: Floats,
    half_g: Floats,
    priors: Sequence[LearningPrior],
) -> dict[str, Floats]:
    """Posterior summaries of every part and lot from weighings sorted by cell (part, then lot).

    Args:
        cell: Cell of each weighing, 0 to Q − 1, rising, shape (R,).
        cell_part: Part of each cell, 0 to P − 1, rising, shape (Q,).
        pieces: Pieces in each weighing, shape (R,).
        net_g: Net weight of each, g, shape (R,).
        noise_g: Standard uncertainty of each, g, shape (R,).
        centre_g: Middle of the window that passed it, g, shape (R,).
        half_g: Half-width of that window, g, infinite for none, shape (R,).
        priors: Prior of the scatter of each part, P of them.

    Returns:
        Columns of :class:`fulfil.weighing.learning.learning.Learned`, read-only.
    """
    part = cell_part[cell]
    starts = np.flatnonzero(np.diff(part, prepend=-1))
    reference = np.add.reduceat(net_g, starts) / np.add.reduceat(pieces, starts)
    residual = net_g - pieces * reference[part]
    ends = np.append(starts[1:], part.size)
    found: list[dict[str, Floats]] = []
    first = 0
    while first < starts.size:
        last = max(first + 1, int(np.searchsorted(ends, starts[first] + BLOCK_ROWS, side="right")))
        rows = slice(starts[first], ends[last - 1])
        cells = cell[rows] - cell[rows.start]
        row_part = part[rows] - first
        lot_start = np.flatnonzero(np.diff(cells, prepend=-1))
        block = _Block(
            lot_start=lot_start,
            part_start=np.flatnonzero(np.diff(row_part[lot_start], prepend=-1)),
            lot_part=row_part[lot_start],
            row_part=row_part,
            pieces=pieces[rows],
            residual_g=residual[rows],
            noise_g2=noise_g[rows] ** 2,
            centre_g=centre_g[rows] - pieces[rows] * reference[part[rows]],
            half_g=half_g[rows],
            reference_g=reference[first:last],
            priors=_Priors.of(priors[first:last], reference[first:last]),
        )
        found.append(_learn_block(block))
        first = last
    columns = {name: np.concatenate([block[name] for block in found]) for name in found[0]}
    for column in columns.values():
        column.flags.writeable = False
    return columns


def _learn_block(block: _Block) -> dict[str, Floats]:
    priors = block.priors
    steps = np.linspace(-1.0, 1.0, NODES)
    sigma_at, sigma_span = priors.log_sigma, np.full(priors.log_sigma.shape, FIRST_SPAN)
    tau_at, tau_span = priors.log_tau, np.full(priors.log_tau.shape, FIRST_SPAN)
    for turn in range(ROUNDS):
        log_sigma = sigma_at + sigma_span * steps
        log_tau = tau_at + tau_span * steps
        tau2 = np.where(priors.has_lots, np.exp(2 * log_tau), 0.0)
        a, b, c = _lot_sums(block, np.exp(2 * log_sigma))
        # Axes from here on: lots or parts, nodes of σ, nodes of τ.
        spread = 1.0 + a[:, :, None] * tau2[block.lot_part][:, None, :]
        weight = a[:, :, None] / spread
        shift = (b / a)[:, :, None]
        precision = np.add.reduceat(weight, block.part_start)
        mean = np.add.reduceat(weight * shift, block.part_start) / precision
        per_lot = (
            -0.5 * (c - b * b / a)[:, :, None]
            - 0.5 * np.log(spread)
            - 0.5 * weight * (shift - mean[block.lot_part]) ** 2
        )
        log_posterior = np.add.reduceat(per_lot, block.part_start) - 0.5 * np.log(precision)
        log_posterior += _log_prior(log_sigma - priors.log_sigma, priors.sigma_df)[:, :, None]
        log_posterior += _log_prior(log_tau - priors.log_tau, priors.tau_df)[:, None, :]
        share = np.exp(log_posterior - log_posterior.max(axis=(1, 2), keepdims=True))
        share /= share.sum(axis=(1, 2), keepdims=True)
        if turn < ROUNDS - 1:
            sigma_at, sigma_span = _narrow(log_sigma, share.sum(axis=2), sigma_span)
            tau_at, tau_span = _narrow(log_tau, share.sum(axis=1), tau_span)

    mean_g = np.einsum("pst,pst->p", share, mean)
    mean_var = np.einsum("pst,pst->p", share, 1 / precision + (mean - mean_g[:, None, None]) ** 2)
    sigma2 = np.exp(2 * log_sigma)
    sigma_share = share.sum(axis=2)
    sigma = np.einsum("ps,ps->p", sigma_share, np.exp(log_sigma))
    sigma2_mean = np.einsum("ps,ps->p", sigma_share, sigma2)
    lot_share = share[block.lot_part]
    tau2_lot = tau2[block.lot_part][:, None, :]
    lot_mean = (b[:, :, None] * tau2_lot + mean[block.lot_part]) / spread
    lot_var = tau2_lot / spread + 1 / (precision[block.lot_part] * spread**2)
    lot_g = np.einsum("lst,lst->l", lot_share, lot_mean)
    lot_var_g2 = np.einsum("lst,lst->l", lot_share, lot_var + (lot_mean - lot_g[:, None, None]) ** 2)
    return {
        "mean_g": block.reference_g + mean_g,
        "mean_u_g": np.sqrt(mean_var),
        "piece_sd_g": np.sqrt(sigma2_mean),
        "piece_sd_u_g": np.sqrt(np.maximum(sigma2_mean - sigma**2, 0.0)),
        "lot_sd_g": np.sqrt(np.einsum("pt,pt->p", share.sum(axis=1), tau2)),
        "lot_mean_g": block.reference_g[block.lot_part] + lot_g,
        "lot_u_g": np.sqrt(lot_var_g2),
        "lot_shift_g": lot_g - mean_g[block.lot_part],
    }


def _lot_sums(block: _Block, sigma2: Floats) -> tuple[Floats, Floats, Floats]:
    """Sums A, B and C of each lot at each σ, shape (lots, nodes), with the truncated rows corrected."""
    count = block.pieces[:, None]
    variance = count * sigma2[block.row_part] + block.noise_g2[:, None]
    residual = block.residual_g[:, None]
    by_count = count / variance
    a, b, c = count * by_count, residual * by_count, residual**2 / variance + np.log(variance)
    cut = np.flatnonzero(np.isfinite(block.half_g))
    if cut.size:
        k = block.half_g[cut, None] / np.sqrt(variance[cut])
        inside = 2 * ndtr(k) - 1
        kappa = 2 * k * np.exp(-0.5 * k * k) / sqrt(2 * pi) / inside
        centre = block.centre_g[cut, None]
        c[cut] += 2 * np.log(inside) - kappa * centre**2 / variance[cut]
        b[cut] -= kappa * centre * by_count[cut]
        a[cut] *= np.maximum(1 - kappa, 1e-6)
    return tuple(np.add.reduceat(column, block.lot_start) for column in (a, b, c))  # type: ignore[return-value]


def _log_prior(off: Floats, df: Floats) -> Floats:
    """Log density of log s.d., ``off`` from the expected, for a scaled inverse chi-square variance."""
    density: Floats = -df * off - 0.5 * df * np.exp(-2 * off)
    return density


def _narrow(nodes: Floats, share: Floats, span: Floats) -> tuple[Floats, Floats]:
    """Centre and half-width of the next grid; never narrower than this grid can justify."""
    mean = (share * nodes).sum(axis=1, keepdims=True)
    sd = np.sqrt((share * (nodes - mean) ** 2).sum(axis=1, keepdims=True))
    return mean, np.maximum(SPAN_SD * sd, 2.5 * span / NODES)
