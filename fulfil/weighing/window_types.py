"""What goes into a window and what comes out of it, one bag's or many bags' at once, for people and type checkers.

Columns of a table go in, columns of a table come out: what is asked by pandas series is answered with their labels. A
series is known by its rows' labels, so two of one call must have the same ones: pairing them by place would give one
part's scatter to another. Single numbers go with every row. Who has a series has pandas; nobody else loads it.

>>> one = SingleWindow(47.1, 46.7, 47.5, p_reject=1e-6, p_pass_one_short=1e-4, p_pass_one_over=1e-4, resolvable=True)
>>> one.upper_g - one.target_g < 0.5
True
>>> import pandas as pd
>>> weights = pd.Series([0.9, 1.1], index=["BALL-3", "CAM-7"])
>>> labels_of(weights, 2.1) is weights.index, labels_of(0.9, 2.1)
(True, None)
"""

import sys
from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any, TypeAlias

import numpy as np

from fulfil.errors import WeighingRefused
from fulfil.weighing.error_model import Value

if TYPE_CHECKING:
    import pandas as pd


Number: TypeAlias = float | np.integer[Any] | np.floating[Any]
Arrays: TypeAlias = Number | Sequence[float] | np.ndarray[Any, Any]
"""One number, or many in a list or an array."""
Numbers: TypeAlias = "Arrays | pd.Series[Any]"
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


_MOST_SAID = 3
"""Labels that a refusal names."""


def labels_of(*given: Any) -> "pd.Index[Any] | None":
    """The labels of the series among these arguments, None where there is no series.

    Raises:
        WeighingRefused: two series have different labels, or the same in another order.
    """
    pandas = sys.modules.get("pandas")
    series = [] if pandas is None else [value for value in given if isinstance(value, pandas.Series)]
    if not series:
        return None
    labels: pd.Index[Any] = series[0].index
    for other in series[1:]:
        if not labels.equals(other.index):
            rows = f"rows {_some(labels)} and rows {_some(other.index)}"
            raise WeighingRefused("use series together that have", rows, "the same rows in the same order; align them")
    return labels


def _some(labels: "pd.Index[Any]") -> str:
    """The first of them.

    >>> import pandas as pd
    >>> _some(pd.Index(["A", "B", "C", "D"]))
    'A, B, C and 1 more'
    """
    more = len(labels) - _MOST_SAID
    return ", ".join(map(str, labels[:_MOST_SAID])) + (f" and {more} more" if more > 0 else "")


def as_frame(window: CountWindow, labels: "pd.Index[Any]") -> "pd.DataFrame":
    """The windows as a frame: a row for each label, the window's fields as columns.

    Raises:
        WeighingRefused: an array beside the series has another length.
    """
    import pandas as pd

    columns = {one.name: getattr(window, one.name) for one in fields(window)}
    _must_fit(columns["target_g"], labels)
    return pd.DataFrame(columns, index=labels)


def as_series(counts: Any, labels: "pd.Index[Any]") -> "pd.Series[int]":
    """The counts as a series.

    Raises:
        WeighingRefused: as :func:`as_frame`.
    """
    import pandas as pd

    _must_fit(counts, labels)
    return pd.Series(counts, index=labels, name="pieces")


def _must_fit(values: Any, labels: "pd.Index[Any]") -> None:
    if values.shape != (len(labels),):
        expected = f"single numbers and arrays of {len(labels)}, as many as the series has rows"
        raise WeighingRefused("use arrays beside a series, of the shape", values.shape, expected)
