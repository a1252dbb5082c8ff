"""Weigh, split or count by hand: the decision, its words and its risks."""

from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import QuantityRefused, WeighingRefused
from fulfil.weighing.limits import risks_of_limits
from fulfil.weighing.scale import Scale
from fulfil.weighing.split import counting_plan
from fulfil.weighing.unit_weight import UnitWeight, from_group, from_pieces, from_table

BENCH = Scale("III", Decimal("0.1"), Decimal("0.1"), Decimal(3000), repeatability_g=0.02)
SCREWS = from_group(45.0, 50, reading_u_g=0.03, relative_piece_sd=0.01)
BAG: dict[str, Any] = {"tare_g": 2.1, "tare_u_g": 0.02}


def test_a_bag_that_the_scale_resolves_is_weighed() -> None:
    """50 screws: one bag, printed limits on the display's steps, risks far below the stated ones."""
    plan = counting_plan(50, SCREWS, BENCH, **BAG)
    (bag,) = plan.bags

    assert (plan.method, plan.bag_pieces, plan.gives) == ("weigh", (50,), "")
    assert (bag.lower_g, bag.upper_g) == (Decimal("46.7"), Decimal("47.5"))
    assert plan.reason == (
        "50 pieces by weight: one piece off passes at most 0.1 %, a right bag is sent back at most 0.5 %."
    )
    assert plan.p_any_passes < 1e-5
    assert plan.p_any_rejected < 1e-5


def test_a_line_beyond_it_is_split() -> None:
    """150 screws: two bags of 75, each at half of both risks, so that the line keeps its own."""
    plan = counting_plan(150, SCREWS, BENCH, **BAG)

    assert (plan.method, plan.bag_pieces) == ("split", (75, 75))
    assert plan.reason.startswith("Split into 2 bags of 75 + 75: over all of them, one piece off passes at most 0.1 %")
    assert all(bag.risks.hold(0.0005, 0.0025) for bag in plan.bags)
    assert plan.p_any_passes <= 0.001
    assert plan.p_any_rejected <= 0.005


def test_beyond_all_splitting_it_is_counted_by_hand_and_says_which_risk_gives() -> None:
    """400 screws: no five bags hold the risks; both would break in one bag; no sample mends that."""
    plan = counting_plan(400, SCREWS, BENCH, **BAG)

    assert (plan.method, plan.bag_pieces, plan.bags, plan.gives) == ("hand", (400,), (), "both")
    assert plan.sample_pieces is None
    assert "one short or over would pass with 21 % and a right bag would be sent back with 45 %" in plan.reason


def test_one_risk_alone_can_give() -> None:
    """Just beyond the limit half a piece still keeps right bags but passes wrong ones too often."""
    plan = counting_plan(90, SCREWS, BENCH, k_max=1, **BAG)

    assert (plan.method, plan.gives) == ("hand", "risk_pass")


def test_a_larger_sample_is_named_when_it_helps() -> None:
    """120 screws on a sample of 20, not to be split: the plan says how many pieces to sample, and that works."""
    small = from_group(18.0, 20, reading_u_g=0.03, relative_piece_sd=0.01)
    plan = counting_plan(120, small, BENCH, k_max=1, **BAG)
    assert plan.sample_pieces is not None
    more = round(plan.sample_pieces * 1.3)
    enough = from_group(0.9 * more, more, reading_u_g=0.03, relative_piece_sd=0.01)

    assert plan.method == "hand"
    assert plan.reason.endswith(f"Count by hand; a sample of {plan.sample_pieces} pieces would do in one bag.")
    assert counting_plan(120, enough, BENCH, k_max=1, **BAG).method == "weigh"


@pytest.mark.parametrize(
    ("pieces", "part", "words"),
    [
        (50, from_table(0.9, "handbook"), "comes from handbook, not from pieces. Sample first: count 50 pieces"),
        (50, from_group(2.5, 50, reading_u_g=0.03, relative_piece_sd=0.01), "less than its interval of 0.1 g"),
        (50, from_group(12.5, 50, reading_u_g=0.03, relative_piece_sd=0.01), "less than 3 e = 0.3 g"),
        (2, SCREWS, "2 pieces weigh 1.8 g, less than the scale's minimum load of 2.0 g"),
        (20_000, SCREWS, "20000 pieces weigh 18000 g, too much for 5 bags on a scale of 3000 g"),
    ],
)
def test_what_is_counted_by_hand_anyway(pieces: int, part: UnitWeight, words: str) -> None:
    """Tables, light pieces, light bags and heavy lines: by hand, with the reason and the remedy."""
    plan = counting_plan(pieces, part, BENCH, **BAG)

    assert (plan.method, plan.bag_pieces, plan.bags) == ("hand", (pieces,), ())
    assert words in plan.reason


