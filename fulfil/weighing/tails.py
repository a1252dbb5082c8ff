"""Tails of the normal and of Student's distribution, from SciPy, which is loaded when the first one is asked for.

Most small commands read a window that was computed before; loading SciPy took them longer than all they did.

>>> round(ndtri(0.975), 6), round(float(ndtr(1.96)), 6)
(1.959964, 0.975002)
>>> round(float(stdtrit(9, 0.975)), 4)  # NIST/SEMATECH e-Handbook, 1.3.6.7.2: 2.262
2.2622
"""

from statistics import NormalDist
from typing import Any

_NORMAL = NormalDist()


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
    """The quantile of Student's distribution at ``chance``."""
    from scipy.special import stdtrit as known

    return known(freedom, chance)


def betaincinv(a: Any, b: Any, chance: Any) -> Any:
    """The quantile of the beta distribution at ``chance``."""
    from scipy.special import betaincinv as known

    return known(a, b, chance)
