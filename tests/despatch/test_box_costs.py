"""Boxes of an order by price: against all packings tried one by one, and against prices worked out by hand."""

from datetime import date
from decimal import Decimal
from itertools import permutations
from math import ceil

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fulfil.despatch.box_costs import NO_PRICE_MINOR, cost_by
from fulfil.planning.boxes.cartons import Packed, box_bags
from fulfil.records.despatch.tariff import Price, Zone
from fulfil.records.equipment import BoxType
from fulfil.records.settings import Settings
from fulfil.records.tiny import ORDER, SERVICE
from fulfil.shipping.services import Tariffs

DAY = date(2026, 3, 2)


def box(code: str, inside: tuple[int, int, int], tare: int, load: int, price: int, currency: str = "EUR") -> BoxType:
    """A box type without tolerances, so that its limits can be worked out in the head."""
    length, width, height = inside
    return BoxType(code=code, length_mm=length, width_mm=width, height_mm=height, tare_g=Decimal(tare), tare_sd_g=0,
                   max_load_g=Decimal(load), fill_fraction=0.6, price_minor=price, currency=currency)  # fmt: skip


FLAT = box("FLAT", (240, 170, 25), 20, 900, 30)
CUBE = box("CUBE", (130, 100, 90), 50, 2000, 85)
CHEST = box("CHEST", (300, 200, 150), 210, 9000, 60)
BOXES = (FLAT, CUBE, CHEST)
STEPS = ((500, 510), (1000, 740), (2000, 980), (5000, 1730))
TARIFFS = Tariffs(
    [Zone(service_code="post", country="*", zone="w")],
    [Price(service_code="post", valid_from=date(2026, 1, 1), zone="w", up_to_g=most, price_minor=minor, currency="EUR")
     for most, minor in STEPS],
)  # fmt: skip
LIGHT = SERVICE.model_copy(update={"divisor_cm3_per_kg": 5000})


def cost(boxes=BOXES, *, tariffs=TARIFFS, work=0, currency="EUR"):
    """The cost function of an order with boxes."""
    shop = Settings(currency=currency, package_work_minor=work)
    return cost_by(tariffs, LIGHT, ORDER, boxes, (), shop, as_of=DAY)


def by_hand(kind: BoxType, load_g: float, work: int) -> int:
    """What a package costs: the larger of gross and volume over 5000 cm³/kg, its step, the box, the work."""
    gross_g = ceil(float(kind.tare_g) + load_g)
    volume_g = ceil(kind.length_mm * kind.width_mm * kind.height_mm / 5000)
    fitting = [minor for most, minor in STEPS if max(gross_g, volume_g) <= most]
    return (fitting[0] if fitting else NO_PRICE_MINOR) + kind.price_minor + work


def takes(kind: BoxType, bags: tuple[Packed, ...]) -> bool:
    """Volume, load, and each piece in some turn; none of those here lies in a box from corner to corner only."""
    inside = (kind.length_mm, kind.width_mm, kind.height_mm)
    if sum(ceil(one.volume_mm3) for one in bags) > int(inside[0] * inside[1] * inside[2] * 0.6):
        return False
    if sum(one.mass_g for one in bags) > float(kind.max_load_g):
        return False
    turned = [any(all(a <= b for a, b in zip(way, inside, strict=True)) for way in permutations(one.sides_mm))
              for one in bags]  # fmt: skip
    # Pieces thicker than half of the lowest side stand beside each other: the smallest footprint that each can have.
    floor = 0
    for one in bags:
        thin = min(one.sides_mm)
        if 2 * thin > min(inside):
            standing = [a * b for c, a, b in permutations(one.sides_mm) if c <= min(inside)]
            floor += min(standing, default=10**9)
    low, middle, long = sorted(inside)
    return all(turned) and floor <= middle * long and low > 0


def partitions(items):
    """All ways to part a list into groups."""
    if not items:
        yield []
        return
    first, *rest = items
    for groups in partitions(rest):
        for i, group in enumerate(groups):
            yield [*groups[:i], (first, *group), *groups[i + 1 :]]
        yield [(first,), *groups]


def test_partitions_are_all_there_are():
    """Bell's numbers: 1, 2, 5, 15, 52 ways to part one to five things (D. E. Knuth, TAOCP 4A, 7.2.1.5)."""
    assert [len([*partitions(list(range(n)))]) for n in range(1, 6)] == [1, 2, 5, 15, 52]


SIDES = st.sampled_from([(20, 10, 2), (59, 37, 37), (90, 80, 20), (120, 90, 60), (18, 18, 18), (170, 24, 3)])
BAG = st.tuples(st.integers(1, 1_500_000), st.integers(1, 2400), SIDES)


