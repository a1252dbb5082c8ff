"""What a package's weight says: weighed bags are known, hand-counted ones uncertain, and no tare can be forgotten."""

from decimal import Decimal

import pytest

from fulfil.bench.check import Seen, check_bag
from fulfil.despatch.boxes import bag_mass, for_scale
from fulfil.despatch.pack import plan_packages, weigh_package
from fulfil.despatch.pack_causes import likely_causes, package_cautions, seen_by_weight
from fulfil.errors import WeighingRefused
from fulfil.records.equipment import ScaleRecord
from fulfil.records.part import Part, Supply, UnitWeight
from fulfil.records.plan import Bag
from fulfil.records.settings import Settings
from fulfil.store.shop import open_shop
from tests.bench_shop import AT, bench_shop


@pytest.fixture
def shop(tmp_path):
    """Two orders; the second has a bag counted by hand. All bags have passed."""
    path = tmp_path / "shop.sqlite"
    found = bench_shop(path, orders=2)
    with open_shop(path) as opened:
        for code in [code for codes in found.values() for code in codes]:
            with opened.reading() as books:
                bag = books.need(Bag, code)
            seen = Seen(gross_g=bag.target_g) if bag.target_g else Seen(counted=bag.pieces)
            check_bag(opened, code, seen, at=AT, person="anna")
        yield opened


def test_expected_mass_has_box_and_cushioning_with_their_own_spread(shop):
    """58 ± 0.9 g and 12 ± 0.5 g; four bags at 0.006 g; a scale of 0.4 g: z(0.9975) s = 3.10 g, z(0.999) s = 3.41 g.

    Limits are steps of 1 g that stand for half a gram more; a bag is seen from the farther one, that half and 3.41 g.
    """
    (package,) = plan_packages(shop, "O-1001", at=AT, person="ben").packages
    with shop.reading() as books:
        bags = books.find(Bag, package_number=package.number)

    assert package.expected_g == round(sum(bag.gross_g for bag in bags) + 70)
    true_g = float(sum(bag.gross_g for bag in bags)) + 70
    below, above = true_g - float(package.lower_g) + 0.5, float(package.upper_g) + 0.5 - true_g
    assert 3.10 <= below < 4.11
    assert 3.10 <= above < 4.11
    assert 0 <= float(package.visible_from_g) - max(below, above) - 3.413 < 1.01


def test_a_hand_counted_bag_is_uncertain_by_its_unit_weight(shop):
    """Pieces, unit weight and bag scatter; a weighed bag only by its indication."""
    with shop.reading() as books:
        by_hand, weighed = books.need(Bag, "B2603020006"), books.need(Bag, "B2603020005")
        weight = books.need(UnitWeight, by_hand.part_number, "")
        mass, known = bag_mass(books, by_hand), bag_mass(books, weighed)

    spread = (by_hand.pieces * weight.piece_sd_g**2 + (by_hand.pieces * weight.u_g) ** 2 + 0.01**2) ** 0.5
    assert (mass.is_weighed, mass.u_g) == (False, pytest.approx(spread))
    assert (known.is_weighed, known.gross_g) == (True, weighed.gross_g)


def test_a_letter_too_light_for_the_package_scale_goes_on_a_finer_one(shop):
    """Where the window would begin below the package scale's Min, it is made for the bag scale, and weighed there."""
    with shop.writing() as books:
        (pack,) = books.find(ScaleRecord, code="PACK")
        books.replace([pack.model_copy(update={"min_g": Decimal(3000)})])
    (package,) = plan_packages(shop, "O-1001", at=AT, person="ben").packages

    assert package.scale_code == "FINE"
    assert package.lower_g % 1 != 0
    assert weigh_package(shop, package.number, package.expected_g, at=AT, person="ben").order_is_packed


