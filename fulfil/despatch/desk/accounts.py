"""What a month came to with the carriers, and what goods went where: plain sums by service and country.

Every package that left with a manifest of the month is in one row, by service, country and currency: what was agreed,
what carriers billed for it (credits taken off), what of the difference has a settled word, and what is expected back.

Goods by country are the values of what was sent at the orders' prices, without charges.

>>> row = AccountRow("ROAD", "DE", "EUR", packages=2, gross_g=Decimal(900), agreed_minor=1380, billed_minor=1470,
...     not_billed=0, settled_minor=0, expected_minor=90)
>>> str(row.as_row()["expected_credit"])
'0.90'

Limits: these are sums of our books, no tax return. Which of it is taxable where, and when, tax advice on the spot says.
Bills that came in after the month count for the packages that left in it.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from decimal import Decimal
from pathlib import Path

from fulfil.files.spreadsheet import csv_bytes
from fulfil.files.workbook import Sheet, workbook_bytes
from fulfil.files.written import write_all
from fulfil.orders.places import places_of, shares_of
from fulfil.papers.day.month_accounts import NUMBERED, MonthAccountsSheet
from fulfil.papers.sheet import head
from fulfil.records.day_close import Outcome, Settlement
from fulfil.records.despatch.carrier_bill import BillLine
from fulfil.records.despatch.dispatch import Manifest, ManifestState, Package
from fulfil.records.despatch.handover import ManifestVoid
from fulfil.records.despatch.tariff import Charge, ChargedSurcharge
from fulfil.records.order import Order, OrderLine
from fulfil.shipping.identifiers import folded
from fulfil.shop.asking import ByName
from fulfil.shop.package_numbers import numbers_of, packages_by_number
from fulfil.standards import iso4217
from fulfil.store.books import Books
from fulfil.store.shop import Shop

Flat = dict[str, str | int | Decimal]
CAUTION = "Sums of this shop's books, not a tax return: ask a local tax adviser what is taxable where."


@dataclass(frozen=True)
class AccountRow:
    """Packages of one service to one country in one currency; amounts in its minor unit.

    ``not_billed`` counts packages with a price that no bill names. ``settled_minor`` is what bills were off by where a
    person settled it, ``expected_minor`` what they are over by where nobody did: credit notes to come.
    """

    service: str
    country: str
    currency: str
    packages: int = 0
    gross_g: Decimal = Decimal(0)
    agreed_minor: int = 0
    billed_minor: int = 0
    not_billed: int = 0
    settled_minor: int = 0
    expected_minor: int = 0

    def as_row(self) -> Flat:
        """A flat row: kilograms and amounts in major units, exact; no amounts where nobody has a price."""

        def money(minor: int) -> Decimal | str:
            return iso4217.from_minor(minor, self.currency) if self.currency else ""

        return {
            "service": self.service,
            "country": self.country,
            "currency": self.currency,
            "packages": self.packages,
            "gross_kg": self.gross_g.scaleb(-3).quantize(Decimal("0.001")),
            "agreed": money(self.agreed_minor),
            "billed": money(self.billed_minor),
            "not_billed": self.not_billed,
            "settled": money(self.settled_minor),
            "expected_credit": money(self.expected_minor),
        }


@dataclass(frozen=True)
class GoodsRow:
    """Value of the goods that went to a country, in minor units of their currency, and how many orders they were of."""

    country: str
    currency: str
    orders: int
    value_minor: int

    def as_row(self) -> Flat:
        """A flat row."""
        value = iso4217.from_minor(self.value_minor, self.currency)
        return {"country": self.country, "currency": self.currency, "orders": self.orders, "goods_value": value}


@dataclass(frozen=True)
class MonthAccounts:
    """A month's rows, by service, country and currency; goods by country and currency."""

    month: date
    rows: tuple[AccountRow, ...]
    goods: tuple[GoodsRow, ...]


def month_accounts(books: Books, month: date) -> MonthAccounts:
    """The accounts of the month of ``month``: of manifests of its days; void packages are left out."""
    first = month.replace(day=1)
    after = (first + timedelta(days=31)).replace(day=1)
    manifests = [one.number for one in books.between(Manifest, "day", first, after, state=ManifestState.CLOSED)]
    void = {one.package_number for one in books.find(ManifestVoid, manifest_number=manifests)}
    packages = [one for one in books.find(Package, manifest_number=manifests) if one.number not in void]
    orders = {one.number: one for one in books.find(Order, number=sorted({one.order_number for one in packages}))}
    return MonthAccounts(first, _rows(books, packages, orders), _goods(books, packages, orders))


