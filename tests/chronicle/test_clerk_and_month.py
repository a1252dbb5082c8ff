"""What the clerk is told to do next, what customers hear, and what months came to, word for word."""

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from fulfil.despatch.close import settle
from fulfil.despatch.desk.accounts import accounts_sheet, month_accounts, write_accounts
from fulfil.despatch.desk.customer_messages import customer_messages
from fulfil.despatch.desk.next_steps import next_steps
from fulfil.despatch.package_set import print_set
from fulfil.despatch.reconcile import reconcile_day, take_bill
from fulfil.despatch.ship import close_manifest, open_manifest, void_package
from fulfil.documents import sheets_of
from fulfil.files.bill_mapping import BillMapping
from fulfil.orders.holding import hold_order, resume_order
from fulfil.records.despatch.dispatch import Package, PackageState
from fulfil.records.despatch.tariff import ChargedSurcharge, Price
from fulfil.records.identifier import Identifier, IdentifierKind, IdentifierRange
from fulfil.records.part import Part
from fulfil.records.revised import revised
from fulfil.shop.package_numbers import note_number, note_numbers, tracking_rows
from fulfil.store.shop import Shop
from tests.chronicle.telling import Chronicle
from tests.shipping_shop import DAY, NOW, sealed_shop
from tests.who import Who

MORNING = NOW - timedelta(hours=6)
NEXT = DAY + timedelta(days=1)


