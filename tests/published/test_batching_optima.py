"""Named instances of Bahceci & Oncan with their proven optima.

Source: U. Bahceci, T. Oncan (2021), as credited in the instance files; optimal values as published with the set. The
files have no clear licence, so they are read where they lie and the test is left out where they don't.
"""

from pathlib import Path

import pytest

from fulfil.planning.batching import plan_batches
from fulfil.planning.proving.proof import prove
from tests.benchmarks.instances import UNITS_PER_MM, parse, texts

ARCHIVE = Path(__file__).parents[3] / "shared" / "instances" / "BahceciOencan_1350.tar.gz"
OPTIMA = {
    "Pr_20_1_20_Store1_01.txt": 127.2,
    "Pr_20_1_20_Store1_02.txt": 119.2,
    "Pr_20_1_20_Store1_03.txt": 133.2,
    "Pr_30_6_05_Store5_30.txt": 270.8,
}


def test_named_optima_are_reached_and_bounded():
    """Plans have exactly the published lengths, and closed bounds don't exceed them."""
    if not ARCHIVE.exists():
        pytest.skip(f"the instances are not at {ARCHIVE}")
    instances = {path.rsplit("/", 1)[-1]: text for path, text in texts(ARCHIVE)}

    for name, optimum in OPTIMA.items():
        instance = parse(name, instances[name])
        plan = plan_batches(
            instance, instance.orders, capacity=instance.capacity, weights=instance.weights, effort="quick"
        )
        proof = prove(plan, seconds=20)

        assert plan.length_mm == round(optimum * UNITS_PER_MM)
        assert proof.closed
        assert proof.bound_mm <= plan.length_mm
