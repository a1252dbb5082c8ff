"""Packages that cross borders from an invented shop in Luxembourg: customs papers, advices, stacks, bills."""

import json
from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Decimal
from functools import partial
from pathlib import Path

import pytest

from fulfil.despatch.abroad.customs import customs_rows, enter_sdr_rate, review_hazards
from fulfil.despatch.abroad.customs_papers import customs_set, declare_order
from fulfil.despatch.abroad.customs_sheets import order_customs
from fulfil.despatch.abroad.papers_due import customs_lacks, kept_papers
from fulfil.despatch.advice import AdviceFormat, write_advices
from fulfil.despatch.bill_mapping import bill_example, keep_bill_mapping, kept_bill_mapping, preview_bill
from fulfil.despatch.close import Word, close_day, settle_all
from fulfil.despatch.desk.to_print import orders_to_print
from fulfil.despatch.package_set import print_set, stack_name
from fulfil.despatch.quote import quote_for, quote_package
from fulfil.despatch.reconcile import reconcile_day, take_bill
from fulfil.despatch.report import report_day
from fulfil.despatch.ship import close_manifest, void_package
from fulfil.documents import sheets_of
from fulfil.files.bill_mapping import read_mapping
from fulfil.records.despatch.customs import SdrRateEntry
from fulfil.records.despatch.dispatch import Package
from fulfil.records.despatch.service import Service
from fulfil.records.despatch.tariff import Surcharge
from fulfil.records.order import Order
from fulfil.records.part import Part
from fulfil.records.revised import revised
from fulfil.store.shop import Shop
from tests.chronicle.telling import Chronicle
from tests.shipping_shop import DAY, NOW, sealed_shop
from tests.who import Who

ALL = ("A-1", "A-2", "A-3", "A-4")


