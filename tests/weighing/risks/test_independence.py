"""What a second weighing adds, against a simulation of picker and checker with the same bag in their hands."""

from decimal import Decimal
from math import sqrt

import numpy as np
import pytest

from fulfil.weighing.independence import second_weighing
from fulfil.weighing.scale import Scale
from fulfil.weighing.unit_weight import from_group

SCALE = Scale("II", Decimal("0.1"), Decimal("0.01"), Decimal(3000), repeatability_g=0.04, bias_share=0.5)
SCREW = from_group(45.0, 50, reading_u_g=0.03, relative_piece_sd=0.01)
N, TARE_G, TARE_SD_G = 120, 2.1, 0.02
LOW, HIGH = Decimal("109.65"), Decimal("110.55")


def test_both_weighings_against_a_simulation() -> None:
    """2,000,000 bags, one piece over, each physical term drawn by itself; to 4 standard errors."""
    rng = np.random.default_rng(3)
    bags, count, n = 2_000_000, N + 1, 40
    unit = SCREW.mean_g + SCREW.u_g * rng.standard_normal(bags)
    sd = SCREW.piece_sd_g
    first_n = n * unit + sqrt(n) * sd * rng.standard_normal(bags)
    rest = (count - n) * unit + sqrt(count - n) * sd * rng.standard_normal(bags)
    gross = first_n + rest + TARE_G + TARE_SD_G * rng.standard_normal(bags)
    load_g = N * SCREW.mean_g + TARE_G
    own = float(SCALE.indication_u_g(load_g))
    bias = sqrt(float(SCALE.window_u_g(load_g)) ** 2 - own**2)
    here, there = (bias * rng.standard_normal(bags) for _ in range(2))

    def passes(error: np.ndarray) -> np.ndarray:
        shown = gross + error + own * rng.standard_normal(bags)
        return (shown >= float(LOW)) & (shown <= float(HIGH))

    picked = passes(here)
    again, other = picked & passes(here), picked & passes(there)
    net = gross - TARE_G + own * rng.standard_normal(bags)
    told = (net - N / n * (first_n + own * rng.standard_normal(bags))) / SCREW.mean_g
    by_hand = picked & (np.abs(told) <= 0.5)

    adds = second_weighing(N, LOW, HIGH, SCREW, SCALE, tare_g=TARE_G, tare_u_g=TARE_SD_G)
    assert adds.by_hand_pieces == n
    assert adds.by_hand is not None
    for said, found in ((adds.first, picked), (adds.same_scale, again), (adds.other_scale, other),
                        (adds.by_hand, by_hand)):  # fmt: skip
        error = sqrt(found.mean() / bags)
        assert said == pytest.approx(found.mean(), abs=4 * error + 0.02 * said)


def test_a_second_weighing_is_worth_little_and_a_count_by_hand_much() -> None:
    """Not the square of the first: most of what is wrong is in both."""
    adds = second_weighing(N, LOW, HIGH, SCREW, SCALE, tare_g=TARE_G, tare_u_g=TARE_SD_G)
    assert adds.first > adds.same_scale > adds.other_scale > 10 * adds.first**2
    assert adds.by_hand is not None
    assert adds.by_hand <= adds.same_scale / 10
    assert f"its first {adds.by_hand_pieces} pieces counted by hand" in adds.sentence


def test_a_bag_of_few_pieces_has_none_to_count_apart() -> None:
    """Five pieces: nothing is left to be told by the first five."""
    adds = second_weighing(5, Decimal("6.15"), Decimal("7.05"), SCREW, SCALE, tare_g=2.1, tare_u_g=0.02)
    assert adds.by_hand is None
    assert "by hand" not in adds.sentence
