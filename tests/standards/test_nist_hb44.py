"""NIST Handbook 44, 2.20: tolerances, minimum loads and counting rules (marks of doubt in the module)."""

from decimal import Decimal
from itertools import pairwise

import pytest

from fulfil.errors import QuantityRefused, WeighingRefused
from fulfil.standards import oiml_r76
from fulfil.standards.nist_hb44 import LAST_LOAD_D, AccuracyClass, count_tolerance, minimum_load_g, tolerance_g


@pytest.mark.parametrize("accuracy_class", ["I", "II", "III", "IIII"])
def test_breakpoints_belong_to_the_smaller_tolerance(accuracy_class: AccuracyClass) -> None:
    """Table 6 (quoted from memory but for class III): at the upper end the row's tolerance, above it the next row's."""
    rows = LAST_LOAD_D[accuracy_class]
    for (last, tolerance), (_, after) in pairwise(rows):
        assert last is not None
        assert tolerance_g(accuracy_class, Decimal(last), d_g=Decimal(1)) == tolerance
        assert tolerance_g(accuracy_class, Decimal(last) + Decimal("0.5"), d_g=Decimal(1)) == after


@pytest.mark.parametrize(("divisions", "acceptance"), [(1_000, "1.0"), (3_000, "1.5"), (5_000, "2.5")])
def test_acceptance_is_half_of_maintenance(divisions: int, acceptance: str) -> None:
    """Class III (two secondary sources): ±1.0 d at 1 000 d, ±1.5 d at 3 000 d, ±2.5 d above."""
    assert tolerance_g("III", Decimal(divisions), d_g=Decimal(1), acceptance=True) == Decimal(acceptance)
    assert tolerance_g("III", Decimal(divisions), d_g=Decimal(1)) == 2 * Decimal(acceptance)


def test_the_two_systems_differ() -> None:
    """5 000 divisions, class III: R 76 1.5 e and 3 e in service; HB 44 2.5 d and 5 d."""
    assert oiml_r76.maximum_permissible_error_g("III", Decimal(5000), e_g=Decimal(1)) == Decimal("1.5")
    assert oiml_r76.maximum_permissible_error_g("III", Decimal(5000), e_g=Decimal(1), in_service=True) == Decimal(3)
    assert tolerance_g("III", Decimal(5000), d_g=Decimal(1), acceptance=True) == Decimal("2.5")
    assert tolerance_g("III", Decimal(5000), d_g=Decimal(1)) == Decimal(5)


@pytest.mark.parametrize(
    ("divisions", "tolerance"), [(0, 1), (500, 1), (501, 2), (1_000, 2), (1_500, 3), (1_501, 4), (10_000, 20)]
)
def test_class_three_l_grows_by_steps(divisions: int, tolerance: int) -> None:
    """1 d to 500 d, 2 d to 1 000 d, then 1 d for each 500 d (quoted from memory)."""
    assert tolerance_g("III L", Decimal(divisions), d_g=Decimal(2)) != 0
    assert tolerance_g("III L", 2 * Decimal(divisions), d_g=Decimal(2)) == 2 * tolerance


def test_minimum_loads() -> None:
    """Table 8 (quoted from memory): 100, 20, 20, 50 and 10 d; class II from 0.1 g on 50 d."""
    assert [minimum_load_g(name, Decimal("0.01")) for name in ("I", "II", "III", "III L", "IIII")] == [
        Decimal("1.00"), Decimal("0.20"), Decimal("0.20"), Decimal("0.50"), Decimal("0.10"),
    ]  # fmt: skip
    assert minimum_load_g("II", Decimal("0.1")) == Decimal(5)


@pytest.mark.parametrize(
    ("pieces", "tolerance"), [(0, 0), (100, 0), (101, 1), (200, 1), (201, 1), (399, 1), (400, 2), (1_000, 5)]
)
def test_count_tolerance(pieces: int, tolerance: int) -> None:
    """T.N.3.10 (quoted from memory): 0 to 100; 1 to 200; 0.5 % above, in whole pieces."""
    assert count_tolerance(pieces) == tolerance


def test_less_than_nothing_is_refused() -> None:
    """Neither loads nor counts are negative."""
    with pytest.raises(QuantityRefused, match="Cannot state a tolerance for pieces '-1'"):
        count_tolerance(-1)
    for load in ("-1", "NaN"):
        with pytest.raises(WeighingRefused, match="Cannot state a tolerance at a load of"):
            tolerance_g("III", Decimal(load), d_g=Decimal(1))
