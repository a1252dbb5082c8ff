"""The manifest as a sheet, and the copy of a closed one that every reprint is made from."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime

from fulfil.despatch.abroad.customs import crosses_border
from fulfil.despatch.package_papers import is_heavy, shop_lines
from fulfil.papers.despatch.manifest import ManifestRow, ManifestSheet
from fulfil.papers.kept import KeptShape, as_it_was
from fulfil.papers.repeated import LIFT
from fulfil.papers.sheet import head
from fulfil.records.despatch.dispatch import Manifest, ManifestState, Package, PackageState
from fulfil.records.despatch.handover import ManifestCopy
from fulfil.records.despatch.service import Service
from fulfil.records.identifier import Identifier
from fulfil.records.order import Order
from fulfil.records.settings import Settings
from fulfil.shipping.collections import Leaving
from fulfil.shop.asking import ByNumber
from fulfil.shop.clock import day_span, local_day, local_time
from fulfil.shop.collecting import collections_of
from fulfil.shop.reprint import Reprint
from fulfil.store.books import Books


def _of_the_first_edition(told: Mapping[str, object]) -> dict[str, object]:
    """What was kept before drawings had an edition is drawn by the first one."""
    return {**told, "edition": 1}


KEPT = KeptShape(ManifestSheet, steps=(as_it_was, as_it_was, _of_the_first_edition))
"""How closed manifests are kept: when the sheet changes, add a step."""


def printed_manifest(books: Books, number: str) -> Reprint:
    """A closed manifest as it was closed, whatever has changed in the shop since; an open one as it stands now.

    Raises:
        UnknownRefused: there is no such manifest.
    """
    manifest = books.need(Manifest, number)
    copy = books.get(ManifestCopy, number)
    if copy is not None:
        return Reprint(sheets=(sheet_of_json(copy.sheet),), paper=copy.paper, printer_dpi=copy.printer_dpi)
    settings = books.settings()
    return Reprint(sheets=(manifest_sheet(books, manifest),), paper=settings.paper, printer_dpi=settings.printer_dpi)


def collected(
    books: Books, service: Service, day: date, packages: Sequence[Package]
) -> tuple[tuple[Leaving, tuple[str, ...]], ...]:
    """For which collection each package is ready, the first one first; of an empty manifest the first from its day on.

    A package is ready when it is sealed, and what was sealed before the day of the manifest was ready when that began:
    a van that is late, or a clerk who closes the manifest while it waits, makes no package late.
    """
    calendar, (begins, _) = collections_of(books), day_span(day, books.settings())
    found: dict[datetime, tuple[Leaving, list[str]]] = {}
    for package in packages:
        leaving = calendar.leaving(service, max(begins, package.sealed_at or begins))
        found.setdefault(leaving.at, (leaving, []))[1].append(package.number)
    if not found:
        leaving = calendar.leaving(service, begins)
        found[leaving.at] = (leaving, [])
    return tuple((leaving, tuple(numbers)) for _, (leaving, numbers) in sorted(found.items()))


def manifest_sheet(books: Books, manifest: Manifest) -> ManifestSheet:
    """The packages handed to one service, in the order of their numbers; of an open one, those sealed by now."""
    settings = books.settings()
    service = books.need(Service, manifest.service_code)
    is_closed = manifest.state is ManifestState.CLOSED
    packages = books.find(Package, manifest_number=manifest.number)
    if not is_closed:
        sealed = {"state": PackageState.SEALED, "manifest_number": ""}
        packages = books.find(Package, service_code=service.code, **sealed)
    rows = tuple(_row(books, package, settings) for package in packages)
    closed = "" if manifest.closed_at is None else local_time(manifest.closed_at, settings)
    first = collected(books, service, manifest.day, packages)[0][0].at
    on = local_day(first, settings)
    count = f"{len(rows)} package" + ("" if len(rows) == 1 else "s")
    return ManifestSheet(
        **head(settings, manifest.number, manifest.day),
        service=service.name,
        cut_off=first.time(),
        collected_on=None if on == manifest.day else on,
        from_lines=shop_lines(settings),
        rows=rows,
        state_sentence=f"Closed {closed} by {manifest.closed_by}." if is_closed else "OPEN: not to be handed over.",
        declaration=f"Handed over: {count}, counted by both sides." if is_closed else "",
        cautions=(LIFT,) if any("heavy" in row.flags for row in rows) else (),
    )


def sheet_json(sheet: ManifestSheet) -> str:
    """The sheet as it is kept; :func:`sheet_of_json` gives the same sheet back."""
    return KEPT.json(sheet)


def sheet_of_json(text: str) -> ManifestSheet:
    """The sheet that was kept, by any release."""
    return KEPT.sheet(text)


def _row(books: Books, package: Package, settings: Settings) -> ManifestRow:
    order = books.need(Order, package.order_number)
    flags = ["customs"] if crosses_border(books, order) else []
    if is_heavy(package, settings):
        flags.append("heavy")
    flags += [one.number for one in books.find(Identifier, package_number=package.number)]
    return ManifestRow(
        package_number=package.number,
        order_number=order.number,
        consignee=order.name,
        town=order.city,
        post_code=order.post_code,
        country=order.country,
        gross_g=package.known_g,
        flags=", ".join(flags),
    )


BY_NUMBER = (
    ByNumber(ManifestSheet, Manifest, lambda books, manifest, _: printed_manifest(books, manifest.number).sheets),
)
