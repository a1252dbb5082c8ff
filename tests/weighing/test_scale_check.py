"""The check-weight test: which scales stop, and why."""

from decimal import Decimal

import pytest

from fulfil.errors import WeighingRefused
from fulfil.weighing.scale import Scale
from fulfil.weighing.scale_check import CheckReading, check_scale

BENCH = Scale("III", Decimal("0.1"), Decimal("0.1"), Decimal(600))


def test_a_good_scale_passes() -> None:
    """Errors of 0.1 g at 50 g and 0.2 g at 200 g are just permitted in service."""
    check = check_scale(BENCH, [CheckReading(Decimal(0), Decimal("0.0")), CheckReading(Decimal(50), Decimal("50.1")),
                                CheckReading(Decimal(200), Decimal("199.8"))])  # fmt: skip

    assert (check.passed, check.reasons, check.worst_share) == (True, (), 1.0)


def test_every_failure_is_named_at_once() -> None:
    """Two weights off, one of them unsteady: three sentences, each with the number and what to do."""
    check = check_scale(
        BENCH,
        [
            CheckReading(Decimal(50), Decimal("50.2")),
            CheckReading(Decimal(200), Decimal("200.3")),
            CheckReading(Decimal(200), Decimal("199.9")),
        ],
    )

    assert not check.passed
    assert check.reasons == (
        "50 g check weight: error +0.2 g, permitted 0.1 g. Take the scale out of use and call the verifier.",
        "200 g check weight: error +0.3 g, permitted 0.2 g. Take the scale out of use and call the verifier.",
        "200 g check weight: repeated weighings differ by 0.4 g, permitted 0.2 g. "
        "Shield the scale from draughts, level it, and check again.",
    )
    assert check.worst_share == 2.0


def test_small_weights_show_the_error_before_rounding() -> None:
    """Shown 50.1 g, turned over by 0.02 g more: E = 50.1 + 0.05 − 0.02 − 50 = +0.13 g, which is too much."""
    check = check_scale(BENCH, [CheckReading(Decimal(50), Decimal("50.1"), added_g=Decimal("0.02"))])

    assert check.reasons[0].startswith("50 g check weight: error +0.13 g, permitted 0.1 g.")


def test_a_check_weight_must_be_known_three_times_better() -> None:
    """A weight known to 0.04 g can't judge an error of 0.1 g."""
    with pytest.raises(WeighingRefused, match=r"a weight known to a third of the permitted 0.1 g"):
        check_scale(BENCH, [CheckReading(Decimal(50), Decimal("50.0"), weight_tolerance_g=Decimal("0.04"))])


def test_a_flickering_display_is_refused() -> None:
    """No number, no check."""
    with pytest.raises(WeighingRefused, match="wait for a steady reading"):
        check_scale(BENCH, [CheckReading(Decimal(50), Decimal("NaN"))])


@pytest.mark.parametrize("readings", [[], [CheckReading(Decimal(0), Decimal(0))]])
def test_an_empty_pan_checks_nothing(readings: list[CheckReading]) -> None:
    """At least one check weight above 0 g."""
    with pytest.raises(WeighingRefused, match="at least one check weight above 0 g"):
        check_scale(BENCH, readings)


def test_a_check_weight_beyond_capacity_is_refused() -> None:
    """1 kg on a 600 g scale."""
    with pytest.raises(WeighingRefused, match="a check weight up to its capacity of 600 g"):
        check_scale(BENCH, [CheckReading(Decimal(1000), Decimal(1000))])
