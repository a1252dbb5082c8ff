"""Unit weights learned from the shop's own weighings: mean, piece s.d. and lot shift of every part.

Weighing j of lot i holds N pieces and was passed, or counted by hand::

    W_ij = N_ij (μ + L_i) + pieces + noise      Var W_ij = N_ij σ² + s_ij²,  L_i ~ N(0, τ²)

with s² the known variance of rounding, repeatability and tare. Given σ and τ the mean and all lots are
integrated exactly; σ² and τ² (scaled inverse chi-square priors) are integrated on a grid that closes in on
each part's posterior. With s = 0, one lot and τ = 0 this is the normal-inverse-gamma update (A. Gelman et
al., Bayesian Data Analysis, 3rd ed. 2013, section 3.3); with several lots it is the one-way random-effects
model. A sample of n pieces is one more weighing of n pieces; a prior worth k pieces is one of k pieces.

Selection. When every bag that a window rejects is counted by hand and learned from too, the weighings
are complete and nothing needs correcting. Where the rejected bags are lost, give the window: the
likelihood becomes that of a normal truncated to it, with the normaliser's logarithm expanded to second
order about the window's centre. A window of k s.d. then tells (1 − κ) as much about the mean,
κ = 2kφ(k)/(2Φ(k) − 1), which is the variance a truncated normal has lost.

>>> learned = learn(["NUT-M5"] * 4, ["L1", "L1", "L2", "L2"], pieces=[50, 100, 100, 100],
...                 net_g=[61.5, 123.1, 122.3, 122.2], noise_u_g=0.03)
>>> unit = learned.unit_weight("NUT-M5", "L2")
>>> round(unit.unit_weight_g, 3), round(unit.unit_weight_u_g, 4)
(1.223, 0.0009)
>>> learned.unit_weight("NUT-M5").unit_weight_u_g > 4 * unit.unit_weight_u_g
True

The same weighings in any order give the same bits. Limits: an error of the scale that all weighings share
(its calibration) is not in the result, see :mod:`fulfil.weighing.learning.drift`; a bag that passed one piece off
(the stated risk) is learned as right; the expansion is for windows of 2 s.d. or more on each side: centred
one s.d. off, one of 2.8 s.d. leaves a bias of 0.02 s.d. of a weighing (0.07 uncorrected), one of 2 s.d. 0.01
(0.28), and one of 1.5 s.d. is corrected too far (both simulated).
"""

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fulfil.errors import UnknownRefused, WeighingRefused
from fulfil.weighing.learning.posterior import learn_parts
from fulfil.weighing.learning.prior import LEARNING_PRIOR, LearningPrior

Floats = NDArray[np.float64]
Rows = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class LearnedUnitWeight:
    """What the weighings say about one part, in one lot or in a lot not seen yet.

    Attributes:
        part_number: The part.
        lot: The lot, empty for one not seen yet.
        unit_weight_g: Mean mass of one piece, g.
        unit_weight_u_g: Its standard uncertainty, g; for a lot not seen yet it holds the spread of lots.
        piece_sd_g: Piece-to-piece s.d. (root of the posterior mean of σ²), g.
        piece_sd_u_g: Its standard uncertainty, g.
        lot_sd_g: S.d. of the unit weight between lots (root of the posterior mean of τ²), g.
        n: Weighings of the part.
        pieces: Pieces in them.
    """

    part_number: str
    lot: str
    unit_weight_g: float
    unit_weight_u_g: float
    piece_sd_g: float
    piece_sd_u_g: float
    lot_sd_g: float
    n: int
    pieces: int


@dataclass(frozen=True, eq=False, slots=True)
class Learned:
    """Learned unit weights of P parts with Q lots; arrays are read-only, parts and lots sorted by name.

    Attributes:
        part_numbers: P part numbers.
        mean_g, mean_u_g: Mean over lots, and its standard uncertainty, g, shape (P,). Of one lot alone it is
            known no better than lots differ.
        piece_sd_g, piece_sd_u_g: Piece s.d. and its standard uncertainty, g, shape (P,).
        lot_sd_g: S.d. between lots, g, shape (P,).
        n, pieces: Weighings, and pieces in them, shape (P,).
        lots: Q pairs (part number, lot).
        lot_mean_g, lot_u_g: Unit weight of each lot and its standard uncertainty, g, shape (Q,).
        lot_shift_g: Lot minus the part's mean, g, shape (Q,).
    """

    part_numbers: tuple[str, ...]
    mean_g: Floats
    mean_u_g: Floats
    piece_sd_g: Floats
    piece_sd_u_g: Floats
    lot_sd_g: Floats
    n: NDArray[np.int64]
    pieces: NDArray[np.int64]
    lots: tuple[tuple[str, str], ...]
    lot_mean_g: Floats
    lot_u_g: Floats
    lot_shift_g: Floats

    def unit_weight(self, part_number: str, lot: str = "") -> LearnedUnitWeight:
        """The unit weight in a lot; in a lot not seen yet, or none named, that of a new lot."""
        row = _find(self.part_numbers, part_number)
        if row is None:
            raise UnknownRefused("give the learned unit weight of part", part_number, "a part that was weighed")
        lot_row = _find(self.lots, (part_number, lot))
        if lot_row is None:
            mean_g = float(self.mean_g[row])
            u_g = float(np.hypot(self.mean_u_g[row], self.lot_sd_g[row]))
        else:
            mean_g, u_g = float(self.lot_mean_g[lot_row]), float(self.lot_u_g[lot_row])
        return LearnedUnitWeight(
            part_number=part_number,
            lot="" if lot_row is None else lot,
            unit_weight_g=mean_g,
            unit_weight_u_g=u_g,
            piece_sd_g=float(self.piece_sd_g[row]),
            piece_sd_u_g=float(self.piece_sd_u_g[row]),
            lot_sd_g=float(self.lot_sd_g[row]),
            n=int(self.n[row]),
            pieces=int(self.pieces[row]),
        )


