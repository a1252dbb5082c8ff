"""A package comes back from the carrier: it goes out again, or is taken apart.

To go out again it gets a number of its own and is weighed anew, as a package that missed its van does. Taken apart, its
bags are pulled: their pieces are back in the house, to be put into their bins, and the customer gets them no more.
"""

from datetime import datetime

from fulfil.despatch.ship import replace_shipped
from fulfil.errors import StateRefused
from fulfil.orders.moving import cancel_returned
from fulfil.orders.pulling import to_put_back
from fulfil.records.despatch.dispatch import Package, PackageState
from fulfil.records.despatch.handover import ManifestVoid
from fulfil.records.happening import Happening
from fulfil.records.plan import Bag
from fulfil.records.text import cut
from fulfil.shop.told import Told
from fulfil.store.books import Books
from fulfil.store.shop import Shop


def package_returned(
    shop: Shop,
    number: str,
    reason: str,
    *,
    at: datetime,
    person: str,
    take_apart: bool = False,
    is_preview: bool = False,
) -> Told:
    """Books a package that came back: as one to be sent again, or taken apart.

    Raises:
        UnknownRefused: no such package.
        StateRefused: it has not left, is void, came back before in parts, or the reason is empty.
    """
    with shop.writing(is_preview=is_preview) as books:
        package = books.need(Package, number)
        is_void = books.get(ManifestVoid, number) is not None
        if package.state is not PackageState.SHIPPED or is_void:
            state = "void" if is_void else package.state
            raise StateRefused("take package back", number, f"one that has left; this one is {state}")
        if not reason.strip():
            raise StateRefused("take package back", number, "a reason: what the carrier says")
        if not take_apart:
            again = replace_shipped(books, package, f"came back: {reason.strip()}", at=at, person=person)
            says = f"Package {number} came back; its content goes out as {again.number}."
            return Told(
                (
                    says,
                    "Ask the customer for the right address first: fulfil orders address " + package.order_number + ".",
                    f"Print its labels, open it, look, and weigh it: fulfil packages weigh {again.number}.",
                ),
                order_number=package.order_number,
            )
        tells = _take_apart(books, package, reason.strip(), at=at, person=person)
    return Told(tuple(tells), order_number=package.order_number)


def _take_apart(books: Books, package: Package, reason: str, *, at: datetime, person: str) -> list[str]:
    bags = books.find(Bag, package_number=package.number)
    cancel_returned(books, package.number, bags, f"came back: {reason}", at=at, person=person)
    tells = [f"Package {package.number} is taken apart; refund what was paid for it."]
    for bag in bags:
        to_put_back(books, bag, cut(f"package {package.number} came back"), at=at, person=person)
        tells.append(f"Count bag {bag.code} and put it into bin {bag.bin_code}: fulfil orders put-back {bag.code}.")
    books.remove(Bag, package_number=package.number)
    particulars = {"reason": reason, "bags": [bag.code for bag in bags], "manifest": package.manifest_number}
    books.journal(
        at=at, person=person, event=Happening.PACKAGE_CAME_BACK, subject=package.number, particulars=particulars
    )
    return tells
