"""Learned unit weights: exact where closed forms exist, calibrated by simulation, unbiased by the window."""

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fulfil.errors import UnknownRefused, WeighingRefused
from fulfil.weighing.learning.learning import Learned, learn
from fulfil.weighing.learning.prior import LearningPrior

KNOWN_DF = 1e8


@settings(deadline=None, max_examples=40)
@given(
    weights=st.lists(st.floats(0.85, 0.95), min_size=4, max_size=30),
    pieces=st.integers(1, 40),
    df=st.floats(3, 30),
    relative=st.floats(0.005, 0.03),
)
def test_perfect_scale_and_one_lot_is_the_conjugate_update(
    weights: list[float], pieces: int, df: float, relative: float
) -> None:
    """With no scale error and one lot the posterior is normal-inverse-gamma (Gelman et al. 2013, section 3.3)."""
    y = np.array(weights)  # net weights per piece of groups of `pieces`
    n = y.size
    x_bar = y.mean()
    b_n = 0.5 * df * (relative * x_bar) ** 2 + 0.5 * pieces * ((y - x_bar) ** 2).sum()
    a_n = 0.5 * df + 0.5 * (n - 1)

    learned = learn(["A"] * n, [""] * n, pieces, pieces * y, 0.0, prior=LearningPrior(relative, df, 0.0))

    assert learned.mean_g[0] == pytest.approx(x_bar, rel=1e-9)
    assert learned.piece_sd_g[0] ** 2 == pytest.approx(b_n / (a_n - 1), rel=0.02)
    assert learned.mean_u_g[0] ** 2 == pytest.approx(b_n / ((a_n - 1) * n * pieces), rel=0.02)


def _dense(
    lot: np.ndarray, pieces: np.ndarray, net: np.ndarray, noise: np.ndarray, sigma: float, tau: float
) -> tuple[float, float, np.ndarray, np.ndarray]:
    """Mean, its u, lot means and their u by one dense linear solve: unknowns are the mean and each lot."""
    lots = lot.max() + 1
    weight = 1 / (pieces * sigma**2 + noise**2)
    precision = np.zeros((lots + 1, lots + 1))
    right = np.zeros(lots + 1)
    for i in range(lots):
        rows = lot == i
        precision[i + 1, i + 1] = (weight * pieces**2)[rows].sum() + 1 / tau**2
        precision[0, i + 1] = precision[i + 1, 0] = -1 / tau**2
        right[i + 1] = (weight * pieces * net)[rows].sum()
    precision[0, 0] = lots / tau**2
    covariance = np.linalg.inv(precision)
    mean = covariance @ right
    u = np.sqrt(np.diag(covariance))
    return mean[0], u[0], mean[1:], u[1:]


@settings(deadline=None, max_examples=30)
@given(seed=st.integers(0, 10_000), lots=st.integers(1, 6))
def test_known_scatter_is_generalised_least_squares(seed: int, lots: int) -> None:
    """With σ and τ known, means, lots and uncertainties are those of the dense normal equations."""
    rng = np.random.default_rng(seed)
    lot = np.concatenate([np.arange(lots), rng.integers(0, lots, 12)])
    pieces = rng.integers(1, 300, lot.size).astype(float)
    net = pieces * rng.normal(2.0, 0.01, lots)[lot] + np.sqrt(pieces) * 0.02 * rng.standard_normal(lot.size)
    noise = rng.uniform(0.01, 0.1, lot.size)
    reference = net.sum() / pieces.sum()
    mean, u, lot_mean, lot_u = _dense(lot, pieces, net, noise, 0.01 * reference, 0.005 * reference)

    learned = learn(
        ["A"] * lot.size,
        [f"L{i}" for i in lot],
        pieces,
        net,
        noise,
        prior=LearningPrior(0.01, KNOWN_DF, 0.005, KNOWN_DF),
    )

    assert learned.mean_g[0] == pytest.approx(mean, rel=1e-9)
    assert learned.mean_u_g[0] == pytest.approx(u, rel=1e-6)
    assert learned.lot_mean_g == pytest.approx(lot_mean, rel=1e-9)
    assert learned.lot_u_g == pytest.approx(lot_u, rel=1e-6)
    assert learned.lot_shift_g == pytest.approx(lot_mean - mean, abs=1e-9)


