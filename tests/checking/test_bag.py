"""Verdicts on bags: inside the window passes, anything else goes back, the third time it stops."""

from decimal import Decimal

import pytest

from fulfil.checking.bag import judge_hand_count, judge_look, judge_weight
from fulfil.records.weighing import Verdict

LOWER, UPPER = Decimal("17.95"), Decimal("18.22")


@pytest.mark.parametrize("shown", ["17.95", "18.10", "18.22"])
def test_an_indication_inside_the_window_passes_limits_included(shown):
    """The acceptance interval is closed (JCGM 106:2012, 3.3.9)."""
    assert judge_weight(Decimal(shown), LOWER, UPPER, pieces=50, checks_before=0).verdict is Verdict.PASSED


@pytest.mark.parametrize(("shown", "side"), [("17.94", "below"), ("18.23", "above")])
def test_one_scale_interval_outside_is_outside(shown, side):
    """No rounding in anyone's favour; the sentence says which side."""
    verdict = judge_weight(Decimal(shown), LOWER, UPPER, pieces=50, checks_before=0)

    assert verdict.verdict is Verdict.RECOUNT
    assert verdict.reason == f"weighs {shown} g, {side} the window 17.95 to 18.22 g for 50 pieces"


@pytest.mark.parametrize(("shown", "is_empty"), [("0.00", True), ("0.62", True), ("0.79", True), ("0.80", False)])
def test_an_empty_bag_on_the_scale_is_called_one(shown, is_empty):
    """Its tare is 0.62 g; a piece weighs (17.95 - 0.62) / 50 = 0.347 g, so below 0.793 g not half of one is in it."""
    verdict = judge_weight(Decimal(shown), LOWER, UPPER, pieces=50, checks_before=0, tare_g=Decimal("0.62"))

    window = "below the window 17.95 to 18.22 g for 50 pieces"
    empty = "no more than the empty bag: are all its pieces on the scale? "
    assert verdict.verdict is Verdict.RECOUNT
    assert verdict.reason == f"weighs {shown} g, {empty if is_empty else ''}{window}".replace(
        "? below", "? It is below"
    )


def test_the_third_failed_check_stops_the_bag():
    """Twice sent back, the third time a person decides."""
    verdicts = [judge_weight(Decimal(20), LOWER, UPPER, pieces=50, checks_before=before).verdict for before in range(3)]

    assert verdicts == [Verdict.RECOUNT, Verdict.RECOUNT, Verdict.STOP]


def test_a_hand_count_says_how_many_are_off():
    """49 of 50 is 1 short, 52 is 2 more."""
    assert judge_hand_count(50, pieces=50, checks_before=0).verdict is Verdict.PASSED
    assert judge_hand_count(49, pieces=50, checks_before=0).reason == "counted by hand: 49 pieces, 1 short of 50"
    assert judge_hand_count(52, pieces=50, checks_before=0).reason == "counted by hand: 52 pieces, 2 more than 50"


def test_what_the_eye_sees_goes_back_whatever_the_weight():
    """A wrong finish is never passed."""
    verdict = judge_look("black, not zinc", checks_before=0)

    assert (verdict.verdict, verdict.reason) == (Verdict.RECOUNT, "looks wrong: black, not zinc")
