"""The check bench as a machine: what each line means, and that refused lines change nothing."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.checking.saying import Sound
from fulfil.checking.station import CheckState, advance, read_entry
from fulfil.checking.wants import (
    BagFacts,
    CheckBag,
    LetGo,
    NotePicker,
    OrderFacts,
    PassUnchecked,
    SignIn,
    SkipBag,
    TakeBag,
    TakeWalk,
    UndoCheck,
    Unknown,
    WalkFacts,
)

BAG = BagFacts(
    code="B-1", order_number="A-1", walk_number="W-1", position=3, part_number="SCR-0016", pieces=50,
    looks="cap screw · M3 x 16 · zinc", bin_code="A04-L-07-2", is_weighed=True, scale_code="BENCH-1",
    d_g=Decimal("0.01"), lower_g=Decimal("46.67"), target_g=Decimal("47.10"), upper_g=Decimal("47.53"),
)  # fmt: skip
BY_HAND = replace(BAG, is_weighed=False, scale_code="", d_g=None, lower_g=None, target_g=None, upper_g=None)
IN_HAND = CheckState(person="ann", walk_number="W-1", order_number="A-1", bag=BAG)
FREE = CheckState(person="ann")


def step(state, line, found=None):
    """One line."""
    return advance(state, read_entry(line), found)


def test_a_scanned_bag_is_taken_with_its_order():
    """Nothing is in hand: the bag comes into the hand, its order is taken."""
    taken = step(FREE, "B-1", BAG)

    assert taken.want == TakeBag("A-1", "B-1")
    assert (taken.state.order_number, taken.state.bag) == ("A-1", BAG)
    assert taken.say.headline == "Bag B-1 in hand. Weigh it on BENCH-1."


def test_a_weight_inside_the_window_asks_for_the_verdict():
    """Digits as the scale shows them, with or without the unit."""
    for line in ("47.10", "47.10 g"):
        assert step(IN_HAND, line).want == CheckBag("B-1", gross_g=Decimal("47.10"))


def test_a_count_of_bags_is_no_weight():
    """It belongs to the packing bench: nothing is judged by it."""
    for line in ("47.10 3 bags", "3 bags"):
        counted = step(IN_HAND, line)
        assert (counted.want, counted.say.sound) == (None, Sound.REFUSED)
        assert "counted at the packing bench" in counted.say.headline


def test_a_bag_with_a_second_look_waits_for_weight_and_look_in_any_order():
    """Either may come first; the verdict is asked for when both are there."""
    state = replace(IN_HAND, bag=replace(BAG, second_look=("new lot, not sampled yet",)))

    weighed = step(state, "47.10")
    looked = step(state, "ok")

    assert (weighed.want, weighed.say.headline) == (None, "Look: 'ok' or 'no'.")
    assert step(weighed.state, "ok").want == CheckBag("B-1", gross_g=Decimal("47.10"))
    assert looked.want is None
    assert step(looked.state, "47.10").want == CheckBag("B-1", gross_g=Decimal("47.10"))


def test_a_weight_outside_the_window_doesn_t_wait_for_the_look():
    """The bag goes back whatever it looks like."""
    state = replace(IN_HAND, bag=replace(BAG, second_look=("high value",)))

    assert step(state, "46.00").want == CheckBag("B-1", gross_g=Decimal("46.00"))


def test_a_bag_counted_by_hand_takes_a_plain_number_as_the_count():
    """No weight proves it, so a number is pieces; a mass with its unit is noted for its package."""
    state = replace(IN_HAND, bag=BY_HAND)

    assert step(state, "50").want == CheckBag("B-1", counted=50)
    assert step(state, "49").want == CheckBag("B-1", counted=49)
    noted = step(state, "47.10 g")
    assert (noted.want, noted.say.headline) == (None, "Type your own count.")
    assert step(noted.state, "50").want == CheckBag("B-1", gross_g=Decimal("47.10"), counted=50)


def test_a_part_never_weighed_needs_its_weight_beside_the_count():
    """Its package could not be expected without it."""
    state = replace(IN_HAND, bag=replace(BY_HAND, needs_gross=True))

    counted = step(state, "50")

    assert counted.want is None
    assert counted.say.headline == "Weigh it too (with 'g')."
    assert step(counted.state, "47.1 g").want == CheckBag("B-1", gross_g=Decimal("47.1"), counted=50)


def test_the_hand_count_card_turns_the_next_number_into_a_count():
    """Also for a bag that could be weighed."""
    counting = step(IN_HAND, "hand count")

    assert step(counting.state, "50").want == CheckBag("B-1", counted=50)


def test_what_the_eye_sees_is_a_verdict_of_its_own():
    """With what was seen, or damaged."""
    assert step(IN_HAND, "no black, not zinc").want == CheckBag("B-1", looks_wrong="black, not zinc")
    assert step(IN_HAND, "damaged").want == CheckBag("B-1", looks_wrong="damaged pieces", is_damaged=True)


def test_undo_puts_down_the_bag_in_hand_else_takes_the_last_verdict_back():
    """One step at a time; nothing to undo is said."""
    last = replace(FREE, last_bag_code="B-0")

    assert step(IN_HAND, "undo").want == SkipBag("B-1")
    assert step(last, "undo").want == UndoCheck("B-0")
    assert step(step(last, "undo").state, "undo").say.sound is Sound.REFUSED


def test_orders_walks_and_badges():
    """A position or an order takes the order; a walk tells which cart; a badge signs in, or names the picker."""
    order = OrderFacts("A-1", 3, ("B-1",))

    assert step(FREE, "A-1", order).want == TakeBag("A-1")
    assert step(FREE, "pos 3", order).want == TakeBag("A-1")
    assert step(FREE, "W-1", WalkFacts("W-1", 3, 12)).want == TakeWalk("W-1")
    assert step(FREE, "@ben").want == SignIn("ben")
    naming = step(IN_HAND, "picker")
    assert step(naming.state, "@carla").want == NotePicker("W-1", "carla")
    assert step(naming.state, "@ann").say.headline == "ann checks here: the checker is not the picker."
    assert step(replace(FREE, order_number="A-1"), "let go").want == LetGo("A-1")


def test_a_bag_of_the_sampling_plan_passes_with_its_statement():
    """It never comes into the hand."""
    passed = step(FREE, "B-1", replace(BAG, passes_by="1 in 5 after 84"))

    assert (passed.want, passed.state.bag) == (PassUnchecked("A-1", "B-1", "1 in 5 after 84"), None)


REFUSED = {
    "another bag while one is in hand": (IN_HAND, "B-2", replace(BAG, code="B-2")),
    "another order's bag": (replace(FREE, order_number="A-1"), "B-9", replace(BAG, code="B-9", order_number="A-9")),
    "another order": (replace(FREE, order_number="A-1"), "A-9", OrderFacts("A-9", 4, ("B-9",))),
    "a bag that stands against": (FREE, "B-1", replace(BAG, stands_against="Bag B-1 has passed already.")),
    "an unknown code": (FREE, "nonsense", Unknown("nonsense")),
    "half a scan": (FREE, "B26030", Unknown("B26030", half_of="B2603020001")),
    "a walk while an order is in hand": (replace(FREE, order_number="A-1"), "W-2", WalkFacts("W-2", 1, 1)),
    "a weight without a bag": (FREE, "47.10", None),
    "a weight with too few digits": (IN_HAND, "47.1", None),
    "a negative weight": (IN_HAND, "-0.50 g", None),
    "half a scan taken for a weight": (IN_HAND, "26030", None),
    "half a scan taken for a count": (replace(IN_HAND, bag=BY_HAND), "26030", None),
    "a broken count": (replace(IN_HAND, bag=BY_HAND), "49.5", None),
    "a command without a bag": (FREE, "damaged", None),
    "a packing command": (IN_HAND, "reopen it", None),
    "let go with a bag in hand": (IN_HAND, "let go", None),
    "a picker without a walk": (FREE, "picker", None),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_isn_t_expected_is_refused_and_changes_nothing(name):
    """The state is the same object's value, nothing is wanted, and the words are not empty."""
    state, line, found = REFUSED[name]

    refused = step(state, line, found)

    assert refused.state == state
    assert refused.want is None
    assert refused.say.sound is Sound.REFUSED
    assert refused.say.headline


