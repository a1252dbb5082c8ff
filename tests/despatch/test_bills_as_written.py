"""Bills as carriers write them: right ones in twenty layouts differ in nothing, a mistake is named once.

The writers below know nothing of the reader: they lay out the same charges by the csv module and openpyxl. Grams in a
pound and an ounce are those of the international yard and pound agreement of 1959 (NIST Handbook 44, appendix C).
"""

import csv
import io
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from pathlib import Path

import pytest
from openpyxl import Workbook

from fulfil.despatch.reconcile import reconcile_day, take_bill
from fulfil.despatch.ship import close_manifest
from fulfil.files.bill_mapping import read_mapping
from fulfil.records.despatch.dispatch import Package, PackageState
from fulfil.records.despatch.tariff import Charge, ChargedSurcharge, Surcharge
from fulfil.records.revised import revised
from fulfil.store.shop import Shop
from tests.shipping_shop import DAY, NOW, sealed_shop

POUND_G, OUNCE_G = Decimal("453.59237"), Decimal("28.349523125")
Rows = list[list[str]]
Write = Callable[[Path, "list[Billed]"], tuple[str, Path]]
"""Writes a bill; gives the mapping that reads it, and its file."""


@dataclass(frozen=True)
class Billed:
    """What the carrier charges for one package, by the agreement: exact."""

    number: str
    service: str
    mass_g: int
    price: Decimal
    fuel: Decimal
    toll: Decimal

    @property
    def total(self) -> Decimal:
        """All of it."""
        return self.price + self.fuel + self.toll


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Three packages by road, with fuel (8 %) and toll (EUR 0.35), shipped."""
    with sealed_shop(tmp_path / "shop.db") as opened:
        with opened.writing() as books:
            since = date(2026, 1, 1)
            fuel = Surcharge(service_code="ROAD", valid_from=since, name="fuel", country="*", basis_points=800)
            toll = Surcharge(
                service_code="ROAD", valid_from=since, name="toll", country="*", amount_minor=35, currency="EUR"
            )
            books.add([fuel, toll])
        close_manifest(opened, "ROAD", day=DAY, at=NOW, person="huia")
        yield opened


def agreed(shop: Shop) -> list[Billed]:
    """The charges as the shop expects them."""
    with shop.reading() as books:
        added = {
            (one.package_number, one.name): Decimal(one.amount_minor) / 100 for one in books.find(ChargedSurcharge)
        }
        return [
            Billed(one.package_number, "ROAD", one.chargeable_g, Decimal(one.price_minor) / 100,
                   added[one.package_number, "fuel"], added[one.package_number, "toll"])
            for one in books.find(Charge)
        ]  # fmt: skip


def text(rows: Sequence[Sequence[str]], delimiter: str = ",") -> str:
    """Rows as CSV text."""
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter, lineterminator="\n").writerows(rows)
    return out.getvalue()


def layout(
    mapping: str,
    rows: Callable[[list[Billed]], Rows],
    *,
    delimiter: str = ",",
    encoding: str = "utf-8",
    before: str = "",
) -> Write:
    """A layout in a text file."""

    def write(folder: Path, bill: list[Billed]) -> tuple[str, Path]:
        path = folder / "bill.csv"
        path.write_text(before + text(rows(bill), delimiter), encoding=encoding)
        return mapping, path

    return write


def comma(amount: Decimal) -> str:
    """With a decimal comma and points between groups."""
    return f"{amount:,.2f}".translate(str.maketrans(",.", ".,"))


def in_unit(mass_g: int, unit_g: Decimal, step: str, rounding: str) -> str:
    """A mass in the carrier's unit, rounded as the carrier does."""
    return f"{(Decimal(mass_g) / unit_g).quantize(Decimal(step), rounding):f}"


