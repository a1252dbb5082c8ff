"""Drift charts and the causes read from their pattern."""

from typing import Any

import numpy as np
import pytest

from fulfil.errors import WeighingRefused
from fulfil.weighing.learning.drift import ChartSettings, cusum, drift_alarms, ewma, first_signal
from fulfil.weighing.learning.drift_cause import DriftCause, Weighings, likely_cause
from tests.weighing.run_length import cusum_arl, ewma_arl, one_sided_cusum_arl

PARTS, SCALES, TYPES = 12, 3, 2


def _day(rows: int = 600, seed: int = 1) -> tuple[dict[str, Any], dict[str, np.ndarray]]:
    """In-control weighings of 12 parts on 3 scales in 2 bag types."""
    rng = np.random.default_rng(seed)
    codes = {
        "part": rng.integers(0, PARTS, rows),
        "scale": rng.integers(0, SCALES, rows),
        "bag": rng.integers(0, TYPES, rows),
    }
    expected = rng.integers(10, 100, rows) * np.geomspace(0.2, 6.0, PARTS)[codes["part"]]
    sd = np.hypot(0.04, 0.0015 * expected)
    columns = {
        "part_numbers": [f"P{i:02d}" for i in codes["part"]],
        "lots": ["L1"] * rows,
        "scales": [f"S{i}" for i in codes["scale"]],
        "bag_types": [f"T{i}" for i in codes["bag"]],
        "residual_g": sd * rng.standard_normal(rows),
        "expected_g": expected,
        "sd_g": sd,
    }
    return columns, codes


def test_a_day_in_control_raises_no_alarm() -> None:
    """Six hundred right weighings raise nothing."""
    columns, _ = _day()

    assert drift_alarms(**columns) == ()


def test_a_scale_whose_zero_moved_is_named() -> None:
    """The same 0.15 g on all that one scale weighs is its zero; once that is known its parts raise no alarm."""
    columns, codes = _day()
    after = np.arange(600) >= 200
    columns["residual_g"] = columns["residual_g"] + 0.15 * ((codes["scale"] == 1) & after)

    alarms = drift_alarms(**columns)

    (scale,) = [a for a in alarms if a.subject_kind == "scale"]
    assert (scale.subject, scale.cause) == ("S1", DriftCause.SCALE_ZERO)
    assert 200 <= scale.row < 300
    assert abs(scale.since_row - 200) <= 20
    assert scale.shift == pytest.approx(0.15, abs=0.05)
    assert scale.sentence.startswith("Scale S1 reads 0.1")
    assert "set zero, try the check weight" in scale.sentence
    assert all(a.sentence.startswith("Scale S1 reads") for a in alarms)
    assert max(a.row for a in alarms) <= scale.row


def test_a_scale_out_of_adjustment_is_named() -> None:
    """An error in proportion to the weight on one scale is its span."""
    columns, codes = _day()
    after = np.arange(600) >= 200
    columns["residual_g"] = columns["residual_g"] - 0.003 * columns["expected_g"] * ((codes["scale"] == 2) & after)

    first = drift_alarms(**columns)[0]

    assert (first.subject, first.cause) == ("S2", DriftCause.SCALE_SPAN)
    assert first.shift == pytest.approx(-0.003, abs=0.001)
    assert "too little in proportion to the weight" in first.sentence


def test_a_lot_that_weighs_more_is_named() -> None:
    """One part alone 0.8 % heavier on every scale since a new lot began is that lot."""
    columns, codes = _day(3000, seed=2)
    of_part = (codes["part"] == 7) & (np.arange(3000) >= 1000)
    columns["lots"] = ["L2" if new else "L1" for new in of_part]
    columns["residual_g"] = columns["residual_g"] + 0.008 * columns["expected_g"] * of_part

    alarms = [a for a in drift_alarms(**columns) if a.row >= 1000 and a.subject_kind == "part"]

    assert [(a.subject, a.lot, a.cause) for a in alarms] == [("P07", "L2", DriftCause.LOT)]
    assert alarms[0].shift == pytest.approx(0.008, abs=0.003)
    assert "Lot L2 of P07 weighs" in alarms[0].sentence
    assert "Sample the bin again" in alarms[0].sentence


