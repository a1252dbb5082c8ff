"""A bag's budget: its terms are the window's, what dominates, and risks that hold where the scale or s.d. is off."""

import runpy
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import chi2, norm, t

from fulfil.errors import WeighingRefused
from fulfil.standards.oiml_r76 import maximum_permissible_error_g
from fulfil.weighing.budget import budget_of
from fulfil.weighing.scale import Scale
from fulfil.weighing.split import counted_bags
from fulfil.weighing.unit_weight import from_group

BENCH = Scale("II", Decimal("0.1"), Decimal("0.01"), Decimal(3000), repeatability_g=0.012, bias_share=0.5)


@given(
    pieces=st.integers(1, 200),
    unit=st.floats(0.3, 10),
    c=st.floats(0.0005, 0.02),
    sample=st.integers(10, 300),
    tare_sd=st.floats(0, 0.1),
)
def test_the_terms_add_up_to_the_spread_of_the_window(
    pieces: int, unit: float, c: float, sample: int, tare_sd: float
) -> None:
    """The combined uncertainty is the s.d. that the window was made from, so no term is missing or counted twice."""
    part = from_group(unit * sample, sample, reading_u_g=0.02, relative_piece_sd=c)
    budget = budget_of(pieces, part, BENCH, tare_g=2.0, tare_sd_g=tare_sd, tare_shared_g=tare_sd)
    bags = counted_bags([pieces], part, BENCH, tare_g=2.0, tare_u_g=tare_sd * 2**0.5)

    assert sum(budget.share(term) for term in budget.terms) == pytest.approx(1.0)
    if bags and bags[0].window.p_reject > 2e-6:
        half = float(bags[0].window.upper_g - bags[0].window.target_g)
        assert 2 * norm.sf(half / budget.u_g) == pytest.approx(bags[0].window.p_reject, rel=0.02)


def test_the_bias_is_a_share_of_the_error_permitted_in_service():
    """Class II, e = 0.1 g: 0.1 g to 500 g, 0.2 g to 2 kg (OIML R 76-1:2006, 3.5.2); half is at verification."""
    for load, permitted in ((50, 0.1), (500, 0.1), (501, 0.2), (2000, 0.2)):
        verified = maximum_permissible_error_g("II", Decimal(load), e_g=Decimal("0.1"))
        assert BENCH.bias_g(load) == pytest.approx(permitted / 2) == pytest.approx(float(verified))
    assert BENCH.bias_g(np.array([50, 501])).tolist() == pytest.approx([0.05, 0.1])
    with pytest.raises(WeighingRefused, match=r"allow for a bias of '1\.2'"):
        Scale("II", Decimal("0.1"), Decimal("0.01"), Decimal(3000), bias_share=1.2)


def test_where_only_the_class_is_known_the_error_is_not_counted_twice():
    """MPE²/3 holds for a bias up to 0.577 of it; a larger share takes its place."""
    plain, half, whole = (Scale("III", Decimal("0.1"), Decimal("0.1"), Decimal(600), bias_share=b) for b in (0, 0.5, 1))

    assert half.window_u_g(50) == plain.indication_u_g(50)
    assert whole.window_u_g(50) == pytest.approx((0.1**2 + 0.1**2 / 12) ** 0.5)


def test_students_t_term_by_term_holds_at_small_risks_where_one_t_does_not():
    """Half the variance from an s.d. of nine degrees of freedom, risk 0.1 %: 0.73 and 1.79 times (scipy)."""
    risk, nu, share = 0.001, 9, 0.5
    quantiles = chi2.ppf((np.arange(100_000) + 0.5) / 100_000, nu)

    def passes(width: float) -> float:
        return float(np.mean(norm.sf(width / np.sqrt(share * nu / quantiles + 1 - share)))) / risk

    z = norm.isf(risk)
    by_term = z * np.sqrt((t.isf(risk, nu) / z) ** 2 * share + 1 - share)
    assert passes(by_term) == pytest.approx(0.73, abs=0.02)
    assert passes(t.isf(risk, nu / share**2)) == pytest.approx(1.79, abs=0.03)


@pytest.fixture(scope="module")
def worlds() -> dict:
    """The benchmark's functions and a small share of its lines."""
    return runpy.run_path(str(Path(__file__).parents[1] / "benchmarks" / "biased_worlds.py"))


@pytest.mark.parametrize(
    ("name", "most"),
    [
        ("nothing is wrong", 1.0),
        ("scale off by half of it", 1.5),
        ("bags 1 s.d. heavier or lighter", 1.5),
        ("half the permitted error and bags 1 s.d. off", 1.5),
        ("piece s.d. 1.1 × the given", 1.5),
    ],
)
def test_wrong_bags_pass_as_rarely_as_printed_where_something_is_off(worlds: dict, name: str, most: float) -> None:
    """Mean over bags of all kinds of part, and of light, even ones, where the scale is what limits."""
    world = next(one for one in worlds["WORLDS"] if one.name == name)
    for is_light in (False, True):
        bags = worlds["planned"](300, np.random.default_rng(15), is_light=is_light)
        found, _ = worlds["ratio"](bags, world, np.random.default_rng(16))

        assert len(bags) > 30
        assert found <= most


def test_without_the_bias_term_the_same_worlds_break_the_printed_risk(worlds: dict) -> None:
    """The comparison can fail: light parts on a scale whose windows allow for none pass more often than printed."""
    scale = Scale("II", Decimal("0.1"), Decimal("0.01"), Decimal(3000), repeatability_g=0.012)
    found = []
    for allowing in (scale, BENCH):
        record = worlds["UnitWeight"](part_number="P", mean_g=0.4, u_g=0.0002, piece_sd_g=0.0016, sample_pieces=200,
                                      source=worlds["WeightSource"].SAMPLED)  # fmt: skip
        part = worlds["estimate_of"](record)
        bags = counted_bags([40], part, allowing, tare_g=1.85, tare_u_g=0.03)
        if bags:
            one = worlds["Weighed"](record, allowing, bags[0])
            off = max(worlds["passes"](one, worlds["WORLDS"][2], offset, np.random.default_rng(1), 400)
                      for offset in (-1, 1))  # fmt: skip
            found.append(off / max(bags[0].risks.p_pass_one_short, bags[0].risks.p_pass_one_over))

    assert found[0] > 1.5
    assert all(one <= 1.5 for one in found[1:])
