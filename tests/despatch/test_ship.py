"""Manifests: each package on exactly one, closed once, never changed; what stays behind is told."""

import sqlite3
import threading
from datetime import UTC, date, datetime
from decimal import Decimal
from functools import partial
from typing import Any

import pytest

from fulfil.despatch.manifest_paper import printed_manifest
from fulfil.despatch.package_papers import order_sheets
from fulfil.despatch.reconcile import reconcile_day
from fulfil.despatch.ship import add_range, close_manifest, issue_identifiers, open_manifest, void_package
from fulfil.errors import StateRefused, UnknownRefused
from fulfil.orders.gates import must_add_up
from fulfil.orders.moving import hold, seal
from fulfil.papers.despatch.manifest import ManifestSheet
from fulfil.records.despatch.dispatch import JournalEntry, Manifest, ManifestState, Package, PackageState
from fulfil.records.despatch.service import Service
from fulfil.records.despatch.tariff import Charge
from fulfil.records.identifier import IdentifierKind, IdentifierRange
from fulfil.records.order import Order, OrderState
from fulfil.records.plan import Bag
from fulfil.records.revised import revised
from fulfil.shop.printing import print_papers
from fulfil.store.shop import Shop, open_shop
from tests.shipping_shop import DAY, NOW, sealed_shop

LATER = datetime(2026, 3, 2, 17, tzinfo=UTC)


@pytest.fixture
def shop(tmp_path):
    """Four sealed packages: three by road, one by post."""
    with sealed_shop(tmp_path / "shop.db") as opened:
        yield opened


def close(shop, service="ROAD", **change):
    """Closes a manifest as the clerk."""
    asked: dict[str, Any] = {"day": DAY, "at": NOW, "person": "clerk-1"} | change
    return close_manifest(shop, service, **asked)


def packages(shop, **equals):
    """Packages of the shop."""
    with shop.reading() as books:
        return books.find(Package, **equals)


def test_a_manifest_takes_every_sealed_package_once_with_its_totals(shop):
    """Three packages by road, their grams to the gram; their orders are shipped; the post's package waits."""
    done = close(shop)

    assert done.manifest.packages == 3
    assert done.manifest.weight_g == sum((one.gross_g for one in done.packages), Decimal(0))
    assert [one.order_number for one in packages(shop, state=PackageState.SEALED)] == ["A-2"]
    with shop.reading() as books:
        assert books.need(Order, "A-1").state is OrderState.SHIPPED
        assert books.need(Manifest, done.manifest.number).state is ManifestState.CLOSED


def test_charges_are_written_with_the_manifest(shop):
    """76 g, 94 g and 300 g in a box of 1 200 cm³ are charged as 500 g; Great Britain lies in zone 2."""
    close(shop)

    with shop.reading() as books:
        charges = books.find(Charge)
    assert [(one.zone, one.chargeable_g, one.price_minor) for one in charges] == [
        ("1", 500, 690), ("2", 500, 1290), ("1", 500, 690),
    ]  # fmt: skip


def test_a_late_package_goes_onto_the_next_manifest(shop):
    """Sealed after the close, it waits for the second manifest."""
    with shop.writing() as books:
        late = books.find(Package, order_number="A-3")[0]
        books.replace([late.model_copy(update={"state": PackageState.PLANNED})])
    first = close(shop)
    with shop.writing() as books:
        books.replace([late])
    second = close(shop, at=LATER)

    assert (first.manifest.packages, first.left_behind) == (2, (late.number,))
    assert [one.number for one in second.packages] == [late.number]
    assert second.manifest.number != first.manifest.number


def test_nothing_waits(shop):
    """The second bench is told who closed it, when and with how many packages."""
    close(shop)
    with pytest.raises(StateRefused) as refused:
        close(shop, person="clerk-2", at=LATER)

    assert str(refused.value) == (
        "Cannot close a manifest for service 'ROAD': expected at least one sealed package that waits; manifest "
        "M2603020001: clerk-1 closed it at 16:00 CET with 3 packages."
    )
    with pytest.raises(UnknownRefused):
        close(shop, "AIR")


def test_an_open_manifest_is_closed_by_its_number_once(shop):
    """Opened twice it is the same one; the bench with its number in hand is told when another was first."""
    number = open_manifest(shop, "ROAD", day=DAY, at=NOW, person="clerk-1").number
    assert open_manifest(shop, "ROAD", day=DAY, at=NOW, person="clerk-2").number == number

    assert close(shop, number=number).manifest.number == number
    with pytest.raises(StateRefused, match="clerk-1 closed it at 16:00 CET with 3 packages"):
        close(shop, number=number, person="clerk-2")
    with pytest.raises(StateRefused, match="one of service POST"):
        close(shop, "POST", number=open_manifest(shop, "ROAD", day=DAY, at=NOW, person="c").number)


