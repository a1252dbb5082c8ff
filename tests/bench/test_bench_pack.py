"""The packing bench on a shop: bags by their scans, weight, seal; a kill between two lines loses nothing."""

from decimal import Decimal

import pytest

from fulfil.bench.check_station import CheckBench
from fulfil.bench.pack_station import PackBench
from fulfil.checking.reading import ScaleReading
from fulfil.checking.saying import Sound
from fulfil.despatch.pack import plan_packages, reopen_package
from fulfil.errors import StateRefused
from fulfil.records.despatch.dispatch import JournalEntry, Package, PackageState
from fulfil.records.order import Order, OrderState
from fulfil.records.plan import Bag
from fulfil.records.revised import revised
from fulfil.store.shop import open_shop
from tests.bench_shop import AT, bench_shop


@pytest.fixture
def shop(tmp_path):
    """Two orders of four bags, all checked."""
    path = tmp_path / "shop.sqlite"
    found = bench_shop(path, orders=2)
    with open_shop(path, wait_s=1) as opened:
        check_all(opened, [code for codes in found.values() for code in codes])
        yield opened


def check_all(shop, codes):
    """Every bag passes."""
    bench = CheckBench(shop, "check-1", person="anna")
    bench.open()
    for code in codes:
        with shop.reading() as books:
            bag = books.need(Bag, code)
        bench.enter(code, at=AT)
        bench.enter(f"{bag.target_g:.2f}" if bag.target_g else str(bag.pieces), at=AT)
        if bench.state.bag is not None:
            bench.enter("ok", at=AT)


def opened(shop, name="pack-1"):
    """A packing bench, opened."""
    bench = PackBench(shop, name, person="ben")
    bench.open()
    return bench


def enter(bench, *lines):
    """Some lines; the last answer."""
    say = None
    for line in lines:
        say = bench.enter(line, at=AT)
    return say


def fill(bench):
    """Puts every bag in."""
    while bench.state.package.missing:
        enter(bench, bench.state.package.missing[0])


def first_bags(shop):
    """The bags of the first order's package, as the bench shows them."""
    bench = PackBench(shop, "pack-9", person="ben")
    bench.open()
    enter(bench, "O-1001")
    bags = bench.state.package.bags
    enter(bench, "let go")
    return bags


def package_of(shop, number="P2603020001"):
    """A package as it is now."""
    with shop.reading() as books:
        return books.need(Package, number)


def test_where_the_weight_tells_a_bag_one_scan_and_one_weighing_do(shop):
    """Only bags that the weight would not miss are asked for by their scan; the others may still be scanned."""
    planned = plan_packages(shop, "O-1001", at=AT, person="ben").packages[0]
    masses = sorted(Decimal(bag.mass_g) for bag in first_bags(shop))
    with shop.writing() as books:
        books.replace([revised(planned, {"visible_from_g": masses[1] - Decimal("0.1")})])
    bench = PackBench(shop, "pack-1", person="ben", weight_tells=True)
    bench.open()

    enter(bench, "O-1001")
    package = package_of(shop)
    light = {bag.code for bag in bench.state.package.bags if Decimal(bag.mass_g) < package.visible_from_g}
    assert {*bench.state.package.missing} == light
    assert 0 < len(light) < len(bench.state.package.bags), "the shop has bags of both kinds"
    heavy = next(bag.code for bag in bench.state.package.bags if bag.code not in light)
    assert enter(bench, heavy).sound is not Sound.STOP
    assert enter(bench, str(package.expected_g)).headline.endswith(f"not in the box yet: {', '.join(light)}.")
    fill(bench)
    assert enter(bench, str(package.expected_g)).big == "SEALED"


def test_where_the_weight_tells_a_missing_bag_is_a_stop(shop):
    """The heaviest bag stayed on the bench: the weight says so."""
    bench = PackBench(shop, "pack-1", person="ben", weight_tells=True)
    bench.open()
    enter(bench, "O-1001")
    fill(bench)
    heaviest = Decimal(bench.state.package.bags[0].mass_g)
    say = enter(bench, str((package_of(shop).expected_g - heaviest).quantize(Decimal(1))))
    assert say.big == "STOP"


