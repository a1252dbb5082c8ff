"""Pull bags off their way to the customer, and put their pieces back.

A bag on a released walk is on paper and perhaps filled, so it isn't forgotten: it is *pulled*. Its pieces leave their
bin in the books at once (nobody is promised what may lie in a bag) and come back when someone puts them back and says
how many they were. The bench no longer knows a pulled bag, so it can't be checked or packed by mistake.
"""

from collections.abc import Sequence
from datetime import datetime

from fulfil.day.allocating import DONE, give_back
from fulfil.day.recount import close_recounts
from fulfil.errors import StateRefused
from fulfil.records.bench import RecountState
from fulfil.records.dispatch import Package, PackageState
from fulfil.records.order import Order
from fulfil.records.place import Bin, StockEntry
from fulfil.records.plan import Bag, BagState
from fulfil.records.pulled import PulledBag
from fulfil.store.books import Books
from fulfil.store.shop import Shop


def pull_bags(books: Books, bags: Sequence[Bag], reason: str, *, at: datetime, person: str) -> list[PulledBag]:
    """Pulls bags of a released walk, in the order of their codes."""
    pulled = []
    for bag in sorted(bags, key=lambda bag: bag.code):
        if bag.state not in DONE:
            give_back(books, [bag])
            level = books.need(Bin, bag.bin_code).pieces
            entry = _entry(bag.part_number, bag.bin_code, -min(level, bag.pieces), "pulled", bag.code)
            books.book_stock([entry] if entry.pieces else [], at=at, person=person)
        close_recounts(books, bag.code, RecountState.UNDONE)
        books.remove(Bag, code=bag.code)
        record = PulledBag(
            bag_code=bag.code,
            order_number=bag.order_number,
            line_no=bag.line_no,
            part_number=bag.part_number,
            lot=bag.lot,
            bin_code=bag.bin_code,
            pieces=bag.pieces,
            walk_number=bag.walk_number,
            cart_position=bag.cart_position,
            was=bag.state.value,
            reason=reason,
            at=at,
            person=person,
        )
        books.add([record])
        particulars = {"order": bag.order_number, "pieces": bag.pieces, "was": bag.state, "reason": reason}
        books.journal(at=at, person=person, event="bag pulled", subject=bag.code, particulars=particulars)
        pulled.append(record)
    return pulled


def put_back(shop: Shop, bag_code: str, *, at: datetime, person: str, pieces: int | None = None) -> PulledBag:
    """Books a pulled bag's pieces back into their bin; ``pieces`` where they were counted again.

    Raises:
        UnknownRefused: no bag with this code was pulled.
        StateRefused: it was put back before, or its bin holds another part now.
    """
    with shop.writing() as books:
        bag = books.need(PulledBag, bag_code)
        if bag.is_back:
            raise StateRefused("put back the bag", bag_code, f"a pulled one; it was put back at {bag.put_back_at}")
        found = bag.pieces if pieces is None else pieces
        if found:
            entry = _entry(bag.part_number, bag.bin_code, found, "put back", bag_code)
            books.book_stock([entry], at=at, person=person)
        done = bag.model_copy(update={"put_back_at": at, "put_back_pieces": found})
        books.replace([done])
        particulars = {"bin": bag.bin_code, "pieces": found, "pulled": bag.pieces}
        books.journal(at=at, person=person, event="bag put back", subject=bag_code, particulars=particulars)
    return done


def unbox(books: Books, order: Order, attempted: str, *, at: datetime, person: str) -> list[str]:
    """Takes back the choice of boxes of an order whose packages aren't sealed; the numbers of the packages undone.

    Raises:
        StateRefused: a package is sealed: it must be opened first.
    """
    packages = [one for one in books.find(Package, order_number=order.number) if one.state is not PackageState.SHIPPED]
    sealed = [one.number for one in packages if one.state is PackageState.SEALED]
    if sealed:
        raise StateRefused(attempted, order.number, f"no sealed package; reopen {', '.join(sealed)} first")
    numbers = [one.number for one in packages]
    for bag in books.find(Bag, package_number=numbers):
        books.replace([bag.model_copy(update={"package_number": "", "state": BagState.PASSED, "boxed_at": None})])
    books.remove(Package, number=numbers)
    if numbers:
        books.journal(
            at=at, person=person, event="boxes undone", subject=order.number, particulars={"packages": numbers}
        )
    return numbers


def bags_here(books: Books, order: Order) -> list[Bag]:
    """The bags of an order that haven't left the house."""
    shipped = {one.number for one in books.find(Package, order_number=order.number, state=PackageState.SHIPPED)}
    return [bag for bag in books.find(Bag, order_number=order.number) if bag.package_number not in shipped]


def _entry(part_number: str, bin_code: str, pieces: int, reason: str, source: str) -> StockEntry:
    return StockEntry(part_number=part_number, bin_code=bin_code, pieces=pieces, reason=reason, source=source)