def test_half_a_scan_names_its_whole():
    """The code of this walk that begins like it."""
    assert step(FREE, "B26030", Unknown("B26030", half_of="B2603020001")).say.lines == (
        "It may be half of B2603020001: scan again.",
    )


@given(st.text(max_size=30), st.sampled_from([FREE, IN_HAND, replace(IN_HAND, bag=BY_HAND)]))
def test_no_line_breaks_the_bench(line, state):
    """Whatever is typed, there is an answer; a refusal leaves the state as it was."""
    done = step(state, line, Unknown(line))

    assert (
        done.say.sound is not Sound.REFUSED or done.state == state or done.state == replace(state, names_picker=False)
    )


POURED = replace(
    BAG, pieces=400, scale_code="FINE", d_g=Decimal("0.001"), lower_g=Decimal("4.976"), target_g=Decimal("5.000"),
    upper_g=Decimal("5.024"), pours=4, how="Cup on.",
)  # fmt: skip


def test_a_bag_in_pours_is_asked_for_lot_by_lot_until_it_is_all_there():
    """Lots of any size; the verdict is asked for when they weigh what the bag should, to half a piece of 50 mg."""
    state = replace(IN_HAND, bag=POURED)
    first = step(state, "5.003")
    assert first.want is None
    assert "1 lot typed: tare, pour the next, or 0 when the bag is empty" in first.say.headline
    second = step(step(first.state, "9.950").state, "5.020")
    assert second.want is None
    last = step(second.state, "0.010 g")
    assert last.want == CheckBag("B-1", pours_g=tuple(map(Decimal, ("5.003", "9.950", "5.020", "0.010"))))


def test_an_empty_bag_that_lacks_pieces_is_ended_with_nought():
    """0 before anything was poured is no end; after two lots it is."""
    state = replace(IN_HAND, bag=POURED)
    assert "Nothing was poured yet" in step(state, "0.000").say.headline
    done = step(step(step(state, "5.003").state, "9.950").state, "0")
    assert done.want == CheckBag("B-1", pours_g=(Decimal("5.003"), Decimal("9.950")))


def test_a_second_look_is_still_asked_for_after_the_last_lot():
    """Then 'ok' brings the verdict, with the lots."""
    state = replace(IN_HAND, bag=replace(POURED, second_look=("new lot, not sampled yet",)))
    poured = step(state, "20.000")
    assert poured.want is None
    assert step(poured.state, "ok").want == CheckBag("B-1", pours_g=(Decimal("20.000"),))


def test_a_tared_bag_says_what_hands_do():
    """The window is net; the words stand under it."""
    shown = step(FREE, "B-1", replace(BAG, how="Empty cup on, TARE to 0, pour the bag in."))
    assert "Empty cup on, TARE to 0, pour the bag in." in shown.say.lines
