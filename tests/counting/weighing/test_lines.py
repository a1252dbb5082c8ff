"""How a line is counted: which scale, how many bags, which lot, or by hand."""

import pytest

from fulfil.counting.count_lines import count_line
from fulfil.counting.lot_weights import weight_for_lot
from fulfil.records.part import UnitWeight, WeightSource
from fulfil.records.plan import CountMethod
from tests.counting.weighing.steps import SCREW, bench, part

# Planning


def test_the_coarsest_scale_that_holds_both_risks_is_taken():
    """40 screws go on the coarse scale; pieces below its 3 e go on the fine one."""
    light = UnitWeight(**SCREW.model_dump() | {"mean_g": 0.09, "u_g": 0.0001, "piece_sd_g": 0.0009})

    coarse = count_line(part("SCREW"), weight_for_lot([SCREW], "L1"), 40, bench())
    fine = count_line(part("SCREW"), weight_for_lot([light], "L1"), 40, bench())

    assert [bag.scale_code for bag in coarse] == ["BENCH"]
    assert [bag.scale_code for bag in fine] == ["FINE"]


@pytest.mark.parametrize("pieces", [1, 40, 94, 150, 300, 470])
def test_a_line_of_several_bags_keeps_the_line_s_risks(pieces):
    """Union bound over its bags: one piece off passes at most 0.1 %, a right bag goes back at most 0.5 %."""
    bags = count_line(part("SCREW"), weight_for_lot([SCREW], "L1"), pieces, bench())

    assert sum(bag.pieces for bag in bags) == pieces
    if bags[0].method is CountMethod.WEIGH:
        assert sum(max(bag.p_pass_one_short, bag.p_pass_one_over) for bag in bags) <= 0.001
        assert sum(bag.p_reject for bag in bags) <= 0.005


def test_volume_alone_may_ask_for_more_bags_than_the_scale():
    """2000 mm³ a piece: a bag holds 102, so 150 go into two bags although one could be counted by weight."""
    large = part("SCREW").model_copy(update={"bulk_volume_mm3": 2000.0})
    known = SCREW.model_copy(update={"u_g": 0.0001, "piece_sd_g": 0.001})

    bags = count_line(large, weight_for_lot([known], "L1"), 150, bench())

    assert [bag.pieces for bag in bags] == [75, 75]


def test_a_lot_that_nobody_sampled_is_weighed_if_the_spread_of_lots_allows():
    """Few pieces: by the last lot with its note; many: by hand, sample first, though the sampled lot is weighed."""
    few = count_line(part("SCREW"), weight_for_lot([SCREW], "L2"), 20, bench())
    many = count_line(part("SCREW"), weight_for_lot([SCREW], "L2"), 300, bench())

    assert few[0].method is CountMethod.WEIGH
    assert few[0].reason == "lot L2 not sampled: counted by lot L1, spread of lots added"
    assert few[0].p_reject > count_line(part("SCREW"), weight_for_lot([SCREW], "L1"), 20, bench())[0].p_reject
    assert many[0].method is CountMethod.HAND
    assert many[0].reason == "sample first: new lot, lot L2 not sampled"
    assert count_line(part("SCREW"), weight_for_lot([SCREW], "L1"), 300, bench())[0].method is CountMethod.WEIGH


def test_the_spread_of_lots_is_added_once():
    """u² = u² + σ_L² (1 + 1/k), one-way random effects, k = 1 lot and half a percent by default."""
    grown = weight_for_lot([SCREW], "L2")

    assert grown.record.u_g == pytest.approx((SCREW.u_g**2 + 2 * (0.005 * 0.9) ** 2) ** 0.5)


def test_a_part_never_sampled_is_counted_by_hand():
    """A handbook value plans the bag and never passes it."""
    nut = UnitWeight(part_number="NUT", mean_g=1.2, u_g=0.06, piece_sd_g=0.012, sample_pieces=0,
                     source=WeightSource.HANDBOOK)  # fmt: skip

    assert count_line(part("NUT"), weight_for_lot([nut], ""), 5, bench())[0].reason == (
        "sample first: unit weight from handbook"
    )
    assert count_line(part("SPRING"), None, 5, bench())[0].reason == "sample first: no unit weight"


def test_the_reason_names_the_sample_that_would_do():
    """90 screws of one percent, perfectly weighed: N + N²/n ≤ 1/(Z c)² = 287.5 (Z = 5.897) first holds at 42.

    Here the s.d. is known to 10 % (50 degrees of freedom) and the scale may be off: 53.
    """
    poor = SCREW.model_copy(update={"u_g": 0.02, "sample_pieces": 2})

    reason = count_line(part("SCREW"), weight_for_lot([poor], "L1"), 90, bench())[0].reason

    assert reason == "one piece more or less can't be seen on a scale here; a sample of 53 pieces would do"
