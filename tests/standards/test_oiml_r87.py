"""OIML R 87: tolerable deficiencies by mass and by count."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import QuantityRefused
from fulfil.standards.oiml_r87 import shortage_grade, tolerable_deficiency_g, tolerable_deficiency_pieces


@pytest.mark.parametrize(
    ("nominal", "deficiency"),
    [("5", "0.5"), ("50", "4.5"), ("75", "4.5"), ("100", "4.5"), ("150", "6.8"), ("200", "9.0"), ("250", "9.0"),
     ("300", "9.0"), ("400", "12.0"), ("500", "15.0"), ("1000", "15.0"), ("1001", "16"), ("10000", "150"),
     ("15000", "150"), ("50000", "500")],
)  # fmt: skip
def test_deficiencies_by_mass(nominal: str, deficiency: str) -> None:
    """Table 1 (76/211/EEC, Annex I, 2.4, to 1 kg; Decree 75, Annex 3, whole); rounded up to 0.1 g or 1 g."""
    assert tolerable_deficiency_g(Decimal(nominal)) == Decimal(deficiency)


@pytest.mark.parametrize(
    ("at", "value"),
    [(50, "4.5"), (100, "4.5"), (200, "9"), (300, "9"), (500, "15"), (1000, "15"), (10000, "150"), (15000, "150")],
)
def test_the_table_has_no_steps(at: int, value: str) -> None:
    """Either neighbouring row gives the same T at its end (computed): no step but that of rounding up."""
    above = tolerable_deficiency_g(Decimal(at) + Decimal("0.001"))

    assert tolerable_deficiency_g(Decimal(at)) == Decimal(value)
    assert Decimal(value) <= above <= Decimal(value) + (Decimal("0.1") if at < 1000 else 1)


@pytest.mark.parametrize(
    ("labelled", "deficiency"), [(1, 0), (50, 0), (51, 1), (100, 1), (101, 2), (250, 3), (1000, 10)]
)
def test_deficiencies_by_count(labelled: int, deficiency: int) -> None:
    """None to 50, then 1 % rounded up (Decree 75, Annex 3)."""
    assert tolerable_deficiency_pieces(labelled) == deficiency


@given(labelled=st.integers(1, 100_000))
def test_more_pieces_never_allow_fewer(labelled: int) -> None:
    """T by count never falls, and is less than 1 % and one piece."""
    now, later = tolerable_deficiency_pieces(labelled), tolerable_deficiency_pieces(labelled + 1)

    assert now <= later
    assert now < labelled / 100 + 1


def test_grades() -> None:
    """101 pieces, T = 2: 2 short is tolerable, 3 and 4 are T1 errors, 5 a T2 error; 50 pieces have no tolerance."""
    assert [shortage_grade(short_pieces=short, labelled_pieces=101) for short in (-1, 0, 1, 2, 3, 4, 5)] == [
        "none", "none", "tolerable", "tolerable", "T1", "T1", "T2",
    ]  # fmt: skip
    assert shortage_grade(short_pieces=1, labelled_pieces=50) == "T2"


def test_no_quantity_no_deficiency() -> None:
    """Nothing labelled: refused."""
    with pytest.raises(QuantityRefused, match="a nominal quantity above 0 g"):
        tolerable_deficiency_g(Decimal(0))
    with pytest.raises(QuantityRefused, match="a nominal quantity above 0 g"):
        tolerable_deficiency_g(Decimal("NaN"))
    with pytest.raises(QuantityRefused, match="1 or more"):
        tolerable_deficiency_pieces(0)
