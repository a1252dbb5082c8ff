"""Which packages, manifests and bills a day's reconciliation looks at, and what the books say of them.

A day can only be closed when each of its differences has a word. So what was compared when the last day was closed, and
was not carried over, needs no second look. Looked at are

* packages that are here, manifests closed and bills taken in since the last day that was closed, and
* what the differences carried over on that day were about;

and with each of them all that it is compared with: a bill's packages (by whichever of their numbers it names them),
all packages of a billed manifest, all bills of a package, all manifests between those that one bill names. A shop that
never closes a day has all its bills looked at, and of its earlier manifests those whose packages or grams no longer are
what was printed, or that lost a package.

"""

from collections import defaultdict
from collections.abc import Collection, Iterable
from datetime import date, timedelta
from typing import Any

from fulfil.despatch.abroad.customs import PackageCustoms, crosses_border, customs_of
from fulfil.despatch.abroad.papers_due import customs_lacks
from fulfil.despatch.manifest_paper import sheet_of_json
from fulfil.records.day_close import ClosedDay, Outcome, Settlement
from fulfil.records.despatch.carrier_bill import BilledSurcharge, BillLine, CarrierBill
from fulfil.records.despatch.dispatch import HERE, Manifest, ManifestState, Package, PackageState
from fulfil.records.despatch.handover import ManifestCopy, ManifestVoid
from fulfil.records.despatch.tariff import Charge, ChargedSurcharge
from fulfil.records.order import Order, OrderState
from fulfil.records.pieces import Owed, OwedBalance, StockEntry, There
from fulfil.records.plan import Bag
from fulfil.records.revised import revised
from fulfil.records.weighing import Verdict, WeighedKind, WeighingRecord
from fulfil.shipping.differences import ManifestFacts, PackageFacts
from fulfil.shipping.identifiers import folded
from fulfil.shop.clock import local_day
from fulfil.shop.package_numbers import numbers_of, packages_by_number
from fulfil.store.books import Books

_STAYS = (OrderState.HELD, OrderState.CANCELLED)