def _journal(seed: int, parts: int, lots: int, rows: int) -> tuple[dict[str, Any], np.ndarray, np.ndarray]:
    rng = np.random.default_rng(seed)
    mean = np.exp(rng.uniform(np.log(0.1), np.log(10), parts))
    lot_mean = mean[:, None] * (1 + 0.005 * rng.standard_normal((parts, lots)))
    part = np.repeat(np.arange(parts), rows)
    lot = rng.integers(0, lots, part.size)
    pieces = rng.integers(5, 200, part.size)
    net = (
        pieces * lot_mean[part, lot]
        + np.sqrt(pieces) * 0.01 * mean[part] * rng.standard_normal(part.size)
        + 0.03 * rng.standard_normal(part.size)
    )
    columns: dict[str, Any] = {
        "part_numbers": [f"P{i:03d}" for i in part],
        "lots": [f"L{i}" for i in lot],
        "pieces": pieces,
        "net_g": net,
        "noise_u_g": 0.03,
    }
    return columns, mean, lot_mean


def test_intervals_hold_the_truth_as_often_as_they_say() -> None:
    """Over 400 simulated parts the errors of mean, lots, piece s.d. and lot s.d. are as large as stated."""
    columns, mean, lot_mean = _journal(7, 400, 4, 24)

    learned = learn(**columns)

    z_mean = (learned.mean_g - mean) / learned.mean_u_g
    truth = np.array([lot_mean[int(p[1:]), int(lot[1:])] for p, lot in learned.lots])
    z_lot = (learned.lot_mean_g - truth) / learned.lot_u_g
    z_piece = (learned.piece_sd_g - 0.01 * mean) / learned.piece_sd_u_g
    assert np.mean(np.abs(z_mean) < 1.96) == pytest.approx(0.95, abs=0.04)
    assert np.mean(np.abs(z_lot) < 1.96) == pytest.approx(0.95, abs=0.02)
    assert abs(z_mean.mean()) < 0.15
    assert abs(z_piece.mean()) < 0.35
    assert np.median(learned.lot_sd_g / mean) == pytest.approx(0.005, rel=0.15)


def test_a_lot_not_seen_is_known_less_well() -> None:
    """A new lot has the part's mean with the spread of lots; a lot that was weighed has its own."""
    columns, _, _ = _journal(8, 3, 4, 30)
    learned = learn(**columns)

    seen, new = learned.unit_weight("P001", "L2"), learned.unit_weight("P001", "L9")

    assert seen.lot == "L2"
    assert new.lot == ""
    assert new.unit_weight_g == learned.mean_g[1]
    assert new.unit_weight_u_g == pytest.approx(np.hypot(learned.mean_u_g[1], learned.lot_sd_g[1]))
    assert new.unit_weight_u_g > 3 * seen.unit_weight_u_g
    assert (seen.n, new.n) == (30, 30)


def test_the_order_of_weighings_changes_no_bit() -> None:
    """The same weighings in any order give the same bits in every column."""
    columns, _, _ = _journal(9, 5, 3, 20)
    shuffled = np.random.default_rng(1).permutation(100)
    other: dict[str, Any] = {k: v if np.ndim(v) == 0 else np.asarray(v)[shuffled].tolist() for k, v in columns.items()}

    first, second = learn(**columns), learn(**other)

    assert first.lots == second.lots
    for name in ("mean_g", "mean_u_g", "piece_sd_g", "piece_sd_u_g", "lot_sd_g", "lot_mean_g", "lot_u_g"):
        assert getattr(first, name).tobytes() == getattr(second, name).tobytes()


def test_parts_dont_touch_each_other() -> None:
    """A part learned alone gives what it gives among 2,000 others, across blocks of work."""
    columns, _, _ = _journal(10, 600, 2, 10)
    row = slice(3700, 3710)

    together = learn(**columns).unit_weight("P370")
    alone = learn(**{k: v if np.ndim(v) == 0 else v[row] for k, v in columns.items()}).unit_weight("P370")

    assert alone == together