def test_the_same_lot_turning_heavier_points_to_the_coating() -> None:
    """One part alone heavier within its lot: a coated or other variant, and the sentence says to look at it."""
    columns, codes = _day(3000, seed=2)
    of_part = (codes["part"] == 7) & (np.arange(3000) >= 1000)
    columns["residual_g"] = columns["residual_g"] + 0.008 * columns["expected_g"] * of_part

    alarms = [a for a in drift_alarms(**columns) if a.row >= 1000 and a.subject_kind == "part"]

    assert [(a.subject, a.cause) for a in alarms] == [("P07", DriftCause.COATING)]
    assert "Look at the finish" in alarms[0].sentence


def test_bags_of_another_weight_point_to_the_tare() -> None:
    """The same grams in all bags of one type, whatever the part and scale, is the tare."""
    columns, codes = _day()
    after = np.arange(600) >= 200
    columns["residual_g"] = columns["residual_g"] + 0.2 * ((codes["bag"] == 1) & after)

    first = drift_alarms(**columns)[0]

    assert first.cause == DriftCause.TARE
    assert first.shift > 0.1
    assert "Bags of type T1 weigh 0.1" in first.sentence


def test_one_part_on_one_scale_cant_tell() -> None:
    """Where only one part is weighed on one scale, lot, zero and span fit alike and the alarm says so."""
    rng = np.random.default_rng(3)
    alarms = drift_alarms(
        part_numbers=["P"] * 200, lots=["L"] * 200, scales=["S"] * 200,
        residual_g=0.1 * rng.standard_normal(200) + 0.1 * (np.arange(200) >= 100),
        expected_g=np.full(200, 60.0), sd_g=np.full(200, 0.1),
    )  # fmt: skip

    assert {a.cause for a in alarms} == {DriftCause.CANNOT_TELL}
    assert alarms[0].probability == pytest.approx(1.0)
    assert "weigh an empty bag, then sample the bin again" in alarms[0].sentence


def test_a_signal_says_since_when() -> None:
    """After a shift of 1.5 s.d. at index 40 the CUSUM's last zero lies at the shift."""
    rng = np.random.default_rng(4)
    z = rng.standard_normal(200) + 1.5 * (np.arange(200) >= 40)

    at, since, _ = first_signal(z) or (0, 0, "")

    assert 40 < at < 60
    assert abs(since - 40) <= 3


def test_no_signal_in_a_steady_series() -> None:
    """A series at its target never signals, and an empty one neither."""
    assert first_signal(np.zeros(1000)) is None
    assert first_signal([]) is None


def test_charts_are_symmetric() -> None:
    """Turning every sign turns the EWMA and swaps the two sums."""
    z = np.random.default_rng(5).standard_normal(300)

    high, low = cusum(z, allowance=0.5)
    turned_high, turned_low = cusum(-z, allowance=0.5)

    assert turned_high.tolist() == low.tolist()
    assert turned_low.tolist() == high.tolist()
    assert ewma(-z, weight=0.2) == pytest.approx(-ewma(z, weight=0.2))


@pytest.mark.parametrize("shift_sd", [0.5, 1.0])
def test_run_lengths_are_what_simulation_finds(shift_sd: float) -> None:
    """The mean of 4,000 simulated run lengths agrees with the integral equations within four standard errors."""
    rng = np.random.default_rng(6)
    z = rng.standard_normal((4000, 400)) + shift_sd
    high = low = average = np.zeros(4000)
    cusum_run, ewma_run = np.full(4000, 400), np.full(4000, 400)
    for t in range(400):
        high, low = np.maximum(0, high + z[:, t] - 0.5), np.maximum(0, low - z[:, t] - 0.5)
        average = 0.8 * average + 0.2 * z[:, t]
        cusum_run = np.where((cusum_run == 400) & ((high > 4) | (low > 4)), t + 1, cusum_run)
        ewma_run = np.where((ewma_run == 400) & (np.abs(average) > 2.7 / 3), t + 1, ewma_run)

    expected_cusum = cusum_arl(shift_sd, allowance=0.5, decision=4.0)
    expected_ewma = ewma_arl(shift_sd, weight=0.2, limit_sd=2.7)

    assert cusum_run.mean() == pytest.approx(expected_cusum, abs=4 * cusum_run.std() / np.sqrt(4000))
    assert ewma_run.mean() == pytest.approx(expected_ewma, abs=4 * ewma_run.std() / np.sqrt(4000))


