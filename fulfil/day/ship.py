"""Close a service's manifest: every sealed package of the service, once, with its totals; never changed after."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from fulfil.day.numbers import next_code
from fulfil.errors import StateRefused
from fulfil.records.dispatch import Manifest, ManifestState, Package, PackageState
from fulfil.records.order import Order, OrderState
from fulfil.records.service import Service
from fulfil.store.books import Books
from fulfil.store.shop import Shop


@dataclass(frozen=True)
class ClosedManifest:
    """The manifest, its packages, and packages of the service that stay behind because they aren't sealed."""

    manifest: Manifest
    packages: tuple[Package, ...]
    left_behind: tuple[str, ...]


def close_manifest(shop: Shop, service_code: str, *, day: date, at: datetime, person: str) -> ClosedManifest:
    """Closes a manifest over all sealed packages of a service that are on none yet.

    Raises:
        UnknownRefused: when the shop has no such service.
        StateRefused: when no sealed package waits for it.
    """
    with shop.writing() as books:
        service = books.need(Service, service_code)
        waiting = books.find(Package, service_code=service_code, state=PackageState.SEALED, manifest_number="")
        if not waiting:
            raise StateRefused("close a manifest for service", service.code, "at least one sealed package that waits")
        manifest = Manifest(
            number=next_code(books, "M", day),
            service_code=service_code,
            day=day,
            state=ManifestState.CLOSED,
            closed_at=at,
            closed_by=person,
            packages=len(waiting),
            weight_g=sum((package.gross_g or Decimal(0) for package in waiting), Decimal(0)),
        )
        books.add([manifest])
        update = {"manifest_number": manifest.number, "state": PackageState.SHIPPED}
        packages = [package.model_copy(update=update) for package in waiting]
        books.replace(packages)
        for number in sorted({package.order_number for package in packages}):
            _ship_order(books, number)
        particulars = {"packages": manifest.packages, "weight_g": str(manifest.weight_g)}
        books.journal(at=at, person=person, event="manifest closed", subject=manifest.number, particulars=particulars)
        left = books.find(Package, service_code=service_code, state=[PackageState.PLANNED, PackageState.STOP])
    return ClosedManifest(manifest, tuple(packages), tuple(package.number for package in left))


def _ship_order(books: Books, number: str) -> None:
    """An order is shipped with its last package."""
    if all(package.state is PackageState.SHIPPED for package in books.find(Package, order_number=number)):
        books.replace([books.need(Order, number).model_copy(update={"state": OrderState.SHIPPED})])
