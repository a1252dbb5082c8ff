"""The day's reconciliation and figures: what was ordered, where every piece is, how the checks went.

Tables are pandas frames, so that a shop can go on with them; the balance itself is exact
(:mod:`fulfil.shipping.balance`). It is that of the *day's orders*: those that came in on the day, those of earlier days
that still waited, and those that ended on it. What was sent of them before counts as shipped.

Limits: a report of a day gone by says where its orders' pieces are now.
"""

import json
from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from fulfil.despatch.abroad.papers_due import customs_lacks
from fulfil.files.written import write_all
from fulfil.orders.places import LinePlaces, orders_with, places_of, shares_of, whole_of
from fulfil.records.despatch.dispatch import HERE, JournalEntry, Manifest, Package, PackageState
from fulfil.records.despatch.handover import ManifestVoid
from fulfil.records.finding import Finding
from fulfil.records.happening import Happening
from fulfil.records.order import Order, OrderLine, OrderState
from fulfil.records.part import Part
from fulfil.records.pieces import ENDED_PLACES, Owed, OwedEntry
from fulfil.records.plan import Bag, PlanRecord, WalkRecord
from fulfil.records.pulled import PulledBag
from fulfil.records.weighing import WeighedKind, WeighingRecord
from fulfil.shipping.balance import DayBalance, LineBalance, balance
from fulfil.shop.clock import day_span
from fulfil.store.books import Books
from fulfil.store.shop import Shop

if TYPE_CHECKING:
    import pandas as pd

    from fulfil.counting.drift import DayDrift


class Weighed(NamedTuple):
    """A weighing of the day: what of, on which scale, its verdict, and of a bag the part in it."""

    kind: str
    scale: str
    verdict: str
    part: str


@dataclass(frozen=True)
class DayReport:
    """Balance, frames and findings of a day.

    ``frames`` are: ``lines`` (one row an order line), ``checks`` (weighings by kind and verdict), ``parts`` (checks
    sent back by part, most first). ``drift`` holds the drift charts of the day's scales and of parts that are out.
    ``shipped_before`` are the pieces of the balance that went out before the day.
    """

    day: date
    balance: DayBalance
    shipped_before: int
    lines: tuple[LineBalance, ...]
    weighed: tuple[Weighed, ...]
    descriptions: dict[str, str]
    plans: tuple[PlanRecord, ...]
    walks: tuple[WalkRecord, ...]
    manifests: tuple[Manifest, ...]
    packages: tuple[Package, ...]
    findings: tuple[Finding, ...]
    drift: "DayDrift"

    @property
    def checks(self) -> list[dict[str, Any]]:
        """How many weighings there were of each kind, scale and verdict, in the order of these."""
        counted = Counter((one.kind, one.scale, one.verdict) for one in self.weighed)
        names = ("kind", "scale", "verdict", "times")
        return [dict(zip(names, (*key, times), strict=True)) for key, times in sorted(counted.items())]

    @cached_property
    def frames(self) -> "dict[str, pd.DataFrame]":
        """The tables, made when they are asked for."""
        import pandas as pd

        checks = pd.DataFrame(self.checks, columns=["kind", "scale", "verdict", "times"])
        sent_back = Counter(one.part for one in self.weighed if one.kind == WeighedKind.BAG and one.verdict != "passed")
        ranked = sorted(sent_back.items(), key=lambda one: (-one[1], one[0]))
        parts = pd.DataFrame(
            [(part, times, self.descriptions.get(part)) for part, times in ranked],
            columns=["part", "sent_back", "description"],
        )
        return {"lines": _lines_frame(self.lines), "checks": checks, "parts": parts}


