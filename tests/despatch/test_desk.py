"""The clerk's desk once the van has gone: what customers are told, and what the month came to."""

import csv
import io
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest
from openpyxl import load_workbook

from fulfil.despatch.close import settle
from fulfil.despatch.desk.accounts import AccountRow, month_accounts, write_accounts
from fulfil.despatch.desk.customer_messages import customer_messages
from fulfil.despatch.reconcile import reconcile_day, take_bill
from fulfil.despatch.ship import close_manifest, open_manifest, void_package
from fulfil.errors import StateRefused
from fulfil.files.bill_mapping import BillMapping
from fulfil.records.despatch.tariff import Price
from fulfil.shop.package_numbers import note_number
from fulfil.store.shop import Shop
from tests.shipping_shop import DAY, NOW, sealed_shop

ROAD = "M2603020002"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Four packages, all shipped: A-2 by post, A-1, A-3 and A-4 by road to Germany, Great Britain and Greece."""
    with sealed_shop(tmp_path / "shop.db") as opened:
        for service in ("POST", "ROAD"):
            close_manifest(opened, service, day=DAY, at=NOW, person="huia")
        yield opened


def test_each_customer_is_told_in_the_own_language_with_the_carriers_number(shop: Shop) -> None:
    """German to Germany, English alone to Great Britain, Greek to Greece; our number where nobody gave one."""
    note_number(shop, "P2603020001", "ZX 99 001", at=NOW, person="huia")
    with shop.reading() as books:
        told = {one.order_number: one for one in customer_messages(books, ROAD)}
    assert sorted(told) == ["A-1", "A-3", "A-4"]
    assert told["A-1"].text.splitlines() == [
        "Ihre Bestellung A-1 ist unterwegs.",
        "Your order A-1 is on its way.",
        "",
        "Versandart / service: Road parcel (invented)",
        "Paket / package P2603020001, Sendungsnummer / tracking number: ZX99001",
        "",
        "Invented Escapement Works",
    ]
    assert (told["A-3"].language, told["A-3"].text.splitlines()[0]) == ("", "Your order A-3 is on its way.")
    assert told["A-4"].text.startswith("Η παραγγελία σας A-4")
    assert told["A-1"].as_row()["tracking_numbers"] == "ZX99001"


def test_nobody_is_told_of_what_stayed(shop: Shop) -> None:
    """A void package is not on its way; an open manifest has sent nothing."""
    void_package(shop, "P2603020001", "burst on the dock", at=NOW, person="huia")
    with shop.reading() as books:
        assert [one.order_number for one in customer_messages(books, ROAD)] == ["A-3", "A-4"]
    number = open_manifest(shop, "ROAD", day=DAY, at=NOW, person="huia").number
    with shop.reading() as books, pytest.raises(StateRefused, match="a closed manifest"):
        customer_messages(books, number)


def billed(shop: Shop, folder: Path, name: str, *rows: str, currency: str = "EUR") -> None:
    """A bill, in euro unless another currency is said."""
    path = folder / f"{name}.csv"
    path.write_text("\n".join(("Parcel,Net", *rows)) + "\n", encoding="utf-8")
    assert take_bill(shop, path, BillMapping("Parcel", "Net", currency=currency), at=NOW, person="huia").findings == ()


def accounts_of(shop: Shop) -> dict[tuple[str, str], dict[str, str]]:
    """The month's charges by service and country, as text."""
    with shop.reading() as books:
        found = month_accounts(books, DAY)
    return {
        (one.service, one.country): {name: str(value) for name, value in one.as_row().items()} for one in found.rows
    }


