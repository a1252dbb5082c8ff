"""NIOSH lifting equation: never above 23 kg, worse conditions never allow more, and no load is cleared."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import QuantityRefused, UnknownRefused
from fulfil.standards import niosh

LIFT = {
    "h_cm": st.floats(0, 80),
    "v_cm": st.floats(0, 190),
    "d_cm": st.floats(0, 190),
    "a_deg": st.floats(0, 150),
    "lifts_per_min": st.floats(0, 20),
    "hours": st.sampled_from([1, 2, 8]),
    "coupling": st.sampled_from(niosh.COUPLINGS),
}


@given(st.fixed_dictionaries(LIFT))
def test_every_multiplier_lies_between_0_and_1(lift):
    """So the limit never exceeds the load constant of 23 kg."""
    limit = niosh.recommended_weight_limit(**lift)

    assert all(0 <= m <= 1 for m in (limit.hm, limit.vm, limit.dm, limit.am, limit.fm, limit.cm))
    assert 0 <= limit.rwl_kg <= 23


@given(st.fixed_dictionaries(LIFT), st.sampled_from(["h_cm", "d_cm", "a_deg", "lifts_per_min"]), st.floats(0, 30))
def test_more_reach_travel_twist_or_pace_never_allows_more(lift, measure, more):
    """Each of the four only makes a lift harder."""
    harder = {**lift, measure: lift[measure] + more}

    assert niosh.recommended_weight_limit(**harder).rwl_kg <= niosh.recommended_weight_limit(**lift).rwl_kg + 1e-9


@given(st.fixed_dictionaries(LIFT))
def test_a_longer_shift_or_a_poorer_grip_never_allows_more(lift):
    """1, 2, 8 hours; good, fair, poor."""
    by_hours = [niosh.recommended_weight_limit(**{**lift, "hours": hours}).rwl_kg for hours in (1, 2, 8)]
    by_grip = [niosh.recommended_weight_limit(**{**lift, "coupling": grip}).rwl_kg for grip in niosh.COUPLINGS]

    assert by_hours == sorted(by_hours, reverse=True)
    assert by_grip == sorted(by_grip, reverse=True)


def test_the_best_conditions_allow_the_load_constant():
    """H 25, V 75, D up to 25 cm, no twist, seldom, good grip."""
    assert niosh.recommended_weight_limit(h_cm=25, v_cm=75, d_cm=25, hours=1, coupling="good").rwl_kg == 23


def test_between_two_rows_of_the_frequency_table_the_busier_counts():
    """2.5 lifts a minute are taken as 3; more than 15 as not allowed."""
    half_way = niosh.recommended_weight_limit(h_cm=25, v_cm=75, d_cm=25, lifts_per_min=2.5, hours=1)
    too_many = niosh.recommended_weight_limit(h_cm=25, v_cm=75, d_cm=25, lifts_per_min=15.1, hours=1)

    assert half_way.fm == 0.88
    assert too_many.fm == 0
    assert too_many.lifting_index(1) == float("inf")


@pytest.mark.parametrize("wrong", [{"h_cm": -1}, {"hours": 4}, {"a_deg": -5}])
def test_impossible_lifts_are_refused(wrong):
    """Lengths and angles from 0; durations 1, 2, 8 hours."""
    with pytest.raises(QuantityRefused):
        niosh.recommended_weight_limit(**{"h_cm": 30, "v_cm": 75, "d_cm": 25, **wrong})


def test_an_unknown_coupling_or_a_load_of_nothing_is_refused():
    """Named, not guessed."""
    with pytest.raises(UnknownRefused, match="one of good, fair, poor"):
        niosh.recommended_weight_limit(h_cm=30, v_cm=75, d_cm=25, coupling="excellent")
    with pytest.raises(QuantityRefused):
        niosh.recommended_weight_limit(h_cm=30, v_cm=75, d_cm=25).lifting_index(0)


def test_cautions_name_the_limit_that_was_passed():
    """23 kg anywhere, and the shelf's own limit."""
    limit = niosh.recommended_weight_limit(h_cm=40, v_cm=20, d_cm=60)

    assert niosh.caution(23.5, limit).startswith("HEAVY: 23.5 kg is over 23 kg;")
    assert niosh.caution(10, limit).startswith("HEAVY: 10 kg is over 8.2 kg for this shelf;")
    assert niosh.caution(8, limit) == ""
    assert niosh.caution(23) == ""
