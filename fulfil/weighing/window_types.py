"""What goes into a window and what comes out of it, one bag's or many bags' at once, for people and type checkers.

>>> one = SingleWindow(47.1, 46.7, 47.5, p_reject=1e-6, p_pass_one_short=1e-4, p_pass_one_over=1e-4, resolvable=True)
>>> one.upper_g - one.target_g < 0.5
True
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Protocol, TypeAlias

import numpy as np

from fulfil.weighing.error_model import Value


class SupportsArray(Protocol):
    """What becomes an array: a column of a table."""

    def __array__(self) -> np.ndarray[Any, Any]:
        """Its numbers."""
        ...


Number: TypeAlias = float | np.integer[Any] | np.floating[Any]
Numbers: TypeAlias = Number | Sequence[float] | np.ndarray[Any, Any] | SupportsArray
"""One number, or many in a list, an array or a column of a table."""
Floats: TypeAlias = np.ndarray[Any, np.dtype[np.float64]]
Wholes: TypeAlias = np.ndarray[Any, np.dtype[np.int64]]
Bools: TypeAlias = np.ndarray[Any, np.dtype[np.bool_]]


@dataclass(frozen=True, slots=True)
class CountWindow:
    """Where a bag's gross weight must lie, in g, and the risks of exactly this window.

    A :class:`SingleWindow` for single numbers, an :class:`ArrayWindow` otherwise. ``p_pass_*`` and ``p_reject`` are
    averaged over fresh samples (:mod:`fulfil.weighing.error_model`).
    """

    target_g: Value
    lower_g: Value
    upper_g: Value
    p_reject: Value
    p_pass_one_short: Value
    p_pass_one_over: Value
    resolvable: Value


@dataclass(frozen=True, slots=True)
class SingleWindow(CountWindow):
    """The window of one bag: floats and a bool."""

    target_g: float
    lower_g: float
    upper_g: float
    p_reject: float
    p_pass_one_short: float
    p_pass_one_over: float
    resolvable: bool


@dataclass(frozen=True, slots=True)
class ArrayWindow(CountWindow):
    """The windows of many bags: arrays of the broadcast shape, float64 and bool."""

    target_g: Floats
    lower_g: Floats
    upper_g: Floats
    p_reject: Floats
    p_pass_one_short: Floats
    p_pass_one_over: Floats
    resolvable: Bools