def test_a_month_adds_up_by_service_and_country(shop: Shop, tmp_path: Path) -> None:
    """Agreed 6.90, 12.90, 6.90 and 5.20; one billed 3.00 over, one right, one left out; then the first is settled."""
    billed(shop, tmp_path, "a", "P2603020001,9.90", "P2603020003,12.90")
    rows = accounts_of(shop)
    assert {key: (row["agreed"], row["billed"], row["not_billed"]) for key, row in rows.items()} == {
        ("POST", "NA"): ("5.20", "0.00", "1"),
        ("ROAD", "DE"): ("6.90", "9.90", "0"),
        ("ROAD", "GB"): ("12.90", "12.90", "0"),
        ("ROAD", "GR"): ("6.90", "0.00", "1"),
    }
    assert (rows["ROAD", "DE"]["expected_credit"], rows["ROAD", "DE"]["settled"]) == ("3.00", "0.00")
    over = next(one for one in reconcile_day(shop, day=DAY).differences if one.subject == "package P2603020001")
    settle(shop, over.code, "credit note 17", day=DAY, at=NOW, person="huia")
    row = accounts_of(shop)["ROAD", "DE"]
    assert (row["expected_credit"], row["settled"]) == ("0.00", "3.00")
    billed(shop, tmp_path, "credit", "P2603020001,-3.00")
    assert accounts_of(shop)["ROAD", "DE"]["billed"] == "6.90"


def test_a_package_without_a_price_is_counted_once(tmp_path: Path) -> None:
    """The post's table has no price: its package stands in one row, with what bills in two currencies charge for it."""
    with sealed_shop(tmp_path / "shop.db") as shop:
        with shop.writing() as books:
            books.remove(Price, service_code="POST")
        close_manifest(shop, "POST", day=DAY, at=NOW, person="huia")
        assert [(one.currency, one.packages) for one in rows_of(shop)] == [("", 1)]
        billed(shop, tmp_path, "a", "P2603020002,5.00")
        assert [(one.currency, one.packages, one.gross_g) for one in rows_of(shop)] == [("EUR", 1, 256)]
        billed(shop, tmp_path, "b", "P2603020002,2.00", currency="GBP")
        assert [(one.currency, one.packages, one.billed_minor, one.expected_minor) for one in rows_of(shop)] == [
            ("EUR", 1, 500, 500), ("GBP", 0, 200, 200),
        ]  # fmt: skip


def rows_of(shop: Shop) -> tuple[AccountRow, ...]:
    """The month's charges."""
    with shop.reading() as books:
        return month_accounts(books, DAY).rows


def test_goods_by_country_are_what_was_sent_at_its_price(shop: Shop) -> None:
    """200 × 0.06; 100 × 0.06 + 50 × 0.08 + 12 × 0.35; 40 × 0.30 in pounds; 25 × 0.08."""
    with shop.reading() as books:
        goods = month_accounts(books, DAY).goods
    assert [(one.country, one.currency, one.value_minor) for one in goods] == [
        ("DE", "EUR", 1200), ("GB", "GBP", 1200), ("GR", "EUR", 200), ("NA", "EUR", 1420),
    ]  # fmt: skip


def test_the_files_say_the_same_as_the_books(shop: Shop, tmp_path: Path) -> None:
    """CSV and workbook; exact amounts, the caution in a sheet of its own, the same bytes twice."""
    with shop.reading() as books:
        accounts = month_accounts(books, DAY)
    first, second = write_accounts(accounts, tmp_path / "a"), write_accounts(accounts, tmp_path / "b")
    assert [path.name for path in first] == ["2026-03-charges.csv", "2026-03-goods.csv", "2026-03-accounts.xlsx"]
    assert [path.read_bytes() for path in first] == [path.read_bytes() for path in second]
    rows = [*csv.DictReader(io.StringIO(first[0].read_text(encoding="utf-8")))]
    assert sum((Decimal(row["agreed"]) for row in rows), Decimal(0)) == Decimal("31.90")
    book = load_workbook(first[2])
    assert book.sheetnames == ["charges", "goods", "read this first"]
    assert "tax adviser" in str(book["read this first"]["A2"].value)
    heads = [cell.value for cell in book["charges"][1]]
    assert [row[heads.index("agreed")].value for row in book["charges"].iter_rows(min_row=2)] == [5.2, 6.9, 12.9, 6.9]


def test_a_month_without_a_manifest_is_empty(shop: Shop) -> None:
    """And nothing is made up for it."""
    with shop.reading() as books:
        found = month_accounts(books, DAY.replace(month=4))
    assert (found.rows, found.goods) == ((), ())
