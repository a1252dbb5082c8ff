"""The packing bench in a browser: from a checked order to its papers, and what is refused on the way."""

import re

import pytest

from fulfil.bench.check import Seen, check_bag
from fulfil.records.bench import StationKind
from fulfil.records.despatch.dispatch import JournalEntry, Package, PackageState
from fulfil.records.happening import Happening
from fulfil.records.plan import CountMethod
from tests.harbour_shop import NOW, check, key, open_harbour, plan, release
from tests.harbour_shop import bags as bags_of
from tests.stations.tablet import Tablet, house_of, let_in, words


@pytest.fixture
def checked(house, clock, bags):
    """Both orders are checked."""
    for bag in bags:
        seen = Seen(gross_g=bag.target_g) if bag.method is CountMethod.WEIGH else Seen(
            counted=bag.pieces, gross_g=bag.tare_g + 120, scale_code="FINE")  # fmt: skip
        check_bag(house.shop, bag.code, seen, at=clock(), person="ben")
    return bags


@pytest.fixture
def tablet(house) -> Tablet:
    """Anna's packing bench."""
    return Tablet(house, "pack-1", StationKind.PACK, "anna")


def expected(page: str) -> int:
    """What the package should weigh, as the gauge shows its window."""
    lower, upper = re.search(r"Window ([0-9.]+) to ([0-9.]+) g", page).groups()
    return round((float(lower) + float(upper)) / 2)


def test_an_order_is_packed_weighed_sealed_and_its_papers_are_printed(tablet, house, checked):
    """Bags heaviest first, the box drawn, the weight in its window, then the next order."""
    house.print_order = lambda order, person, _station: [f"To print: papers of {order} by {person}"]
    start = tablet.client.get("/pack").text
    page = tablet.send("O-1001")

    assert 'value="O-1001"' in start
    assert "Order O-1002: position 2 of W2603020001" in words(start)
    assert f"Put these 4 bags in, heaviest first; scan each. Next: {checked[3].code}." in words(page)
    assert "Take box BOX-" in words(page)
    assert words(page).index("Put these 4 bags in") < words(page).index("Take box BOX-")
    assert words(start).count("Scan a checked order") == 1
    assert re.search(r'aria-label="Box BOX-\d: \d+ x \d+ x \d+ mm"', page)
    for bag in checked[:4]:
        page = tablet.send(bag.code)
    assert "All bags are in: fill up, close the box, put it on scale PACK" in words(page)
    sealed = tablet.send(str(expected(page)))

    assert 'class="shown sealed"' in sealed
    assert "inside it" in sealed
    assert "To print: papers of O-1001 by anna" in words(sealed)
    with house.shop.reading() as books:
        (package,) = books.find(Package, order_number="O-1001")
        (entry,) = books.find(JournalEntry, event=Happening.PACKAGE_SEALED)
    assert package.state is PackageState.SEALED
    assert '"station": "pack-1"' in entry.particulars
    assert "Order O-1002" in words(sealed)
    assert "Order O-1001: position" not in words(sealed)


def test_a_wrong_weight_stops_with_its_likely_cause(tablet, house, checked):
    """A bag was left out: the reading stands outside, the package stays open."""
    page = tablet.send("O-1001")
    for bag in checked[:4]:
        page = tablet.send(bag.code)
    stopped = tablet.send(str(expected(page) - 88))

    assert 'class="shown stop"' in stopped
    assert "Put right what stopped it, close it, put it on scale PACK" in words(stopped)
    assert "All bags are in" not in words(stopped)
    assert "below it" in stopped
    assert checked[1].code in words(stopped)
    assert "Open it, look at the bags against the list" in words(stopped)
    assert "SEALED" in tablet.send(str(expected(page)))


def test_another_orders_bag_is_refused_and_the_last_one_taken_out(tablet, house, checked):
    """Before it lies in the box."""
    tablet.send("O-1001")
    wrong = tablet.send(checked[4].code)
    tablet.send(checked[0].code)
    out = tablet.send("undo")

    assert "WRONG ORDER: O-1002" in words(wrong)
    assert "Keep it out of this box." in words(wrong)
    assert f"Take bag {checked[0].code} out again." in words(out)
    assert "NOT TAKEN" in tablet.send("500")


def test_a_sealed_package_is_opened_for_a_reason(tablet, house, checked):
    """By touch; every bag is scanned anew."""
    page = tablet.send("O-1001")
    for bag in checked[:4]:
        page = tablet.send(bag.code)
    tablet.send(str(expected(page)))
    with house.shop.reading() as books:
        (package,) = books.find(Package, order_number="O-1001")
    asked = tablet.send(package.number)
    opened = tablet.send("reopen a bag is missing")

    assert 'value="reopen a bag is missing"' in asked
    assert "Put these 4 bags in" in words(opened)


def test_a_restart_finds_the_box_half_full(tablet, house, clock, checked):
    """What lies in it lies in it."""
    tablet.send("O-1001")
    tablet.send(checked[1].code)
    back = tablet.after_restart(house_of(house.shop, clock)).client.get("/pack").text

    assert "Put these 3 bags in" in words(back)
    assert f"{checked[1].code} , in the box" in words(back)


def test_the_same_seal_asked_for_twice_is_one(tablet, house, checked):
    """The second time hears the first answer."""
    page = tablet.send("O-1001")
    for bag in checked[:4]:
        page = tablet.send(bag.code)
    shown = {"line": str(expected(page)), "key": "once-and-only"}
    with house.shop.reading() as books:
        (package,) = books.find(Package, order_number="O-1001")
    got = [tablet.client.post("/pack", data=shown | {"bag": package.number}, headers={"X-Part": "1"}) for _ in range(2)]

    assert all("SEALED" in one.text for one in got)
    with house.shop.reading() as books:
        assert books.count(JournalEntry, event=Happening.PACKAGE_SEALED) == 1


def test_goods_that_wait_for_a_review_are_put_aside_and_not_weighed_again(tmp_path):
    """Lacquer in the harbour's shop: its weight is right, its review is missing; nothing asks for another weight."""
    with open_harbour(tmp_path) as shop:
        key(shop, "H-1", ("LACQ-10", 1))
        plan(shop)
        release(shop, tmp_path)
        (bag,) = bags_of(shop, order_number="H-1")
        check(shop, "H-1")
        let_in(shop, NOW, ("anna", "pack"))
        tablet = Tablet(house_of(shop, lambda: NOW), "pack-1", StationKind.PACK, "anna")
        tablet.send("H-1")
        page = tablet.send(bag.code)
        stopped = words(tablet.send(f"{expected(page)}.0"))
        light = words(tablet.send(f"{expected(page) - 12}.0"))

    assert "Nothing is cleared here: put it aside" in stopped
    assert "Put it aside for its review. Once that is recorded, weigh it again on scale TOROA." in stopped
    assert "key what it shows" not in stopped
    assert "the bags fill it to 2 %" in stopped
    assert "Put right what stopped it" in light
