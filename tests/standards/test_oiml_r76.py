"""OIML R 76: classes, permissible errors and the corrected error."""

from decimal import Decimal

import pytest

from fulfil.errors import WeighingRefused
from fulfil.standards.oiml_r76 import (
    LAST_LOAD_E,
    AccuracyClass,
    class_limits,
    corrected_error_g,
    is_scale_interval,
    maximum_permissible_error_g,
    minimum_load_g,
)


@pytest.mark.parametrize("accuracy_class", ["I", "II", "III", "IIII"])
def test_breakpoints_belong_to_the_smaller_error(accuracy_class: AccuracyClass) -> None:
    """R 76-1:2006, 3.5.1, Table 6: upper ends inclusive; one tenth of e above, the next error holds."""
    for last, error, after in zip(LAST_LOAD_E[accuracy_class], ("0.5", "1.0"), ("1.0", "1.5"), strict=False):
        assert last is not None
        at = maximum_permissible_error_g(accuracy_class, Decimal(last), e_g=Decimal(1))
        above = maximum_permissible_error_g(accuracy_class, Decimal(last) + Decimal("0.1"), e_g=Decimal(1))

        assert (at, above) == (Decimal(error), Decimal(after))


@pytest.mark.parametrize(
    ("accuracy_class", "e", "load", "initial"),
    [
        ("III", "0.1", "50", "0.05"), ("III", "0.1", "50.1", "0.10"), ("III", "0.1", "200", "0.10"),
        ("III", "0.1", "200.1", "0.15"), ("II", "0.01", "50", "0.005"), ("II", "0.01", "200", "0.01"),
        ("II", "0.01", "500", "0.015"),
    ],
)  # fmt: skip
def test_worked_errors_and_twice_in_service(accuracy_class: AccuracyClass, e: str, load: str, initial: str) -> None:
    """Class III with e = 0.1 g and class II with e = 0.01 g; in service 2× (UK SI 1995/1907, Sched. 2, 4.2)."""
    assert maximum_permissible_error_g(accuracy_class, Decimal(load), e_g=Decimal(e)) == Decimal(initial)
    assert maximum_permissible_error_g(accuracy_class, Decimal(load), e_g=Decimal(e), in_service=True) == 2 * Decimal(
        initial
    )


def test_a_class_ends_where_its_table_ends() -> None:
    """Class III has no error beyond 10 000 e; class I has no end; nobody weighs less than nothing."""
    with pytest.raises(WeighingRefused, match=r"at most 10000 e = 1000.0 g"):
        maximum_permissible_error_g("III", Decimal("1000.1"), e_g=Decimal("0.1"))
    assert maximum_permissible_error_g("I", Decimal(10_000_000), e_g=Decimal(1)) == Decimal("1.5")
    for load in ("-1", "NaN"):
        with pytest.raises(WeighingRefused, match="0 g or more"):
            maximum_permissible_error_g("III", Decimal(load), e_g=Decimal("0.1"))


@pytest.mark.parametrize(
    ("accuracy_class", "e", "least"),
    [("I", "0.001", "0.1"), ("II", "0.05", "1"), ("II", "0.1", "5"), ("III", "2", "40"), ("III", "5", "100"),
     ("IIII", "5", "50")],
)  # fmt: skip
def test_minimum_loads(accuracy_class: AccuracyClass, e: str, least: str) -> None:
    """Directive 2014/31/EU, Annex I, Table 1: 100 e, 20 e or 50 e, 20 e, 10 e."""
    assert minimum_load_g(accuracy_class, Decimal(e)) == Decimal(least)


@pytest.mark.parametrize(("accuracy_class", "e"), [("III", "0.05"), ("IIII", "2"), ("I", "0.0005"), ("III", "0.3")])
def test_intervals_outside_a_class_are_refused(accuracy_class: AccuracyClass, e: str) -> None:
    """Too fine for the class, or not 1, 2 or 5 × 10^k."""
    with pytest.raises(WeighingRefused):
        class_limits(accuracy_class, Decimal(e))


def test_scale_intervals() -> None:
    """1, 2 and 5 × 10^k, and nothing else (R 76-1, 4.2.2.1)."""
    assert all(is_scale_interval(Decimal(text)) for text in ("1", "0.2", "50", "0.0005", "1E+3"))
    assert not any(is_scale_interval(Decimal(text)) for text in ("0", "-1", "0.25", "3", "NaN", "Infinity", "15"))


def test_error_before_rounding() -> None:
    """A.4.4.3, quoted from memory: L 1 kg, d 5 g, I 1 000 g, ΔL 1.5 g: P = 1 001 g, E = 1 g."""
    assert corrected_error_g(Decimal(1000), Decimal(1000), d_g=Decimal(5), added_g=Decimal("1.5")) == Decimal(1)
