"""Counting up in stages: the filter is least squares, the joint risks are true, and a scale that is off doesn't win."""

from decimal import Decimal
from itertools import pairwise
from math import sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import QuantityRefused
from fulfil.weighing.count_up import Belief, Pourer, Stage, of_first_pour, passes_all, stages_of

RISKS = {"risk_pass": 0.01, "risk_reject": 0.05}
SCREWS = Pourer(piece_sd_g=0.009, reading_u_g=0.01, bias_g=0.0, d_g=Decimal("0.001"))


def planned(first: int, sizes: tuple[int, ...], pourer: Pourer, unit_g: float) -> tuple[Belief, list[Stage]]:
    """The first belief and the stages as they are if every pour weighs what it should."""
    belief = of_first_pour(
        first, first * unit_g, piece_sd_g=pourer.piece_sd_g, reading_u_g=pourer.reading_u_g, bias_g=pourer.bias_g
    )
    known, stages = belief, []
    for size in sizes:
        stage = pourer.stage(size, known, risk_pass=RISKS["risk_pass"] / len(sizes), risk_reject=0.05 / len(sizes))
        assert stage is not None
        stages.append(stage)
        known = known.after(size, size * known.mean_g, pourer)
    return belief, stages


def test_the_variance_of_a_first_pour_is_that_of_scale_counting() -> None:
    """σ² n (1 + n/S) without scale errors: 20 by hand, 50 poured, 9 mg: 0.009 √(50 × 3.5) = 0.11906 g, by hand."""
    pourer = Pourer(0.009, 0.0, 0.0, Decimal("0.001"))
    belief = of_first_pour(20, 18.0, piece_sd_g=0.009, reading_u_g=0.0, bias_g=0.0)
    assert pourer.model(50, belief).spread(0) == pytest.approx(0.009 * sqrt(50 * (1 + 50 / 20)), rel=1e-12)


@given(
    sizes=st.lists(st.integers(1, 300), min_size=1, max_size=5),
    first=st.integers(2, 50),
    noise=st.lists(st.floats(-0.3, 0.3), min_size=6, max_size=6),
    reading_g=st.floats(0.001, 0.2),
)
def test_the_filter_is_least_squares(sizes: list[int], first: int, noise: list[float], reading_g: float) -> None:
    """Mean and u after all pours are those of weighted least squares over all of them at once (numpy's solver)."""
    pourer = Pourer(0.009, reading_g, 0.0, Decimal("0.001"))
    counts = [first, *sizes]
    nets = [n * 0.9 + e for n, e in zip(counts, noise, strict=False)]
    belief = of_first_pour(first, nets[0], piece_sd_g=0.009, reading_u_g=reading_g, bias_g=0.0)
    for n, y in zip(sizes, nets[1:], strict=False):
        belief = belief.after(n, y, pourer)
    weight = 1 / np.sqrt(np.array(counts) * 0.009**2 + reading_g**2)
    design = (np.array(counts) * weight)[:, None]
    solved = np.linalg.lstsq(design, np.array(nets[: len(counts)]) * weight, rcond=None)[0][0]
    assert belief.mean_g == pytest.approx(solved, rel=1e-9)
    assert belief.u_g == pytest.approx(1 / sqrt(float((design**2).sum())), rel=1e-9)


@pytest.mark.parametrize("off", [(0, 0, 0), (1, 0, 0), (0, -1, 0), (0, 1, 0), (0, 0, -1), (1, 0, -1), (0, -1, 1)])
def test_the_joint_chance_is_true(off: tuple[int, ...]) -> None:
    """Own simulation of 20 → 60 → 130 → 230 pieces, each stage judged by what the earlier ones taught: 400,000 bags."""
    rng = np.random.default_rng(20261129)
    first, sizes, unit_g, bags = 20, (40, 70, 100), 0.9, 400_000
    belief, stages = planned(first, sizes, SCREWS, unit_g)
    mean = unit_g + belief.u_g * rng.standard_normal(bags)
    passing = np.ones(bags, dtype=bool)
    known = belief
    for stage, extra in zip(stages, off, strict=True):
        n = stage.pieces
        true_g = (n + extra) * unit_g + sqrt(n + extra) * 0.009 * rng.standard_normal(bags)
        # The reading's uncertainty holds its own rounding.
        shown = true_g + sqrt(0.01**2 - 0.001**2 / 12) * rng.standard_normal(bags)
        deviation = np.round(shown, 3) - n * mean
        low, high = float(stage.lower_g) - stage.target_g, float(stage.upper_g) - stage.target_g
        passing &= (deviation >= low - 0.0005) & (deviation <= high + 0.0005)
        after = known.after(n, n * known.mean_g, SCREWS)
        gain = (after.u_g / known.u_g) ** 2
        mean = mean + (1 - gain) / n * (np.round(shown, 3) - n * mean)
        known = after
    stated = passes_all(stages, off, belief, SCREWS, unit_g=unit_g)
    error = sqrt(max(stated * (1 - stated), 1e-9) / bags)
    assert abs(passing.mean() - stated) < 4.5 * error + 0.002 * stated


@pytest.mark.parametrize("off", [(1, 0, 0), (0, -1, 0), (0, 0, 1)])
def test_a_stage_that_is_one_off_keeps_its_share_of_the_risk(off: tuple[int, ...]) -> None:
    """What comes after a wrong stage only makes it less likely that all pass."""
    belief, stages = planned(20, (40, 70, 100), SCREWS, 0.9)
    assert passes_all(stages, off, belief, SCREWS, unit_g=0.9) <= RISKS["risk_pass"] / 3 * 1.05
    assert 1 - passes_all(stages, (0, 0, 0), belief, SCREWS, unit_g=0.9) <= RISKS["risk_reject"]


