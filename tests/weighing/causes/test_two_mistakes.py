"""A foreign piece and two mistakes at once are named where nothing plainer fits, and hide nothing plainer."""

from typing import Any

import pytest

from fulfil.weighing.causes.diagnosis import BagPriors, Cause, Explanation, explain_bag
from fulfil.weighing.lookalike import LookAlikeIndex

INDEX = LookAlikeIndex(
    ["PIN-3x20", "BUSH-8", "GEAR-20"], [1.2, 5.35, 3.027], [0.001] * 3, [0.006] * 3,
    ["pin", "bush", "gear"], ["3×20", "8", "20"], ["plain"] * 3,
)  # fmt: skip
PINS: dict[str, Any] = {
    "part_number": "PIN-3x20", "pieces": 50, "unit_weight_g": 1.2, "unit_weight_u_g": 0.0005, "piece_sd_g": 0.006,
    "indication_u_g": 0.02, "tare_g": 2.1, "tare_sd_g": 0.02,
}  # fmt: skip
RIGHT_G = 50 * 1.2 + 2.1


def named(shift_g: float, **more: Any) -> Explanation:
    """The first explanation of a bag that is off by so much."""
    return next(e for e in explain_bag(RIGHT_G + shift_g, **PINS, **more) if e.cause is not Cause.CANNOT_TELL)


@pytest.mark.parametrize(("shift_g", "where"), [(5.35, "among the"), (5.35 - 1.2, "in place of one")])
def test_a_foreign_piece_is_named(shift_g: float, where: str) -> None:
    """One bush among the pins, or in place of one: neither four nor five pins more."""
    first = named(shift_g, catalogue=INDEX)
    assert (first.cause, first.subject) == (Cause.FOREIGN_PIECE, "BUSH-8")
    assert where in first.sentence
    assert first.sentence.endswith("Empty the bag, look at every piece.")


@pytest.mark.parametrize(
    ("shift_g", "says"),
    [
        (-1.2 + 2.1, "One piece short (49 of 50), and the bag's 2.10 g weren't tared off."),
        (-2.4 - 2.1, "Two pieces short (48 of 50), and the bag's 2.10 g were tared off twice."),
        (1.2 + 1.7, "One piece over (51 of 50), and it is a wide bag."),
    ],
)
def test_a_miscount_and_a_tare_slip_at_once(shift_g: float, says: str) -> None:
    """No single mistake of the list shifts so."""
    first = named(shift_g, other_bag_tares_g=[("wide", 3.8)])
    assert first.cause is Cause.TWO_MISTAKES
    assert first.sentence.startswith(says)


def test_another_part_and_a_piece_off() -> None:
    """49 gears in the place of 50 pins."""
    first = named(49 * 3.027 - 60.0, catalogue=INDEX)
    assert (first.cause, first.subject) == (Cause.TWO_MISTAKES, "GEAR-20")
    assert first.sentence.startswith("One piece short (49 of 50), and they are GEAR-20, not PIN-3x20.")


@pytest.mark.parametrize("shift_g", [-2.4, -1.2, 1.2, 2.4, 2.1, -2.1])
def test_a_single_mistake_stays_what_it_is(shift_g: float) -> None:
    """Ockham by Bayes: two rates multiply, so one mistake that fits goes before two."""
    assert named(shift_g, catalogue=INDEX).cause not in (Cause.TWO_MISTAKES, Cause.FOREIGN_PIECE)


def test_without_their_priors_neither_is_named() -> None:
    """A shop that never tares wrong and whose bins never mix."""
    never = BagPriors(foreign_piece=0.0, tare_forgotten=0.0, tare_twice=0.0, other_bag_type=0.0, look_alike=0.0)
    for shift_g in (5.35, 0.9):
        found = explain_bag(RIGHT_G + shift_g, **PINS, catalogue=INDEX, priors=never)
        assert not {e.cause for e in found} & {Cause.FOREIGN_PIECE, Cause.TWO_MISTAKES}
