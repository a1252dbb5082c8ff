"""The continuous sampling plan: its formulas against a simulation, its limits, and who is chosen."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.checking.sampling_plan import SamplingPlan
from fulfil.errors import PlanRefused


@pytest.mark.parametrize(("one_in", "clear", "wrong"), [(5, 20, 0.02), (2, 10, 0.1), (10, 50, 0.005)])
def test_the_formulas_agree_with_a_simulation(one_in, clear, wrong):
    """A million bags, each wrong with the stated share, one in so many checked at random after a clear run."""
    plan, chance = SamplingPlan(one_in, clear), np.random.default_rng(7)
    is_wrong, is_drawn = chance.random(1_000_000) < wrong, chance.random(1_000_000) < 1 / one_in
    run = checked = out = 0
    for bad, drawn in zip(is_wrong, is_drawn, strict=True):
        if run < clear or drawn:
            checked += 1
            run = 0 if bad else run + 1
        else:
            out += bad

    assert checked / 1e6 == pytest.approx(plan.checked_share(wrong), abs=0.01)
    assert out / 1e6 == pytest.approx(plan.outgoing(wrong), abs=4 * (wrong / 1e6) ** 0.5)


@given(st.integers(1, 50), st.integers(1, 300), st.floats(0, 0.5), st.floats(0, 1))
def test_no_share_leaves_its_bounds(one_in, clear, wrong, caught):
    """Between one in so many and all are checked; no more goes out wrong than came in, nor than the limit says."""
    plan = SamplingPlan(one_in, clear)

    assert 1 / one_in - 1e-9 <= plan.checked_share(wrong) <= 1 + 1e-9
    assert -1e-12 <= plan.outgoing(wrong, caught) <= wrong + 1e-12
    assert plan.outgoing(wrong, caught) <= plan.outgoing_limit(caught) * 1.001 + 1e-6


def test_checking_all_lets_nothing_out():
    """One in one is every bag."""
    assert SamplingPlan(1, 5).outgoing_limit() == 0


def test_until_the_run_is_clear_every_bag_is_asked_for():
    """Then those whose code says so, whoever scans them; about one in five."""
    plan = SamplingPlan(5, 10)
    codes = [f"B260302{n:04d}" for n in range(2000)]

    assert all(plan.asks_for(code, 9) for code in codes)
    assert 300 < sum(plan.asks_for(code, 10) for code in codes) < 500


@pytest.mark.parametrize("wrong", [{"one_in": 0, "clear": 5}, {"one_in": 5, "clear": 0}])
def test_a_plan_without_numbers_is_refused(wrong):
    """Whole numbers from 1."""
    with pytest.raises(PlanRefused, match="whole numbers from 1"):
        SamplingPlan(**wrong)
