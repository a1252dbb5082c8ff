"""Reconcile a day: what the books, the manifests, the scale and the carriers' bills say, side by side.

The comparison itself is :mod:`fulfil.shipping.reconcile`; here it gets its facts, and each difference the word that a
person has given on it. Sums that must agree stand in :attr:`DayReconciliation.sums`: pieces of the day's orders,
packages and grams of its manifests, minor units of all bills.

A difference stays until it is settled, however old; one settled on an earlier day is named no more. Which packages,
manifests and bills are looked at says :mod:`fulfil.despatch.reconcile_facts`.
"""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from fulfil.despatch.reconcile_facts import DayFacts
from fulfil.despatch.report import line_balances, orders_of_day
from fulfil.errors import FileRefused
from fulfil.files.bill_mapping import BillMapping
from fulfil.files.carrier_bill import BillRead, read_bill
from fulfil.files.catalogue import read_bytes
from fulfil.quantities import print_grams
from fulfil.records.day_close import ClosedDay, Outcome, Settlement
from fulfil.records.despatch.carrier_bill import BilledSurcharge, BillLine, CarrierBill
from fulfil.records.despatch.dispatch import Manifest, ManifestState
from fulfil.records.finding import Finding
from fulfil.records.happening import Happening
from fulfil.records.order import Order, OrderLine
from fulfil.records.text import cut
from fulfil.shipping.balance import DayBalance, LineBalance, balance
from fulfil.shipping.differences import Difference, PackageFacts, major_units
from fulfil.shipping.identifiers import folded
from fulfil.shipping.reconcile import reconcile
from fulfil.shop.package_numbers import note_of_bill, packages_by_number
from fulfil.standards import iso4217
from fulfil.store.books import Books
from fulfil.store.shop import Shop

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Agreement:
    """Two sums that must be the same."""

    label: str
    ours: str
    theirs: str

    @property
    def holds(self) -> bool:
        """Whether they are."""
        return self.ours == self.theirs


@dataclass(frozen=True)
class DayReconciliation:
    """A day's differences, the words on them (by code), sums, balance, frames, and its closing if it is closed.

    ``frames``: ``differences`` (one row each, as ranked), ``costs`` (one row an order: packages, as agreed, as billed),
    ``packages`` (one row a package: gross mass, chargeable weight, agreed and billed charge, surcharges included).
    """

    day: date
    balance: DayBalance
    differences: tuple[Difference, ...]
    words: dict[str, Settlement]
    sums: tuple[Agreement, ...]
    facts: DayFacts
    open_manifests: tuple[Manifest, ...]
    packages: int
    closed: ClosedDay | None

    @cached_property
    def frames(self) -> "dict[str, pd.DataFrame]":
        """The tables, made when they are asked for."""
        return {
            "differences": _difference_frame(self.differences, self.words),
            "costs": _cost_frame(self.facts),
            "packages": _package_frame(self.facts),
        }

    @property
    def open_differences(self) -> tuple[Difference, ...]:
        """Differences on which nobody has said a word that holds today."""
        return tuple(one for one in self.differences if one.code not in self.words)


@dataclass(frozen=True)
class BillTaken:
    """What became of a carrier's file: its lines, or its findings; unchanged when it was there already.

    ``unknown`` counts the lines for numbers that aren't ours.
    """

    lines: int
    findings: tuple[Finding, ...]
    is_unchanged: bool = False
    unknown: int = 0
    notes: tuple[str, ...] = ()


def take_bill(
    shop: Shop,
    path: Path,
    mapping: BillMapping,
    *,
    at: datetime,
    person: str,
    number: str = "",
    total: Decimal | None = None,
) -> BillTaken:
    """Takes a carrier's bill in, whole or not at all; the same file again changes nothing.

    ``number`` is the bill's own; without it, the file's name. ``total`` is what the bill says that it comes to, duties
    and taxes included: rows that don't add up to it are a finding.

    Raises:
        FileRefused: the file can't be read, or another file came in under this number.
    """
    read = read_bill(read_bytes(path), path.name, mapping)
    if read.findings:
        return BillTaken(0, read.findings, notes=read.notes)
    if total is not None and (off := _total_off(read, total, path.name)):
        return BillTaken(0, (off,), notes=read.notes)
    name = number or path.stem[:40]
    with shop.writing() as books:
        if books.find(CarrierBill, digest=read.digest):
            return BillTaken(len(read.lines), (), is_unchanged=True, notes=read.notes)
        if books.get(CarrierBill, name) is not None:
            raise FileRefused("take in the bill", name, "a number that no other bill has; name it with --number")
        bill = CarrierBill(number=name, file_name=cut(path.name), digest=read.digest, at=at, person=person)
        lines = [
            BillLine(
                bill_number=name,
                line_no=line.line_no,
                package_number=line.package_number,
                service_code=cut(line.service_code),
                billed_g=line.billed_g,
                charge_minor=line.charge_minor,
                currency=line.currency,
                number_key=cut(folded(line.package_number)),
                billed_step_g=line.billed_step_g,
            )
            for line in read.lines
        ]
        surcharges = [
            BilledSurcharge(bill_number=name, line_no=line.line_no, name=surcharge, amount_minor=amount_minor)
            for line in read.lines
            for surcharge, amount_minor in line.surcharges
        ]
        ours = packages_by_number(books, {line.package_number for line in lines})
        unknown = sum(line.package_number not in ours for line in lines)
        books.add([bill])
        books.add([*lines, *surcharges])
        tracked = {
            line.tracking_number: ours[line.package_number]
            for line in read.lines
            if line.tracking_number and line.package_number in ours
        }
        note_of_bill(books, tracked, cut(path.name), at=at, person=person)
        particulars = {"lines": len(lines), "file": path.name}
        books.journal(at=at, person=person, event=Happening.BILL_TAKEN_IN, subject=name, particulars=particulars)
    return BillTaken(len(lines), (), unknown=unknown, notes=read.notes)