def test_a_line_too_heavy_for_one_bag_is_split_by_capacity() -> None:
    """40 gears of 100 g on a 3 kg scale: resolvable, but two bags."""
    gears = from_group(5000.0, 50, reading_u_g=0.1, relative_piece_sd=0.002)

    assert counting_plan(40, gears, BENCH, **BAG).bag_pieces == (20, 20)


def test_a_scatter_from_few_pieces_counts_fewer() -> None:
    """σ from five single pieces is widened before the plan is made."""
    singles = from_pieces([0.900, 0.909, 0.891, 0.905, 0.895], reading_u_g=0.0005)
    unsure = from_group(45.0, 50, reading_u_g=0.03, relative_piece_sd=singles)
    known = from_group(45.0, 50, reading_u_g=0.03, relative_piece_sd=unsure.relative_piece_sd)

    assert counting_plan(60, known, BENCH, **BAG).method == "weigh"
    assert counting_plan(60, unsure, BENCH, **BAG).method != "weigh"


@given(
    pieces=st.integers(1, 1_200),
    unit=st.floats(0.31, 40),
    c=st.floats(0.001, 0.05),
    sample=st.integers(10, 200),
    k_max=st.integers(1, 8),
)
def test_bags_add_up_and_printed_risks_hold(pieces: int, unit: float, c: float, sample: int, k_max: int) -> None:
    """Pieces are conserved, bags differ by at most one, the union of the printed risks is at most the stated ones."""
    part = from_group(unit * sample, sample, reading_u_g=0.03, relative_piece_sd=c)
    plan = counting_plan(pieces, part, BENCH, k_max=k_max, **BAG)

    assert sum(plan.bag_pieces) == pieces
    assert len(plan.bag_pieces) <= k_max
    assert max(plan.bag_pieces) - min(plan.bag_pieces) <= 1
    assert (plan.method == "hand") == (not plan.bags)
    assert plan.p_any_passes <= 0.001
    assert plan.p_any_rejected <= 0.005
    for bag in plan.bags:
        again = risks_of_limits(
            bag.pieces, bag.lower_g, bag.upper_g, unit_weight_g=part.mean_g, unit_weight_u_g=part.u_g,
            piece_sd_g=part.piece_sd_g, indication_u_g=BENCH.indication_u_g(bag.window.target_g), **BAG,
            d_g=BENCH.d_g, averaged_over="own sample",
        )  # fmt: skip
        assert again.p_pass_one_over == pytest.approx(bag.risks.p_pass_one_over, rel=1e-6, abs=1e-15)


def test_plans_are_the_same_every_time() -> None:
    """The same input gives the same plan."""
    assert counting_plan(150, SCREWS, BENCH, **BAG) == counting_plan(150, SCREWS, BENCH, **BAG)


def test_printed_risks_are_the_risks_of_a_real_display() -> None:
    """Simulated: 75-piece bags at printed limits, display rounding, unit weight about the sample's; 4 std errors."""
    plan = counting_plan(150, SCREWS, BENCH, **BAG)
    bag, bags = plan.bags[0], 1_000_000
    rng = np.random.default_rng(21)
    for offset, stated in ((0, 1 - bag.risks.p_reject), (1, bag.risks.p_pass_one_over)):
        unit = rng.normal(SCREWS.mean_g, SCREWS.u_g, bags)
        pieces = 75 + offset
        gross = pieces * unit + rng.normal(0, SCREWS.piece_sd_g * pieces**0.5, bags) + rng.normal(2.1, 0.02, bags)
        shown = np.rint((gross + rng.normal(0, 0.02, bags)) * 10)
        share = np.mean((shown >= int(bag.lower_g * 10)) & (shown <= int(bag.upper_g * 10)))

        assert share == pytest.approx(stated, abs=4 * (stated * (1 - stated) / bags) ** 0.5)


def test_wrong_use_is_refused() -> None:
    """No bags of nothing, no 0 bags, no negative tare, no risk of 1."""
    with pytest.raises(QuantityRefused, match="Cannot count pieces '0'"):
        counting_plan(0, SCREWS, BENCH)
    with pytest.raises(QuantityRefused, match="Cannot split into bags, at most '0'"):
        counting_plan(50, SCREWS, BENCH, k_max=0)
    with pytest.raises(WeighingRefused, match=r"Cannot use tare '-1.0 g'"):
        counting_plan(50, SCREWS, BENCH, tare_g=-1)
    with pytest.raises(WeighingRefused, match=r"Cannot use risk_pass '1.0'"):
        counting_plan(50, SCREWS, BENCH, risk_pass=1.0)