def later(minutes: int) -> Who:
    """Some time after the first step."""
    return Who(at=NOW + timedelta(minutes=minutes), person="huia")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Sealed packages to Germany, Namibia, Great Britain and Greece; nothing is printed."""
    with sealed_shop(tmp_path / "shop.db", is_printed=False) as opened:
        yield opened


def steps(told: Chronicle, what: str, minutes: int = 0) -> None:
    """What is next, with all that stands beside it."""
    at = MORNING + timedelta(minutes=minutes)
    with told.shop.reading() as books:
        found = next_steps(books, at=at)
    told.each(what, [(one, one.says, one.is_ready) for one in found])


def put(shop: Shop, number: str, state: PackageState) -> None:
    """Puts a package where the test wants it."""
    with shop.writing() as books:
        package = books.need(Package, number)
        sealed_at = package.sealed_at if state is PackageState.SEALED else None
        books.replace([revised(package, {"state": state, "sealed_at": sealed_at})])


def test_what_is_next(shop: Shop, tmp_path: Path) -> None:
    """Stopped, planned, unprinted, sealed; before and after the collections; held; the evening."""
    told = Chronicle(shop, "month/next-steps")
    steps(told, "in the morning")
    steps(told, "after the post has gone", 270)
    steps(told, "after all have gone", 600)
    put(shop, "P2603020001", PackageState.STOP)
    put(shop, "P2603020003", PackageState.PLANNED)
    steps(told, "one stopped, one planned")
    put(shop, "P2603020002", PackageState.STOP)
    with shop.writing() as books:
        books.replace([revised(books.need(Part, "SCR-20"), {"hazards": "flammable"})])
    steps(told, "stopped by what is in it")
    with shop.writing() as books:
        books.replace([revised(books.need(Part, "SCR-20"), {"hazards": ""})])
    for number in ("P2603020001", "P2603020002", "P2603020003"):
        put(shop, number, PackageState.SEALED)
    hold_order(shop, "A-2", "asked the customer", **later(0))
    steps(told, "one held")
    print_set(shop, tmp_path, orders=["A-1", "A-3", "A-4"], day=DAY, **later(1), name="all")
    steps(told, "printed")
    told.tell("closed", [close_manifest(shop, "ROAD", day=DAY, **later(2)).findings])
    steps(told, "all but the held one has left")
    open_manifest(shop, "ROAD", day=DAY, **later(3))
    open_manifest(shop, "POST", day=DAY, **later(3))
    steps(told, "two are open")
    resume_order(shop, "A-2", **later(4))
    steps(told, "held no more")
    close_manifest(shop, "POST", day=DAY, **later(5), without_papers="the post has a form")
    steps(told, "a paper lacked")
    told.is_as_recorded()


def billed(shop: Shop, folder: Path, name: str, *rows: str, currency: str = "EUR", minutes: int = 30) -> None:
    """Takes a bill in."""
    path = folder / f"{name}.csv"
    path.write_text("\n".join(("Parcel,Net", *rows)) + "\n", encoding="utf-8")
    mapping = BillMapping("Parcel", "Net", currency=currency)
    assert take_bill(shop, path, mapping, **later(minutes)).findings == ()


def customer_messages_of(shop: Shop, manifest: str) -> object:
    """What customers hear of a manifest."""
    with shop.reading() as books:
        return customer_messages(books, manifest)


def test_months(shop: Shop, tmp_path: Path) -> None:
    """Agreed, surcharged, billed by any number, in two currencies, without a price, void, settled, in two months."""
    told = Chronicle(shop, "month/accounts")
    with shop.writing() as books:
        books.remove(Price, service_code="POST")
        books.add(
            [IdentifierRange(code="ALL", kind=IdentifierKind.SSCC, prefix="952000", first=1, last=9, given_on=DAY)]
        )
        given: dict[str, Any] = {"range_code": "ALL", "issued_at": NOW}
        books.add(
            [
                Identifier(number="1095200000000010", package_number="P2603020001", serial=1, **given),
                Identifier(number="RR000000012NA", package_number="P2603020002", serial=2, **given),
            ]
        )
    note_number(shop, "P2603020001", "ZX 99-001", **later(0))
    for service in ("POST", "ROAD"):
        close_manifest(shop, service, day=DAY, **later(1), without_papers="a test")
    with shop.writing() as books:
        books.add([ChargedSurcharge(package_number="P2603020003", name="island", amount_minor=350)])
    billed(shop, tmp_path, "a", "ZX99001,9.90", "P2603020003,12.90", "P2603020002,5.00")
    billed(shop, tmp_path, "b", "P2603020003,3.00", "P2603020003,0.75", currency="GBP", minutes=31)

    def accounts(what: str, day: date = DAY) -> None:
        with shop.reading() as books:
            found = month_accounts(books, day)
            told.each(what, [*(one.as_row() for one in found.rows), *(one.as_row() for one in found.goods)])
            told.each("on paper", [accounts_sheet(books, found)])
        written = write_accounts(found, tmp_path / what)
        told.each("files", [(path.name, path.read_text()) for path in written if path.suffix == ".csv"])

    accounts("billed")
    for place, one in enumerate(reconcile_day(shop, day=DAY).differences):
        if place % 2:
            settle(shop, one.code, "credit note", day=DAY, **later(40 + place))
        else:
            settle(shop, one.code, "later", day=DAY, **later(40 + place), carry_over=True)
    accounts("settled")
    void_package(shop, "P2603020001", "left on the ramp", **later(60))
    (tmp_path / "numbers.csv").write_text("package,number,weight\nA-2,QX 7,1\nP2603020004,QX8,2\n", encoding="utf-8")
    told.tell("numbers", note_numbers(shop, tmp_path / "numbers.csv", **later(61)))
    (tmp_path / "wrong.csv").write_text("package,number\nA-9,Q\nA-3,-\nA-3,QX8\nA-4,Q1\nA-3,Q1\n", encoding="utf-8")
    told.tell("wrong numbers", note_numbers(shop, tmp_path / "wrong.csv", **later(61)))
    with shop.reading() as books:
        told.each("tracked by", tracking_rows(books, [f"P260302000{n}" for n in range(1, 5)]))
        for manifest in ("M2603020001", "M2603020002"):
            found = customer_messages(books, manifest)
            told.each(f"customers of {manifest}", [*found, *(one.as_row() for one in found)])
    told.refused("no such manifest", lambda: customer_messages_of(shop, "M-9"))
    open_manifest(shop, "ROAD", day=DAY, **later(62))
    told.refused("still open", lambda: customer_messages_of(shop, "M2603020003"))
    accounts("one void")
    with shop.reading() as books:
        for day in (date(2026, 2, 28), date(2026, 3, 1), date(2026, 3, 31), date(2026, 4, 1)):
            of_day = month_accounts(books, day)
            told.tell(f"of {day}", (of_day.month, len(of_day.rows), len(of_day.goods)))
    told.each("by its name", sheets_of(shop, "month-accounts", at=NOW))
    told.is_as_recorded()