def later(minutes: int) -> Who:
    """Some time after the first step."""
    return Who(at=NOW + timedelta(minutes=minutes), person="huia")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Sealed packages to Germany, Namibia, Great Britain and Greece; nothing is printed."""
    with sealed_shop(tmp_path / "shop.db", is_printed=False) as opened:
        yield opened


def change(shop: Shop, kind: type, key: str, **update: object) -> None:
    """Changes one record."""
    with shop.writing() as books:
        books.replace([revised(books.need(kind, key), update)])


def test_customs_papers_of_each_order(shop: Shop, tmp_path: Path) -> None:
    """What is declared, on which paper; what is printed is kept; what no longer fits is said."""
    told = Chronicle(shop, "abroad/customs")
    for number in ALL:
        told.tell(f"papers of {number}", declare_order(shop, number, tmp_path / "out", day=DAY, **later(1)))
    told.each("its data", (tmp_path / "out" / "A-2-customs.csv").read_text("utf-8-sig").splitlines())
    told.each("as JSON", json.loads((tmp_path / "out" / "A-2-customs.json").read_text()))
    with shop.reading() as books:
        for number in ALL:
            order = books.need(Order, number)
            package = books.find(Package, order_number=number)[0]
            told.tell(f"set of {number}", customs_set(books, order, day=DAY))
            told.each("kept", kept_papers(books, package.number))
            told.each("kept before they were printed", kept_papers(books, package.number, until=NOW))
            told.each("lacks", customs_lacks(books, package, order, day=DAY))
            told.each("lacked when it left", customs_lacks(books, package, order, day=DAY, until=NOW))
            declared = order_customs(books, order, day=DAY)
            told.each("rows", customs_rows(declared, books.settings()))
    for name in ("G2603020002", "I2603020002", "I2603020003", "P2603020003"):
        told.each(name, sheets_of(shop, name, at=NOW))
    told.refused(
        "needs none", lambda: sheets_of(shop, "G2603020001", at=NOW), lambda: sheets_of(shop, "I2603020001", at=NOW)
    )
    change(shop, Order, "A-2", city="Elsewhere")
    change(shop, Part, "BUSH-3", customs_description="other bushes")
    with shop.reading() as books:
        for number in ("A-2", "A-3"):
            package = books.find(Package, order_number=number)[0]
            lacks = customs_lacks(books, package, books.need(Order, number), day=DAY)
            told.each(
                f"outdated of {number}", [(one, one.says, str(one.finding), str(one.left_finding)) for one in lacks]
            )
    told.is_as_recorded()


def test_what_customs_would_turn_back(shop: Shop, tmp_path: Path) -> None:
    """A vague description, no code, restricted goods; a review by a trained person; rates by day."""
    told = Chronicle(shop, "abroad/turned-back")
    enter_sdr_rate(shop, SdrRateEntry(currency="EUR", as_of=DAY, per_sdr="0.05", source="test"), **later(0))
    told.tell("a rate", None)
    tomorrow = SdrRateEntry(currency="EUR", as_of=date(2026, 3, 3), per_sdr="9", source="test")
    enter_sdr_rate(shop, tomorrow, **later(0))
    told.tell("a rate of tomorrow", None)
    told.tell("above 300 SDR", declare_order(shop, "A-2", tmp_path, day=DAY, **later(1)))
    change(shop, Part, "SCR-16", customs_description="parts", hs_code="7", origin="")
    told.tell("vague", declare_order(shop, "A-2", tmp_path, day=DAY, **later(2)))
    change(
        shop, Part, "SCR-16", customs_description="steel cap screws", hs_code="731815", origin="DE", hazards="flammable"
    )
    told.tell("restricted", declare_order(shop, "A-2", tmp_path, day=DAY, **later(3)))
    told.refused(
        "reviews",
        lambda: review_hazards(shop, "P2603020002", " ", **later(4)),
        lambda: review_hazards(shop, "P2603020003", "seen", **later(4)),
        lambda: review_hazards(shop, "P-9", "seen", **later(4)),
    )
    change(shop, Service, "POST", refuses="")
    told.tell("reviewed", review_hazards(shop, "P2603020002", "sealed tins, 10 ml", **later(5)))
    told.tell("goes", declare_order(shop, "A-2", tmp_path, day=DAY, **later(6)))
    told.each("its invoice", sheets_of(shop, "I2603020002", at=NOW))
    told.is_as_recorded()


def test_stacks_for_two_printers(shop: Shop, tmp_path: Path) -> None:
    """Which orders, in which order; what keeps one out; printed again; by itself."""
    told = Chronicle(shop, "abroad/stacks")
    with shop.reading() as books:
        told.tell(
            "to print",
            [
                orders_to_print(books, day=DAY),
                orders_to_print(books, "ROAD", day=DAY),
                orders_to_print(books, day=DAY, again=True),
            ],
        )
        told.tell("named", [stack_name(books, ["A-2"], "POST", day=DAY), stack_name(books, ["A-1"], "", day=DAY)])
    told.tell("by itself", print_set(shop, tmp_path, orders=["A-3"], day=DAY, **later(1)))
    change(shop, Part, "SCR-20", hs_code="")
    told.tell(
        "stacks", print_set(shop, tmp_path, orders=["A-2", "A-3", "A-1", "A-4"], day=DAY, **later(2), name="morning")
    )
    with shop.reading() as books:
        told.tell("to print then", [orders_to_print(books, day=DAY), orders_to_print(books, day=DAY, again=True)])
    told.is_as_recorded()


def test_advices_for_machines(shop: Shop, tmp_path: Path) -> None:
    """One of each order, in both forms; names in other scripts; a service whose name is too long."""
    told = Chronicle(shop, "abroad/advices")
    for number in ("A-1", "A-3"):
        declare_order(shop, number, tmp_path, day=DAY, **later(1))
    change(shop, Service, "ROAD", name="Road parcel of a very long name (invented)")
    told.refused(
        "not closed",
        lambda: write_advices(shop, "M-9", AdviceFormat.UBL, tmp_path),
        lambda: close_manifest(shop, "POST", day=DAY, **later(2)),
    )
    told.tell("closed", close_manifest(shop, "ROAD", day=DAY, **later(3)))
    for form in AdviceFormat:
        written, findings = write_advices(shop, "M2603020001", form, tmp_path / form.value)
        told.each(f"{form}", [*written, *findings])
        for path in written:
            told.each(
                path.name,
                path.read_bytes()
                .decode(
                    "iso8859-7"
                    if b"UNOF" in path.read_bytes()[:40]
                    else "utf-8"
                    if form is AdviceFormat.UBL
                    else "latin-1"
                )
                .replace("'", "'\n")
                .splitlines(),
            )
    told.tell("without papers", close_manifest(shop, "POST", day=DAY, **later(4), without_papers=" customer waits "))
    told.tell("the day", [str(one) for one in report_day(shop, day=DAY).findings])
    told.tell("reconciled", reconcile_day(shop, day=DAY).differences)
    told.tell("reconciled the next day", reconcile_day(shop, day=DAY + timedelta(days=1)).differences)
    told.is_as_recorded()


def test_quotes(shop: Shop) -> None:
    """What each service says to a package, and to one on the telephone."""
    told = Chronicle(shop, "abroad/quotes")
    for number in ("P2603020001", "P2603020002", "P2603020003"):
        found = quote_package(shop, number, as_of=DAY)
        told.tell(f"package {number}", found)
        told.tell("chosen", found.choice)
    with shop.writing() as books:
        since = date(2026, 1, 1)
        books.add(
            [
                Surcharge(
                    service_code="ROAD",
                    valid_from=since,
                    name="island",
                    country="GB",
                    post_codes="M2",
                    amount_minor=350,
                    currency="EUR",
                )
            ]
        )
    told.tell("without a post code", quote_for(shop, "GB", Decimal(700), (300, 200, 100), as_of=DAY))
    told.tell(
        "by telephone",
        quote_for(shop, "gb", Decimal(700), (300, 200, 100), hazards="flammable", as_of=DAY, post_code="M2 5BQ"),
    )
    told.tell("no choice", quote_for(shop, "Germany", Decimal(100), (60, 50, 40), as_of=DAY).choice)
    told.refused(
        "wrong",
        lambda: quote_for(shop, "Mars", Decimal(1), (1, 1, 1), as_of=DAY),
        lambda: quote_for(shop, "DE", Decimal(1), (1, 1, 1), hazards="rude", as_of=DAY),
        lambda: quote_package(shop, "P-9", as_of=DAY),
    )
    told.is_as_recorded()


BILL = """No;Service;Kg;Net;Fuel;Cur
P2603020001;Road parcel;0,5;6,90;0,55;EUR
P2603020003;Road parcel;1,5;21,10;1,03;EUR
P2603020004;Sea parcel;0,5;9,90;0,79;EUR
X-77;Road parcel;0,5;6,90;0,55;EUR
"""
MAPPING = (
    "setting,value\npackage_column,No\ncharge_column,Net\nservice_column,Service\nweight_column,Kg\nweight_unit,kg\n"
    'currency_column,Cur\ndecimal_sign,","\nseparator,semicolon\nsurcharge fuel,Fuel\nservice Road parcel,ROAD\n'
)


def test_bills_are_held_against_the_books(shop: Shop, tmp_path: Path) -> None:
    """Too heavy, too dear, by another service, not ours, missing, twice; each with a word; looked at again."""
    told = Chronicle(shop, "abroad/bills")
    with shop.writing() as books:
        books.add(
            [Surcharge(service_code="ROAD", valid_from=date(2026, 1, 1), name="fuel", country="*", basis_points=800)]
        )
    for number in ALL:
        declare_order(shop, number, tmp_path, day=DAY, **later(1))
    close_manifest(shop, "ROAD", day=DAY, **later(2))
    path = tmp_path / "bill.csv"
    path.write_text(BILL, encoding="utf-8")
    mapping = read_mapping(MAPPING.encode(), "map.csv")
    told.tell("proposed", bill_example(shop, path))
    for name, text in (("empty", ""), ("header", "No;Net\n"), ("ragged", "No;Net\nP1;1;2;3\n")):
        (tmp_path / f"{name}.csv").write_text(text, encoding="utf-8")
        told.refused(f"no bill: {name}", partial(bill_example, shop, tmp_path / f"{name}.csv"))
    told.tell("previewed", preview_bill(shop, path, mapping))
    keep_bill_mapping(shop, "Lorries", mapping, **later(3))
    told.tell("kept")
    with shop.reading() as books:
        told.tell("as kept", kept_bill_mapping(books, "Lorries") == mapping)
        told.refused("not kept", lambda: kept_bill_mapping(books, "Boats"))
    wrong = read_mapping(MAPPING.replace("parcel,ROAD", "parcel,BOAT").encode(), "map.csv")
    told.refused("of no service", lambda: keep_bill_mapping(shop, "Boats", wrong, **later(3)))
    told.tell("another total", take_bill(shop, path, mapping, **later(4), total=Decimal("50.00")))
    told.tell("taken in", take_bill(shop, path, mapping, **later(4), total=Decimal("47.72"), number="R-1"))
    told.tell("taken in without its total", take_bill(shop, path, mapping, **later(4), number="R-1"))
    told.tell("again", take_bill(shop, path, mapping, **later(5)))
    path.write_text(BILL.replace("0,55", "0,56"), encoding="utf-8")
    told.refused("another of its number", lambda: take_bill(shop, path, mapping, **later(5), number="R-1"))
    path.write_text(BILL.replace("6,90", "dear"), encoding="utf-8")
    told.tell("with a fault", take_bill(shop, path, mapping, **later(5), number="R-2"))
    path.write_text(
        "\n".join(
            [BILL.splitlines()[0], "P2603020002;Post;0,2;5,20;0,00;EUR", "P2603020001;Road parcel;0,5;6,90;0,55;USD"]
        ),
        encoding="utf-8",
    )
    told.tell("two currencies", take_bill(shop, path, mapping, **later(6), number="R-3", total=Decimal(1)))
    told.tell("one that has not left", take_bill(shop, path, mapping, **later(6), number="R-3"))
    void_package(shop, "P2603020004", "left on the ramp", **later(7))
    now = reconcile_day(shop, day=DAY)
    told.tell("reconciled", now)
    told.each("frames", [now.frames[name] for name in sorted(now.frames)])
    told.each("on paper", sheets_of(shop, "reconciliation", at=NOW))
    words = [Word(one.code, "asked", place % 3 == 0) for place, one in enumerate(now.differences)]
    told.each("words", settle_all(shop, words, day=DAY, **later(8)))
    told.tell("closed", close_day(shop, day=DAY, **later(9)))
    told.tell("the next day", reconcile_day(shop, day=DAY + timedelta(days=1)))
    told.tell("the day itself, again", [one.code for one in reconcile_day(shop, day=DAY).differences])
    told.is_as_recorded()