def kinds(bill: list[Billed]) -> Rows:
    """One row for each kind of charge."""
    rows = [["Shipment", "Charge", "Amount", "Kilos"]]
    for one in bill:
        rows += [
            [one.number, "BASE", f"{one.price}", f"{Decimal(one.mass_g) / 1000:.2f}"],
            [one.number, "FUEL", f"{one.fuel}", ""],
            [one.number, "TOLL", f"{one.toll}", ""],
        ]
    return rows


def kinds_apart(bill: list[Billed]) -> Rows:
    """All of one kind, then all of the next."""
    head, *rows = kinds(bill)
    return [head, *sorted(rows, key=lambda row: row[1])]


def with_duties(bill: list[Billed]) -> Rows:
    """The same, with duty, tax and totals between."""
    rows = kinds(bill)
    rows += [[bill[1].number, "DUTY", "11.20", ""], [bill[1].number, "VAT-IMP", "9.99", ""]]
    rows += [["", "VAT", "7.77", ""], ["", "NET TOTAL", "45.00", ""]]
    return rows


PLAIN = "setting,value\npackage_column,Parcel\ncharge_column,Net\ncurrency,EUR\n"
KINDS = (
    "setting,value\npackage_column,Shipment\ncharge_column,Amount\ncurrency,EUR\nkind_column,Charge\nweight_column,Kilos\n"
    "weight_unit,kg\nkind BASE,price\nkind FUEL,fuel\nkind TOLL,toll\nkind DUTY,duty\nkind VAT,tax\nkind VAT-IMP,tax\n"
    "kind NET TOTAL,skip\n"
)


def weighed(unit: str, unit_g: Decimal, step: str, rounding: str) -> Write:
    """Weights in a unit, to a step."""
    mapping = PLAIN + f"weight_column,Weight\nweight_unit,{unit}\n"
    return layout(mapping, lambda bill: [["Parcel", "Weight", "Net"]] + [
        [one.number, in_unit(one.mass_g, unit_g, step, rounding), f"{one.total}"] for one in bill])  # fmt: skip


def book(folder: Path, bill: list[Billed]) -> tuple[str, Path]:
    """A workbook whose amounts are numbers."""
    made = Workbook()
    sheet = made.active
    assert sheet is not None
    sheet.append(["Parcel", "Weight", "Net"])
    for one in bill:
        sheet.append([one.number, float(one.mass_g) / 1000, float(one.total)])
    made.save(folder / "bill.xlsx")
    return PLAIN + "weight_column,Weight\nweight_unit,kg\n", folder / "bill.xlsx"


