"""Reasons for a second look: each has its threshold, none is made up."""

from dataclasses import replace

import pytest

from fulfil.checking.second_look import LookFacts, LookRules, reasons_to_look

PLAIN = LookFacts(walks_of_picker=None, lot_is_new=False, near_look_alike="", value_minor=900, mistakes=0)


def test_a_plain_bag_has_no_reason():
    """Nothing known against it."""
    assert reasons_to_look(PLAIN, LookRules()) == ()


@pytest.mark.parametrize(
    ("fact", "reason"),
    [
        ({"walks_of_picker": 4}, "new picker (4 walks before)"),
        ({"lot_is_new": True}, "new lot, not sampled yet"),
        ({"near_look_alike": "SCR-0017"}, "look-alike close by: SCR-0017"),
        ({"value_minor": 10_000}, "high value"),
        ({"mistakes": 1}, "part or bin sent back 1 time before"),
        ({"mistakes": 3}, "part or bin sent back 3 times before"),
        ({"was_sent_back": True}, "sent back before"),
    ],
)
def test_each_reason_is_said(fact, reason):
    """In the words of the checklist."""
    assert reasons_to_look(replace(PLAIN, **fact), LookRules()) == (reason,)


@pytest.mark.parametrize("fact", [{"walks_of_picker": 5}, {"value_minor": 9_999}])
def test_below_the_threshold_there_is_no_reason(fact):
    """Five walks are enough to be known; a cent below is below."""
    assert reasons_to_look(replace(PLAIN, **fact), LookRules()) == ()


def test_a_threshold_of_zero_turns_a_reason_off():
    """A shop of dear parts would look at everything."""
    rules = LookRules(new_picker_walks=0, high_value_minor=0, earlier_mistakes=0)

    assert reasons_to_look(replace(PLAIN, walks_of_picker=0, value_minor=10**9, mistakes=9), rules) == ()