def test_more_weighings_narrow_the_interval() -> None:
    """The uncertainty of a lot's unit weight falls about as one over the root of the weighings."""
    rng = np.random.default_rng(12)
    net = 50 * 1.2 + 0.06 * rng.standard_normal(400)

    us = [learn(["A"] * n, ["L"] * n, 50, net[:n], 0.03).lot_u_g[0] for n in (4, 25, 100, 400)]

    assert us == sorted(us, reverse=True)
    assert us[1] / us[3] == pytest.approx(4, rel=0.25)


def test_a_large_common_weight_loses_no_digits() -> None:
    """Pieces of 100 kg that scatter by 1 mg are learned to the digits the numbers hold."""
    off_mg = np.array([3, -1, 0, 2, -4, 1, 1, -2], dtype=float)

    learned = learn(["A"] * 8, [""] * 8, 1, 100_000.0 + off_mg / 1000, 0.0, prior=LearningPrior(2e-8, 2, 0.0))

    assert learned.mean_g[0] == pytest.approx(100_000.0, abs=1e-9)
    a, b = 1 + 3.5, 0.5 * 2 * 0.002**2 + 0.5 * (off_mg**2).sum() * 1e-6
    assert learned.piece_sd_g[0] == pytest.approx(np.sqrt(b / (a - 1)), rel=0.01)


SIGMA, NOISE, PIECES = 0.01, 0.03, 50
BAG_SD = float(np.hypot(np.sqrt(PIECES) * SIGMA, NOISE))


def _selected(half_sd: float, centre_sd: float, seed: int, *, how: str) -> Learned:
    """300 parts of 1 g, 120 bags each, learned from what passes ("as it is", "corrected") or from all ("recounted")."""
    rng = np.random.default_rng(seed)
    parts, bags = 300, 120
    net = rng.normal(PIECES, BAG_SD, (parts, bags))
    centre = PIECES + centre_sd * BAG_SD
    passed = np.abs(net - centre) <= half_sd * BAG_SD
    names = np.repeat([f"P{i:03d}" for i in range(parts)], bags).reshape(parts, bags)
    prior = LearningPrior(SIGMA, 4, 0.0)

    rows = np.ones_like(passed) if how == "recounted" else passed
    half_g = half_sd * BAG_SD
    window: dict[str, Any] = {"window_centre_g": centre, "window_half_width_g": half_g} if how == "corrected" else {}
    return learn(names[rows].tolist(), [""] * int(rows.sum()), PIECES, net[rows], NOISE, prior=prior, **window)


def _bias_sd(learned: Learned) -> float:
    """Mean error of a bag's expected weight, in s.d. of one bag."""
    return float((learned.mean_g - 1.0).mean()) * PIECES / BAG_SD


def test_a_window_as_wide_as_the_risks_ask_hardly_biases_the_mean() -> None:
    """A window of 2.81 s.d. (a right bag rejected 0.5 %), centred right, leaves no bias beyond its sampling error."""
    as_it_is = _selected(2.81, 0.0, 20, how="as it is")
    corrected = _selected(2.81, 0.0, 20, how="corrected")
    sampling = 1 / np.sqrt(300 * 120)

    assert abs(_bias_sd(as_it_is)) < 4 * sampling
    assert abs(_bias_sd(corrected)) < 4 * sampling
    assert as_it_is.piece_sd_g.mean() / SIGMA < 0.99
    assert corrected.piece_sd_g.mean() / SIGMA == pytest.approx(1.0, abs=0.03)