def test_two_benches_closing_at_once_one_wins(tmp_path):
    """Two stations, one file: one manifest, three packages, the other bench refused."""
    sealed_shop(tmp_path / "shop.db").close()
    start, told = threading.Barrier(2), []

    def bench(person):
        with open_shop(tmp_path / "shop.db", wait_s=10) as mine:
            start.wait()
            try:
                told.append(close(mine, person=person).manifest.packages)
            except StateRefused as refused:
                told.append(str(refused))

    stations = [threading.Thread(target=bench, args=(person,)) for person in ("clerk-1", "clerk-2")]
    for station in stations:
        station.start()
    for station in stations:
        station.join()

    assert sum(one == 3 for one in told) == 1
    assert sum("closed it at 16:00 CET with 3 packages" in str(one) for one in told) == 1
    with open_shop(tmp_path / "shop.db") as after, after.reading() as books:
        assert books.count(Manifest) == 1


def test_packages_of_held_orders_stay(shop):
    """Held after its package was sealed: it isn't handed over, and the clerk is told why."""
    with shop.writing() as books:
        hold(books, books.need(Order, "A-1"), "asked to wait", at=NOW, person="ann")
    done = close(shop)

    assert [one.order_number for one in done.packages] == ["A-3", "A-4"]
    assert [str(finding.says) for finding in done.findings] == ["order A-1 is held"]


@pytest.mark.parametrize(("from_g", "heavy"), [(200, ["A-1"]), (5000, []), (50, ["A-1", "A-3", "A-4"])])
def test_one_heavy_package_among_light_ones_carries_the_caution(shop: Shop, from_g: int, heavy: list[str]) -> None:
    """Packages of about 300, 76 and 94 g under three limits: the manifest cautions for one heavy row as for all."""
    with shop.writing() as books:
        books.replace([revised(books.settings(), {"lift_caution_g": Decimal(from_g)})])
    number = close(shop).manifest.number

    with shop.reading() as books:
        (sheet,) = printed_manifest(books, number).sheets

    assert isinstance(sheet, ManifestSheet)
    assert sorted(row.order_number for row in sheet.rows if "heavy" in row.flags) == heavy
    assert bool(sheet.cautions) is bool(heavy)


def test_a_closed_manifest_is_printed_again_byte_for_byte(shop, tmp_path):
    """Even after name, address, service and paper of the shop have changed."""
    number = close(shop).manifest.number
    first = print_papers(shop, tmp_path, partial(printed_manifest, number=number))[0].read_bytes()
    with shop.writing() as books:
        books.replace([books.settings().model_copy(update={"shop_name": "Another", "paper": "Letter", "notice": "x"})])
        books.replace([books.need(Service, "ROAD").model_copy(update={"name": "Renamed"})])
        books.replace([books.need(Order, "A-1").model_copy(update={"name": "Somebody else"})])

    assert print_papers(shop, tmp_path, partial(printed_manifest, number=number))[0].read_bytes() == first


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE manifest SET packages = 9",
        "DELETE FROM manifest",
        "UPDATE package SET gross_g = 1 WHERE manifest_number <> ''",
        "UPDATE package SET manifest_number = '' WHERE manifest_number <> ''",
        "UPDATE package SET manifest_number = 'M2603020001' WHERE order_number = 'A-2'",
        "UPDATE manifest_copy SET sheet = '{}'",
        "DELETE FROM charge",
    ],
)
def test_no_sql_changes_what_was_handed_over(shop, tmp_path, statement):
    """The database itself keeps closed manifests, their packages, copies and charges."""
    close(shop)
    connection = sqlite3.connect(tmp_path / "shop.db")
    with pytest.raises(sqlite3.IntegrityError, match="recorded rows stay as they are"):
        connection.execute(statement)
    connection.close()


def test_a_void_is_a_new_entry_and_the_content_travels_on(shop, tmp_path):
    """The manifest stays as printed; the content gets a number of its own and the next manifest."""
    manifest = close(shop).manifest
    first = print_papers(shop, tmp_path, partial(printed_manifest, number=manifest.number))[0].read_bytes()
    done = void_package(shop, "P2603020001", "box burst", at=LATER, person="clerk-2")

    assert done.package.number == "P2603020005"
    assert done.entry.manifest_number == manifest.number
    assert print_papers(shop, tmp_path, partial(printed_manifest, number=manifest.number))[0].read_bytes() == first
    now = reconcile_day(shop, day=DAY)
    assert now.balance.in_hand == 200 + 162  # the postal package of 162 pieces waits
    with shop.writing() as books:
        again = books.need(Package, "P2603020005")
        books.replace([again.model_copy(update={"state": PackageState.SEALED, "gross_g": Decimal(299)})])
        with pytest.raises(StateRefused, match="books that add up"):
            must_add_up(books, "close with order", ["A-1"])
        seal(books, again.number, books.find(Bag, package_number=again.number), at=LATER, person="ann")
    second = close(shop, at=LATER)
    assert [one.number for one in second.packages] == ["P2603020005"]
    assert reconcile_day(shop, day=DAY).balance.in_hand == 162
    paths = print_papers(shop, tmp_path, partial(order_sheets, number="A-1", day=DAY))
    assert len(paths) == 2