LAYOUTS: dict[str, Write] = {
    "plain": layout(PLAIN, lambda bill: [["Parcel", "Net"]] + [[one.number, f"{one.total}"] for one in bill]),
    "decimal comma, semicolons": layout(
        PLAIN, lambda bill: [["Parcel", "Net"]] + [[one.number, comma(one.total)] for one in bill], delimiter=";"
    ),
    "tabs, said so": layout(
        PLAIN + "separator,tab\n",
        lambda bill: [["Parcel", "Net"]] + [[one.number, f"{one.total}"] for one in bill],
        delimiter="\t",
    ),
    "code page 1252, euro sign": layout(
        PLAIN + "encoding,cp1252\n",
        lambda bill: [["Parcel", "Net", "Größe"]] + [[one.number, f"€ {one.total}", "ü"] for one in bill],
        encoding="cp1252",
    ),
    "three columns of charges": layout(
        PLAIN + "surcharge fuel,Fuel\nsurcharge toll,Toll\n",
        lambda bill: [["Parcel", "Net", "Fuel", "Toll"]]
        + [[one.number, f"{one.price}", f"{one.fuel}", f"{one.toll}"] for one in bill],
    ),
    "total column holds the surcharges": layout(
        PLAIN + "surcharge fuel,Fuel\nsurcharge toll,Toll\ncharge_is_total,yes\n",
        lambda bill: [["Parcel", "Net", "Fuel", "Toll"]]
        + [[one.number, f"{one.total}", f"{one.fuel}", f"{one.toll}"] for one in bill],
    ),
    "a row for each kind of charge": layout(KINDS, kinds),
    "kinds of charge far apart": layout(KINDS, kinds_apart),
    "duty, taxes and totals between": layout(KINDS, with_duties),
    "kilograms to 0.01": weighed("kg", Decimal(1000), "0.01", ROUND_HALF_UP),
    "kilograms to 0.1, up": weighed("kg", Decimal(1000), "0.1", ROUND_CEILING),
    "pounds to 0.1": weighed("lb", POUND_G, "0.1", ROUND_HALF_UP),
    "pounds, up": weighed("lb", POUND_G, "1", ROUND_CEILING),
    "ounces to 0.1": weighed("oz", OUNCE_G, "0.1", ROUND_HALF_UP),
    "small letters, spaces": layout(
        PLAIN,
        lambda bill: [["Parcel", "Net"]]
        + [[f"{one.number[:4].lower()} {one.number[4:]}", f"{one.total}"] for one in bill],
    ),
    "title rows and a total row": layout(
        PLAIN,
        lambda bill: [["Invented Carrier", "March", "2026"], ["Customer", "4711", ""], ["Parcel", "Net", "Day"]]
        + [[one.number, f"{one.total}", "2.3."] for one in bill]
        + [["Total", f"{sum(one.total for one in bill)}", ""]],
    ),
    "rows to skip": layout(
        PLAIN + "skip VAT 17 %,yes\nskip to pay,yes\n",
        lambda bill: [["Parcel", "Net"]]
        + [[one.number, f"{one.total}"] for one in bill]
        + [["VAT 17 %", "5.03"], ["TO PAY", "34.63"]],
    ),
    "credits in brackets and charged anew": layout(
        PLAIN,
        lambda bill: [["Parcel", "Net"]]
        + [[one.number, f"{one.total}"] for one in bill]
        + [[bill[0].number, f"({bill[0].total})"], [bill[0].number, f"{bill[0].total}"]],
    ),
    "thousands and a minus behind": layout(
        PLAIN,
        lambda bill: [["Parcel", "Net"]]
        + [[one.number, f"{one.total}"] for one in bill]
        + [[bill[0].number, "1,234.50"], [bill[0].number, "1,234.50-"]],
    ),
    "a currency in each row, the carrier's service words": layout(
        "setting,value\npackage_column,Parcel\ncharge_column,Net\ncurrency_column,Cur\nservice_column,Product\n"
        "service EU-STD,ROAD\n",
        lambda bill: [["Parcel", "Net", "Cur", "Product"]]
        + [[one.number, f"{one.total}", "EUR", "EU-STD"] for one in bill],
    ),
    "a workbook": book,
}  # fmt: skip


def differences(shop: Shop, folder: Path, write: Write, bill: list[Billed]) -> list[tuple[str, str, str]]:
    """What the day's reconciliation names after the bill came in."""
    mapping, path = write(folder, bill)
    taken = take_bill(shop, path, read_mapping(mapping.encode(), "map.csv"), at=NOW, person="huia")
    assert taken.findings == (), [str(one) for one in taken.findings]
    found = reconcile_day(shop, day=DAY).differences
    return [
        (one.cause.value, one.subject, one.money) for one in found if one.cause.value.startswith(("billed", "not b"))
    ]


@pytest.mark.parametrize("name", LAYOUTS)
def test_a_right_bill_differs_in_nothing(shop: Shop, tmp_path: Path, name: str) -> None:
    """Twenty layouts and one more."""
    assert differences(shop, tmp_path, LAYOUTS[name], agreed(shop)) == []


def test_there_are_twenty_layouts_and_more() -> None:
    """As many as were promised."""
    assert len(LAYOUTS) >= 20


