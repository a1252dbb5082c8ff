"""Hold an order, let it go on, or cancel it, each with a reason in the journal.

Before its walk is released, an order gives back what was promised to it. Once bags are on a cart the order can only be
held: its bags stay where they are until a person decides.
"""

from datetime import datetime

from fulfil.errors import StateRefused
from fulfil.records.order import Order, OrderState
from fulfil.records.plan import Allocation, Bag, BagState, WalkRecord
from fulfil.store.books import Books
from fulfil.store.shop import Shop


def hold_order(shop: Shop, number: str, reason: str, *, at: datetime, person: str) -> Order:
    """Holds an order, with its reason; nothing of it is checked, weighed or shipped until it goes on.

    Raises:
        StateRefused: when the order is shipped or cancelled, or the reason is empty.
    """
    with shop.writing() as books:
        order = books.need(Order, number)
        if order.state in (OrderState.SHIPPED, OrderState.CANCELLED):
            raise StateRefused("hold order", number, f"an order still in the house; this one is {order.state}")
        if not reason.strip():
            raise StateRefused("hold order", number, "a reason, for the one who finds it tomorrow")
        if not _is_released(books, number):
            books.remove(Allocation, order_number=number)
            books.remove(Bag, order_number=number)
        return _change(books, order, OrderState.HELD, reason, at, person)


def resume_order(shop: Shop, number: str, *, at: datetime, person: str) -> Order:
    """Lets a held order go on from where its bags are.

    Raises:
        StateRefused: when the order isn't held.
    """
    with shop.writing() as books:
        order = books.need(Order, number)
        if order.state is not OrderState.HELD:
            raise StateRefused("resume order", number, f"a held order; this one is {order.state}")
        bags = books.find(Bag, order_number=number)
        done = [bag.state in (BagState.PASSED, BagState.PACKED) for bag in bags]
        state = OrderState.RECEIVED
        if bags:
            state = OrderState.CHECKED if all(done) else OrderState.PICKED if any(done) else OrderState.RELEASED
        return _change(books, order, state, "", at, person)


def cancel_order(shop: Shop, number: str, reason: str, *, at: datetime, person: str) -> Order:
    """Cancels an order that is on no released walk; what was promised to it is free again.

    Raises:
        StateRefused: when the order is on a released walk, shipped or cancelled already, or the reason is empty.
    """
    with shop.writing() as books:
        order = books.need(Order, number)
        if order.state in (OrderState.SHIPPED, OrderState.CANCELLED) or _is_released(books, number):
            expected = f"an order that isn't on a cart yet; this one is {order.state}: hold it instead"
            raise StateRefused("cancel order", number, expected)
        if not reason.strip():
            raise StateRefused("cancel order", number, "a reason, for the one who finds it tomorrow")
        books.remove(Allocation, order_number=number)
        books.remove(Bag, order_number=number)
        return _change(books, order, OrderState.CANCELLED, reason, at, person)


def _is_released(books: Books, number: str) -> bool:
    walks = sorted({bag.walk_number for bag in books.find(Bag, order_number=number)})
    return any(walk.released_at is not None for walk in books.find(WalkRecord, number=walks))


def _change(books: Books, order: Order, state: OrderState, reason: str, at: datetime, person: str) -> Order:
    changed = order.model_copy(update={"state": state, "held_reason": reason})
    books.replace([changed])
    particulars = {"from": order.state, "reason": reason}
    books.journal(at=at, person=person, event=f"order {state}", subject=order.number, particulars=particulars)
    return changed
