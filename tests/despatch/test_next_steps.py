"""What the clerk does next: the earliest collection first, in the order of the hands; nothing is changed by asking."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from fulfil.despatch.close import close_day, settle
from fulfil.despatch.desk.next_steps import NextStep, next_steps
from fulfil.despatch.desk.to_print import orders_to_print
from fulfil.despatch.package_set import print_set
from fulfil.despatch.reconcile import take_bill
from fulfil.despatch.ship import close_manifest
from fulfil.files.bill_mapping import BillMapping
from fulfil.orders.holding import hold_order
from fulfil.records.despatch.dispatch import Package, PackageState
from fulfil.records.revised import revised
from fulfil.store.shop import Shop
from tests import harbour_shop as harbour
from tests.shipping_shop import DAY, NOW, sealed_shop

MORNING = NOW - timedelta(hours=6)
"""Ten o'clock in the shop; the post is collected at two, the road parcels at half past four."""


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Four sealed packages, three by road and one by post, nothing printed."""
    with sealed_shop(tmp_path / "shop.db", is_printed=False) as opened:
        yield opened


def steps(shop: Shop, at: datetime = MORNING) -> tuple[NextStep, ...]:
    """What is next."""
    with shop.reading() as books:
        return next_steps(books, at=at)


def told(shop: Shop, at: datetime = MORNING) -> list[tuple[str, str]]:
    """Service and sentence of each."""
    return [(one.service_code, one.says) for one in steps(shop, at)]


def test_the_earliest_collection_comes_first_and_each_in_the_order_of_the_hands(shop: Shop) -> None:
    """Papers before the manifest; the manifest says which papers it waits for."""
    road = "P2603020001, P2603020003, P2603020004"
    assert told(shop) == [
        ("POST", "print the papers of 1 order: A-2"),
        ("POST", "close the manifest over 1 package: P2603020002"),
        ("ROAD", "print the papers of 3 orders: A-1, A-3, A-4"),
        ("ROAD", f"close the manifest over 3 packages: {road}"),
    ]
    manifest = steps(shop)[1]
    assert (manifest.is_ready, manifest.waits_for) == (False, "print the papers of 1 order")
    assert manifest.why == ("P2603020002 (order A-2) lacks its CN 22",)


def test_after_todays_collection_a_service_waits_for_the_next(shop: Shop) -> None:
    """At four the post has gone: the road comes first, and the post says when it is collected next."""
    assert [one.service_code for one in steps(shop, NOW)] == ["ROAD", "ROAD", "POST", "POST"]
    post = steps(shop, NOW)[-1]
    assert post.until is not None
    assert f"{post.until:%a %H:%M}" == "Tue 14:00"


def test_a_stopped_package_and_a_planned_one_come_before_papers(shop: Shop) -> None:
    """Each by what its books say; a held order is asked about by nobody."""
    with shop.writing() as books:
        packages = {one.number: one for one in books.find(Package)}
        books.replace(
            [
                revised(packages["P2603020001"], {"state": PackageState.STOP, "sealed_at": None}),
                revised(packages["P2603020003"], {"state": PackageState.PLANNED, "sealed_at": None}),
            ]
        )
    road = [one for one in steps(shop) if one.service_code == "ROAD"]
    assert [one.do for one in road] == [
        "put right or hold", "pack and weigh", "print the papers of", "close the manifest over",
    ]  # fmt: skip
    assert road[0].why == ("P2603020001 (order A-1): its weight was off; open it, put it right, weigh it again",)
    assert (
        road[-1].waits_for == "put right or hold 1 stopped package; pack and weigh 1 order; print the papers of 1 order"
    )


def test_a_held_order_is_named_in_the_evening_only(shop: Shop, tmp_path: Path) -> None:
    """While the van waits nothing can be done about it."""
    hold_order(shop, "A-2", "asked the customer", at=NOW, person="huia")
    assert {one.service_code for one in steps(shop)} == {"ROAD"}
    ship(shop, tmp_path, "ROAD")
    assert told(shop)[0] == ("", "ask about 1 held order: A-2")


def ship(shop: Shop, folder: Path, service: str) -> None:
    """Prints what lacks, then closes the manifest of a service."""
    with shop.reading() as books:
        orders = orders_to_print(books, service, day=DAY)
    print_set(shop, folder, orders=orders, day=DAY, at=NOW, person="huia", name="all")
    close_manifest(shop, service, day=DAY, at=NOW, person="huia")


def test_differences_then_the_close_then_nothing(shop: Shop, tmp_path: Path) -> None:
    """Once all has left: what the bills say, then the day."""
    for service in ("POST", "ROAD"):
        ship(shop, tmp_path, service)
    path = tmp_path / "bill.csv"
    path.write_text("Parcel,Net\nP2603020001,9.90\nP2603020003,12.90\nP2603020004,6.90\n", encoding="utf-8")
    assert take_bill(shop, path, BillMapping("Parcel", "Net", currency="EUR"), at=NOW, person="huia").findings == ()
    evening = steps(shop)
    assert [(one.do, len(one.about), one.is_ready) for one in evening] == [
        ("settle or carry over", 1, True), ("close the day", 0, False),
    ]  # fmt: skip
    settle(shop, evening[0].about[0], "credit note", day=DAY, at=NOW, person="huia")
    assert [one.do for one in steps(shop)] == ["close the day"]
    close_day(shop, day=DAY, at=NOW, person="huia")
    assert steps(shop) == ()


def test_in_the_morning_the_walks_come_first_and_no_difference_is_told(tmp_path: Path) -> None:
    """Another shop at half past eight: two orders to pick and check; nobody asks to settle what isn't packed yet."""
    with harbour.open_harbour(tmp_path) as shop:
        for number in ("H-1", "H-2"):
            harbour.key(shop, number, ("CAM-7", 2), ("SCREW-3", 30))
        harbour.plan(shop)
        harbour.release(shop, tmp_path)
        assert [(one.service_code, one.says, one.command) for one in steps(shop, harbour.NOW)] == [
            ("ROAD", "pick and check 2 orders: H-1, H-2", "fulfil bench check")
        ]
        harbour.check(shop, "H-1")
        harbour.pack(shop, "H-1")
        assert [one.do for one in steps(shop, harbour.NOW)] == [
            "print the papers of", "pick and check", "close the manifest over",
        ]  # fmt: skip
        assert steps(shop, harbour.NOW)[-1].waits_for == "print the papers of 1 order; pick and check 1 order"


def test_after_the_last_collection_what_is_left_waits_for_tomorrow_and_the_day_can_be_closed(tmp_path: Path) -> None:
    """At six in the evening the lorry has gone: the rest is for tomorrow's, and its differences can be carried over."""
    with harbour.open_harbour(tmp_path) as shop:
        harbour.key(shop, "H-1", ("CAM-7", 2))
        harbour.plan(shop)
        harbour.release(shop, tmp_path)
        evening = steps(shop, harbour.NOW + timedelta(hours=10))
    assert [one.do for one in evening] == ["pick and check", "settle or carry over", "close the day"]
    assert evening[0].until is not None
    assert evening[0].until.date() == harbour.DAY + timedelta(days=1)
