"""Boxes: few, small, and never over their limits."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import PlanRefused
from fulfil.planning.boxes.cartons import Packed, box_bags
from fulfil.records.tiny import BOX
from fulfil.standards.segregation import KEEP_APART

BIG = BOX.model_copy(update={"code": "box-9", "length_mm": 400, "width_mm": 300, "height_mm": 200,
                             "max_load_g": Decimal(10_000)})  # fmt: skip


def bag(code: str, volume: float, mass: float, longest: int = 20) -> Packed:
    """A packed bag of thin pieces."""
    return Packed(code, volume, mass, (longest, min(longest, 4), min(longest, 4)))


def test_the_smallest_box_that_holds_everything_is_taken():
    """70 000 mm³ and 200 g fit the small box, 600 000 mm³ need the big one."""
    assert box_bags([bag("a", 40_000, 120), bag("b", 30_000, 80)], [BIG, BOX]).boxes[0].box_type.code == "box-1"
    assert box_bags([bag("a", 600_000, 120)], [BIG, BOX]).boxes[0].box_type.code == "box-9"


def test_a_long_piece_needs_a_long_box():
    """A rod of 450 mm goes corner to corner over the floor of 400 × 300 mm (500 mm), not into 150 × 100 mm."""
    assert box_bags([bag("rod", 1000, 50, longest=450)], [BOX, BIG]).boxes[0].box_type.code == "box-9"


def test_the_heaviest_bag_lies_at_the_bottom():
    """Bags are listed heaviest first, ties by code."""
    boxed = box_bags([bag("light", 100, 5), bag("b", 100, 50), bag("a", 100, 50)], [BOX]).boxes

    assert boxed[0].bag_codes == ("a", "b", "light")


def test_a_service_limit_splits_an_order():
    """Three bags of 700 g, at most 1 550 g gross, a box of 40 ± 1 g: two boxes, as few as the bound allows."""
    bags = [bag(code, 1000, 700) for code in "abc"]

    plan = box_bags(bags, [BIG], most_gross_g=1550)

    assert (len(plan.boxes), plan.fewest, plan.is_proven) == (2, 2, True)


def test_a_bag_that_fits_no_box_is_refused():
    """The bag is named."""
    with pytest.raises(PlanRefused, match="Cannot box the bag 'x'"):
        box_bags([bag("x", 1e9, 10)], [BOX, BIG])


@given(
    st.lists(st.tuples(st.floats(1, 500_000), st.floats(1, 1900), st.integers(1, 170)), min_size=1, max_size=25),
)
def test_every_bag_is_boxed_once_and_no_box_is_over_its_limits(sizes):
    """Conservation, limits, and never fewer boxes than the bound."""
    bags = [bag(f"b{place:02}", *size) for place, size in enumerate(sizes)]

    plan = box_bags(bags, [BOX, BIG])
    boxed = plan.boxes

    assert sorted(code for one in boxed for code in one.bag_codes) == sorted(one.code for one in bags)
    by_code = {one.code: one for one in bags}
    for one in boxed:
        content = [by_code[code] for code in one.bag_codes]
        assert sum(item.volume_mm3 for item in content) <= one.box_type.usable_volume_mm3
        assert sum(item.mass_g for item in content) <= float(one.box_type.max_load_g)
        assert one.fill == pytest.approx(sum(item.volume_mm3 for item in content) / one.box_type.usable_volume_mm3)
    assert 1 <= plan.fewest <= len(boxed)


def test_goods_that_must_part_travel_apart():
    """Paint and batteries in one order: two packages, although one box would hold both; gloves go with either."""
    paint = Packed("paint", 1000, 100, (20, 20, 20), frozenset({"flammable"}))
    cells = Packed("cells", 1000, 100, (20, 20, 20), frozenset({"lithium-battery"}))
    pins = Packed("pins", 1000, 100, (20, 20, 20), frozenset({"sharp"}))

    plan = box_bags([paint, cells, pins], [BOX], keep_apart=KEEP_APART)

    assert [box.bag_codes for box in plan.boxes] == [("cells", "pins"), ("paint",)]
    assert (plan.fewest, plan.is_proven) == (2, True)


def test_box_and_cushioning_count_against_the_services_limit():
    """1 500 g of bags, a box of 40 ± 1 g, cushioning of 30 ± 4 g: 1 582.4 g with three s.d., too much for 1 582 g."""
    padded = BOX.model_copy(update={"cushioning_g": Decimal(30), "cushioning_sd_g": 4.0})
    bags = [bag("a", 100, 750), bag("b", 100, 750)]

    assert len(box_bags(bags, [padded], most_gross_g=1583).boxes) == 1
    assert len(box_bags(bags, [padded], most_gross_g=1582).boxes) == 2