CENT = Decimal("0.01")
FIRST, SECOND = "package P2603020001", "package P2603020003"
MISTAKES: dict[str, tuple[Callable[[list[Billed]], list[Billed]], list[tuple[str, str, str]]]] = {
    "a cent off the price": (
        lambda bill: [replace(bill[0], price=bill[0].price - CENT), *bill[1:]],
        [("billed price", FIRST, "EUR -0.01")],
    ),
    "a cent on the price": (
        lambda bill: [replace(bill[0], price=bill[0].price + CENT), *bill[1:]],
        [("billed price", FIRST, "EUR 0.01")],
    ),
    "twice the toll": (
        lambda bill: [bill[0], replace(bill[1], toll=bill[1].toll * 2), *bill[2:]],
        [("billed surcharge", SECOND, "EUR 0.35")],
    ),
    "no toll": (
        lambda bill: [bill[0], replace(bill[1], toll=Decimal("0.00")), *bill[2:]],
        [("billed surcharge", SECOND, "EUR -0.35")],
    ),
    "fuel at ten per cent": (
        lambda bill: [replace(bill[0], fuel=Decimal("0.69")), *bill[1:]],
        [("billed surcharge", FIRST, "EUR 0.14")],
    ),
    "a package twice": (lambda bill: [*bill, bill[0]], [("billed twice", FIRST, "EUR 7.80")]),
    "a package left out": (lambda bill: bill[1:], [("not billed", FIRST, "EUR -7.80")]),
    "somebody else's package": (
        lambda bill: [*bill, replace(bill[0], number="ZZ9")],
        [("billed, unknown number", "ZZ9", "EUR 7.80")],
    ),
    "no fuel": (
        lambda bill: [replace(bill[0], fuel=Decimal("0.00")), *bill[1:]],
        [("billed surcharge", FIRST, "EUR -0.55")],
    ),
    "twice the price, fuel with it": (
        lambda bill: [replace(bill[0], price=bill[0].price * 2, fuel=Decimal("1.10")), *bill[1:]],
        [("billed price", FIRST, "EUR 7.45")],
    ),
    "two digits changed places": (
        lambda bill: [replace(bill[0], price=Decimal("9.60")), *bill[1:]],
        [("billed price", FIRST, "EUR 2.92"), ("billed surcharge", FIRST, "EUR -0.22")],
    ),
    "another weight step with its price": (
        lambda bill: [replace(bill[0], mass_g=1000, price=Decimal("9.90"), fuel=Decimal("0.79")), *bill[1:]],
        [("billed weight", FIRST, "EUR 3.24")],
    ),
    "the charges of two packages changed": (
        lambda bill: [replace(bill[1], number=bill[0].number), replace(bill[0], number=bill[1].number), *bill[2:]],
        [("billed price", FIRST, "EUR 6.48"), ("billed price", SECOND, "EUR -6.48")],
    ),
    "a credit that nobody asked for": (
        lambda bill: [*bill, replace(bill[0], price=-Decimal(1), fuel=Decimal("0.00"), toll=Decimal("0.00"))],
        [("billed price", FIRST, "EUR -1.00")],
    ),
    "a package that hasn't left": (
        lambda bill: [*bill, replace(bill[0], number="P2603020002")],
        [("billed, not shipped", "package P2603020002", "EUR 7.80")],
    ),
    "a digit of the number wrong": (
        lambda bill: [replace(bill[0], number="P2603020091"), *bill[1:]],
        [("billed, unknown number", "P2603020091", "EUR 7.80"), ("not billed", FIRST, "EUR -7.80")],
    ),
    "three times, once under small letters": (
        lambda bill: [*bill, bill[0], replace(bill[0], number=bill[0].number.lower())],
        [("billed twice", FIRST, "EUR 15.60")],
    ),
    "a kilogram too much, at the same price": (
        lambda bill: [replace(bill[0], mass_g=bill[0].mass_g + 1000), *bill[1:]],
        [("billed weight", FIRST, "EUR 0.00")],
    ),
}


@pytest.mark.parametrize("name", MISTAKES)
@pytest.mark.parametrize("form", ["a row for each kind of charge", "duty, taxes and totals between"])
def test_a_mistake_is_named_once(shop: Shop, tmp_path: Path, name: str, form: str) -> None:
    """With its money, in a bill whose rows are kinds of charge; nothing besides is named.

    Fuel that doesn't follow a wrong price by its per cent stands apart from it; the cents add up: 2.92 - 0.22 = 2.70.
    """
    spoil, expected = MISTAKES[name]
    assert differences(shop, tmp_path, LAYOUTS[form], spoil(agreed(shop))) == expected