@pytest.mark.parametrize("signs", [(1, 1, 1, 1), (-1, -1, -1, -1), (1, -1, 1, -1), (-1, 1, 1, 1)])
def test_a_scale_that_is_off_passes_no_more_than_stated(signs: tuple[int, ...]) -> None:
    """The whole allowed error on each reading, whatever its signs: a piece over passes within the stated risk."""
    rng = np.random.default_rng(7)
    pourer = Pourer(piece_sd_g=0.004, reading_u_g=0.01, bias_g=0.03, d_g=Decimal("0.001"))
    first, sizes, unit_g, bags = 30, (40, 60), 0.9, 200_000
    belief, stages = planned(first, sizes, pourer, unit_g)
    for wrong in range(len(sizes)):
        for extra in (-1, 1):
            start = first * unit_g + sqrt(first) * 0.004 * rng.standard_normal(bags)
            mean = (start + 0.01 * rng.standard_normal(bags) + signs[0] * 0.03) / first
            passing, known = np.ones(bags, dtype=bool), belief
            for i, stage in enumerate(stages):
                n = stage.pieces
                held = n + (extra if i == wrong else 0)
                shown = held * unit_g + sqrt(held) * 0.004 * rng.standard_normal(bags)
                shown += 0.01 * rng.standard_normal(bags) + signs[i + 1] * 0.03
                deviation = shown - n * mean
                passing &= (deviation >= float(stage.lower_g) - stage.target_g - 0.0005) & (
                    deviation <= float(stage.upper_g) - stage.target_g + 0.0005
                )
                after = known.after(n, n * known.mean_g, pourer)
                mean = mean + (1 - (after.u_g / known.u_g) ** 2) / n * deviation
                known = after
            assert passing.mean() <= 1.5 * RISKS["risk_pass"] / len(sizes)


def test_a_reading_between_two_counts_is_told_as_none() -> None:
    """Half a piece more than 50, and pieces that can't be told apart at all."""
    belief = Belief(0.9, 0.0005)
    assert SCREWS.told(belief, 45.0, **RISKS) == 50
    assert SCREWS.told(belief, 45.45, **RISKS) is None
    assert SCREWS.told(belief, 0.0, **RISKS) is None
    assert SCREWS.told(belief, 9000.0, **RISKS) is None


@given(first=st.integers(5, 60), pieces=st.integers(61, 800))
def test_stages_add_up_and_each_is_the_largest_that_can_be_told(first: int, pieces: int) -> None:
    """The sizes make up the whole, and each but the last grows: what was counted teaches."""
    belief = of_first_pour(first, first * 0.9, piece_sd_g=0.009, reading_u_g=0.01, bias_g=0.0)
    sizes = stages_of(pieces, belief, SCREWS, first_pieces=first, risk_pass=0.01, risk_reject=0.05)
    assert not sizes or first + sum(sizes) == pieces
    assert all(a < b for a, b in pairwise(sizes[:-1]))


def test_a_first_lot_of_one_is_refused() -> None:
    """One piece says nothing of a part."""
    with pytest.raises(QuantityRefused, match="2 or more"):
        of_first_pour(1, 0.9, piece_sd_g=0.009, reading_u_g=0.01, bias_g=0.0)


def test_what_no_scale_tells_has_no_stages() -> None:
    """A piece lighter than the reading's own error."""
    assert stages_of(100, Belief(0.01, 1e-5), SCREWS, risk_pass=0.01, risk_reject=0.05) == ()


@pytest.mark.parametrize(("pieces", "d"), [(300, "0.1"), (400, "0.2")])
def test_a_pour_on_a_multi_interval_scale_has_the_interval_of_its_mass(pieces: int, d: str) -> None:
    """Up to 300 g in tenths, above in two tenths: limits on those steps, and a simulation passes as rarely as printed.

    400,000 pours one piece over, their two readings rounded to the interval of the load; to 5 standard errors.
    """
    ranges = ((Decimal(300), Decimal("0.1")), (Decimal(600), Decimal("0.2")))
    sd, steady, u = 0.004, 0.03, 0.0001
    reading_u = sqrt(2 * steady**2 + 2 * 0.1**2 / 12)
    bench = Pourer(sd, reading_u, 0.0, Decimal("0.1"), ranges)
    stage = bench.stage(pieces, Belief(0.9, u), risk_pass=0.01, risk_reject=0.01)
    assert stage is not None
    assert stage.lower_g % Decimal(d) == 0
    assert stage.upper_g % Decimal(d) == 0

    rng, n = np.random.default_rng(6), 400_000
    net = (pieces + 1) * (0.9 + u * rng.standard_normal(n)) + sqrt(pieces + 1) * sd * rng.standard_normal(n)
    # The tare's indication is that of an empty cup, in tenths.
    load = net + steady * sqrt(2) * rng.standard_normal(n) + rng.uniform(-0.05, 0.05, n)
    shown = np.rint(load / float(d)) * float(d)
    passes = np.mean((shown >= float(stage.lower_g) - 1e-6) & (shown <= float(stage.upper_g) + 1e-6))
    assert passes == pytest.approx(stage.risks.p_pass_one_over, abs=5 * sqrt(passes / n) + 1e-6)