def report_day(shop: Shop, *, day: date) -> DayReport:
    """Reconciles the day's orders and reports on its walks, checks, packages and manifests."""
    from fulfil.counting.drift import drift_of_day  # loaded late: balances need no arrays

    with shop.reading() as books:
        numbers = orders_of_day(books, day)
        lines = line_balances(books, numbers)
        manifests = {manifest.number for manifest in books.find(Manifest, day=day)}
        packages = books.find(Package, state=list(HERE)) + books.find(Package, manifest_number=sorted(manifests))
        sums = balance(lines)
        drift = drift_of_day(books, day)
        weighed, descriptions = _weighed(books, day)
        return DayReport(
            day=day,
            balance=sums,
            shipped_before=_shipped_before(books, numbers, manifests),
            lines=tuple(lines),
            weighed=weighed,
            descriptions=descriptions,
            plans=tuple(books.find(PlanRecord, day=day)),
            walks=tuple(books.find(WalkRecord, day=day)),
            manifests=tuple(books.find(Manifest, day=day)),
            packages=tuple(packages),
            findings=(
                *sums.findings,
                *_left_behind(books, packages),
                *_papers_lacking(books, packages, day),
                *drift.findings,
            ),
            drift=drift,
        )


def orders_of_day(books: Books, day: date) -> set[str]:
    """The orders that a day has to do with: new on it, still owed something, sent or cancelled on it."""
    settings = books.settings()
    start, end = day_span(day, settings)
    of_day = set(orders_with(books, *(place for place in Owed if place not in ENDED_PLACES)))
    of_day |= {order.number for order in books.between(Order, "received_at", start, end)}
    manifests = [manifest.number for manifest in books.find(Manifest, day=day)]
    of_day |= {package.order_number for package in books.find(Package, manifest_number=manifests)}
    moved = books.between(OwedEntry, "at", start, end)
    return of_day | {move.order_number for move in moved if move.to_place is Owed.CANCELLED}


def line_balances(books: Books, numbers: Collection[str]) -> list[LineBalance]:
    """Where the pieces of every line of these orders are; of a kit, whole kits.

    What is on a closed manifest is shipped; the rest of a held order is held, but for what is short of it.
    """
    held = {order.number for order in books.find(Order, number=sorted(numbers), state=OrderState.HELD)}
    places = places_of(books, numbers)
    found = []
    for line in books.find(OrderLine, order_number=sorted(numbers)):
        at = places[line.order_number, line.line_no]
        shares = shares_of(line, at)
        short = min(line.short_pieces, shares.to_follow)
        rest = shares.to_follow - short
        found.append(
            LineBalance(
                line.order_number,
                line.line_no,
                line.part_number,
                line.pieces,
                shares.before,
                short,
                rest if line.order_number in held else 0,
                shares.cancelled,
                _packages_of(at),
            )
        )
    return found


def _packages_of(at: LinePlaces) -> tuple[str, ...]:
    """The packages that hold all of a line that is neither short nor ended; none where some lies elsewhere."""
    here = [one for one in at.balances if one.place not in ENDED_PLACES | {Owed.SHORT} and one.pieces]
    are_boxed = all(one.place in (Owed.BOXED, Owed.SEALED) for one in here)
    return tuple(sorted({one.ref for one in here})) if are_boxed else ()


def _shipped_before(books: Books, numbers: set[str], manifests: set[str]) -> int:
    """What went out of these orders on manifests that aren't among the day's."""
    packages = [one for one in books.find(Package, order_number=sorted(numbers)) if one.state is PackageState.SHIPPED]
    before = {package.number for package in packages if package.manifest_number not in manifests}
    if not before:
        return 0
    places = places_of(books, numbers)
    return sum(
        whole_of(
            line,
            places[line.order_number, line.line_no],
            lambda one: one.place is Owed.SHIPPED and one.ref in before,
        )
        for line in books.find(OrderLine, order_number=sorted(numbers))
    )


def _lines_frame(lines: Sequence[LineBalance]) -> "pd.DataFrame":
    import pandas as pd

    columns = ["order", "line", "part", "ordered", "shipped", "short", "held", "cancelled", "in_hand"]
    rows = [
        (
            one.order_number,
            one.line_no,
            one.part_number,
            one.ordered,
            one.shipped,
            one.short,
            one.held,
            one.cancelled,
            one.in_hand,
        )
        for one in lines
    ]
    return pd.DataFrame(rows, columns=columns)


