"""Hold an order, let it go on, or cancel it, each with a reason in the journal.

Before its walk is released, an order gives back what was promised to it. Bags that are on paper stay where they are
while the order is held; when it is cancelled they are pulled (:mod:`fulfil.day.order_pull`), and a slip tells the
bench. Of an order that was sent in part, only the rest is cancelled.
"""

from dataclasses import dataclass
from datetime import datetime

from fulfil.day.allocating import forget_unreleased, kits_of, state_by_bags, wanted_pieces
from fulfil.day.order_pull import bags_here, pull_bags, unbox
from fulfil.errors import StateRefused
from fulfil.records.dispatch import Package
from fulfil.records.order import Order, OrderLine, OrderState
from fulfil.records.plan import Bag
from fulfil.records.pulled import PulledBag
from fulfil.store.books import Books
from fulfil.store.shop import Shop


@dataclass(frozen=True)
class Cancelled:
    """The order as it is now, and the bags to pull; where there are any, the bench needs the slip."""

    order: Order
    pulled: tuple[PulledBag, ...] = ()


def hold_order(shop: Shop, number: str, reason: str, *, at: datetime, person: str) -> Order:
    """Holds an order, with its reason; nothing of it is checked, weighed or shipped until it goes on.

    Raises:
        StateRefused: when the order is shipped or cancelled, or the reason is empty.
    """
    with shop.writing() as books:
        order = books.need(Order, number)
        if order.state in (OrderState.SHIPPED, OrderState.CANCELLED):
            raise StateRefused("hold order", number, f"an order still in the house; this one is {order.state}")
        _needs_reason("hold order", number, reason)
        forget_unreleased(books, [number])
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
        state = state_by_bags(books.find(Bag, order_number=number), books.find(Package, order_number=number))
        return _change(books, order, state, "", at, person, event="order resumed")


def cancel_order(shop: Shop, number: str, reason: str, *, at: datetime, person: str) -> Cancelled:
    """Cancels what was not sent of an order; what was promised is free again, bags on a cart are pulled.

    Raises:
        StateRefused: when the order is shipped or cancelled already, a package of it is sealed, or the reason is empty.
    """
    with shop.writing() as books:
        order = books.need(Order, number)
        if order.state in (OrderState.SHIPPED, OrderState.CANCELLED):
            raise StateRefused("cancel order", number, f"an order still in the house; this one is {order.state}")
        _needs_reason("cancel order", number, reason)
        unbox(books, order, "cancel order", at=at, person=person)
        forget_unreleased(books, [number])
        pulled = pull_bags(books, bags_here(books, order), reason, at=at, person=person)
        if not books.count(Bag, order_number=number):
            return Cancelled(_change(books, order, OrderState.CANCELLED, reason, at, person), tuple(pulled))
        _cancel_rest(books, order)
        return Cancelled(_change(books, order, OrderState.SHIPPED, "", at, person), tuple(pulled))


def _cancel_rest(books: Books, order: Order) -> None:
    """What was sent is sent; of each line the rest is wanted no more."""
    lines = books.find(OrderLine, order_number=order.number)
    rest = wanted_pieces(books, [(order, lines)], kits_of(books))
    changed = []
    for line in lines:
        cancelled = line.cancelled_pieces + rest[line.order_number, line.line_no]
        changed.append(line.model_copy(update={"cancelled_pieces": cancelled, "short_pieces": 0, "short_reason": ""}))
    books.replace(changed)


def _needs_reason(attempted: str, number: str, reason: str) -> None:
    if not reason.strip():
        raise StateRefused(attempted, number, "a reason, for the one who finds it tomorrow")


def _change(
    books: Books, order: Order, state: OrderState, reason: str, at: datetime, person: str, *, event: str = ""
) -> Order:
    changed = order.model_copy(update={"state": state, "held_reason": reason})
    books.replace([changed])
    particulars = {"from": order.state, "to": state, "reason": reason}
    books.journal(at=at, person=person, event=event or f"order {state}", subject=order.number, particulars=particulars)
    return changed