class DayFacts:
    """Packages, manifests and bills of a day, read at once.

    ``today`` are the numbers of the day's manifests, ``billed`` the bill lines by package number, ``of_day`` the
    packages that wait, left on the day, or are on a bill that came in on it.
    """

    def __init__(self, books: Books, day: date) -> None:
        self.today = {manifest.number for manifest in books.find(Manifest, day=day)}
        scope = _Scope(books, day)
        self._carried = scope.carried
        self._read(books, scope)
        self.bills = [*scope.bills.values()]
        self.billed: dict[str, list[BillLine]] = defaultdict(list)
        for line in self.bills:
            self.billed[line.package_number].append(line)
        bills = sorted({line.bill_number for line in self.bills})
        self.billed_surcharges = books.find(BilledSurcharge, bill_number=bills)
        settings = books.settings()
        new = {one.number for one in books.find(CarrierBill, number=bills) if local_day(one.at, settings) == day}
        billed_today = {line.package_number for line in self.bills if line.bill_number in new}
        self.packages = [self._package(books, one, day) for _, one in sorted(scope.packages.items())]
        self.of_day = [
            one for one in self.packages if one.waits or one.manifest_number in self.today or one.number in billed_today
        ]
        self.manifests = [
            ManifestFacts(
                manifest.number,
                manifest.service_code,
                manifest.packages,
                manifest.weight_g,
                tuple((row.package_number, row.gross_g) for row in scope.rows[number]),
                manifest.day,
            )
            for number, manifest in sorted(scope.manifests.items())
            if number in scope.rows
        ]

    def _read(self, books: Books, scope: "_Scope") -> None:
        numbers = sorted(scope.packages)
        orders = sorted({package.order_number for package in scope.packages.values()})
        self._orders = {order.number: order for order in books.find(Order, number=orders)}
        self._charges = {charge.package_number: charge for charge in books.find(Charge, package_number=numbers)}
        self._surcharges: dict[str, list[ChargedSurcharge]] = defaultdict(list)
        for surcharge in books.find(ChargedSurcharge, package_number=numbers):
            self._surcharges[surcharge.package_number].append(surcharge)
        self._voids = {entry.package_number for entry in books.find(ManifestVoid, package_number=numbers)}
        passed = {"kind": WeighedKind.PACKAGE, "verdict": Verdict.PASSED}
        weighings = books.find(WeighingRecord, subject=numbers, **passed)
        self._weighed_g = {weighing.subject: weighing.indication_g for weighing in weighings}
        self._services = {one.number: one.service_code for one in scope.manifests.values()}
        self._bags: dict[str, list[Bag]] = defaultdict(list)
        for bag in books.find(Bag, package_number=numbers):
            self._bags[bag.package_number].append(bag)
        # As with declarations, pieces of past days were compared on their day.
        new = [one.number for one in scope.packages.values() if self._is_new(one)]
        self._sent: dict[str, int] = defaultdict(int)
        for owed in books.find(OwedBalance, place=Owed.SHIPPED, ref=new):
            self._sent[owed.ref] += owed.pieces
        self._handed: dict[str, int] = defaultdict(int)
        for move in books.find(StockEntry, source=new, to_place=There.HANDED_OVER):
            self._handed[move.source] += move.pieces

    def _is_new(self, package: Package) -> bool:
        """Whether it left on the day, or was carried over to it."""
        is_out = package.state is PackageState.SHIPPED
        return is_out and (package.manifest_number in self.today or package.number in self._carried)

    def _package(self, books: Books, package: Package, day: date) -> PackageFacts:
        order = self._orders[package.order_number]
        is_void = package.number in self._voids
        declared = None
        # Declarations of past days were compared on their day.
        if package.manifest_number in self.today and not is_void and crosses_border(books, order):
            declared = customs_of(books, package, order, day=day)
        return PackageFacts(
            number=package.number,
            order_number=package.order_number,
            service_code=package.service_code,
            state=package.state.value,
            waits=package.state in HERE and order.state not in _STAYS,
            manifest_number=package.manifest_number if package.state is PackageState.SHIPPED else "",
            gross_g=package.gross_g,
            weighed_g=self._weighed_g.get(package.number),
            declared_net_g=None if declared is None else declared.declaration.net_g,
            charge=self._charges.get(package.number),
            is_void=is_void,
            surcharges=tuple(self._surcharges.get(package.number, ())),
            lacks=() if is_void else self._lacks(books, package, order, day, declared),
            astray=tuple(
                (bag.code, bag.order_number)
                for bag in self._bags[package.number]
                if bag.order_number != package.order_number
            ),
            order_state=order.state.value,
            manifest_service=self._services.get(package.manifest_number, ""),
            sent_pieces=self._sent[package.number] if self._is_new(package) else None,
            stock_pieces=min(self._handed[package.number], self._sent[package.number])
            if self._is_new(package)
            else None,
        )

    def _lacks(
        self, books: Books, package: Package, order: Order, day: date, declared: PackageCustoms | None
    ) -> tuple[str, ...]:
        """Customs papers that a sealed package lacks, or that one lacked when it left: on the day, or carried over.

        ``declared`` is its declaration of the day, where that was made.
        """
        if package.state is PackageState.SEALED and order.state not in _STAYS:
            return tuple(lack.paper for lack in customs_lacks(books, package, order, day=day))
        if not package.manifest_number or not (
            package.manifest_number in self.today or package.number in self._carried
        ):
            return ()
        manifest = books.need(Manifest, package.manifest_number)
        found = customs_lacks(
            books,
            package,
            order,
            day=manifest.day,
            until=manifest.closed_at,
            declared=declared if manifest.day == day else None,
        )
        return tuple(lack.paper for lack in found)