def counting(shop):
    """A packing bench that counts its bags, whose first package's two lightest bags the weight would miss."""
    planned = plan_packages(shop, "O-1001", at=AT, person="ben").packages[0]
    masses = sorted(Decimal(bag.mass_g) for bag in first_bags(shop))
    with shop.writing() as books:
        books.replace([revised(planned, {"visible_from_g": masses[2] - Decimal("0.1")})])
    bench = PackBench(shop, "pack-1", person="ben", counts_bags=True)
    bench.open()
    enter(bench, "O-1001")
    return bench


def test_bags_are_counted_in_the_line_of_the_weight(shop):
    """One scan and one line: weight and count; the count stands in the journal."""
    bench = counting(shop)
    weight = package_of(shop).expected_g
    assert len(bench.state.package.missing) == 2
    plain = enter(bench, str(weight))
    assert plain.sound is Sound.REFUSED
    assert plain.lines == (f"Or count all bags: {weight} 4 bags.",)
    assert enter(bench, f"{weight} 4 bags").big == "SEALED"
    with shop.reading() as books:
        sealed = [one for one in books.find(JournalEntry) if one.event == "package sealed"]
    assert '"bags_counted": 4' in sealed[0].particulars


@pytest.mark.parametrize(
    ("bags", "says"), [(3, "3 bags counted, 4 belong in: look for"), (5, "a bag of another order is in this box")]
)
def test_a_count_that_is_off_seals_nothing(shop, bags, says):
    """Whatever the weight says; too few names the light ones first."""
    bench = counting(shop)
    say = enter(bench, f"{package_of(shop).expected_g} {bags} bags")
    assert (say.sound, says in say.headline) == (Sound.REFUSED, True)
    assert package_of(shop).state is PackageState.PLANNED


def test_a_count_alone_waits_for_a_scale_that_sends_by_itself(shop):
    """Then the weight; a stop asks for the count anew, since the box is opened."""
    bench = counting(shop)
    weight = package_of(shop).expected_g
    assert bench.weighed(ScaleReading(weight, is_steady=True), at=AT, sent_at_s=1.0) is None
    assert "weigh it on" in enter(bench, "4 bags").headline
    assert enter(bench, str(weight - 100)).big == "STOP"
    assert len(bench.state.package.missing) == 2


def test_where_bags_are_scanned_no_count_is_taken(shop):
    """A count is no weight."""
    bench = opened(shop)
    enter(bench, "O-1001")
    assert enter(bench, f"{package_of(shop).expected_g} 4 bags").sound is Sound.REFUSED
    assert enter(bench, "4 bags").headline == "At this bench bags are scanned, not counted."


def test_an_order_is_packed_heaviest_first_weighed_and_sealed(shop):
    """The list says what to expect and what the weight can't show."""
    bench = opened(shop)

    say = enter(bench, "O-1001")

    masses = [float(bag.mass_g) for bag in bench.state.package.bags]
    assert masses == sorted(masses, reverse=True)
    assert any(line.startswith("A missing bag of") for line in say.lines)
    fill(bench)
    sealed = enter(bench, str(package_of(shop).expected_g))
    assert (sealed.big, sealed.sound) == ("SEALED", Sound.PASSED)
    assert package_of(shop).state is PackageState.SEALED
    with shop.reading() as books:
        assert books.need(Order, "O-1001").state is OrderState.PACKED
    assert bench.state.order_number == ""
    assert bench.packed == ["O-1001"]


