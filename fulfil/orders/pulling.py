"""Pull bags off their way to the customer, and put their pieces back.

A bag on a released walk is on paper and perhaps filled, so it isn't forgotten: it is *pulled*. Its pieces leave their
bin in the books at once (nobody is promised what may lie in a bag) and come back when someone puts them back and says
how many they were. The bench no longer knows a pulled bag, so it can't be checked or packed by mistake.
"""

from collections.abc import Sequence
from datetime import datetime

from fulfil.errors import StateRefused
from fulfil.orders.moving import pull_bag
from fulfil.orders.recounts import close_recounts
from fulfil.records.bench import RecountState
from fulfil.records.despatch.dispatch import Package, PackageState
from fulfil.records.happening import Happening
from fulfil.records.order import Order
from fulfil.records.pieces import StockBalance, StockMove, There, bin_move
from fulfil.records.plan import Bag
from fulfil.records.pulled import PulledBag
from fulfil.records.revised import revised
from fulfil.store.books import Books
from fulfil.store.shop import Shop


def pull_bags(books: Books, bags: Sequence[Bag], reason: str, *, at: datetime, person: str) -> list[PulledBag]:
    """Pulls bags of a released walk, in the order of their codes."""
    pulled = []
    for bag in sorted(bags, key=lambda bag: bag.code):
        pull_bag(books, bag, reason, at=at, person=person)
        close_recounts(books, bag.code, RecountState.UNDONE)
        books.remove(Bag, code=bag.code)
        record = to_put_back(books, bag, reason, at=at, person=person)
        particulars = {"order": bag.order_number, "pieces": bag.pieces, "was": bag.state, "reason": reason}
        books.journal(at=at, person=person, event=Happening.BAG_PULLED, subject=bag.code, particulars=particulars)
        pulled.append(record)
    return pulled


def to_put_back(books: Books, bag: Bag, reason: str, *, at: datetime, person: str) -> PulledBag:
    """Writes down what a bag was and where its pieces belong, for whoever puts them back."""
    pulled = PulledBag(
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
    books.add([pulled])
    return pulled


def put_back(
    shop: Shop, bag_code: str, *, at: datetime, person: str, pieces: int | None = None, is_preview: bool = False
) -> PulledBag:
    """Books a pulled bag's pieces back into their bin; ``pieces`` where they were counted again.

    Raises:
        UnknownRefused: no bag with this code was pulled.
        StateRefused: it was put back before, or its bin holds another part now.
    """
    with shop.writing(is_preview=is_preview) as books:
        bag = books.need(PulledBag, bag_code)
        if bag.is_back:
            raise StateRefused("put back the bag", bag_code, f"a pulled one; it was put back at {bag.put_back_at}")
        found = bag.pieces if pieces is None else pieces
        books.move(stock=_put_back(books, bag, found), at=at, person=person)
        done = revised(bag, {"put_back_at": at, "put_back_pieces": found})
        books.replace([done])
        particulars = {"bin": bag.bin_code, "pieces": found, "pulled": bag.pieces}
        books.journal(at=at, person=person, event=Happening.BAG_PUT_BACK, subject=bag_code, particulars=particulars)
    return done


def bags_here(books: Books, order: Order) -> list[Bag]:
    """The bags of an order that haven't left the house."""
    shipped = {one.number for one in books.find(Package, order_number=order.number, state=PackageState.SHIPPED)}
    return [bag for bag in books.find(Bag, order_number=order.number) if bag.package_number not in shipped]


def _put_back(books: Books, bag: PulledBag, found: int) -> list[StockMove]:
    """What was counted goes into the bin; what lies in the bag by the books and wasn't found is a difference."""
    here = books.get(StockBalance, There.BAG, bag.bag_code, bag.part_number)
    in_bag = 0 if here is None else here.pieces
    lying = StockMove(
        part_number=bag.part_number,
        pieces=max(1, abs(found - in_bag)),
        from_place=There.FOUND if found > in_bag else There.BAG,
        from_ref="" if found > in_bag else bag.bag_code,
        to_place=There.BAG if found > in_bag else There.FOUND,
        to_ref=bag.bag_code if found > in_bag else "",
        reason="counted",
        source=bag.bag_code,
    )
    back = {"part_number": bag.part_number, "bin_code": bag.bin_code, "reason": "put back", "source": bag.bag_code}
    moves = [lying] if found != in_bag else []
    if found:
        moves.append(bin_move(**back, pieces=found, other=There.BAG, ref=bag.bag_code))
    return moves
