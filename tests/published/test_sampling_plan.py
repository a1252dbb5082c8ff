"""The continuous sampling plan CSP-1 against its published table of average outgoing quality limits.

Source: MIL-STD-1235, table of CSP-1 plans (clearance number i for a sampling frequency f and an AOQL), after H. F.
Dodge, Annals of Mathematical Statistics 14 (1943) 264, doi 10.1214/aoms/1177731420. The pairs are quoted from memory;
the AOQL of each was recomputed from Dodge's formulas.
"""

import pytest

from fulfil.checking.sampling_plan import SamplingPlan

AOQL_PERCENT = (0.018, 0.033, 0.046, 0.074, 0.113, 0.143, 0.198, 0.33)
CLEAR_OF_HALF = (1540, 840, 600, 375, 245, 194, 140, 84)
CLEAR_OF_THIRD = (2550, 1390, 1000, 620, 405, 321, 232, 140)


@pytest.mark.parametrize(("one_in", "clears"), [(2, CLEAR_OF_HALF), (3, CLEAR_OF_THIRD)])
def test_tabled_plans_have_their_outgoing_limit(one_in, clears):
    """For f = 1/2 and 1/3 the clearance number gives the tabled AOQL to a hundredth of it, or half a last digit."""
    for aoql, clear in zip(AOQL_PERCENT, clears, strict=True):
        assert 100 * SamplingPlan(one_in, clear).outgoing_limit() == pytest.approx(aoql, rel=0.012, abs=0.0005)


def test_dodges_formula_by_hand():
    """With i = 2, f = 1/2, p = 1/2: u = 6, v = 4, F = (6 + 2) / 10, AOQ = 0.5 (1 − 0.8)."""
    plan = SamplingPlan(one_in=2, clear=2)

    assert plan.checked_share(0.5) == pytest.approx(0.8)
    assert plan.outgoing(0.5) == pytest.approx(0.1)