def test_a_kind_that_nobody_mapped_is_a_finding(shop: Shop, tmp_path: Path) -> None:
    """With the row and what to write into the mapping; nothing comes in."""
    mapping, path = LAYOUTS["a row for each kind of charge"](tmp_path, agreed(shop))
    short = mapping.replace("kind TOLL,toll\n", "")
    taken = take_bill(shop, path, read_mapping(short.encode(), "map.csv"), at=NOW, person="huia")
    assert (taken.lines, len(taken.findings)) == (0, 3)
    assert str(taken.findings[0]) == (
        "bill.csv, line 4, charge 'TOLL': is no kind of charge that the mapping has. Do: write 'kind TOLL' into the "
        "mapping: price, the name of a surcharge, duty, tax, credit or skip."
    )


def test_duties_and_taxes_are_said_and_not_compared(shop: Shop, tmp_path: Path) -> None:
    """Their sums stand in the notes, with the caution that tax advice is local."""
    mapping, path = LAYOUTS["duty, taxes and totals between"](tmp_path, agreed(shop))
    taken = take_bill(shop, path, read_mapping(mapping.encode(), "map.csv"), at=NOW, person="huia")
    assert "bill.csv: duty EUR 11.20 in 1 row is not compared; tax advice is local" in taken.notes
    assert "bill.csv: tax EUR 17.76 in 2 rows is not compared; tax advice is local" in taken.notes
    assert "bill.csv, line 14: 'NET TOTAL' is passed over, as the mapping says" in taken.notes


def test_a_total_that_its_rows_dont_add_up_to_is_a_finding(shop: Shop, tmp_path: Path) -> None:
    """Duty and tax included; right, the bill comes in."""
    bill = agreed(shop)
    mapping, path = LAYOUTS["duty, taxes and totals between"](tmp_path, bill)
    read = read_mapping(mapping.encode(), "map.csv")
    total = sum((one.total for one in bill), Decimal("28.96"))
    off = take_bill(shop, path, read, at=NOW, person="huia", total=total + CENT)
    assert [str(one) for one in off.findings] == [
        f"bill.csv, total '{total + CENT}': its rows add up to EUR {total}. Do: look for a row that is missing or read "
        "wrongly (--dry-run), then ask the carrier."
    ]
    assert take_bill(shop, path, read, at=NOW, person="huia", total=total).lines == 3


def test_a_manifest_that_a_weeks_bill_passes_over_is_named(tmp_path: Path) -> None:
    """Monday and Wednesday are billed, Tuesday's manifest isn't: each of its packages is named, once."""
    days = [DAY, DAY + timedelta(days=1), DAY + timedelta(days=2)]
    with sealed_shop(tmp_path / "shop.db") as shop:
        numbers = ["P2603020001", "P2603020003", "P2603020004"]
        for place, day in enumerate(days):
            others = numbers[place + 1 :]
            with shop.writing() as books:
                waits = [books.need(Package, number) for number in others]
                books.replace([revised(one, {"state": PackageState.PLANNED}) for one in waits])
            close_manifest(shop, "ROAD", day=day, at=NOW + (day - DAY), person="huia")
            with shop.writing() as books:
                books.replace(waits)
        path = tmp_path / "week.csv"
        path.write_text("Parcel,Net\nP2603020001,6.90\nP2603020004,6.90\n", encoding="utf-8")
        take_bill(shop, path, read_mapping(PLAIN.encode(), "map.csv"), at=NOW + timedelta(days=3), person="huia")
        found = reconcile_day(shop, day=days[-1]).differences
        assert [(one.cause.value, one.subject) for one in found if one.cause.value == "not billed"] == [
            ("not billed", "package P2603020003")
        ]
