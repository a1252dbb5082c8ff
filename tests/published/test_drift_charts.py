"""EWMA and CUSUM charts and their average run lengths against published examples and tables."""

import pytest
from scipy.stats import norm

from fulfil.weighing.learning.drift import ChartSettings, cusum, ewma
from tests.weighing.run_length import cusum_arl, ewma_arl, one_sided_cusum_arl

# NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4, doi 10.18434/M32189: EWMA_0 = 50, s = 2.0539, weight 0.3.
EWMA_VALUES = [
    52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5,
    49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1,
]  # fmt: skip
EWMA_PRINTED = [
    50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33,
    50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99,
]  # fmt: skip

# The same handbook, 6.3.2.3: target 325, k = 0.3175, h = 4.1959 in units of the data.
CUSUM_VALUES = [
    324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600,
    324.625, 325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350,
]  # fmt: skip
HIGH_PRINTED = [
    0.00, 0.00, 0.00, 0.00, 0.03, 0.00, 0.00, 0.00, 0.00, 0.00,
    0.00, 0.00, 3.01, 4.94, 7.45, 10.63, 11.99, 14.44, 16.00, 19.04,
]  # fmt: skip
LOW_PRINTED = [
    0.00, 0.01, 0.00, 0.33, 0.00, 0.00, 0.56, 0.72, 0.17, 0.25,
    0.31, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00,
]  # fmt: skip


def test_handbook_ewma() -> None:
    """All twenty averages and both limits of the e-Handbook's EWMA example come out, all in control."""
    averages = ewma(EWMA_VALUES, weight=0.3, start=50.0)
    half_g = 2.0539 * ChartSettings(weight=0.3, limit_sd=3.0).ewma_limit

    assert averages == pytest.approx(EWMA_PRINTED, abs=0.0051)
    assert 50 + half_g == pytest.approx(52.5884, abs=0.0005)
    assert 50 - half_g == pytest.approx(47.4115, abs=0.0005)
    assert max(abs(averages - 50)) < half_g


def test_handbook_cusum() -> None:
    """Both sums of the e-Handbook's CUSUM example come out; the upper one is first out at group 14."""
    high, low = cusum(CUSUM_VALUES, target=325.0, allowance=0.3175)

    assert high == pytest.approx(HIGH_PRINTED, abs=0.0051)
    assert low == pytest.approx(LOW_PRINTED, abs=0.0051)
    assert [i + 1 for i in range(20) if high[i] > 4.1959] == [14, 15, 16, 17, 18, 19, 20]
    assert max(low) < 4.1959


# J. M. Lucas and R. B. Crosier, Technometrics 24 (1982) 199, Table 1: k = 0.5, h = 4. The column h = 5 is
# D. C. Montgomery and G. C. Runger, Applied Statistics and Probability for Engineers, Table 16-9.
@pytest.mark.parametrize(
    ("shift_sd", "at_4", "at_5"),
    [
        (0.0, "168", "465"), (0.25, "74.2", "139"), (0.5, "26.6", "38.0"), (0.75, "13.3", "17.0"),
        (1.0, "8.38", "10.4"), (1.5, "4.75", "5.75"), (2.0, "3.34", "4.01"), (2.5, "2.62", "3.11"),
        (3.0, "2.19", "2.57"), (4.0, "1.71", "2.01"),
    ],
)  # fmt: skip
def test_two_sided_cusum_run_lengths(shift_sd: float, at_4: str, at_5: str) -> None:
    """Twenty tabled run lengths agree to the digits printed."""
    for decision, printed in ((4.0, at_4), (5.0, at_5)):
        digits = len(printed.partition(".")[2])
        assert cusum_arl(shift_sd, allowance=0.5, decision=decision) == pytest.approx(
            float(printed), abs=0.5001 * 10**-digits
        )


# L. C. Vance, Journal of Quality Technology 18 (1986) 189, Table 1: one-sided, k = 0, h = 10.
@pytest.mark.parametrize(
    ("shift_sd", "printed"),
    [
        (-0.25, 2071.51), (-0.125, 400.28), (0.0, 124.66), (0.125, 59.30),
        (0.25, 36.71), (0.5, 20.37), (0.75, 14.06), (1.0, 10.75),
    ],
)  # fmt: skip
def test_one_sided_cusum_run_lengths(shift_sd: float, printed: float) -> None:
    """Eight tabled one-sided run lengths agree to 0.01, the longest to 4e-5 of it (it was found on fewer nodes)."""
    found = one_sided_cusum_arl(shift_sd, allowance=0.0, decision=10.0)

    assert found == pytest.approx(printed, abs=0.0101, rel=4e-5)


def test_cusum_run_lengths_of_a_statistics_manual() -> None:
    """The worked values of the SAS/QC manual (1999) for k = 0.25, h = 8, shift 2.5, on 24 nodes, agree to 3e-7."""
    one_sided = one_sided_cusum_arl(2.5, allowance=0.25, decision=8.0)
    two_sided = cusum_arl(2.5, allowance=0.25, decision=8.0)

    assert one_sided == pytest.approx(4.1500836225, rel=3e-7)
    assert two_sided == pytest.approx(4.1500826715, rel=3e-7)


# J. M. Lucas and M. S. Saccucci, Technometrics 32 (1990) 1, Table 3: limits for an in-control run length of 500.
@pytest.mark.parametrize(
    ("weight", "limit_sd"),
    [
        (1.0, 3.090), (0.75, 3.087), (0.5, 3.071), (0.4, 3.054), (0.3, 3.023),
        (0.25, 2.998), (0.2, 2.962), (0.1, 2.814), (0.05, 2.615), (0.03, 2.437),
    ],
)  # fmt: skip
def test_ewma_limits_for_a_run_length_of_500(weight: float, limit_sd: float) -> None:
    """Each tabled limit gives 500 within what its last digit can move the run length."""
    low = ewma_arl(0.0, weight=weight, limit_sd=limit_sd - 0.0005)
    high = ewma_arl(0.0, weight=weight, limit_sd=limit_sd + 0.0005)

    assert low <= 500 <= high


# The same paper, Table 3, out of control; quoted from memory, reproduced here by the integral equation.
@pytest.mark.parametrize(
    ("weight", "limit_sd", "printed"),
    [(0.4, 3.054, 14.3), (0.25, 2.998, 11.1), (0.2, 2.962, 10.5), (0.1, 2.814, 10.3), (0.05, 2.615, 11.4)],
)
def test_ewma_run_lengths_at_one_sd(weight: float, limit_sd: float, printed: float) -> None:
    """Run lengths at a shift of one s.d. agree to the three figures tabled."""
    assert ewma_arl(1.0, weight=weight, limit_sd=limit_sd) == pytest.approx(printed, abs=0.0501)


def test_ewma_run_length_printed_to_eleven_figures() -> None:
    """The worked value of the SAS/QC user's guide (EWMAARL, shift 1, weight 0.25, limits 3) agrees to 1e-8."""
    assert ewma_arl(1.0, weight=0.25, limit_sd=3.0) == pytest.approx(11.154267016, abs=1e-8)


@pytest.mark.parametrize("limit_sd", [2.0, 3.0, 3.5])
def test_an_ewma_of_weight_one_is_a_shewhart_chart(limit_sd: float) -> None:
    """With weight one the run length is the closed form 1/(2 Φ(−L)); 370.4 for three s.d."""
    assert ewma_arl(0.0, weight=1.0, limit_sd=limit_sd) == pytest.approx(1 / (2 * norm.cdf(-limit_sd)), rel=1e-9)
