"""How long a control chart runs before it signals: average run lengths by integral equation.

The average run length (ARL) from state u satisfies, for independent N(δ, 1) values,

one-sided CUSUM (E. S. Page, Biometrika 41 (1954) 100)::

    L(u) = 1 + L(0) Φ(k − u − δ) + ∫₀ʰ L(x) φ(x + k − u − δ) dx

EWMA with weight λ and limits ±c, c = L √(λ/(2 − λ)) (S. V. Crowder, Technometrics 29 (1987) 401)::

    L(u) = 1 + (1/λ) ∫₋꜀ᶜ L(x) φ((x − (1 − λ)u)/λ − δ) dx

solved by Gauss-Legendre quadrature. A two-sided CUSUM has 1/ARL = 1/ARL₊ + 1/ARL₋.

>>> round(cusum_arl(0.0, allowance=0.5, decision=5.0), 1), round(cusum_arl(1.0, allowance=0.5, decision=5.0), 2)
(465.4, 10.38)
>>> round(ewma_arl(1.0, weight=0.1, limit_sd=2.814), 2)
10.33

Limits: values independent and normal with known s.d.; a chart on estimated unit weights runs shorter.
"""

from math import isfinite, pi, sqrt

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, roots_legendre

from fulfil.errors import WeighingRefused

Floats = NDArray[np.float64]
_NODES = 80


def cusum_arl(shift_sd: float, *, allowance: float, decision: float) -> float:
    """ARL of a two-sided CUSUM started at zero, when the mean has moved by ``shift_sd``.

    Args:
        shift_sd: Shift of the mean, in s.d.
        allowance: Reference value k, in s.d.
        decision: Decision interval h, in s.d., above zero.
    """
    up = one_sided_cusum_arl(shift_sd, allowance=allowance, decision=decision)
    down = one_sided_cusum_arl(-shift_sd, allowance=allowance, decision=decision)
    return 1 / (1 / up + 1 / down)


def one_sided_cusum_arl(shift_sd: float, *, allowance: float, decision: float) -> float:
    """ARL of the upper CUSUM alone, started at zero; arguments as in :func:`cusum_arl`."""
    if not (isfinite(decision) and decision > 0):
        raise WeighingRefused("find the run length of a CUSUM with decision interval", decision, "a number above 0")
    nodes, weights = _legendre(0.0, decision)
    states = np.concatenate([[0.0], nodes])
    kernel = _density(nodes[None, :] + allowance - states[:, None] - shift_sd) * weights
    matrix = np.eye(states.size)
    matrix[:, 0] -= ndtr(allowance - states - shift_sd)
    matrix[:, 1:] -= kernel
    return float(np.linalg.solve(matrix, np.ones(states.size))[0])


def ewma_arl(shift_sd: float, *, weight: float, limit_sd: float) -> float:
    """ARL of an EWMA with constant limits, started at the target.

    Args:
        shift_sd: Shift of the mean, in s.d. of one value.
        weight: λ, above 0 and at most 1.
        limit_sd: L, limits in s.d. of the EWMA, above zero.
    """
    if not 0 < weight <= 1:
        raise WeighingRefused("find the run length of an EWMA with weight", weight, "a number above 0, at most 1")
    limit = limit_sd * sqrt(weight / (2 - weight))
    nodes, weights = _legendre(-limit, limit)
    states = np.concatenate([[0.0], nodes])
    kernel = _density((nodes[None, :] - (1 - weight) * states[:, None]) / weight - shift_sd) * weights / weight
    matrix = np.eye(states.size)
    matrix[:, 1:] -= kernel
    return float(np.linalg.solve(matrix, np.ones(states.size))[0])


def _legendre(low: float, high: float) -> tuple[Floats, Floats]:
    nodes, weights = roots_legendre(_NODES)
    half = (high - low) / 2
    return low + half * (nodes + 1), half * weights


def _density(z: Floats) -> Floats:
    density: Floats = np.exp(-0.5 * z * z) / sqrt(2 * pi)
    return density
