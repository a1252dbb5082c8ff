"""What a developer has set on their own computer, and how busy it is, is no part of a test."""

import os

from hypothesis import HealthCheck, settings

os.environ["FULFIL_SETTINGS"] = os.devnull
# Seconds are measured in tests/benchmarks and never asserted: no example fails because the machine was busy.
settings.register_profile("unhurried", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("unhurried")
