"""A bag that nobody finds, one that turns up again, or one that is there twice.

A bag that is missing leaves its order: its pieces are owed anew, and what lay in it stays booked in the bag until
somebody finds it or a count of its bin says that it never was filled.
"""

from datetime import date, datetime

from fulfil.errors import StateRefused, UnknownRefused
from fulfil.orders.pulling import pull_bags, put_back
from fulfil.orders.unpacking import undo_package
from fulfil.records.despatch.dispatch import Package, PackageState
from fulfil.records.happening import Happening
from fulfil.records.plan import Bag, WalkRecord
from fulfil.records.pulled import PulledBag
from fulfil.shop.told import Told
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from fulfil.walks.plan import plan_within

MISSING = "nobody found it"


def bag_missing(shop: Shop, code: str, *, day: date, at: datetime, person: str, is_preview: bool = False) -> Told:
    """Takes a bag that can't be found out of its order, and plans its pieces again.

    Raises:
        UnknownRefused: no such bag.
        StateRefused: its walk isn't on paper yet, it is in a sealed package, or has left.
    """
    with shop.writing(is_preview=is_preview) as books:
        bag = books.need(Bag, code)
        _must_be_on_paper(books, bag, "miss bag")
        package = books.get(Package, bag.package_number) if bag.package_number else None
        if package is not None and package.state in (PackageState.SEALED, PackageState.SHIPPED):
            expected = f"a bag that is in no closed package; it is in {package.number}, {package.state}"
            raise StateRefused("miss bag", code, expected)
        tells = []
        if package is not None:
            undo_package(books, package, at=at, person=person)
            bag = books.need(Bag, code)
            tells.append(f"Package {package.number}: take its bags out again; its boxes are chosen anew.")
        pull_bags(books, [bag], MISSING, at=at, person=person)
        tells.append(f"Bag {code} is out of order {bag.order_number}; if it turns up: fulfil bags found {code}.")
        planned, _ = plan_within(books, day=day, at=at, person=person, only=[bag.order_number])
        walks = tuple(walk.number for walk in planned.walks)
        tells += planned.went()
        tells += [f"Walk {walk} is new: fulfil walks release {walk}." for walk in walks]
    return Told(tuple(tells), walks, bag.order_number)


def bag_found(
    shop: Shop, code: str, pieces: int | None = None, *, at: datetime, person: str, is_preview: bool = False
) -> Told:
    """Books a bag that turned up back into its bin; one that isn't missed is there twice.

    Raises:
        UnknownRefused: the shop never made a bag with this code.
        StateRefused: it was put back before, or its walk isn't on paper yet.
    """
    with shop.reading() as books:
        pulled, bag = books.get(PulledBag, code), books.get(Bag, code)
    if pulled is None and bag is None:
        raise UnknownRefused("find the bag", code, "one that the shop has made")
    if bag is not None and pulled is None:
        with shop.writing(is_preview=is_preview) as books:
            _must_be_on_paper(books, bag, "find bag")
            particulars = {"order": bag.order_number, "pieces": pieces}
            books.journal(at=at, person=person, event=Happening.BAG_TWICE, subject=code, particulars=particulars)
        return Told(
            (
                f"Bag {code} is not missing: it is {bag.state} in order {bag.order_number}. One of the two is a twin.",
                f"Put the pieces of the twin back into bin {bag.bin_code}, destroy its label, and count the bin: "
                f"fulfil bins count {bag.bin_code}.",
            )
        )
    done = put_back(shop, code, at=at, person=person, pieces=pieces, is_preview=is_preview)
    return Told((f"{done.put_back_pieces} pieces go into bin {done.bin_code}; destroy the bag's label.",))


def _must_be_on_paper(books: Books, bag: Bag, attempted: str) -> None:
    """Refuses a bag that exists in a plan only: nobody can have it in hand."""
    if books.need(WalkRecord, bag.walk_number).released_at is None:
        raise StateRefused(attempted, bag.code, f"a bag with a label; its walk {bag.walk_number} isn't on paper yet")
