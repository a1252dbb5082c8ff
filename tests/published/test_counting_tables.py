"""Counting by weight against tables and closed forms worked out apart from the code.

SOURCE: algebra of the normal error model (law of propagation, JCGM 100:2008, 5.1.2); numbers recomputed with SciPy
and entered here as literals. "Computed" below means that.
"""

import math

import pytest
from scipy.stats import norm

from fulfil.weighing.error_model import error_model
from fulfil.weighing.sampling import grown_samples
from fulfil.weighing.unit_weight import UnitWeight, from_group
from fulfil.weighing.window import largest_count

WORKED = {
    "unit_weight_g": 0.9,
    "unit_weight_u_g": 0.009 / math.sqrt(50),
    "piece_sd_g": 0.009,
    "indication_u_g": 0.03,
    "tare_u_g": 0.02,
}


@pytest.mark.parametrize(
    ("pieces", "spread", "accepted", "short_passes", "over_passes", "miscounted"),
    [
        (25, 0.06586, 1 - 8e-12, 2.65e-12, 6.45e-12, 8.33e-12),
        (50, 0.09695, 0.9999965, 1.569e-6, 1.905e-6, 3.461e-6),
        (100, 0.16000, 0.995084, 0.002424, 0.002492, 0.004916),
        (150, 0.22338, 0.956040, 0.021894, 0.022066, 0.043960),
        (200, 0.28688, 0.883259, 0.058279, 0.058459, 0.116741),
    ],
)
def test_worked_bag(
    pieces: int, spread: float, accepted: float, short_passes: float, over_passes: float, miscounted: float
) -> None:
    """μ 0.9 g, σ 1 %, n 50, u_s 0.03 g, u_t 0.02 g, half a piece either way: s_N and four chances (computed)."""
    bag = error_model(pieces, **WORKED)

    assert bag.spread(0) == pytest.approx(spread, abs=6e-6)
    assert bag.pass_probability(0, -0.45, 0.45) == pytest.approx(accepted, abs=6e-7)
    assert bag.pass_probability(-1, -0.45, 0.45) == pytest.approx(short_passes, rel=2e-3, abs=5e-7)
    assert bag.pass_probability(1, -0.45, 0.45) == pytest.approx(over_passes, rel=2e-3, abs=5e-7)
    assert bag.reject_probability(-0.45, 0.45) == pytest.approx(miscounted, rel=2e-3, abs=5e-7)


@pytest.mark.parametrize(("pieces", "half", "short_passes"), [(150, 0.5754, 0.073), (200, 0.7389, 0.287)])
def test_a_window_wider_than_half_a_piece_hides_the_neighbour(pieces: int, half: float, short_passes: float) -> None:
    """A window of k s_N with k = 2.576 beyond the largest count: N − 1 passes 7.3 % and 28.7 % (computed)."""
    bag = error_model(pieces, **WORKED)

    assert 2.5758 * bag.spread(0) == pytest.approx(half, abs=6e-5)
    assert bag.pass_probability(-1, -half, half) == pytest.approx(short_passes, abs=6e-4)


RISKS = {"1/1": (0.01, 0.01, 4.902177), "0.1/0.1": (0.001, 0.001, 6.380759), "0.5/0.1": (0.005, 0.001, 5.897266)}
LARGEST = {
    (0.002, "1/1"): (317, 446, 696, 971, 1345, 10403),
    (0.002, "0.1/0.1"): (242, 340, 529, 735, 1012, 6140),
    (0.002, "0.5/0.1"): (263, 369, 575, 799, 1103, 7188),
    (0.005, "1/1"): (124, 172, 264, 361, 485, 1664),
    (0.005, "0.1/0.1"): (94, 130, 198, 267, 354, 982),
    (0.005, "0.5/0.1"): (102, 141, 216, 292, 389, 1150),
    (0.01, "1/1"): (59, 81, 121, 160, 205, 416),
    (0.01, "0.1/0.1"): (44, 60, 88, 114, 143, 245),
    (0.01, "0.5/0.1"): (48, 66, 97, 126, 159, 287),
    (0.02, "1/1"): (27, 36, 51, 63, 75, 104),
    (0.02, "0.1/0.1"): (20, 26, 35, 42, 49, 61),
    (0.02, "0.5/0.1"): (22, 29, 39, 48, 56, 71),
    (0.03, "1/1"): (17, 22, 29, 34, 38, 46),
    (0.03, "0.1/0.1"): (12, 15, 19, 22, 24, 27),
    (0.03, "0.5/0.1"): (13, 17, 22, 25, 28, 31),
    (0.05, "1/1"): (8, 10, 13, 14, 15, 16),
    (0.05, "0.1/0.1"): (6, 7, 8, 9, 9, 9),
    (0.05, "0.5/0.1"): (6, 8, 9, 10, 10, 11),
}
"""Largest count on a perfect scale by c and risks (reject/pass, %), n = 10, 20, 50, 100, 200 and μ known (computed)."""


