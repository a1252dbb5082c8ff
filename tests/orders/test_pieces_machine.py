"""Any sequence of the shop's steps keeps both books of pieces right: they equal an independent model after each step.

CI runs a share; ``python -m tests.benchmarks.pieces --sequences 2000 --steps 50`` runs as many as are asked for.
"""

import pytest
from hypothesis import HealthCheck, settings

from tests.orders.house import House

House.TestCase.settings = settings(
    max_examples=40, stateful_step_count=30, deadline=None, suppress_health_check=[*HealthCheck]
)
TestHouse = pytest.mark.slow(House.TestCase)