@pytest.mark.parametrize(
    ("number", "reason", "says"),
    [
        ("P2603020002", "burst", "one on a closed manifest; this one is sealed"),
        ("P2603020001", " ", "a reason"),
    ],
)
def test_what_can_not_be_voided(shop, number, reason, says):
    """A package that hasn't left, and a void without a reason; nothing is changed."""
    close(shop)
    with pytest.raises(StateRefused, match=says):
        void_package(shop, number, reason, at=NOW, person="c")
    assert len(packages(shop)) == 4


def test_a_package_is_voided_once(shop):
    """The second bench is told who was first."""
    close(shop)
    void_package(shop, "P2603020001", "burst", at=NOW, person="clerk-1")
    with pytest.raises(StateRefused, match="clerk-1 voided it for P2603020005"):
        void_package(shop, "P2603020001", "burst", at=NOW, person="clerk-2")


def given(code="S1", **change):
    """A range of three numbers."""
    fields: dict[str, Any] = {"kind": "s10", "service_code": "POST", "prefix": "RR", "country": "GB", "first": 47312482,
              "last": 47312484, "given_on": date(2026, 1, 5)}  # fmt: skip
    return IdentifierRange(code=code, **(fields | change))


def test_numbers_are_issued_once_for_each_package_of_their_service(shop, tmp_path):
    """The postal package gets one, asked again the same; a parcel gets none; the label carries it."""
    add_range(shop, given(), at=NOW, person="c")
    first = issue_identifiers(shop, "A-2", at=NOW, person="c")

    assert [one.number for one in first] == ["RR473124829GB"]
    assert issue_identifiers(shop, "A-2", at=LATER, person="c") == first
    assert issue_identifiers(shop, "A-1", at=NOW, person="c") == []
    assert [path.name for path in print_papers(shop, tmp_path, partial(order_sheets, number="A-2", day=DAY))] == [
        "A-2-packing-list.pdf", "A-2-logistic-labels.pdf",
    ]  # fmt: skip


def test_a_used_up_range_gives_way_to_the_next_one(shop):
    """The services' own ranges come first, by the day they were given; when all are used up it is refused."""
    add_range(shop, given("S2", first=1, last=1, given_on=date(2026, 2, 1)), at=NOW, person="c")
    add_range(shop, given("S1", service_code="", first=47312482, last=47312482), at=NOW, person="c")
    numbers = [issue_identifiers(shop, order, at=NOW, person="c") for order in ("A-2", "A-1")]

    assert [one[0].range_code for one in numbers] == ["S2", "S1"]
    with pytest.raises(StateRefused, match="ask for a new range"):
        issue_identifiers(shop, "A-3", at=NOW, person="c")


def test_sscc_and_s10_stand_beside_each_other(shop):
    """A postal package of a shop with a GS1 prefix has both."""
    add_range(shop, given(), at=NOW, person="c")
    sscc = IdentifierRange(
        code="G", kind=IdentifierKind.SSCC, prefix="952000123", first=1, last=9, given_on=date(2026, 1, 5)
    )
    add_range(shop, sscc, at=NOW, person="c")

    assert [one.number for one in issue_identifiers(shop, "A-2", at=NOW, person="c")] == [
        "095200012300000011", "RR473124829GB",
    ]  # fmt: skip


def test_the_journal_tells_all_of_it(shop):
    """Opened, closed, voided, each once."""
    open_manifest(shop, "ROAD", day=DAY, at=NOW, person="c")
    close(shop)
    void_package(shop, "P2603020001", "burst", at=NOW, person="c")
    with shop.reading() as books:
        events = [entry.event for entry in books.find(JournalEntry)]

    assert events == ["manifest opened", "manifest closed", "package voided"]


def test_a_number_is_in_one_range_only(shop):
    """A second range with some of the same numbers would put one number on two packages; no service, no range."""
    add_range(shop, given(first=100, last=200), at=NOW, person="c")

    for first, last in ((200, 300), (1, 100), (150, 160), (1, 900)):
        with pytest.raises(StateRefused, match="numbers that no other has; S1 has RR00000100"):
            add_range(shop, given("S9", first=first, last=last), at=NOW, person="c")
    add_range(shop, given("S9", first=201, last=300), at=NOW, person="c")
    with pytest.raises(UnknownRefused, match="service 'AIR'"):
        add_range(shop, given("S8", service_code="AIR", first=500, last=600), at=NOW, person="c")