def test_default_charts_run_as_long_as_they_say() -> None:
    """Each chart in control runs 8,000 to 10,000 weighings, and finds a shift of one s.d. within 21."""
    default = ChartSettings()
    settings = {"allowance": default.allowance, "decision": default.decision}
    limits = {"weight": default.weight, "limit_sd": default.limit_sd}

    assert 8_000 < cusum_arl(0.0, **settings) < 10_000
    assert 8_000 < ewma_arl(0.0, **limits) < 10_000
    assert cusum_arl(1.0, **settings) == pytest.approx(16.4, abs=0.1)
    assert ewma_arl(1.0, **limits) < 21
    assert one_sided_cusum_arl(0.0, **settings) == pytest.approx(2 * cusum_arl(0.0, **settings))


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"sd_g": 0.0}, "Cannot chart s.d. in g (weighing 1) '0.0': expected a number above 0."),
        ({"residual_g": [0.0, float("inf")]}, "Cannot chart residuals in g (weighing 2) 'inf': expected a number."),
        ({"lots": ["L"]}, "Cannot chart lots: '1': expected one for each of 2 weighings."),
    ],
)
def test_bad_columns_are_refused(changes: dict[str, Any], sentence: str) -> None:
    """A column that can't be is refused with its weighing and value."""
    columns = {
        "part_numbers": ["A", "A"], "lots": ["L", "L"], "scales": ["S", "S"],
        "residual_g": [0.0, 0.0], "expected_g": [1.0, 1.0], "sd_g": [0.1, 0.1],
    }  # fmt: skip

    with pytest.raises(WeighingRefused) as refused:
        drift_alarms(**{**columns, **changes})

    assert str(refused.value) == sentence


def test_chart_settings_that_cant_be_are_refused() -> None:
    """A weight above one or a limit of zero makes no chart."""
    with pytest.raises(WeighingRefused, match=r"EWMA with weight '1\.5': expected a number above 0, at most 1"):
        ChartSettings(weight=1.5)
    with pytest.raises(WeighingRefused, match=r"with decision '0\.0': expected a number above 0"):
        ChartSettings(decision=0.0)
    with pytest.raises(WeighingRefused, match="decision interval '-1'"):
        one_sided_cusum_arl(0.0, allowance=0.5, decision=-1)


def test_the_causes_probability_is_that_of_least_squares_fits() -> None:
    """The cause's probability is exp(half the fall in the sum of squares) of its fit, among the four fits."""
    part, scale, bag = np.array([0, 1, 0, 1, 0, 0]), np.array([0, 0, 1, 1, 0, 0]), np.array([0, 0, 0, 1, 1, 0])
    expected = np.array([50.0, 20.0, 60.0, 30.0, 55.0, 40.0])
    residual = np.array([0.30, 0.05, 0.20, -0.05, 0.25, 0.20])
    weighings = Weighings.of(
        [f"P{i}" for i in part], ["L"] * 6, [f"S{i}" for i in scale], residual, expected, np.full(6, 0.05),
        [f"T{i}" for i in bag],
    )  # fmt: skip
    fits = []
    for chosen, shape in (
        (scale == 0, np.ones(6)), (scale == 0, expected), (bag == 0, np.ones(6)), (part == 0, expected),
    ):  # fmt: skip
        design = np.where(chosen, shape, 0.0)[:, None] / 0.05
        _, squares, _, _ = np.linalg.lstsq(design, residual / 0.05)
        fits.append(np.exp(-0.5 * squares[0]))

    found = likely_cause(weighings, 5, 0)

    assert found.cause == DriftCause.COATING
    assert found.probability == pytest.approx(fits[3] / sum(fits), rel=1e-9)