def learn(
    part_numbers: Sequence[str],
    lots: Sequence[str],
    pieces: ArrayLike,
    net_g: ArrayLike,
    noise_u_g: ArrayLike,
    *,
    window_centre_g: ArrayLike | None = None,
    window_half_width_g: ArrayLike | None = None,
    prior: LearningPrior = LEARNING_PRIOR,
    part_priors: Mapping[str, LearningPrior] = {},
) -> Learned:
    """Learn unit weights from R weighings whose count is known: samples, passed bags, bags counted by hand.

    Args:
        part_numbers: Part of each weighing; a coated variant is a part of its own.
        lots: Lot of each weighing, "" where the shop keeps none.
        pieces: Pieces in each, shape (R,), 1 or more.
        net_g: Net weight of each, g, shape (R,).
        noise_u_g: Standard uncertainty of the net weight (scale and tare), g, shape (R,) or a scalar.
        window_centre_g: Net weight at the middle of the window that passed each weighing, g.
        window_half_width_g: Its half-width, g, infinite for a weighing that no window selected. Give both
            only where rejected bags aren't learned from.
        prior: What is known of scatter before the first weighing.
        part_priors: The same for single parts (of their family), by part number.

    Raises:
        WeighingRefused: a count below 1, a weight that isn't above zero, an uncertainty that isn't a number of
            0 or more, columns of unlike length, or no weighing at all.
    """
    rows = len(part_numbers)
    if rows == 0 or len(lots) != rows:
        raise WeighingRefused("learn from lots:", len(lots), f"one for each of {rows} weighings, at least one")
    count = _column("pieces", pieces, rows, part_numbers, least=1.0)
    net = _column("net weight in g", net_g, rows, part_numbers, least=np.finfo(float).tiny)
    noise = _column("scale's and tare's u in g", noise_u_g, rows, part_numbers, least=0.0)
    if (window_centre_g is None) != (window_half_width_g is None):
        raise WeighingRefused("learn with a window given by", "one of centre and half-width", "both or neither")
    centre, half = net, np.full(rows, np.inf)
    if window_centre_g is not None and window_half_width_g is not None:
        centre = _column("window's centre in g", window_centre_g, rows, part_numbers, least=0.0)
        half = np.broadcast_to(np.asarray(window_half_width_g, dtype=np.float64), rows)
        if not (half > 0).all():
            raise WeighingRefused("learn with a window half as wide as", float(half.min()), "a width above 0 g")

    names, part = np.unique(np.asarray(part_numbers, dtype=str), return_inverse=True)
    lot_names, lot = np.unique(np.asarray(lots, dtype=str), return_inverse=True)
    cells, cell = np.unique(part * lot_names.size + lot, return_inverse=True)
    order = np.lexsort((half, centre, noise, net, count, cell))
    cell_part = cells // lot_names.size
    posterior = learn_parts(
        cell[order],
        cell_part,
        count[order],
        net[order],
        noise[order],
        centre[order],
        half[order],
        [part_priors.get(name, prior) for name in names.tolist()],
    )
    return Learned(
        part_numbers=tuple(names.tolist()),
        n=np.bincount(part, minlength=names.size),
        pieces=np.rint(np.bincount(part, weights=count, minlength=names.size)).astype(np.int64),
        lots=tuple((str(names[p]), str(lot_names[c])) for p, c in zip(cell_part, cells % lot_names.size, strict=True)),
        **posterior,
    )


def _column(name: str, values: ArrayLike, rows: int, part_numbers: Sequence[str], *, least: float) -> Floats:
    column = np.asarray(values, dtype=np.float64)
    if column.shape not in ((), (rows,)):
        raise WeighingRefused(f"learn from {name} of shape", column.shape, f"one for each of {rows} weighings")
    column = np.broadcast_to(column, rows)
    wrong = ~(np.isfinite(column) & (column >= least))
    if wrong.any():
        row = int(np.argmax(wrong))
        floor = "a number above 0" if 0 < least < 1 else f"a number of {least:.0f} or more"
        raise WeighingRefused(f"learn {part_numbers[row]} from {name} (weighing {row + 1})", float(column[row]), floor)
    return column


def _find(names: Sequence[Any], name: object) -> int | None:
    place = bisect_left(names, name)
    return place if place < len(names) and names[place] == name else None
