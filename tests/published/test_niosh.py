"""The revised NIOSH lifting equation against its published examples.

Source: DHHS (NIOSH) Publication 94-110, revised 9/2021, doi 10.26616/NIOSHPUB94110revised092021; the examples'
figures are quoted from memory and were reproduced by hand from the formula.
"""

import pytest

from fulfil.standards import niosh


@pytest.mark.parametrize(
    ("multipliers", "rwl_lb", "index"),
    [((0.44, 0.89, 0.86, 1, 1, 0.95), 16.3, 2.7), ((0.44, 0.75, 0.86, 1, 1, 1), 14.5, 3.0)],
)
def test_example_1_of_the_publication(multipliers, rwl_lb, index):
    """44 lb at origin and destination, by the rounded multipliers of the worksheet and a load constant of 51 lb."""
    limit = niosh.WeightLimit(*multipliers)
    kg_per_worksheet_lb = niosh.LOAD_CONSTANT_KG / 51

    assert limit.rwl_kg / kg_per_worksheet_lb == pytest.approx(rwl_lb, abs=0.05)
    assert limit.lifting_index(44 * kg_per_worksheet_lb) == pytest.approx(index, abs=0.05)


def test_the_multipliers_of_example_1_follow_from_its_heights():
    """From 15 in up to 63 in, 48 in of travel, a box without handles (heights inferred from the multipliers)."""
    origin = niosh.recommended_weight_limit(h_cm=58, v_cm=15 * 2.54, d_cm=48 * 2.54, hours=1, coupling="fair")
    destination = niosh.recommended_weight_limit(h_cm=58, v_cm=63 * 2.54, d_cm=48 * 2.54, hours=1, coupling="fair")

    assert (origin.vm, origin.dm, origin.am, origin.fm, origin.cm) == pytest.approx((0.89, 0.86, 1, 1, 0.95), abs=0.01)
    assert (destination.vm, destination.cm) == pytest.approx((0.75, 1.0), abs=0.01)


def test_an_exercise_worked_out_by_hand():
    """12 kg, H 25, V 55, D 95 cm, FM 0.88, fair coupling: 15.7 kg; 12 / 15.7 = 0.76."""
    limit = niosh.recommended_weight_limit(h_cm=25, v_cm=55, d_cm=95, lifts_per_min=3, hours=1, coupling="fair")

    assert limit.rwl_kg == pytest.approx(15.7, abs=0.05)
    assert limit.lifting_index(12) == pytest.approx(0.76, abs=0.01)
