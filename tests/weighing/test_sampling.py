"""Sample sizes and pouring on top of the sample."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import QuantityRefused, WeighingRefused
from fulfil.weighing.sampling import poured_model, poured_on_top, smallest_poured_sample, smallest_sample
from fulfil.weighing.window import count_window

PART = {"unit_weight_g": 0.9, "piece_sd_g": 0.009, "indication_u_g": 0.03, "reading_u_g": 0.03}


def resolvable(pieces: int, sample: int, part: dict[str, float]) -> bool:
    """Whether a sample of this size resolves the bag, through the public window."""
    u = math.sqrt(part["piece_sd_g"] ** 2 / sample + (part["reading_u_g"] / sample) ** 2)
    return count_window(
        pieces,
        unit_weight_g=part["unit_weight_g"],
        unit_weight_u_g=u,
        piece_sd_g=part["piece_sd_g"],
        indication_u_g=part["indication_u_g"],
    ).resolvable


def test_the_sample_term_alone_asks_for_24_pieces() -> None:
    """Sample n ≥ (Z c N)² = 24.03 for c = 1 %, N = 100, 1 %/1 %; the pieces' own scatter asks for more."""
    n = smallest_sample(
        100, unit_weight_g=1, piece_sd_g=0.01, indication_u_g=0, reading_u_g=0, risk_pass=0.01, risk_reject=0.01
    )

    assert n is not None
    assert n > 24.03
    assert n == math.ceil(100**2 / (1 / (4.902177**2 * 0.01**2) - 100))


@given(pieces=st.integers(1, 300), c=st.floats(0.001, 0.05), noise=st.floats(0.001, 0.1))
def test_the_smallest_sample_resolves_and_one_piece_less_does_not(pieces: int, c: float, noise: float) -> None:
    """Exactly the smallest: n resolves, n − 1 doesn't; None means that no sample does."""
    part = {"unit_weight_g": 1.0, "piece_sd_g": c, "indication_u_g": noise, "reading_u_g": noise}
    n = smallest_sample(pieces, **part)

    if n is None:
        assert not resolvable(pieces, 100_000, part)
    else:
        assert resolvable(pieces, n, part)
        assert n == 1 or not resolvable(pieces, n - 1, part)


def test_pouring_on_top_has_a_third_of_the_variance() -> None:
    """N = 100 on a sample of 50: 100 σ² against 300 σ² for a fresh sample, by simulation too (4 standard errors)."""
    bag = poured_model(100, 50, unit_weight_g=1, piece_sd_g=0.01, indication_u_g=0, reading_u_g=0)
    rng = np.random.default_rng(7)
    sample, rest = rng.normal(50, 0.01 * 50**0.5, 200_000), rng.normal(50, 0.01 * 50**0.5, 200_000)
    deviation = sample + rest - 100 * sample / 50

    assert bag.spread(0) ** 2 == pytest.approx(100 * 0.01**2)
    assert deviation.var() == pytest.approx(bag.spread(0) ** 2, rel=4 * (2 / 200_000) ** 0.5)
    assert bag.spread(1) ** 2 - bag.spread(0) ** 2 == pytest.approx(0.01**2)


def test_pouring_on_top_resolves_what_a_fresh_sample_cannot() -> None:
    """120 pieces with a sample of 50: only on top of the sample."""
    assert not resolvable(120, 50, PART)
    assert poured_on_top(120, 50, **PART).resolvable


@given(pieces=st.integers(1, 600), c=st.floats(0.001, 0.05), noise=st.floats(0.001, 0.15))
def test_the_smallest_sample_to_pour_on(pieces: int, c: float, noise: float) -> None:
    """Exactly the smallest: n resolves, n − 1 doesn't; None means that the bag counted whole isn't resolved either."""
    part = {"unit_weight_g": 1.0, "piece_sd_g": c, "indication_u_g": noise, "reading_u_g": noise}
    n = smallest_poured_sample(pieces, **part)

    if n is None:
        assert not poured_on_top(pieces, pieces, **part).resolvable
    else:
        assert poured_on_top(pieces, n, **part).resolvable
        assert n == 1 or not poured_on_top(pieces, n - 1, **part).resolvable


def test_a_bag_that_is_its_own_sample_has_no_piece_scatter() -> None:
    """All pieces counted by hand: only the two readings are left."""
    bag = poured_model(50, 50, unit_weight_g=1, piece_sd_g=0.01, indication_u_g=0.03, reading_u_g=0.04)

    assert bag.spread(0) == pytest.approx(0.05)


@pytest.mark.parametrize("sample", [0, -1, 51])
def test_a_sample_larger_than_the_bag_is_refused(sample: int) -> None:
    """Pour on top of 1 to N pieces."""
    with pytest.raises(QuantityRefused, match=f"Cannot pour on top of a sample of pieces '{sample}'"):
        poured_on_top(50, sample, **PART)


def test_a_reading_that_is_no_number_is_refused() -> None:
    """NaN for the sample's reading uncertainty."""
    with pytest.raises(WeighingRefused, match="Cannot use indication uncertainty 'nan g'"):
        smallest_sample(50, **(PART | {"reading_u_g": math.nan}))
