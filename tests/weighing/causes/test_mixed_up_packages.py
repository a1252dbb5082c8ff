"""Packages where things got among each other: a bag of another order, another box, twice the filling, two bags."""

import pytest

from fulfil.errors import WeighingRefused
from fulfil.weighing.causes.diagnosis import Cause, PackagePriors, PackedBag, explain_package
from fulfil.weighing.causes.ranking import Explanation

PRIORS = PackagePriors(tare_forgotten=0.0, tare_twice=0.0, lot_shift=0.0)
MASSES = {"B-1": 12.0, "B-2": 31.0, "B-3": 57.0}
PACKING_G, FILLING_G = 58.0, 12.0


def explained(off_g: float, *, left: float = 0.002) -> tuple[Explanation, ...]:
    """A package of three bags that is off by so much; two bags of other orders and one larger box were about."""
    bags = [PackedBag(code, f"P-{code}", 10, (mass - 0.6) / 10, 0.0, 0.0, 0.6, 0.02, left)
            for code, mass in MASSES.items()]  # fmt: skip
    return explain_package(
        sum(MASSES.values()) + PACKING_G + off_g, bags, packing_g=PACKING_G, packing_sd_g=0.5, indication_u_g=0.3,
        filling_g=FILLING_G, near_bags=[("N-1", 20.0), ("N-2", 75.5)], other_boxes_g=[("BOX-2", 112.0)], priors=PRIORS,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("off_g", "cause", "subject"),
    [
        (-31.0, Cause.BAG_MISSING, "B-2"),
        (75.5 - 57.0, Cause.BAG_SWAPPED, "B-3"),
        (-12.0 - 57.0, Cause.TWO_BAGS_MISSING, "B-1"),
        (112.0 - 58.0, Cause.OTHER_BOX, "BOX-2"),
    ],
)
def test_what_happened_is_named_first(off_g: float, cause: Cause, subject: str) -> None:
    """Shifts by hand: no other hypothesis lies within three standard deviations of them."""
    first = next(one for one in explained(off_g) if one.cause is not Cause.CANNOT_TELL)
    assert (first.cause, first.subject) == (cause, subject)


def test_the_sentence_says_which_bag_of_which_order() -> None:
    """N-2 lies in it in place of B-3."""
    first = explained(75.5 - 57.0)[0]
    assert first.sentence == "Bag N-2 of another order may be in it, not B-3. Scan each bag."


def test_twice_the_filling_is_thought_of() -> None:
    """12 g more is a second B-1 as well as twice the filling: both are named, and that weight can't tell them apart."""
    causes = [one.cause for one in explained(12.0)]
    assert causes[0] is Cause.CANNOT_TELL
    assert {Cause.PACKING_DOUBLED, Cause.BAG_DOUBLED} <= set(causes)


def test_what_a_bags_own_weighing_ruled_out_is_no_longer_likely() -> None:
    """One piece of B-1 short, 1.14 g: 0.003 a bag before its check, five hundred times less after it."""
    before = {one.cause: one.probability for one in explained(-1.14, left=1.0)}
    after = {one.cause: one.probability for one in explained(-1.14)}
    assert before[Cause.ONE_SHORT] > 0.005
    assert Cause.ONE_SHORT not in after


def test_a_share_below_zero_is_refused() -> None:
    """In one sentence."""
    with pytest.raises(WeighingRefused, match="share of miscounts"):
        PackedBag("B", "P", 1, 1.0, 0.0, 0.0, 0.6, 0.02, -0.1)
