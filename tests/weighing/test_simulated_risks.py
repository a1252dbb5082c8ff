"""Stated risks are the risks that simulation finds: a seeded extract of tests/benchmarks/monte_carlo_windows.py."""

import numpy as np
import pytest

from fulfil.weighing.limits import on_scale, risks_of_limits
from fulfil.weighing.window import count_window, largest_count
from tests.benchmarks.monte_carlo_windows import INTERVAL_G, Case, fresh, own, standard_errors

BAGS = 400_000


@pytest.mark.parametrize(
    ("c", "sample"), [(0.001, 5), (0.001, 200), (0.005, 20), (0.01, 10), (0.01, 50), (0.02, 200), (0.05, 5), (0.05, 50)]
)
def test_fresh_samples_at_the_largest_count(c: float, sample: int) -> None:
    """One short, right and one over pass as often as stated, each bag with its own sample (4.8 std errors)."""
    largest = largest_count(**Case(c, sample, 1).part)
    case = Case(c, sample, largest)
    window = count_window(largest, **case.part)
    shares = fresh(case, window, BAGS, np.random.default_rng(1))

    assert window.resolvable
    for share, stated in zip(
        shares, (window.p_pass_one_short, 1 - window.p_reject, window.p_pass_one_over), strict=True
    ):
        assert standard_errors(share, stated, BAGS) < 4.8


@pytest.mark.parametrize(("c", "sample", "pieces"), [(0.005, 20, 150), (0.01, 50, 100), (0.02, 10, 40), (0.05, 50, 12)])
def test_own_sample_and_a_display_that_rounds(c: float, sample: int, pieces: int) -> None:
    """The risks of printed limits, for a true unit weight that lies about the sample's (4.8 standard errors)."""
    case, interval = Case(c, sample, pieces), INTERVAL_G
    limits = on_scale(count_window(pieces, **case.part), interval)
    risks = risks_of_limits(pieces, *limits, **case.part, d_g=interval, averaged_over="own sample")
    shares = own(case, limits, BAGS, np.random.default_rng(2))

    for share, stated in zip(shares, (risks.p_pass_one_short, risks.p_pass_right, risks.p_pass_one_over), strict=True):
        assert standard_errors(share, stated, BAGS) < 4.8


def test_a_wrong_risk_would_be_noticed() -> None:
    """The comparison can fail: a stated chance that is a tenth too low lies beyond the limit."""
    case = Case(0.01, 50, 150)
    window = count_window(150, **case.part)
    shares = fresh(case, window, BAGS, np.random.default_rng(3))

    assert standard_errors(shares[2], 0.9 * window.p_pass_one_over, BAGS) > 4.8