@pytest.mark.parametrize(("half_sd", "centre_sd", "left_uncorrected"), [(2.81, 1.0, 0.06), (2.0, 0.5, 0.09)])
def test_a_window_that_is_off_biases_and_the_correction_removes_it(
    half_sd: float, centre_sd: float, left_uncorrected: float
) -> None:
    """A window centred off pulls the mean its way; giving the window takes at least 60 % of that away."""
    as_it_is = _selected(half_sd, centre_sd, 21, how="as it is")
    corrected = _selected(half_sd, centre_sd, 21, how="corrected")

    assert _bias_sd(as_it_is) > left_uncorrected
    assert abs(_bias_sd(corrected)) < 0.4 * _bias_sd(as_it_is)


def test_rejected_bags_counted_by_hand_leave_no_bias() -> None:
    """With the rejected bags recounted and learned from, a window of 1 s.d. centred off biases nothing."""
    complete = _selected(1.0, 0.5, 22, how="recounted")
    as_it_is = _selected(1.0, 0.5, 22, how="as it is")

    assert _bias_sd(as_it_is) > 0.3

    assert abs(_bias_sd(complete)) < 4 / np.sqrt(300 * 120)
    assert complete.piece_sd_g.mean() / SIGMA == pytest.approx(1.0, abs=0.02)


def test_a_very_wide_window_is_no_window() -> None:
    """A window of 12 s.d. selects nothing and changes nothing."""
    columns, _, _ = _journal(13, 4, 2, 20)
    wide = learn(**columns, window_centre_g=columns["net_g"], window_half_width_g=1000.0)
    free = learn(**columns)

    assert wide.mean_g == pytest.approx(free.mean_g, rel=1e-12)
    assert wide.piece_sd_g == pytest.approx(free.piece_sd_g, rel=1e-9)


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"pieces": [1, 0]}, "Cannot learn A from pieces (weighing 2) '0.0': expected a number of 1 or more."),
        ({"net_g": [0.0, 1.0]}, "Cannot learn A from net weight in g (weighing 1) '0.0': expected a number above 0."),
        ({"net_g": [1.0, float("nan")]}, "net weight in g (weighing 2) 'nan': expected a number above 0."),
        ({"noise_u_g": -1.0}, "scale's and tare's u in g (weighing 1) '-1.0': expected a number of 0 or more."),
        ({"net_g": [1.0]}, "of shape '(1,)': expected one for each of 2 weighings."),
        ({"lots": ["L"]}, "Cannot learn from lots: '1': expected one for each of 2 weighings, at least one."),
        ({"window_centre_g": 1.0}, "expected both or neither."),
        ({"window_centre_g": 1.0, "window_half_width_g": 0.0}, "half as wide as '0.0': expected a width above 0 g."),
    ],
)
def test_bad_weighings_are_refused(changes: dict[str, Any], sentence: str) -> None:
    """A weighing that can't be is refused with its number, its value and what was expected."""
    columns: dict[str, Any] = {
        "part_numbers": ["A", "A"],
        "lots": ["L", "L"],
        "pieces": [1, 1],
        "net_g": [1.0, 1.0],
        "noise_u_g": 0.1,
    }

    with pytest.raises(WeighingRefused) as refused:
        learn(**{**columns, **changes})

    assert str(refused.value).endswith(sentence)


def test_a_part_never_weighed_is_refused() -> None:
    """No unit weight is made up for a part without weighings."""
    learned = learn(["A"], [""], 10, 12.0, 0.03)

    with pytest.raises(UnknownRefused, match="part 'B': expected a part that was weighed"):
        learned.unit_weight("B")


def test_priors_that_cant_be_are_refused() -> None:
    """A prior scatter of zero, or a negative spread of lots, is refused by name."""
    with pytest.raises(WeighingRefused, match=r"prior piece_sd_relative of '0\.0'"):
        LearningPrior(piece_sd_relative=0.0)
    with pytest.raises(WeighingRefused, match=r"prior lot_sd_relative of '-0\.1'"):
        LearningPrior(lot_sd_relative=-0.1)


