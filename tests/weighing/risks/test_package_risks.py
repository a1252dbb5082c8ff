"""A package's printed risks hold, drawn piece by piece, with the box from the file and with its empty box first."""

import numpy as np
import pytest
from scipy.stats import binom

from tests.benchmarks.weighed.empty_box_worlds import RISK_PASS, RISK_REJECT, WORLDS, World, rates
from tests.benchmarks.weighed.package_hits import WAYS

EMPTY_FIRST = [way for way in WAYS if way.empty_first]
PACKAGES = 3000


@pytest.mark.parametrize("way", WAYS, ids=lambda way: way.name)
def test_both_risks_hold_where_nothing_is_wrong(way) -> None:
    """Within what 3,000 packages can show: more would happen once in 10,000 such tests."""
    found = rates(WORLDS[0], way, PACKAGES, np.random.default_rng(4))
    assert found.sent_back * PACKAGES <= binom.ppf(0.9999, PACKAGES, RISK_REJECT)
    assert found.passes * PACKAGES <= binom.ppf(0.9999, PACKAGES, RISK_PASS)


@pytest.mark.parametrize("way", EMPTY_FIRST, ids=lambda way: way.name)
@pytest.mark.parametrize(
    "world", [World("zero", zero_share=1.0), World("scatter", scatter=3.0)], ids=lambda one: one.name
)
def test_a_zero_that_is_off_and_scattering_boxes_fall_out_of_the_difference(way, world) -> None:
    """Both are in the empty box and in the full one."""
    found = rates(world, way, PACKAGES, np.random.default_rng(5))
    assert found.sent_back * PACKAGES <= binom.ppf(0.9999, PACKAGES, RISK_REJECT)
    assert found.passes * PACKAGES <= binom.ppf(0.9999, PACKAGES, RISK_PASS)


def test_the_file_is_not_so_forgiving() -> None:
    """Boxes that scatter three times as the file says are sent back for nothing: the test can fail."""
    found = rates(World("scatter", scatter=3.0), WAYS[0], PACKAGES, np.random.default_rng(6))
    assert found.sent_back > 10 * RISK_REJECT
