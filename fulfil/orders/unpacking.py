"""Take an order's bags out of its boxes again: before a change of its lines, its service, its end.

Boxes that aren't sealed are undone; a sealed package is opened only with a reason, in the journal.
"""

from datetime import datetime

from fulfil.errors import StateRefused
from fulfil.orders.moving import unbox_bags, unseal
from fulfil.records.despatch.dispatch import HERE, Package, PackageState
from fulfil.records.happening import Happening
from fulfil.records.order import Order
from fulfil.records.plan import Bag, BagState
from fulfil.records.revised import revised
from fulfil.store.books import Books


def unbox(books: Books, order: Order, attempted: str, *, at: datetime, person: str) -> list[str]:
    """Takes back the choice of boxes of an order whose packages aren't sealed; the numbers of the packages undone.

    Raises:
        StateRefused: a package is sealed: it must be opened first.
    """
    packages = books.find(Package, order_number=order.number, state=list(HERE))
    sealed = [one.number for one in packages if one.state is PackageState.SEALED]
    if sealed:
        raise StateRefused(attempted, order.number, f"no sealed package; reopen {', '.join(sealed)} first")
    numbers = [one.number for one in packages]
    for one in packages:
        undo_package(books, one, at=at, person=person)
    if numbers:
        books.journal(
            at=at, person=person, event=Happening.BOXES_UNDONE, subject=order.number, particulars={"packages": numbers}
        )
    return numbers


def undo_package(books: Books, package: Package, *, at: datetime, person: str) -> None:
    """Takes the bags out of a package that isn't sealed; its number stays known and holds nothing any more."""
    bags = books.find(Bag, package_number=package.number)
    unbox_bags(books, package.number, bags, at=at, person=person)
    out = {"package_number": "", "state": BagState.PASSED, "boxed_at": None}
    books.replace([revised(bag, out) for bag in bags])
    books.replace([revised(package, {"state": PackageState.UNDONE, "gross_g": None, **weighed_anew(package)})])


def reopen_within(books: Books, number: str, reason: str, *, at: datetime, person: str) -> Package:
    """Opens a sealed package inside the caller's transaction."""
    package = books.need(Package, number)
    if package.state is not PackageState.SEALED or package.manifest_number:
        where = f"on manifest {package.manifest_number}" if package.manifest_number else package.state
        raise StateRefused("reopen package", number, f"a sealed package on no manifest; this one is {where}")
    if not reason.strip():
        raise StateRefused("reopen package", number, "a reason, for the one who reads the journal")
    again = {"state": PackageState.PLANNED, "gross_g": None, "sealed_at": None, **weighed_anew(package)}
    opened = revised(package, again)
    books.replace([opened])
    bags = books.find(Bag, package_number=number)
    books.replace([revised(bag, {"boxed_at": None}) for bag in bags])
    unseal(books, number, at=at, person=person)
    particulars = {"reason": reason.strip(), "weighed": package.gross_g}
    books.journal(at=at, person=person, event=Happening.PACKAGE_REOPENED, subject=number, particulars=particulars)
    return opened


def weighed_anew(package: Package) -> dict[str, str | None]:
    """An opened box gets another strip: what it weighed empty holds no more, and its window is made anew."""
    return {} if package.empty_g is None else {"empty_g": None, "empty_scale_code": "", "scale_code": ""}