def _total_off(read: BillRead, total: Decimal, source: str) -> Finding | None:
    """The finding where a bill's rows don't add up to its total; of several currencies nobody can say."""
    currencies = sorted({line.currency for line in read.lines})
    if len(currencies) != 1:
        says = f"a bill in {', '.join(currencies) or 'no currency'} has no one total"
        return Finding(source, None, "total", f"{total:f}", says, "take it in without --total")
    rows_minor = sum(line.charge_minor for line in read.lines) + read.not_compared_minor
    if iso4217.to_minor(total, currencies[0]) == rows_minor:
        return None
    says = f"its rows add up to {iso4217.print_money(rows_minor, currencies[0])}"
    do = "look for a row that is missing or read wrongly (--dry-run), then ask the carrier"
    return Finding(source, None, "total", f"{total:f}", says, do)


def reconcile_day(shop: Shop, *, day: date) -> DayReconciliation:
    """The day as it stands now."""
    with shop.reading() as books:
        return reconciliation(books, day=day)


def reconciliation(books: Books, *, day: date) -> DayReconciliation:
    """The day as it stands in these books."""
    facts = DayFacts(books, day)
    of_day = orders_of_day(books, day)
    lines = line_balances(books, of_day)
    found = reconcile(
        lines=lines,
        line_values=_values(books, lines),
        packages=facts.packages,
        manifests=facts.manifests,
        bills=facts.bills,
        billed_surcharges=facts.billed_surcharges,
    )
    words = _words(books, day, [one.code for one in found])
    done_before = {code for code, word in words.items() if word.outcome is Outcome.SETTLED and word.day < day}
    differences = tuple(one for one in found if one.code not in done_before)
    words = {one.code: words[one.code] for one in differences if one.code in words}
    sums = balance(line for line in lines if line.order_number in of_day)
    return DayReconciliation(
        day=day,
        balance=sums,
        differences=differences,
        words=words,
        sums=_agreements(sums, facts, found),
        facts=facts,
        open_manifests=tuple(books.find(Manifest, state=ManifestState.OPEN)),
        packages=sum(one.manifest_number in facts.today and not one.is_void for one in facts.packages),
        closed=books.get(ClosedDay, day),
    )


def _values(books: Books, lines: list[LineBalance]) -> dict[tuple[str, int], tuple[int, str]]:
    """What the pieces in hand of each line that is off are worth."""
    off = {(line.order_number, line.line_no): line.in_hand for line in lines if line.in_hand}
    numbers = sorted({order_number for order_number, _ in off})
    currencies = {order.number: order.currency for order in books.find(Order, number=numbers)}
    return {
        key: (abs(off[key]) * line.unit_price_minor, currencies[line.order_number])
        for line in books.find(OrderLine, order_number=numbers)
        if (key := (line.order_number, line.line_no)) in off
    }


def _words(books: Books, day: date, codes: list[str]) -> dict[str, Settlement]:
    """Words on these differences that hold on a day: settled on any day, or carried over on this one."""
    said = books.find(Settlement, difference=codes)
    settled = {one.difference: one for one in said if one.outcome is Outcome.SETTLED}
    return {one.difference: one for one in said if one.day == day} | settled


