"""Samples prove themselves: contradictions, what they say of the count, and the doubt that stays."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import t

from fulfil.errors import QuantityRefused, WeighingRefused
from fulfil.weighing.sample_proof import CONTRADICTS, COUNT_DOUBT, Witness, effective_freedom, prove_count

TEN = Witness("single pieces", 0.9, 0.0028, freedom=9)
LAST = Witness("the last sample of the lot", 0.9, 0.0013, pieces=50, count_doubt=COUNT_DOUBT)
TABLE = Witness("a handbook table", 0.9, 0.052, band=0.1)
PART = {"piece_sd_g": 0.009, "reading_u_g": 0.02}


@pytest.mark.parametrize("witness", [TEN, LAST])
def test_a_sample_of_180_called_200_is_contradicted(witness):
    """162.00 g for 200 pieces is 0.81 g; the singles say 0.900 g, and 180 pieces."""
    found = prove_count(162.0, 200, **PART, witnesses=[witness]).contradictions

    assert [one.pieces_by_witness for one in found] == [180]
    assert "0.81 g by this sample, 0.9 g by" in str(found[0])


def test_49_pieces_called_50_are_contradicted_by_ten_singles_at_one_percent():
    """5.8 joint standard uncertainties; against Student's t by scipy at the effective degrees of freedom."""
    found = prove_count(44.1, 50, **PART, witnesses=[TEN], piece_sd_freedom=9).contradictions[0]
    u2 = 0.009**2 / 50 + (0.02 / 50) ** 2
    known = (u2 + TEN.u_g**2) ** 2 / ((0.009**2 / 50) ** 2 / 9 + TEN.u_g**4 / 9)

    assert found.apart == pytest.approx(0.018 / math.sqrt(u2 + TEN.u_g**2)) == pytest.approx(5.8, abs=0.01)
    assert 2 * t.sf(found.apart, known) < CONTRADICTS
    assert found.pieces_by_witness == 49


def test_a_table_speaks_only_beyond_its_band():
    """Nine percent off says nothing; twelve percent does, and a table proves no count."""
    inside = prove_count(0.9 * 1.09 * 50, 50, **PART, witnesses=[TABLE])
    outside = prove_count(0.9 * 1.12 * 50, 50, **PART, witnesses=[TABLE])

    assert inside.contradictions == ()
    assert inside.is_alone
    assert inside.count_doubt == COUNT_DOUBT
    assert "beyond its ± 10%" in str(outside.contradictions[0])


def test_two_counts_prove_each_other_only_as_far_as_both_may_be_wrong():
    """50 and 50 that agree: both one short has the prior's square; 50 and 77 have no common error."""
    same = prove_count(45.0, 50, **PART, witnesses=[LAST])
    other = prove_count(77 * 0.9, 77, **PART, witnesses=[LAST])

    assert 1e-5 < same.count_doubt < 2e-4
    assert other.count_doubt < 0.1 * same.count_doubt


def test_one_piece_of_two_hundred_keeps_a_doubt():
    """199 called 200 can't be told from ten singles: no contradiction, but the doubt grows."""
    proof = prove_count(199 * 0.9, 200, **PART, witnesses=[TEN])

    assert proof.contradictions == ()
    assert proof.count_doubt > COUNT_DOUBT


def test_the_doubt_is_the_share_of_miscounts_among_samples_that_agree_as_well():
    """A million simulated benches: of those whose two means lie as far apart, so many were miscounted."""
    rng = np.random.default_rng(15)
    n, benches, rate = 50, 1_000_000, 0.3
    off = np.where(rng.random(benches) < rate, rng.choice([-1, 1, -2, 2, -10, 10], benches,
                                                         p=[0.42, 0.42, 0.07, 0.07, 0.01, 0.01]), 0)  # fmt: skip
    means = ((n + off) * 0.9 + rng.normal(0, 0.009, benches) * np.sqrt(n + off)) / n
    singles = 0.9 + rng.normal(0, 0.006, benches)
    near = np.abs((means - singles) - (-0.010)) < 0.0003
    stated = prove_count(0.89 * n, n, piece_sd_g=0.009, reading_u_g=0.0, count_doubt=rate,
                         witnesses=[Witness("single pieces", 0.9, 0.006)]).count_doubt  # fmt: skip
    share = float(np.mean(off[near] != 0))

    assert near.sum() > 5_000
    assert stated == pytest.approx(share, abs=4.8 * math.sqrt(share / near.sum()) + 0.02)


def test_effective_degrees_of_freedom_of_the_guide():
    """JCGM 100:2008, G.4.1, example (quoted from memory): 19.0."""
    assert effective_freedom((0.25**2, 9), (0.57**2, 4), (0.82**2, 14)) == pytest.approx(19.0, abs=0.05)
    assert math.isinf(effective_freedom((1.0, math.inf), (0.0, 3)))


@given(
    pieces=st.integers(2, 2000),
    unit=st.floats(0.001, 100),
    c=st.floats(0.001, 0.1),
    off=st.floats(0.5, 1.5),
    witness_c=st.floats(0.0001, 0.1),
    freedom=st.sampled_from([1, 2, 4, 9, math.inf]),
)
def test_doubt_is_a_probability_and_nearer_means_less_of_a_contradiction(
    pieces: int, unit: float, c: float, off: float, witness_c: float, freedom: float
) -> None:
    """Whatever is weighed: 0 ≤ doubt ≤ 1; an estimate halfway nearer doesn't contradict if the farther one doesn't."""
    witness = Witness("single pieces", unit, witness_c * unit, freedom)
    part = {"piece_sd_g": c * unit, "reading_u_g": 0.001}
    far = prove_count(off * unit * pieces, pieces, **part, witnesses=[witness])
    near = prove_count((1 + off) / 2 * unit * pieces, pieces, **part, witnesses=[witness])

    assert 0.0 <= far.count_doubt <= 1.0
    assert far.contradictions or not near.contradictions


@pytest.mark.parametrize("change", [{"piece_sd_g": math.nan}, {"reading_u_g": -1.0}, {"count_doubt": 1.0}])
def test_what_can_not_be_is_refused(change):
    """NaN, below zero, a doubt of one."""
    with pytest.raises(WeighingRefused):
        prove_count(45.0, 50, **(PART | {"witnesses": []} | change))
    with pytest.raises(QuantityRefused):
        prove_count(45.0, 0, **PART, witnesses=[])