def test_ten_balls_by_hand() -> None:
    """Ten balls with a prior of 0.9 g worth one piece, a = 2, b = 2e-4 g²: m = 0.90181818, b_n = 3.5681818e-4.

    The prior piece is one more weighing. Then a_n = 7, k_n = 11, and the predictive s.d. of the next piece follows from
    its t distribution: scale² = b_n (k_n + 1)/(a_n k_n), times 14/12.
    """
    x = [0.912, 0.905, 0.894, 0.901, 0.908, 0.897, 0.903, 0.899, 0.906, 0.895]
    reference = float(np.mean([0.9, *x]))

    learned = learn(["B"] * 11, [""] * 11, 1, [0.9, *x], 0.0, prior=LearningPrior(0.01 / reference, 4, 0.0))

    assert learned.mean_g[0] == pytest.approx(0.90181818, abs=5e-9)
    assert learned.piece_sd_g[0] ** 2 == pytest.approx(3.5681818e-4 / 6, rel=3e-4)
    predictive = learned.piece_sd_g[0] ** 2 + learned.mean_u_g[0] ** 2
    assert predictive == pytest.approx(0.00745708**2 * 14 / 12, rel=3e-4)


def test_parts_can_have_priors_of_their_own() -> None:
    """A part with its family's prior learns as it would alone with it; the others keep the general one."""
    columns, _, _ = _journal(14, 3, 2, 8)
    ball = LearningPrior(0.002, 20, 0.0)
    row = slice(8, 16)

    mixed = learn(**columns, part_priors={"P001": ball})
    alone = learn(**{k: v if np.ndim(v) == 0 else v[row] for k, v in columns.items()}, prior=ball)
    general = learn(**columns)

    assert mixed.unit_weight("P001") == alone.unit_weight("P001")
    assert mixed.unit_weight("P000") == general.unit_weight("P000")
    assert mixed.lot_sd_g[1] == 0.0
    assert mixed.piece_sd_g[1] < 0.7 * general.piece_sd_g[1]


@pytest.mark.parametrize("gives_window", [True, False])
def test_learning_from_its_own_windows_forgets_a_bad_start(gives_window: bool) -> None:
    """Fifteen days of windows set by what was learned before: a start 2 u too heavy is forgotten, not confirmed.

    150 parts of 1 g begin with a sample of 20 that is 2 u heavy; each day four bags of 50 are weighed, those that pass
    a window of 2.81 s.d. are learned, the others are lost. What stays is the sample's own share, within 0.02 s.d. of
    a bag.
    """
    rng = np.random.default_rng(30)
    parts, sample = 150, 20
    names = np.array([f"P{i:03d}" for i in range(parts)])
    heavy_g = sample + 2 * float(np.hypot(np.sqrt(sample) * SIGMA, NOISE))
    who, pieces, net = names, np.full(parts, float(sample)), np.full(parts, heavy_g)
    centre, half = np.full(parts, heavy_g), np.full(parts, np.inf)
    prior = LearningPrior(SIGMA, 4, 0.0)

    def learned() -> Learned:
        window: dict[str, Any] = {"window_centre_g": centre, "window_half_width_g": half} if gives_window else {}
        return learn(who.tolist(), [""] * who.size, pieces, net, NOISE, prior=prior, **window)

    start_sd = _bias_sd(learned())
    for _ in range(15):
        now = learned()
        target = np.repeat(PIECES * now.mean_g, 4)
        spread = np.repeat(np.hypot(np.hypot(np.sqrt(PIECES) * now.piece_sd_g, NOISE), PIECES * now.mean_u_g), 4)
        weight = rng.normal(PIECES, BAG_SD, target.size)
        passed = np.abs(weight - target) <= 2.81 * spread
        who = np.concatenate([who, np.repeat(names, 4)[passed]])
        pieces = np.concatenate([pieces, np.full(int(passed.sum()), float(PIECES))])
        net = np.concatenate([net, weight[passed]])
        centre = np.concatenate([centre, target[passed]])
        half = np.concatenate([half, 2.81 * spread[passed]])
    end = learned()

    assert start_sd > 3.0
    sample_left_sd = start_sd * (sample / (sample + 15 * 4 * PIECES))
    assert abs(_bias_sd(end) - sample_left_sd) < 0.02
    assert np.mean(np.abs(end.mean_g - 1.0) / end.mean_u_g < 1.96) > 0.85
