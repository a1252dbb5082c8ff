"""Student's quantile without SciPy, beside SciPy and a printed table."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import special

from fulfil.weighing.tails import stdtrit

# NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2, upper critical values of Student's t distribution.
TABLE = [
    (1, 0.95, "6.314"), (1, 0.975, "12.706"), (2, 0.95, "2.920"), (5, 0.975, "2.571"), (9, 0.975, "2.262"),
    (10, 0.99, "2.764"), (30, 0.95, "1.697"), (100, 0.975, "1.984"), (100, 0.999, "3.174"),
]  # fmt: skip


@pytest.mark.parametrize(("freedom", "chance", "printed"), TABLE)
def test_the_printed_table(freedom: int, chance: float, printed: str) -> None:
    """To the digits that are printed."""
    assert f"{stdtrit(freedom, chance):.3f}" == printed


@given(st.floats(1.0, 200.0), st.floats(0.9, 0.9999) | st.floats(0.0001, 0.1))
def test_the_tails_are_scipys(freedom: float, chance: float) -> None:
    """To twelve digits, on either side."""
    assert stdtrit(freedom, chance) == pytest.approx(float(special.stdtrit(freedom, chance)), rel=1e-12)


def test_what_it_does_not_find_itself_scipy_finds() -> None:
    """Arrays, less than one degree of freedom, more than two hundred, the middle and the ends."""
    assert np.allclose(stdtrit(np.array([4.0, 9.0]), 0.975), [2.7764451, 2.2621572])
    for freedom, chance in ((0.5, 0.95), (891.46875, 0.9375), (9.0, 0.6), (9.0, 1.0 - 1e-9)):
        assert stdtrit(freedom, chance) == special.stdtrit(freedom, chance)
