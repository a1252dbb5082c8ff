"""Manifests: every sealed package of a service on exactly one, closed once, never changed after.

A manifest may be opened before the collection; closing takes on every package that is sealed by then. What is sealed
later goes onto the next one. When two benches close at the same moment, one wins and the other is told who did. A
package that stayed in the house although its manifest is closed is *voided*: a new entry, the manifest stays as it was
handed over, and its content travels on in a package with a number of its own.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from fulfil.despatch.abroad.customs import hazards_of
from fulfil.despatch.abroad.papers_due import CustomsLack, lacks_of
from fulfil.despatch.advice import advices_of, as_json
from fulfil.despatch.manifest_paper import collected, manifest_sheet, sheet_json
from fulfil.despatch.pack import stops
from fulfil.despatch.quote import tariffs_of
from fulfil.errors import StateRefused
from fulfil.orders.gates import STAYS, must_add_up
from fulfil.orders.moving import bring_back, hand_over
from fulfil.orders.unpacking import weighed_anew
from fulfil.records.despatch.dispatch import HERE, Manifest, ManifestState, Package, PackageState
from fulfil.records.despatch.handover import ManifestCopy, ManifestVoid
from fulfil.records.despatch.service import Service
from fulfil.records.despatch.tariff import Charge, ChargedSurcharge
from fulfil.records.equipment import BoxType
from fulfil.records.finding import Finding
from fulfil.records.happening import Happening
from fulfil.records.identifier import Identifier, IdentifierKind, IdentifierRange
from fulfil.records.order import Order
from fulfil.records.plan import Bag
from fulfil.records.revised import revised
from fulfil.records.text import cut
from fulfil.shipping.collections import Leaving
from fulfil.shipping.identifiers import next_number
from fulfil.shipping.limits import Insured
from fulfil.shipping.services import Quote
from fulfil.shop.clock import local_day, local_hour
from fulfil.shop.numbers import next_code, next_code_at
from fulfil.shop.printing import must_print
from fulfil.store.books import Books
from fulfil.store.safe.closed_days import must_be_open
from fulfil.store.shop import Shop

_MOST_NAMED = 10


@dataclass(frozen=True)
class ClosedManifest:
    """The manifest, its packages, packages of the service that stay behind, and what was found on the way.

    ``leaving`` are the collections that its packages were ready for, the first one first, each with these packages.
    """

    manifest: Manifest
    packages: tuple[Package, ...]
    left_behind: tuple[str, ...]
    findings: tuple[Finding, ...] = ()
    leaving: tuple[tuple[Leaving, tuple[str, ...]], ...] = ()


@dataclass(frozen=True)
class VoidedPackage:
    """The void entry, and the new package that holds what was in the old one."""

    entry: ManifestVoid
    package: Package


def open_manifest(shop: Shop, service_code: str, *, day: date, at: datetime, person: str) -> Manifest:
    """The open manifest of a service, made when there is none.

    Raises:
        UnknownRefused: when the shop has no such service.
        StateRefused: when none is open and the day is closed.
    """
    with shop.writing() as books:
        books.need(Service, service_code)
        found = books.find(Manifest, service_code=service_code, state=ManifestState.OPEN)
        if found:
            return found[0]
        must_be_open(books, day, "open a manifest for service", service_code)
        manifest = Manifest(number=next_code(books, "M", day), service_code=service_code, day=day)
        books.add([manifest])
        books.journal(at=at, person=person, event=Happening.MANIFEST_OPENED, subject=manifest.number)
    return manifest


def close_manifest(
    shop: Shop, service_code: str, *, day: date, at: datetime, person: str, number: str = "", without_papers: str = ""
) -> ClosedManifest:
    """Closes a manifest over all sealed packages of a service that are on none yet.

    ``number`` is the manifest that the person has in hand; without it, the open one is closed, or a new one made.
    Packages of held orders, and ones that their service or customs would turn back, stay behind. ``without_papers`` is
    the reason why packages may leave without a customs paper: it stays in the journal, and the day's reconciliation
    names them.

    Raises:
        UnknownRefused: when the shop has no such service or manifest.
        StateRefused: when no sealed package waits for it, the day is closed, a customs paper is missing, or another
            bench has closed it.
        PaperRefused: when a text on it can't be printed; it stays open, and everything as it was.
    """
    with shop.writing() as books:
        service = books.need(Service, service_code)
        must_be_open(books, day, "close a manifest for service", service_code)
        manifest = _in_hand(books, service, number)
        waiting, findings = _ready(books, service)
        if not waiting:
            raise StateRefused("close a manifest for service", service.code, _expected(books, service, day))
        if manifest is None:
            manifest = Manifest(number=next_code(books, "M", day), service_code=service_code, day=day)
            books.add([manifest])
        lacks = lacks_of(books, waiting, day=day)
        if lacks and not without_papers.strip():
            raise StateRefused("close a manifest for service", service.code, _papers_expected(service, lacks))
        findings += [lack.finding for lack in lacks]
        numbers = sorted({package.order_number for package in waiting})
        must_add_up(books, f"close manifest {manifest.number} with order", numbers)
        update = {"manifest_number": manifest.number, "state": PackageState.SHIPPED}
        packages = [revised(package, update) for package in waiting]
        books.replace(packages)
        weight_g = sum((package.known_g for package in waiting), Decimal(0))
        closed = {"state": ManifestState.CLOSED, "closed_at": at, "closed_by": person}
        totals = {"packages": len(packages), "weight_g": weight_g, "day": day}
        manifest = revised(manifest, closed | totals)
        books.replace([manifest])
        findings += _charge(books, service, packages, day)
        hand_over(books, [package.number for package in packages], at=at, person=person)
        advices, off = advices_of(books, manifest, at=at)
        settings = books.settings()
        leaving = collected(books, service, manifest.day, packages)
        sheet = manifest_sheet(books, manifest)
        # A closed manifest is never changed: one that can't be printed would stay so.
        must_print([sheet], printer=settings)
        copy = ManifestCopy(
            manifest_number=manifest.number,
            sheet=sheet_json(sheet),
            advices=as_json(advices),
            paper=settings.paper,
            printer_dpi=settings.printer_dpi,
        )
        books.add([copy])
        if lacks:
            waived = {"packages": sorted({one.package_number for one in lacks}), "reason": without_papers.strip()}
            books.journal(
                at=at, person=person, event=Happening.PAPERS_WAIVED, subject=manifest.number, particulars=waived
            )
        particulars = {"packages": manifest.packages, "weight_g": str(manifest.weight_g)}
        books.journal(
            at=at, person=person, event=Happening.MANIFEST_CLOSED, subject=manifest.number, particulars=particulars
        )
        left = books.find(Package, service_code=service_code, state=list(HERE))
    names = tuple(package.number for package in left)
    return ClosedManifest(manifest, tuple(packages), names, (*findings, *off), leaving)


def void_package(shop: Shop, number: str, reason: str, *, at: datetime, person: str) -> VoidedPackage:
    """Voids a package of a closed manifest that did not leave; what is in it gets a new package, to be weighed again.

    Raises:
        UnknownRefused: when there is no such package.
        StateRefused: when it is on no closed manifest or void already, or the reason is empty.
    """
    with shop.writing() as books:
        package = books.need(Package, number)
        if package.state is not PackageState.SHIPPED:
            raise StateRefused("void package", number, f"one on a closed manifest; this one is {package.state}")
        before = books.get(ManifestVoid, number)
        if before is not None:
            expected = f"one that isn't void; {before.person} voided it for {before.replaced_by}"
            raise StateRefused("void package", number, expected)
        if not reason.strip():
            raise StateRefused("void package", number, "a reason, for the one who reads the manifest tomorrow")
        replacement = replace_shipped(books, package, reason, at=at, person=person)
        return VoidedPackage(books.need(ManifestVoid, number), replacement)


def replace_shipped(books: Books, package: Package, reason: str, *, at: datetime, person: str) -> Package:
    """Makes a package on a closed manifest void; what is in it goes on in a new one, to be weighed again."""
    again = {"state": PackageState.PLANNED, "gross_g": None, "sealed_at": None, "manifest_number": ""}
    again |= weighed_anew(package)
    number = next_code_at(books, "P", at)
    replacement = revised(package, again | {"number": number})
    books.add([replacement])
    bags = books.find(Bag, package_number=package.number)
    books.replace([revised(bag, {"package_number": number, "boxed_at": None}) for bag in bags])
    entry = ManifestVoid(
        package_number=package.number,
        manifest_number=package.manifest_number,
        replaced_by=number,
        reason=cut(reason),
        at=at,
        person=person,
    )
    books.add([entry])
    bring_back(books, package.number, number, reason, at=at, person=person)
    particulars = {"manifest": package.manifest_number, "replaced_by": number, "reason": reason}
    books.journal(at=at, person=person, event=Happening.PACKAGE_VOIDED, subject=package.number, particulars=particulars)
    return replacement


def add_range(shop: Shop, given: IdentifierRange, *, at: datetime, person: str) -> None:
    """Takes in a range of numbers that a GS1 organisation or a post gave to the shop.

    Raises:
        UnknownRefused: when it is for a service that the shop doesn't have.
        StateRefused: when a range with its code is there already, or one that has some of its numbers.
    """
    with shop.writing() as books:
        if given.service_code:
            books.need(Service, given.service_code)
        for other in books.find(IdentifierRange, kind=given.kind, prefix=given.prefix, country=given.country):
            if other.code != given.code and given.first <= other.last and other.first <= given.last:
                span = f"{other.number(other.first)} to {other.number(other.last)}"
                raise StateRefused(
                    "take in the range", given.code, f"numbers that no other has; {other.code} has {span}"
                )
        books.add([given])
        particulars = given.model_dump(mode="json")
        books.journal(at=at, person=person, event=Happening.RANGE_GIVEN, subject=given.code, particulars=particulars)


def issue_identifiers(shop: Shop, order_number: str, *, at: datetime, person: str) -> list[Identifier]:
    """Gives the packages of an order their SSCC and S10 numbers, where the shop has ranges; asked again, those it has.

    Raises:
        UnknownRefused: when there is no such order.
        StateRefused: when a range is used up and nothing of it has rested long enough.
    """
    with shop.writing() as books:
        books.need(Order, order_number)
        packages = books.find(Package, order_number=order_number, state=[*HERE, PackageState.SHIPPED])
        issued = books.find(Identifier, package_number=[package.number for package in packages])
        if not books.count(IdentifierRange):
            return issued
        for package in packages:
            has = {books.need(IdentifierRange, one.range_code).kind for one in issued if _is_of(one, package)}
            for kind in IdentifierKind:
                ranges = [given for given in _ranges(books, package.service_code) if given.kind is kind]
                if ranges and kind not in has:
                    issued.append(_issue(books, ranges, package, at))
        numbers = [one.number for one in issued]
        particulars = {"numbers": numbers}
        books.journal(
            at=at, person=person, event=Happening.NUMBERS_ISSUED, subject=order_number, particulars=particulars
        )
    return sorted(issued, key=lambda one: (one.package_number, one.number))


def _in_hand(books: Books, service: Service, number: str) -> Manifest | None:
    if not number:
        found = books.find(Manifest, service_code=service.code, state=ManifestState.OPEN)
        return found[0] if found else None
    manifest = books.need(Manifest, number)
    if manifest.state is ManifestState.CLOSED:
        raise StateRefused("close the manifest", number, f"one still open; {_closed_words(books, manifest)}")
    if manifest.service_code != service.code:
        raise StateRefused(
            "close the manifest", number, f"one of service {service.code}; it is of {manifest.service_code}"
        )
    return manifest


def _expected(books: Books, service: Service, day: date) -> str:
    expected = "at least one sealed package that waits"
    last = books.find(Manifest, service_code=service.code, state=ManifestState.CLOSED, day=day)
    return f"{expected}; manifest {last[-1].number}: {_closed_words(books, last[-1])}" if last else expected


def _papers_expected(service: Service, lacks: Sequence[CustomsLack]) -> str:
    named = ", ".join(one.says for one in lacks[:_MOST_NAMED])
    more = f" and {len(lacks) - _MOST_NAMED} more" if len(lacks) > _MOST_NAMED else ""
    return (
        f"its customs papers with each package; {named}{more}; print with 'fulfil packages papers --service "
        f"{service.code} --out papers'"
    )


def _closed_words(books: Books, manifest: Manifest) -> str:
    at = "" if manifest.closed_at is None else f" at {local_hour(manifest.closed_at, books.settings())}"
    return f"{manifest.closed_by} closed it{at} with {manifest.packages} package{'' if manifest.packages == 1 else 's'}"


def _ready(books: Books, service: Service) -> tuple[list[Package], list[Finding]]:
    """Sealed packages that may leave, and what keeps the others."""
    ready, findings = [], []
    for package in books.find(Package, service_code=service.code, state=PackageState.SEALED, manifest_number=""):
        order = books.need(Order, package.order_number)
        keeps = stops(books, package, order)
        if order.state in STAYS:
            says = f"order {order.number} is {order.state}"
            keeps = [Finding(f"package {package.number}", None, "state", order.state, says, "keep it back")]
        if keeps:
            findings += keeps
        else:
            ready.append(package)
    return ready, findings


def _charge(books: Books, service: Service, packages: Sequence[Package], day: date) -> list[Finding]:
    """Writes down what each package should cost; a package without a price is a finding, where there are prices."""
    tariffs = tariffs_of(books)
    if not tariffs.has_prices(service.code):
        return []
    boxes = {box.code: box for box in books.find(BoxType)}
    numbers = sorted({package.order_number for package in packages})
    orders = {order.number: order for order in books.find(Order, number=numbers)}
    charges: list[Charge | ChargedSurcharge] = []
    findings: list[Finding] = []
    for package in packages:
        order, gross_g = orders[package.order_number], package.gross_g or Decimal(1)
        outside_mm = boxes[package.box_type].outside_mm
        quoted = tariffs.quote(
            service,
            order.country,
            gross_g,
            outside_mm,
            as_of=day,
            post_code=order.post_code,
            hazards=hazards_of(books, package) if tariffs.asks_hazards(service.code) else (),
            insured=Insured(order.insured_minor, order.currency),
        )
        if isinstance(quoted, Quote):
            charges += [quoted.charge(package.number), *quoted.charged_surcharges(package.number)]
        else:
            findings.append(quoted)
    books.add(charges)
    return findings


def _ranges(books: Books, service_code: str) -> list[IdentifierRange]:
    """The ranges for a service: its own before those for all; by the day they were given."""
    found = [given for given in books.find(IdentifierRange) if given.service_code in ("", service_code)]
    return sorted(found, key=lambda given: (given.service_code == "", given.given_on, given.code))


def _is_of(identifier: Identifier, package: Package) -> bool:
    return identifier.package_number == package.number


def _issue(books: Books, ranges: Sequence[IdentifierRange], package: Package, at: datetime) -> Identifier:
    """The next number of the first range that has one; the last range's refusal when none has."""
    for place, given in enumerate(ranges, start=1):
        try:
            serial, number = _next(books, given, local_day(at, books.settings()))
        except StateRefused:
            if place == len(ranges):
                raise
            continue
        issued = Identifier(
            number=number, package_number=package.number, range_code=given.code, serial=serial, issued_at=at
        )
        books.add([issued])
        return issued
    raise StateRefused("take a number for package", package.number, "a range that the shop was given")


def _next(books: Books, given: IdentifierRange, on: date) -> tuple[int, str]:
    """The next serial: they are used in order, so as long as the range lasts their count gives it."""
    serial = given.first + books.count(Identifier, range_code=given.code)
    if serial <= given.last:
        return serial, given.number(serial)
    return next_number(given, books.find(Identifier, range_code=given.code), on=on)