def _weighed(books: Books, day: date) -> tuple[tuple[Weighed, ...], dict[str, str]]:
    """The day's weighings, and what the parts of the bags among them are called."""
    settings = books.settings()
    start, end = day_span(day, settings)
    weighed = books.between(WeighingRecord, "at", start, end)
    subjects = sorted({one.subject for one in weighed if one.kind is WeighedKind.BAG})
    part_of = {bag.code: bag.part_number for bag in books.find(Bag, code=subjects)}
    part_of |= {bag.bag_code: bag.part_number for bag in books.find(PulledBag, bag_code=subjects)}
    bagged = sorted(set(part_of.values()))
    description = {part.number: part.description for part in books.find(Part, number=bagged)}
    found = [
        Weighed(one.kind.value, one.scale_code, one.verdict.value, part_of.get(one.subject, "")) for one in weighed
    ]
    return tuple(found), description


def _left_behind(books: Books, packages: Sequence[Package]) -> list[Finding]:
    """Packages that are on no closed manifest, each with the reason that stopped it."""
    left = [package for package in packages if package.state is not PackageState.SHIPPED]
    said = _last_said(books, [package.number for package in left])
    found = []
    for package in left:
        source = f"package {package.number}"
        reason, findings = said.get(package.number, ("", ""))
        if package.state is PackageState.SEALED:
            do = f"close a manifest for service {package.service_code}, or carry it over to tomorrow"
            found.append(Finding(source, None, "", "", "sealed, but on no manifest", do))
        elif package.gross_g is None:
            found.append(Finding(source, None, "", "", "packed, but not weighed", "weigh it, or unpack it"))
        elif package.lower_g <= package.gross_g <= package.upper_g:
            do = f"read what stops it (fulfil packages pack {package.order_number}); a trained person decides"
            says = f"weighs right, but waits for a review: {findings or reason}"
            found.append(Finding(source, None, "", "", says.rstrip(": "), do))
        else:
            says = f"stopped: {reason or findings}".rstrip(": ")
            found.append(Finding(source, None, "", "", says, "weigh it again, or open it and look"))
    return found


def _last_said(books: Books, numbers: Sequence[str]) -> dict[str, tuple[str, str]]:
    """What was last said of packages on the scale: the verdict's reason, and what else stops them, by number."""
    found: dict[str, tuple[str, str]] = {}
    for entry in books.find(JournalEntry, subject=list(numbers), event=Happening.PACKAGE_WEIGHED):
        particulars = json.loads(entry.particulars)
        findings = "; ".join(dict.fromkeys(map(_words, particulars.get("findings", ()))))
        found[entry.subject] = (str(particulars.get("reason", "")), findings)
    return found


def _words(finding: object) -> str:
    """A finding's own words: without what it is about, which is said already, and without what to do.

    >>> _words("package P1, hazard 'flammable': the service refuses flammable goods. Do: hold it.")
    'the service refuses flammable goods'
    """
    about, _, says = str(finding).partition(" Do: ")[0].partition(": ")
    return (says or about).rstrip(".")


def _papers_lacking(books: Books, packages: Sequence[Package], day: date) -> list[Finding]:
    """Customs papers that sealed packages lack, and that others left without; of held orders nothing leaves."""
    orders = {one.number: one for one in books.find(Order, number=sorted({one.order_number for one in packages}))}
    numbers = sorted({one.manifest_number for one in packages} - {""})
    closed = {one.number: one.closed_at for one in books.find(Manifest, number=numbers)}
    void = {one.package_number for one in books.find(ManifestVoid, package_number=[one.number for one in packages])}
    found = []
    for package in packages:
        order = orders[package.order_number]
        if package.state is PackageState.SEALED and order.state is not OrderState.HELD:
            found += [one.finding for one in customs_lacks(books, package, order, day=day)]
        elif package.state is PackageState.SHIPPED and package.number not in void:
            left_at = closed.get(package.manifest_number)
            found += [one.left_finding for one in customs_lacks(books, package, order, day=day, until=left_at)]
    return found


def write_frames(report: DayReport, out: Path) -> list[Path]:
    """Writes the report's tables as CSV, one file each, to be read by programs."""
    return write_all(
        out,
        {
            f"{report.day}-{name}.csv": frame.to_csv(index=False, lineterminator="\r\n").encode()
            for name, frame in sorted(report.frames.items())
        },
    )