def _rows(books: Books, packages: Iterable[Package], orders: dict[str, Order]) -> tuple[AccountRow, ...]:
    listed = {one.number: one for one in packages}
    numbers = sorted(listed)
    charges = {one.package_number: one for one in books.find(Charge, package_number=numbers)}
    agreed = {number: one.price_minor for number, one in charges.items()}
    for added in books.find(ChargedSurcharge, package_number=numbers):
        agreed[added.package_number] = agreed.get(added.package_number, 0) + added.amount_minor
    billed = _billed(books, numbers)
    settled = {
        one.subject.removeprefix("package ")
        for one in books.find(Settlement, outcome=Outcome.SETTLED, subject=[f"package {number}" for number in numbers])
    }
    rows: dict[tuple[str, str, str], AccountRow] = {}
    for number, package in listed.items():
        ours = charges[number].currency if number in charges else ""
        country = orders[package.order_number].country
        # A package is counted once: with the currency of its price, of one without a price with its first bill's.
        currencies = sorted({ours, *billed[number]} - {""}) or [""]
        for currency in currencies:
            key = (package.service_code, country, currency)
            row = rows.get(key, AccountRow(*key))
            due = agreed.get(number, 0) if currency == ours else 0
            said = billed[number].get(currency)
            over = 0 if said is None else said - due
            is_main = currency == (ours or currencies[0])
            rows[key] = replace(
                row,
                packages=row.packages + is_main,
                gross_g=row.gross_g + package.known_g * is_main,
                agreed_minor=row.agreed_minor + due,
                billed_minor=row.billed_minor + (said or 0),
                not_billed=row.not_billed + (bool(ours) and not billed[number]),
                settled_minor=row.settled_minor + (over if number in settled else 0),
                expected_minor=row.expected_minor + (max(over, 0) if number not in settled else 0),
            )
    return tuple(rows[key] for key in sorted(rows))


def _billed(books: Books, numbers: list[str]) -> dict[str, dict[str, int]]:
    """What carriers billed for each package by currency, whichever of its numbers the bill names."""
    keys = {folded(number) for number in numbers}
    keys |= {known for of in numbers_of(books, numbers).values() for known in of}
    lines = {(one.bill_number, one.line_no): one for one in books.find(BillLine, package_number=numbers)}
    found = books.find(BillLine, number_key=sorted(keys - {""}))
    lines |= {(one.bill_number, one.line_no): one for one in found}
    ours = packages_by_number(books, {one.package_number for one in lines.values()})
    billed: dict[str, dict[str, int]] = defaultdict(dict)
    for line in lines.values():
        of = billed[ours.get(line.package_number, line.package_number)]
        of[line.currency] = of.get(line.currency, 0) + line.charge_minor
    return billed


def _goods(books: Books, packages: Iterable[Package], orders: dict[str, Order]) -> tuple[GoodsRow, ...]:
    """What was sent of each line in these packages, at its price; of a kit whole kits."""
    sent: dict[str, list[str]] = defaultdict(list)
    for package in packages:
        sent[package.order_number].append(package.number)
    places = places_of(books, sorted(sent))
    values: dict[tuple[str, str], int] = defaultdict(int)
    who: dict[tuple[str, str], set[str]] = defaultdict(set)
    for line in books.find(OrderLine, order_number=sorted(sent)):
        order = orders[line.order_number]
        pieces = shares_of(line, places[line.order_number, line.line_no], sent[line.order_number]).now
        values[order.country, order.currency] += pieces * line.unit_price_minor
        who[order.country, order.currency].add(order.number)
    return tuple(GoodsRow(*key, len(who[key]), values[key]) for key in sorted(values))


def accounts_sheet(books: Books, accounts: MonthAccounts) -> MonthAccountsSheet:
    """The accounts as a page, amounts in groups of three digits."""
    return MonthAccountsSheet(
        **head(books.settings(), NUMBERED.number(accounts.month), accounts.month),
        month=f"{accounts.month:%B %Y}",
        charges=tuple(_cells(one.as_row()) for one in accounts.rows),
        goods=tuple(_cells(one.as_row()) for one in accounts.goods),
        caution=CAUTION,
    )


def _cells(row: Flat) -> tuple[str, ...]:
    return tuple(said if isinstance(said, str) else f"{said:,}" for said in row.values())


def _of_the_month(shop: Shop, at: datetime) -> tuple[MonthAccountsSheet, ...]:
    with shop.reading() as books:
        return (accounts_sheet(books, month_accounts(books, at.date())),)


BY_NAME = (ByName(MonthAccountsSheet, _of_the_month),)


def write_accounts(accounts: MonthAccounts, out: Path) -> list[Path]:
    """Writes both tables as CSV files, and one workbook with both and the caution.

    Raises:
        FileRefused: when a file can't be written.
    """
    tables = {"charges": [one.as_row() for one in accounts.rows], "goods": [one.as_row() for one in accounts.goods]}
    named = {name: rows for name, rows in tables.items() if rows}
    sheets: dict[str, Sheet] = {name: ([*rows[0]], [[*row.values()] for row in rows]) for name, rows in named.items()}
    begins = f"{accounts.month:%Y-%m}"
    made = {f"{begins}-{name}.csv": csv_bytes(*sheet) for name, sheet in sheets.items()}
    made[f"{begins}-accounts.xlsx"] = workbook_bytes({**sheets, "read this first": (["caution"], [[CAUTION]])})
    return write_all(out, made)