class _Scope:
    """Packages, closed manifests (with the rows that were printed) and bill lines to look at, by their keys."""

    def __init__(self, books: Books, day: date) -> None:
        self._books = books
        self.packages: dict[str, Package] = {}
        self.manifests: dict[str, Manifest] = {}
        self.rows: dict[str, tuple[Any, ...]] = {}
        self.bills: dict[tuple[str, int], BillLine] = {}
        self.carried: set[str] = set()
        self._begin(day)

    def _begin(self, day: date) -> None:
        books = self._books
        closed = books.between(ClosedDay, "day", None, day)
        last = max(closed, key=lambda one: one.day, default=None)
        is_closed = books.get(ClosedDay, day) is not None
        until = day + timedelta(days=1) if is_closed else None
        carried = [] if last is None else books.find(Settlement, day=last.day, outcome=Outcome.CARRIED_OVER)
        if not all(one.subject for one in carried):  # an older release didn't write down what they are about
            last, carried = None, []
        since = None if last is None else last.day + timedelta(days=1)
        manifests = books.between(Manifest, "day", since, until, state=ManifestState.CLOSED)
        if last is None:
            manifests = self._suspect(manifests, day)
        bills = books.between(CarrierBill, "at", None if last is None else last.at)
        lines = books.find(BillLine, bill_number=[bill.number for bill in bills])
        here = books.find(Package, state=[*HERE])
        words = [word for one in carried for word in (one.subject, *one.subject.split())]
        self.carried = {*words}
        named = books.find(BillLine, package_number=words)
        about = {line.package_number for line in (*named, *lines)}
        ours = packages_by_number(books, about)
        self._take(
            packages=[*(one.number for one in here), *words, *(ours.get(number, number) for number in about)],
            manifests=[*(one.number for one in manifests), *words],
        )
        self._take(packages=[], manifests=self._between())

    def _between(self) -> list[str]:
        """Closed manifests of a service between the first and the last day of which a bill has packages."""
        manifest_of = {one.number: self.manifests.get(one.manifest_number) for one in self.packages.values()}
        days: dict[tuple[str, str], list[date]] = defaultdict(list)
        for line in self.bills.values():
            manifest = manifest_of.get(line.package_number)
            if manifest is not None:
                days[line.bill_number, manifest.service_code].append(manifest.day)
        spans = {(service, min(found), max(found)) for (_, service), found in days.items() if len({*found}) > 1}
        return [
            one.number
            for service, first, last in sorted(spans)
            for one in self._books.between(
                Manifest, "day", first, last + timedelta(days=1), service_code=service, state=ManifestState.CLOSED
            )
        ]

    def _suspect(self, manifests: list[Manifest], day: date) -> list[Manifest]:
        """Of a shop that never closed a day: the day's manifests, and earlier ones that are not as they were."""
        books = self._books
        now = books.manifest_sums()
        void = {one.manifest_number for one in books.find(ManifestVoid)}
        return [
            one
            for one in manifests
            if one.day >= day or one.number in void or now.get(one.number) != (one.packages, one.weight_g)
        ]

    def _take(self, packages: Iterable[str], manifests: Iterable[str]) -> None:
        """Takes these, and with them all that they are compared with."""
        new_packages, new_manifests = {*packages}, {*manifests}
        while new_packages or new_manifests:
            more = self._manifests(new_manifests)
            more |= {package.number for package in self._books.find(Package, manifest_number=sorted(new_manifests))}
            found = self._packages(new_packages | more)
            billed = {line.package_number for line in self._bill_lines(new_packages | more)}
            new_packages = set()
            new_manifests = {
                one.manifest_number
                for one in found
                if one.number in billed and one.manifest_number and one.manifest_number not in self.manifests
            }

    def _manifests(self, numbers: Collection[str]) -> set[str]:
        """Takes closed manifests; the packages that they name."""
        found = self._books.find(Manifest, number=sorted(numbers), state=ManifestState.CLOSED)
        self.manifests |= {one.number: one for one in found}
        copies = self._books.find(ManifestCopy, manifest_number=[one.number for one in found])
        rows = {one.manifest_number: sheet_of_json(one.sheet).rows for one in copies}
        self.rows |= rows
        return {row.package_number for named in rows.values() for row in named}

    def _packages(self, numbers: Collection[str]) -> list[Package]:
        found = self._books.find(Package, number=sorted(numbers - self.packages.keys()))
        self.packages |= {one.number: one for one in found}
        return found

    def _bill_lines(self, numbers: Collection[str]) -> list[BillLine]:
        """Lines under any number of these packages, each with our own number where it is one of ours."""
        books = self._books
        keys = {folded(number) for number in numbers}
        keys |= {number for known in numbers_of(books, numbers).values() for number in known}
        found = books.find(BillLine, package_number=sorted(numbers))
        found += books.find(BillLine, number_key=sorted(keys - {""}))
        ours = packages_by_number(books, {one.package_number for one in found})
        found = [
            revised(one, {"package_number": ours[one.package_number]}) if one.package_number in ours else one
            for one in found
        ]
        self.bills |= {(one.bill_number, one.line_no): one for one in found}
        return found
