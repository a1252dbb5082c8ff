"""OIML R 76-1:2006, non-automatic weighing instruments: accuracy classes and maximum permissible errors.

Maximum permissible errors on initial verification (3.5.1, Table 6; also Directive 2014/31/EU, Annex I, Table 3, and
UK SI 1995/1907, Schedule 2, paragraph 4.1, Table 3), with the load m counted in verification scale intervals e:

======  ===========  ===========  ===========  ===========
error   class I      class II     class III    class IIII
======  ===========  ===========  ===========  ===========
±0.5 e  to 50 000    to 5 000     to 500       to 50
±1.0 e  to 200 000   to 20 000    to 2 000     to 200
±1.5 e  above        to 100 000   to 10 000    to 1 000
======  ===========  ===========  ===========  ===========

In service they are twice as large (UK SI 1995/1907, Schedule 2, paragraph 4.2; R 76-1, 3.5.2). They apply to net and
tare values for all possible loads except preset tare. The error of a digital indication is corrected for rounding
before it is compared (3.5.3.2; A.4.4.3: E = I + ½ e − ΔL − L, here with the actual interval d).

>>> from decimal import Decimal
>>> maximum_permissible_error_g("III", Decimal("50.1"), e_g=Decimal("0.1"))
Decimal('0.10')
>>> maximum_permissible_error_g("III", Decimal("50.1"), e_g=Decimal("0.1"), in_service=True)
Decimal('0.20')
>>> minimum_load_g("II", Decimal("0.01"))
Decimal('0.20')

Limits: single-interval instruments; multi-interval and multiple-range instruments have e by range.
"""

from decimal import Decimal
from typing import Literal, NamedTuple, TypeAlias

from fulfil.errors import WeighingRefused

AccuracyClass: TypeAlias = Literal["I", "II", "III", "IIII"]

LAST_LOAD_E: dict[AccuracyClass, tuple[int | None, int | None, int | None]] = {
    "I": (50_000, 200_000, None),
    "II": (5_000, 20_000, 100_000),
    "III": (500, 2_000, 10_000),
    "IIII": (50, 200, 1_000),
}
"""Upper ends, in e and inclusive, of the loads with an error of ±0.5 e, ±1.0 e and ±1.5 e."""

ERRORS_E = (Decimal("0.5"), Decimal("1.0"), Decimal("1.5"))


class ClassLimits(NamedTuple):
    """One row of Directive 2014/31/EU, Annex I, Table 1 (R 76-1, 3.2, Table 3): e from and to, Min in e, n = Max/e."""

    least_e_g: Decimal
    most_e_g: Decimal | None
    minimum_load_e: int
    fewest_intervals: int
    most_intervals: int | None


CLASS_LIMITS: dict[AccuracyClass, tuple[ClassLimits, ...]] = {
    "I": (ClassLimits(Decimal("0.001"), None, 100, 50_000, None),),
    "II": (
        ClassLimits(Decimal("0.001"), Decimal("0.05"), 20, 100, 100_000),
        ClassLimits(Decimal("0.1"), None, 50, 5_000, 100_000),
    ),
    "III": (
        ClassLimits(Decimal("0.1"), Decimal("2"), 20, 100, 10_000),
        ClassLimits(Decimal("5"), None, 20, 500, 10_000),
    ),
    "IIII": (ClassLimits(Decimal("5"), None, 10, 100, 1_000),),
}


def maximum_permissible_error_g(
    accuracy_class: AccuracyClass, load_g: Decimal, *, e_g: Decimal, in_service: bool = False
) -> Decimal:
    """The largest error allowed at a load, in g, either way; exact.

    Raises:
        WeighingRefused: a negative load, or one beyond the class (``"III"`` ends at 10 000 e).
    """
    last_loads = LAST_LOAD_E[accuracy_class]
    if not (load_g.is_finite() and load_g >= 0):
        raise WeighingRefused("state an error at a load of", f"{load_g} g", "0 g or more")
    for last_load, error in zip(last_loads, ERRORS_E, strict=True):
        if last_load is None or load_g <= last_load * e_g:
            return error * e_g * (2 if in_service else 1)
    raise WeighingRefused(
        f"state an error of a class {accuracy_class} scale at a load of",
        f"{load_g} g",
        f"at most {last_loads[-1]} e = {last_loads[-1] * e_g if last_loads[-1] else ''} g",
    )


def class_limits(accuracy_class: AccuracyClass, e_g: Decimal) -> ClassLimits:
    """The row of the class table for this e.

    Raises:
        WeighingRefused: e isn't 1, 2 or 5 × 10^k g, or isn't allowed in the class.
    """
    if not is_scale_interval(e_g):
        raise WeighingRefused("use scale interval", f"{e_g} g", "1, 2 or 5 times a power of ten")
    for row in CLASS_LIMITS[accuracy_class]:
        if row.least_e_g <= e_g and (row.most_e_g is None or e_g <= row.most_e_g):
            return row
    least = CLASS_LIMITS[accuracy_class][0].least_e_g
    raise WeighingRefused(f"use e in class {accuracy_class}:", f"{e_g} g", f"{least} g or more")


def minimum_load_g(accuracy_class: AccuracyClass, e_g: Decimal) -> Decimal:
    """The minimum capacity Min: below it an indication may have too large a relative error."""
    return class_limits(accuracy_class, e_g).minimum_load_e * e_g


def is_scale_interval(interval_g: Decimal) -> bool:
    """True for 1, 2 or 5 × 10^k (R 76-1, 4.2.2.1).

    >>> is_scale_interval(Decimal("0.05")), is_scale_interval(Decimal("0.25"))
    (True, False)
    """
    return interval_g.is_finite() and interval_g > 0 and interval_g.normalize().as_tuple().digits in {(1,), (2,), (5,)}


def corrected_error_g(indication_g: Decimal, load_g: Decimal, *, d_g: Decimal, added_g: Decimal) -> Decimal:
    """The error before rounding, E = I + ½ d − ΔL − L, from the small weights ΔL that turn the indication over.

    The printed example of A.4.4.3 (quoted from memory): load 1 kg, e 5 g, indication 1 000 g, ΔL 1.5 g, error 1 g.

    >>> corrected_error_g(Decimal(1000), Decimal(1000), d_g=Decimal(5), added_g=Decimal("1.5"))
    Decimal('1.0')
    """
    return indication_g + d_g / 2 - added_g - load_g