@settings(max_examples=150, deadline=None)
@given(st.lists(BAG, min_size=1, max_size=5), st.sampled_from([0, 120, 400]))
def test_the_boxes_are_the_cheapest_of_all_packings(bags, work):
    """Up to five bags in three kinds of box: cost, then number of packages, against every packing in every box."""
    given_bags = [Packed(f"b{n}", volume, mass, sides) for n, (volume, mass, sides) in enumerate(bags)]
    given_bags = [one for one in given_bags if any(takes(kind, (one,)) for kind in BOXES)]
    if not given_bags:
        return

    plan = box_bags(given_bags, BOXES, cost=cost(work=work))

    ways = []
    for groups in partitions(given_bags):
        able = [[kind for kind in BOXES if takes(kind, group)] for group in groups]
        if all(able):
            loads = [sum(one.mass_g for one in group) for group in groups]
            prices = [min(by_hand(kind, load, work) for kind in some) for some, load in zip(able, loads, strict=True)]
            ways.append((sum(prices), len(groups)))
    assert (plan.cost, len(plan.boxes)) == min(ways)
    assert plan.is_proven
    codes = sorted(code for boxed in plan.boxes for code in boxed.bag_codes)
    assert codes == sorted(one.code for one in given_bags)
    for boxed in plan.boxes:
        assert takes(boxed.box_type, tuple(one for one in given_bags if one.code in boxed.bag_codes))


def test_a_jar_goes_into_no_envelope_however_cheap_it_is():
    """59 × 37 × 37 mm against 25 mm of height: the cube, though the envelope costs less and holds the volume."""
    jar = Packed("jar", 96_000, 60.0, (59, 37, 37))

    assert box_bags([jar], BOXES, cost=cost()).boxes[0].box_type.code == "CUBE"


def test_the_dear_small_box_beats_the_cheap_large_one_by_its_charge():
    """60 g in the chest: 1800 g by volume, 9.80 + 0.60; in the cube 234 g: 5.10 + 0.85. By mass alone, the chest."""
    jar = Packed("jar", 96_000, 60.0, (59, 37, 37))
    by_mass = cost_by(TARIFFS, SERVICE, ORDER, BOXES, (), Settings(), as_of=DAY)

    assert box_bags([jar], BOXES, cost=cost()).cost == 595
    assert box_bags([jar], BOXES, cost=by_mass).boxes[0].box_type.code == "CHEST"


def test_equal_costs_go_by_size_then_by_code():
    """Two boxes alike but for their code, one larger: the smallest, then the first code."""
    twins = (box("B", (130, 100, 90), 50, 2000, 85), box("A", (130, 100, 90), 50, 2000, 85),
             box("C", (131, 100, 90), 50, 2000, 85))  # fmt: skip
    jar = Packed("jar", 96_000, 60.0, (59, 37, 37))

    for order in permutations(twins):
        assert box_bags([jar], order, cost=cost(order)).boxes[0].box_type.code == "A"


@pytest.mark.parametrize(
    ("boxes", "currency", "minor"),
    [
        (BOXES, "EUR", 510 + 30 + 120),
        (BOXES, "CHF", 510 + 30),  # the work is in francs, and the service charges in euro
        ((FLAT, CUBE.model_copy(update={"currency": "CHF"})), "EUR", 510 + 120),
        ((FLAT, CUBE.model_copy(update={"currency": "", "price_minor": 0})), "EUR", 510 + 120),
    ],
)
def test_what_can_not_be_compared_is_left_out(boxes, currency, minor):
    """Prices of boxes count where all are in the service's currency, the work where it is the shop's."""
    assert cost(boxes, work=120, currency=currency)(FLAT, 100.0) == minor


def test_without_prices_of_the_service_boxes_and_work_count_alone():
    """In the shop's own currency."""
    assert cost(tariffs=Tariffs([], []), work=120)(CUBE, 100.0) == 85 + 120


def test_more_work_a_package_means_fewer_packages():
    """Two bags of 400 g: 2 × (5.10 + 0.30) against 9.80 … by mass 7.40 + 0.30 together; split only where that is less.

    With a table that leaps from 5.10 to 17.30 above 500 g two packages are cheaper, until their work is counted.
    """
    leap = Tariffs(
        [Zone(service_code="post", country="*", zone="w")],
        [Price(service_code="post", valid_from=DAY, zone="w", up_to_g=most, price_minor=minor, currency="EUR")
         for most, minor in ((500, 510), (5000, 1730))],
    )  # fmt: skip
    bags = [Packed(code, 50_000, 400.0, (20, 10, 2)) for code in "ab"]

    assert len(box_bags(bags, BOXES, cost=cost()).boxes) == 1
    assert len(box_bags(bags, BOXES, cost=cost(tariffs=leap)).boxes) == 2
    assert len(box_bags(bags, BOXES, cost=cost(tariffs=leap, work=700)).boxes) == 1


def test_a_bag_of_thick_pieces_lies_side_by_side():
    """Nine blocks of 55 × 55 × 20 mm in an envelope of 240 × 170 × 25: 27 225 of 40 800 mm² lie; fourteen don't."""
    assert takes(FLAT, (Packed("x", 100.0, 90.0, (55, 55, 20)),))
    few = Packed("few", 400_000, 90.0, (55, 55, 20), pieces=9)
    many = Packed("many", 400_000, 90.0, (55, 55, 20), pieces=14)

    assert box_bags([few], BOXES, cost=cost()).boxes[0].box_type.code == "FLAT"
    assert box_bags([many], BOXES, cost=cost()).boxes[0].box_type.code != "FLAT"
