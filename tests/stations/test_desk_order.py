"""One order at the desk: what customs are told of it, its packages opened again; only what may be, and once."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from fulfil.despatch.abroad.customs import customs_of
from fulfil.records.bench import StationKind
from fulfil.records.despatch.customs import CustomsParticulars, SdrRateEntry
from fulfil.records.despatch.dispatch import JournalEntry, Package, PackageState
from fulfil.records.happening import Happening
from fulfil.records.order import Order
from fulfil.shipping.customs import Form
from fulfil.store.shop import Shop
from tests.shipping_shop import DAY, NOW, sealed_shop
from tests.stations.browser import is_sound, sign_in
from tests.stations.conftest import Clock
from tests.stations.tablet import Tablet, let_in, words

DESK = StationKind.CLERK


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Sealed packages to Germany, Namibia, Great Britain and Greece; their customs papers are printed."""
    with sealed_shop(tmp_path / "shop.sqlite") as made:
        let_in(made, NOW, ("mara", "owner"), ("dora", "clerk"))
        yield made


@pytest.fixture
def clock() -> Clock:
    """It stands at the shop's afternoon."""
    return Clock(NOW)


@pytest.fixture
def desk(house) -> Tablet:
    """The clerk's desk."""
    return Tablet(house, "desk-1", DESK, "dora")


def looked_at(desk: Tablet, order: str) -> str:
    """The order's page."""
    return desk.client.get(f"/clerk?order={order}").text


def press(desk: Tablet, order: str, line: str, **more: str) -> str:
    """A button of the order's page; what the page says then."""
    key = re.search(r'name="key" value="(fresh-[0-9]+)', looked_at(desk, order))[1]
    data = {"line": line, "key": key, "order": order, **more}
    got = desk.client.post("/clerk", data=data, headers={"X-Part": "1"})
    assert got.status_code == 200, got.text
    return words(got.text).replace("&#39;", "'")


def package_of(house, order: str) -> Package:
    """The order's package."""
    with house.shop.reading() as books:
        return books.find(Package, order_number=order)[0]


def test_what_customs_are_told_is_noted_for_the_order_and_its_lines(desk, house):
    """A gift but for one line; the licence of the addressee: the next papers say so, the printed ones no longer do."""
    page = words(looked_at(desk, "A-2"))
    gift = {"category": "gift", "category-3": "commercial sample", "importer_reference": " LIC 7 "}
    told = press(desk, "A-2", "particulars A-2", **gift)
    with house.shop.reading() as books:
        said = {one.line_no: one for one in books.find(CustomsParticulars, order_number="A-2")}
        order = books.need(Order, "A-2")
        declared = customs_of(books, package_of(house, "A-2"), order, day=DAY)
        entry = books.find(JournalEntry, event=Happening.PARTICULARS_NOTED)[0]

    assert "For customs" in page
    assert "CN 22" in page
    assert "Noted for customs of order A-2: category gift; importer reference LIC 7; line 3 commercial sample." in told
    assert "was printed before something on it changed" in told
    assert (said[0].category, said[0].importer_reference) == ("gift", "LIC 7")
    assert said[3].category == "commercial sample"
    assert 1 not in said
    assert declared.said.importer_reference == "LIC 7"
    assert entry.person == "dora"
    assert '"station": "desk-1"' in entry.particulars
    assert "Order A-2 is packed" in told


def test_what_is_no_news_or_no_word_of_the_forms_notes_nothing(desk, house):
    """Half of it wrong: nothing of it is noted."""
    same = press(desk, "A-2", "particulars A-2", category="sale of goods")
    half = press(desk, "A-2", "particulars A-2", category="present", comment="fragile")
    unknown = press(desk, "A-2", "particulars A-9", category="gift")

    assert "something that is not noted yet" in same
    assert "one of sale of goods, gift" in half
    assert "Not done" in unknown
    with house.shop.reading() as books:
        assert books.find(CustomsParticulars) == []


def test_what_an_sdr_costs_decides_the_form_of_a_small_packet(desk, house):
    """Without a rate it takes CN 23; with one it takes CN 22; what is no rate is refused."""
    with house.shop.writing() as books:
        books.remove(SdrRateEntry, currency="EUR")
    before = words(looked_at(desk, "A-2"))
    wrong = press(desk, "A-2", "rate EUR", per_sdr="much", as_of="2026-03-02", source="read out")
    none = press(desk, "A-2", "rate EUR", per_sdr="0", as_of="2026-03-02")
    day = press(desk, "A-2", "rate EUR", per_sdr="1.2", as_of="yesterday")
    with house.shop.reading() as books:
        kept = books.find(SdrRateEntry, currency="EUR")
    told = press(desk, "A-2", "rate EUR", per_sdr="1.2000", as_of="2026-03-02", source="invented")
    with house.shop.reading() as books:
        declared = customs_of(books, package_of(house, "A-2"), books.need(Order, "A-2"), day=DAY)

    assert "CN 23" in before
    assert "No rate of EUR" in before
    assert all("Not done" in one for one in (wrong, none, day))
    assert kept == []
    assert "1 SDR = EUR 1.2000 on 2026-03-02." in told
    assert declared.form is Form.CN22


def test_an_order_within_the_border_has_nothing_for_customs(desk):
    """Germany from Luxembourg."""
    assert "For customs" not in looked_at(desk, "A-1")
    assert "Order A-1 is packed" in words(looked_at(desk, "A-1"))


def test_a_sealed_package_is_opened_again_with_a_reason(desk, house):
    """Nothing without a reason; a double touch opens it once; what isn't sealed has no button."""
    number = package_of(house, "A-1").number
    page = looked_at(desk, "A-1")
    empty = press(desk, "A-1", f"reopen {number}", reason=" ")
    still = package_of(house, "A-1").state
    data = {"line": f"reopen {number}", "key": "one-key-only", "order": "A-1", "reason": "a spring is missing"}
    first, again = (words(desk.client.post("/clerk", data=data, headers={"X-Part": "1"}).text) for _ in range(2))
    with house.shop.reading() as books:
        entries = books.find(JournalEntry, event=Happening.PACKAGE_REOPENED)

    assert f'value="reopen {number}"' in page
    assert "Not done" in empty
    assert still is PackageState.SEALED
    assert f"Package {number} is open again: the packing bench checks its bags and weighs it anew." in first
    assert f"Package {number} is open again" in again
    assert package_of(house, "A-1").state is PackageState.PLANNED
    assert [(one.person, one.subject) for one in entries] == [("dora", number)]
    assert f'value="reopen {number}"' not in looked_at(desk, "A-1")
    assert "Not done" in press(desk, "A-1", f"reopen {number}", reason="again")


@pytest.mark.slow
def test_an_order_abroad_is_sound(opened, house):
    """Its packages, what customs are told, noted; every size, day and night."""
    page = sign_in(opened, DESK, "dora")
    page.goto(f"{opened.address}/clerk?order=A-2")
    page.get_by_text("For customs").click()
    page.get_by_text("A line is something else").click()
    page.get_by_text("Open it again").first.click()
    is_sound(opened, "an order abroad")
    page.select_option("#category", "gift")
    page.get_by_role("button", name="Note it").click()
    page.wait_for_selector(".told:not(.refused)")
    is_sound(opened, "noted")
    assert opened.said == []
