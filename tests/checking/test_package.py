"""A package's window comes from its bags' own weighings, and says what it can't show."""

from decimal import Decimal
from math import sqrt
from typing import Any

import pytest

from fulfil.checking.package import expect_package, judge_package
from fulfil.records.weighing import Verdict

BAGS = [(Decimal("92.1"), 0.05), (Decimal("102.1"), 0.05)]


def expected(**more):
    """The worked package: two bags, a box of 60 ± 1 g, a scale of 1 g."""
    arguments: dict[str, Any] = {
        "box_tare_g": Decimal(60),
        "box_tare_sd_g": 1.0,
        "indication_u_g": 0.6,
        "d_g": Decimal(1),
    } | more
    return expect_package(BAGS, **arguments)


def test_masses_add_and_uncertainties_add_in_squares():
    """JCGM 100:2008, 5.1.2 with unit sensitivities: 254.2 g, √(0.05² + 0.05² + 1² + 0.6²) g."""
    assert expected(d_g=Decimal("0.1")).expected_g == Decimal("254.2")
    assert expected().sd_g == pytest.approx(sqrt(0.05**2 * 2 + 1 + 0.36))


def test_the_least_visible_shift_of_the_worked_example():
    """At 1 %/1 % a shift is visible from (2.5758 + 2.3263) s = 4.902 s on; s = 0.7754 g gives 3.80 g.

    Source: the sum of the two standard normal quantiles (any table of the normal distribution); recomputed.
    """
    check = expect_package(
        [(Decimal("543.0"), 0.7754)], box_tare_g=Decimal(0), box_tare_sd_g=0.0, indication_u_g=0.0,
        d_g=Decimal("0.01"), risk_pass=0.01, risk_reject=0.01,
    )  # fmt: skip

    assert check.visible_from_g == Decimal("3.81")
    assert check.visible_from_g - Decimal("0.01") < Decimal(repr(4.902177 * 0.7754)) <= check.visible_from_g


@pytest.mark.parametrize(("shown", "verdict"), [("251", Verdict.PASSED), ("257", Verdict.PASSED),
                                                 ("250", Verdict.STOP), ("258", Verdict.STOP)])  # fmt: skip
def test_a_package_passes_inside_its_window_limits_included(shown, verdict):
    """254.2 ± 2.807 √(1.365 − 1²/12) g, half an interval counted to the steps that stand for it: 251 to 257 g."""
    assert judge_package(Decimal(shown), expected()).verdict is verdict


def test_a_missing_bag_is_said_as_lighter():
    """Without the bag of 92.1 g the package is 92 g light."""
    verdict = judge_package(Decimal(162), expected())

    assert verdict.reason == "weighs 162 g, 92 g lighter than expected (251 to 257 g)"
