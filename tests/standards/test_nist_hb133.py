"""NIST Handbook 133: allowable variations of a labelled count (table quoted from memory, see the module)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import QuantityRefused
from fulfil.standards.nist_hb133 import LAST_LABELLED_PIECES, mav_pieces


@pytest.mark.parametrize(("position", "last"), list(enumerate(LAST_LABELLED_PIECES)))
def test_each_upper_end_belongs_to_its_row(position: int, last: int) -> None:
    """The k-th upper end allows k pieces, one more labelled piece allows k + 1."""
    assert mav_pieces(last) == position
    assert mav_pieces(last + 1) == position + 1


@pytest.mark.parametrize(("labelled", "allowed"), [(1, 0), (50, 1), (100, 2), (1333, 19), (1334, 20), (2000, 30)])
def test_counts_of_the_trade(labelled: int, allowed: int) -> None:
    """Usual package counts; above 1 333 it is 1.5 %, rounded half up."""
    assert mav_pieces(labelled) == allowed


@given(labelled=st.integers(1, 50_000))
def test_more_pieces_never_allow_fewer(labelled: int) -> None:
    """The allowance never falls with the labelled count."""
    assert mav_pieces(labelled) <= mav_pieces(labelled + 1)


def test_an_empty_label_is_refused() -> None:
    """A package of nothing has no allowance."""
    with pytest.raises(QuantityRefused, match="Cannot find the allowable variation of pieces '0'"):
        mav_pieces(0)
