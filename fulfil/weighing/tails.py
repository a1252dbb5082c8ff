"""Tails of the normal and of Student's distribution, from SciPy, which is loaded when the first one is asked for.

Most small commands read a window that was computed before; loading SciPy took them longer than all they did. So a
single quantile of either distribution, all that a card or a bag's page asks for, needs no SciPy.

>>> round(ndtri(0.975), 6), round(float(ndtr(1.96)), 6)
(1.959964, 0.975002)
>>> round(stdtrit(9, 0.975), 4)  # NIST/SEMATECH e-Handbook, 1.3.6.7.2: 2.262
2.2622
"""

from math import exp, lgamma, log, log1p, pi
from statistics import NormalDist
from typing import Any

_NORMAL = NormalDist()
_MOST_FREEDOM = 200.0
"""Of a quantile that is found here: beyond it the difference of two ln Γ begins to lose the 12th digit."""
_MOST_STEPS = 200


def ndtr(z: Any) -> Any:
    """The chance that a standard normal number is at most ``z``; a number or an array."""
    from scipy.special import ndtr as known

    return known(z)


def ndtri(chance: Any) -> Any:
    """The quantile of the standard normal distribution at ``chance``; a number or an array.

    A single number inside (0, 1) is Wichura's AS 241, to 16 digits (Python's ``statistics`` module).
    """
    if isinstance(chance, float) and 0.0 < chance < 1.0:
        return _NORMAL.inv_cdf(float(chance))
    from scipy.special import ndtri as known

    return known(chance)


def stdtr(freedom: Any, t: Any) -> Any:
    """The chance that a number of Student's distribution is at most ``t``."""
    from scipy.special import stdtr as known

    return known(freedom, t)


def stdtrit(freedom: Any, chance: Any) -> Any:
    """The quantile of Student's distribution at ``chance``.

    A single number for 1 to 200 degrees of freedom, in the outer tenths, is found here: Newton's method on the tail.
    """
    if (
        _is_one(freedom)
        and _is_one(chance)
        and 1.0 <= freedom <= _MOST_FREEDOM
        and 1e-6 < min(chance, 1.0 - chance) <= 0.1
    ):
        return _student(float(freedom), float(chance))
    from scipy.special import stdtrit as known

    return known(freedom, chance)


def _is_one(value: Any) -> bool:
    return isinstance(value, (int, float))


def _student(freedom: float, chance: float) -> float:
    """Beyond t lies half the beta distribution below ν/(ν + t²) (Abramowitz & Stegun 1964, 26.7.1, 26.5.8)."""
    tail = min(chance, 1.0 - chance)
    t = -_NORMAL.inv_cdf(tail)
    t += (t**3 + t) / (4.0 * freedom)  # Abramowitz & Stegun 1964, 26.7.5
    height = lgamma((freedom + 1.0) / 2.0) - lgamma(freedom / 2.0) - 0.5 * log(freedom * pi)
    for _ in range(_MOST_STEPS):
        density = exp(height - (freedom + 1.0) / 2.0 * log1p(t * t / freedom))
        # In the logarithm of the tail, which is nearly straight where the tail itself is steep.
        beyond = 0.5 * _beta(freedom / (freedom + t * t), freedom / 2.0, 0.5)
        step = beyond / density * log(beyond / tail)
        t = max(t + step, t / 2.0)
        if abs(step) <= 1e-15 * t:
            break
    return t if chance > 0.5 else -t


def _beta(x: float, a: float, b: float) -> float:
    """The regularised incomplete beta function, by its continued fraction (26.5.8 there)."""
    if x >= 1.0:
        return 1.0
    if x > (a + 1.0) / (a + b + 2.0):
        return 1.0 - _beta(1.0 - x, b, a)
    front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log1p(-x)) / a
    # Lentz's method, as in every handbook of numerical computing.
    c, d = 1.0, 1.0 / (1.0 - (a + b) * x / (a + 1.0))
    whole = d
    for m in range(1, _MOST_STEPS):
        for term in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            d = 1.0 / (1.0 + term * d)
            c = 1.0 + term / c
            whole *= c * d
        if abs(c * d - 1.0) < 1e-16:
            break
    return front * whole


def betaincinv(a: Any, b: Any, chance: Any) -> Any:
    """The quantile of the beta distribution at ``chance``."""
    from scipy.special import betaincinv as known

    return known(a, b, chance)