def test_a_missing_bag_stops_the_package_and_is_named(shop):
    """Weighed without its lightest bag, though its label was scanned; put right, it is sealed."""
    bench = opened(shop)
    enter(bench, "O-1001")
    fill(bench)
    lightest = bench.state.package.bags[-1]

    say = enter(bench, str(round(float(package_of(shop).expected_g) - float(lightest.mass_g))))

    assert (say.big, say.sound) == ("STOP", Sound.STOP)
    assert f"Bag {lightest.code}" in say.lines[0]
    assert "isn't in it. Look for it." in say.lines[0]
    assert "STOPPED at its last weight." in enter(bench, "show").lines
    assert enter(bench, str(package_of(shop).expected_g)).big == "SEALED"


def test_a_bag_of_another_order_never_gets_in(shop):
    """Refused before it lies in the box; nothing is written."""
    bench = opened(shop)
    enter(bench, "O-1001")
    with shop.reading() as books:
        before = books.find(Bag)

    say = enter(bench, "B2603020005")

    assert (say.headline, say.sound) == ("WRONG ORDER: O-1002. Order O-1001 is in hand.", Sound.REFUSED)
    with shop.reading() as books:
        assert books.find(Bag) == before


def test_a_killed_bench_knows_what_is_in_the_box(shop):
    """Opened again: the same package, the same bags in it."""
    bench = opened(shop)
    enter(bench, "O-1001")
    enter(bench, bench.state.package.missing[0])
    missing = bench.state.package.missing

    again = PackBench(shop, "pack-1")
    say = again.open()

    assert say.headline.startswith("Back at bench pack-1, ben. Package P2603020001 (1 of 1)")
    assert again.state.package.missing == missing
    assert len(missing) == 3


def test_two_packing_benches_take_one_order_one_wins(shop):
    """The other is told and has nothing in hand."""
    first, second = opened(shop), opened(shop, "pack-2")

    enter(first, "O-1001")
    told = enter(second, "O-1001")

    assert "bench pack-1 has it in hand (ben)" in told.headline
    assert second.state.order_number == ""
    assert enter(second, "O-1002").sound is Sound.NONE


def test_an_order_that_isn_t_checked_is_refused(tmp_path):
    """One bag is missing its check."""
    path = tmp_path / "shop.sqlite"
    bench_shop(path, orders=1)
    with open_shop(path) as shop:
        say = enter(opened(shop), "O-1001")

    assert say.headline == "Order O-1001 isn't checked yet: it is released."


def test_a_seal_is_broken_only_for_a_reason_that_stays(shop):
    """At the bench, then by the command; the journal has the reason; on a manifest it stays shut."""
    bench = opened(shop)
    enter(bench, "O-1001")
    fill(bench)
    enter(bench, str(package_of(shop).expected_g))

    say = enter(bench, "P2603020001", "reopen a spring is missing")

    assert say.headline.startswith("Package P2603020001 is open again")
    assert len(bench.state.package.missing) == 4
    assert (package_of(shop).state, package_of(shop).gross_g) == (PackageState.PLANNED, None)
    with shop.reading() as books:
        (entry,) = books.find(JournalEntry, event="package reopened")
        assert '"reason": "a spring is missing"' in entry.particulars
        assert books.need(Order, "O-1001").state is OrderState.CHECKED
    with pytest.raises(StateRefused, match="a sealed package on no manifest"):
        reopen_package(shop, "P2603020001", "again", at=AT, person="ben")


def test_a_position_on_the_cart_takes_its_order(shop):
    """The cart card first, then the position."""
    bench = opened(shop)

    assert enter(bench, "pos 2").headline == "Which cart? Scan the pick list or the cart card first."
    enter(bench, "W2603020001", "*POS-2")

    assert bench.state.order_number == "O-1002"


def test_a_photo_must_be_there_and_is_kept_with_the_weight(shop, tmp_path):
    """A path that leads nowhere is refused."""
    photo = tmp_path / "open box.jpg"
    photo.write_bytes(b"not really a photo")
    bench = opened(shop)
    enter(bench, "O-1001")
    fill(bench)

    assert enter(bench, "photo nowhere.jpg").headline == "No photo at nowhere.jpg."
    enter(bench, f"photo {photo}", str(package_of(shop).expected_g))

    assert package_of(shop).photo_path == str(photo)