def _agreements(sums: DayBalance, facts: DayFacts, differences: tuple[Difference, ...]) -> tuple[Agreement, ...]:
    """The sums to the piece, the gram and the minor unit."""
    out = [one for one in facts.packages if one.manifest_number]
    manifests = [manifest for manifest in facts.manifests if manifest.number in facts.today]
    placed = sums.shipped + sums.short + sums.held + sums.cancelled
    said_g = sum((manifest.weight_g for manifest in manifests), Decimal(0))
    on_paper = {manifest.number for manifest in manifests}
    packed_g = sum((one.gross_g or Decimal(0) for one in out if one.manifest_number in on_paper), Decimal(0))
    agreed = [
        Agreement("pieces: ordered; shipped, short, held, cancelled", f"{sums.ordered}", f"{placed}"),
        Agreement(
            "packages: on manifests; in the books",
            f"{sum(manifest.packages for manifest in manifests)}",
            f"{sum(one.manifest_number in on_paper for one in out)}",
        ),
        Agreement("grams: manifests; packages as weighed", *map(print_grams, _alike(said_g, packed_g))),
    ]
    for currency in sorted({line.currency for line in facts.bills}):
        billed = sum(line.charge_minor for line in facts.bills if line.currency == currency)
        ours = sum(
            one.charge_minor
            for one in out
            if one.charge and one.charge.currency == currency and not one.is_void and _pays(one, facts)
        )
        differ = sum(
            one.money_minor for one in differences if one.currency == currency and one.cause.startswith("billed")
        )
        agreed.append(
            Agreement(
                "money: billed; agreed and the differences named",
                iso4217.print_money(billed, currency),
                iso4217.print_money(ours + differ, currency),
            )
        )
    return tuple(agreed)


def _alike(one_g: Decimal, other_g: Decimal) -> tuple[Decimal, Decimal]:
    """Both with as many decimals as the finer one has: 597 g and 597.0 g are the same mass.

    >>> _alike(Decimal("597"), Decimal("597.0"))
    (Decimal('597.0'), Decimal('597.0'))
    """
    return one_g + 0 * other_g, other_g + 0 * one_g


def _pays(one: PackageFacts, facts: DayFacts) -> bool:
    """Whether a bill has a line for the package in the currency agreed."""
    lines = facts.billed.get(one.number, [])
    first = next((line for line in lines if line.charge_minor >= 0), lines[0] if lines else None)
    return first is not None and one.charge is not None and first.currency == one.charge.currency


def _difference_frame(differences: tuple[Difference, ...], words: dict[str, Settlement]) -> "pd.DataFrame":
    import pandas as pd

    rows = [
        (
            one.code,
            one.cause.value,
            one.subject,
            one.says,
            one.do,
            f"{major_units(one).copy_sign(one.money_minor):f}" if one.currency else "",
            one.currency,
            words[one.code].outcome.value if one.code in words else "",
            words[one.code].reason if one.code in words else "",
        )
        for one in differences
    ]
    columns = ["code", "cause", "subject", "says", "do", "money", "currency", "outcome", "reason"]
    return pd.DataFrame(rows, columns=columns, dtype=object)


def _cost_frame(facts: DayFacts) -> "pd.DataFrame":
    """Cost of shipping by order, in the currency of the charge, exact."""
    import pandas as pd

    agreed: dict[tuple[str, str], int] = defaultdict(int)
    billed: dict[tuple[str, str], int] = defaultdict(int)
    count: dict[str, int] = defaultdict(int)
    for one in facts.of_day:
        if not one.manifest_number or one.is_void:
            continue
        count[one.order_number] += 1
        if one.charge is not None:
            agreed[one.order_number, one.charge.currency] += one.charge_minor
        for line in facts.billed.get(one.number, ()):
            billed[one.order_number, line.currency] += line.charge_minor
    rows = [
        (
            number,
            count[number],
            currency,
            f"{iso4217.from_minor(agreed[number, currency], currency):f}",
            f"{iso4217.from_minor(billed[number, currency], currency):f}" if (number, currency) in billed else "",
        )
        for number, currency in sorted(set(agreed) | set(billed))
    ]
    return pd.DataFrame(rows, columns=["order", "packages", "currency", "agreed", "billed"])


def _package_frame(facts: DayFacts) -> "pd.DataFrame":
    import pandas as pd

    rows = [
        (
            one.number,
            one.order_number,
            one.service_code,
            one.manifest_number,
            "" if one.gross_g is None else f"{one.gross_g:f}",
            one.charge.chargeable_g if one.charge else None,
            f"{iso4217.from_minor(one.charge_minor, one.charge.currency):f}" if one.charge else "",
            one.charge.currency if one.charge else "",
            "; ".join(
                f"{iso4217.from_minor(line.charge_minor, line.currency):f}" for line in facts.billed.get(one.number, ())
            ),
        )
        for one in facts.of_day
    ]
    columns = ["package", "order", "service", "manifest", "gross_g", "chargeable_g", "agreed", "currency", "billed"]
    return pd.DataFrame(rows, columns=columns, dtype=object)