@pytest.mark.parametrize(("c", "risks"), LARGEST)
def test_largest_counts_on_a_perfect_scale(c: float, risks: str) -> None:
    """The closed form with v₀ for v₋₁ and v₊₁; the exact rule differs from it by at most one piece, below 30 pieces."""
    risk_reject, risk_pass, z = RISKS[risks]
    for n, expected in zip((10, 20, 50, 100, 200, math.inf), LARGEST[c, risks], strict=True):
        largest = largest_count(
            unit_weight_g=1, unit_weight_u_g=c / math.sqrt(n), piece_sd_g=c, indication_u_g=0,
            risk_pass=risk_pass, risk_reject=risk_reject,
        )  # fmt: skip

        assert norm.isf(risk_reject / 2) + norm.isf(risk_pass) == pytest.approx(z, abs=5e-7)
        assert largest == expected or (expected < 30 and largest == expected - 1)


@pytest.mark.parametrize(
    ("c", "expected"), [(0.005, (107, 227, 309, 1264)), (0.01, (51, 103, 134, 316)), (0.02, (23, 42, 51, 79))]
)
def test_largest_counts_on_a_scale_of_a_tenth_of_a_piece(c: float, expected: tuple[int, ...]) -> None:
    """√(u_s² + u_t²)/μ = 0.1, 1 %/1 %, n = 10, 50, 100 and known (computed)."""
    counts = tuple(
        largest_count(
            unit_weight_g=1, unit_weight_u_g=c / math.sqrt(n), piece_sd_g=c, indication_u_g=0.08, tare_u_g=0.06,
            risk_pass=0.01, risk_reject=0.01,
        )
        for n in (10, 50, 100, math.inf)
    )  # fmt: skip

    assert counts == expected


@pytest.mark.parametrize(("n", "percent"), [(5, 0.877), (10, 0.620), (20, 0.438), (50, 0.277), (100, 0.196)])
def test_relative_error_of_the_sample_alone(n: int, percent: float) -> None:
    """95 % of 1.96 c/√n for c = 1 % (computed)."""
    part = from_group(float(n), n, reading_u_g=0.0, relative_piece_sd=0.01)

    assert 100 * 1.959964 * part.u_g / part.mean_g == pytest.approx(percent, abs=6e-4)


@pytest.mark.parametrize(("k", "union"), [(1, 0.4047), (2, 0.2147), (4, 0.01548), (5, 0.00263), (8, 4.59e-6)])
def test_splitting_four_hundred(k: int, union: float) -> None:
    """N = 400, c = 1 %, n = 50, each bag rounded to a count: 1 − (1 − p)^k (computed)."""
    bag = error_model(
        400 // k, unit_weight_g=1, unit_weight_u_g=0.01 / math.sqrt(50), piece_sd_g=0.01, indication_u_g=0
    )

    assert -math.expm1(k * math.log1p(-bag.reject_probability(-0.5, 0.5))) == pytest.approx(union, rel=2e-3)


@pytest.mark.parametrize(
    ("c", "sizes"), [(0.01, (10, 69, 207, 414, 670, 960, 1273)), (0.02, (10, 37, 83, 143, 212, 288, 369))]
)
def test_growth_of_a_kept_sample(c: float, sizes: tuple[int, ...]) -> None:
    """From n to n + N_max(n), perfect scale, 1 %/1 % a step (computed); the exact rule may lag by 1 % and a piece."""
    n = 10
    for expected in sizes[1:]:
        n += largest_count(
            unit_weight_g=1, unit_weight_u_g=c / math.sqrt(n), piece_sd_g=c, indication_u_g=0,
            risk_pass=0.01, risk_reject=0.01,
        )  # fmt: skip

        assert expected * 0.99 - 1 <= n <= expected


def test_grown_samples_share_the_risk_among_their_steps() -> None:
    """Held to the line's risks as a whole, steps are shorter than with the full risk at each."""
    part = {"unit_weight_g": 1.0, "piece_sd_g": 0.01, "indication_u_g": 0.0, "reading_u_g": 0.0}
    sizes = grown_samples(10, 414, **part, risk_pass=0.01, risk_reject=0.01)

    assert sizes[0] == 10
    assert sizes[-1] == 414
    assert sizes[1] < 69
    assert list(sizes) == sorted(set(sizes))
    assert grown_samples(50, 20, **part) == (50,)
    assert grown_samples(10, 400, **(part | {"indication_u_g": 0.5})) == ()


def test_student_for_nineteen_degrees_of_freedom() -> None:
    """JCGM 100:2008, Table G.2: t95(19) = 2.09 (2.0930 computed), the widening of a cautious unit weight."""
    part = UnitWeight(1.0, 0.01, 0.01, 20, "single pieces", "single pieces", piece_sd_freedom=19)

    assert 1.959964 * part.cautious(0.025).piece_sd_g / 0.01 == pytest.approx(2.0930, abs=5e-5)
