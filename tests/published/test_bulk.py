"""Bulk volume and bag capacity against published and worked-out values.

Sources: J. G. Berryman, Phys. Rev. A 27, 1053 (1983): random close packing 0.64 ± 0.02; A. C. Robin, "Paper bag
problem" (2004), quoted from memory and reproduced: 0.19051 for the unit square.
"""

import pytest

from fulfil.errors import QuantityRefused
from fulfil.standards import bulk, fasteners


def test_the_unit_square_bag_holds_what_the_formula_gives():
    """Below the numerical bound of about 0.2055 (quoted from memory)."""
    assert bulk.flat_bag_mm3(1, 1) == pytest.approx(0.19051, abs=5e-6)


@pytest.mark.parametrize(("width_mm", "height_mm", "cm3"), [(60, 80, 62.4), (100, 150, 340)])
def test_usual_bags_hold_what_was_worked_out_by_hand(width_mm, height_mm, cm3):
    """60 × 80 and 100 × 150 mm."""
    assert bulk.flat_bag_mm3(width_mm, height_mm) / 1000 == pytest.approx(cm3, rel=2e-3)


def test_a_heap_of_balls_has_the_random_close_packing_fraction():
    """1000 steel balls of 5 mm: their own volume is 0.64 of the heap's."""
    ball_g = fasteners.ball_g(5)
    heap_mm3 = bulk.bulk_volume_mm3(1000, ball_g, density_g_per_cm3=7.85, packing_fraction=bulk.RANDOM_CLOSE_PACKING)

    assert 1000 * 65.4498 / heap_mm3 == pytest.approx(0.64, abs=1e-5)


@pytest.mark.parametrize(
    "wrong", [{"pieces": 0}, {"unit_weight_g": 0}, {"density_g_per_cm3": -1}, {"packing_fraction": 1.1}]
)
def test_impossible_heaps_are_refused(wrong):
    """Nothing weighs nothing; nothing packs above 1."""
    heap = {"pieces": 1, "unit_weight_g": 1.0, "density_g_per_cm3": 7.85, "packing_fraction": 0.5, **wrong}
    with pytest.raises(QuantityRefused):
        bulk.bulk_volume_mm3(heap.pop("pieces"), heap.pop("unit_weight_g"), **heap)


def test_impossible_bags_are_refused():
    """Two sides above zero; a share above 0 up to 1."""
    with pytest.raises(QuantityRefused):
        bulk.flat_bag_mm3(0, 10)
    with pytest.raises(QuantityRefused):
        bulk.planned_bag_mm3(10, 10, closing_share=0)