def test_on_another_scale_the_window_is_made_anew(shop):
    """A package planned for the package scale and weighed on the fine one is judged in the fine one's digits."""
    (package,) = plan_packages(shop, "O-1001", at=AT, person="ben").packages
    with shop.reading() as books:
        exact_g = sum((bag.gross_g for bag in books.find(Bag, package_number=package.number)), Decimal(70))

    done = weigh_package(shop, package.number, exact_g, at=AT, person="ben", scale_code="FINE")

    assert (package.scale_code, done.package.scale_code) == ("PACK", "FINE")
    assert done.package.expected_g == exact_g
    assert done.package.upper_g - done.package.lower_g < package.upper_g - package.lower_g
    assert done.order_is_packed


@pytest.mark.parametrize("order", ["O-1001", "O-1002"])
def test_a_missing_bag_is_the_first_explanation(shop, order):
    """Also when its own count was by hand, and although weighed and counted bags lie together."""
    (package,) = plan_packages(shop, order, at=AT, person="ben").packages
    with shop.reading() as books:
        _, scale = for_scale(books, package)
        for bag in books.find(Bag, package_number=package.number):
            gross_g = Decimal(round(package.expected_g - bag_mass(books, bag).gross_g))
            causes = likely_causes(books, package, gross_g, scale)

            assert causes[0].startswith(f"Bag {bag.code} "), causes
            assert "isn't in it" in causes[0]


def test_forgotten_cushioning_is_named_and_a_tare_never(shop):
    """12 g too light, and no bag of that mass: the filling; packages are weighed gross, so no tare slips."""
    (package,) = plan_packages(shop, "O-1001", at=AT, person="ben").packages
    with shop.reading() as books:
        causes = likely_causes(books, package, package.expected_g - 12, for_scale(books, package)[1])

    assert any("filling or papers (12.0 g)" in cause for cause in causes)
    assert not any("tare" in cause for cause in causes)


def test_the_weight_says_what_it_can_t_show(shop):
    """Single pieces of these screws weigh less than the 8 g that this package can show."""
    (package,) = plan_packages(shop, "O-1001", at=AT, person="ben").packages
    with shop.reading() as books:
        bags = books.find(Bag, package_number=package.number)

        assert seen_by_weight(books, package, bags) == ("A missing bag of 8 g or more is seen; single pieces are not.")


def test_a_bag_that_nothing_is_known_of_must_be_weighed(shop):
    """Counted by hand, no unit weight, never weighed: its package can't be expected."""
    with shop.writing() as books:
        bag = books.need(Bag, "B2603020006")
        books.remove(UnitWeight, part_number=bag.part_number)

    with pytest.raises(WeighingRefused, match="weigh the bag"):
        plan_packages(shop, "O-1002", at=AT, person="ben")


def cautioned(words: str, gross: str) -> tuple[str, ...]:
    """The cautions of a package with one part of these hazards."""
    part = Part(number="X", description="x", family="x", bulk_volume_mm3=1.0, longest_mm=1, supply=Supply.BUY,
                hazards=words, price_minor=1, currency="EUR")  # fmt: skip
    return package_cautions([part], Decimal(gross), Settings())


def test_cautions_name_heavy_lifts_hazards_and_what_must_part():
    """NIOSH: 23 · 25/40 · (0.82 + 4.5/60) · 0.85 = 10.9 kg for the bench's lift, 23 kg anywhere; and who governs."""
    assert cautioned("", "1000") == ()
    assert cautioned("", "12000")[0].startswith("HEAVY: 12 kg is over 10.9 kg for this shelf;")
    assert cautioned("", "24000")[0].startswith("HEAVY: 24 kg is over 23 kg;")
    assert cautioned("sharp", "100")[0] == "SHARP: wear gloves, guard the tips, double the bag."
    together = cautioned("flammable corrosive", "100")
    assert together[0] == "CORROSIVE and FLAMMABLE must not share a package: stop for review."
    assert together[-1] == "Local codes and the supplier’s safety data sheet govern."
