"""Hold an order, let it go on, or cancel it, each with a reason in the journal.

Before its walk is released, an order gives back what was promised to it. Bags that are on paper stay where they are
while the order is held; when it is cancelled they are pulled (:mod:`fulfil.orders.pulling`), and a slip tells the
bench. Of an order that was sent in part, only the rest is cancelled.
"""

from dataclasses import dataclass
from datetime import datetime

from fulfil.errors import StateRefused
from fulfil.orders.gates import must_owe
from fulfil.orders.moving import cancel_open, end_with, hold, resume, take_back_plan
from fulfil.orders.pulling import bags_here, pull_bags
from fulfil.orders.replacing import open_claim_again
from fulfil.orders.unpacking import unbox
from fulfil.records.happening import Happening
from fulfil.records.order import Order, OrderState
from fulfil.records.pulled import PulledBag
from fulfil.store.books import Books
from fulfil.store.shop import Shop


@dataclass(frozen=True)
class Cancelled:
    """The order as it is now, and the bags to pull; where there are any, the bench needs the slip.

    ``tells`` are for whoever answers the customer.
    """

    order: Order
    pulled: tuple[PulledBag, ...] = ()
    tells: tuple[str, ...] = ()


def hold_order(shop: Shop, number: str, reason: str, *, at: datetime, person: str) -> Order:
    """Holds what is still owed of an order, with its reason; until it goes on, nothing of it is checked or shipped.

    Held again for the same reason, it is as it was, and nothing more is written down.

    Raises:
        StateRefused: when nothing of the order is owed any more, or the reason is empty.
    """
    with shop.writing() as books:
        order = must_owe(books, number, "hold order")
        _needs_reason("hold order", number, reason)
        held = hold(books, order, reason, at=at, person=person)
        if (held.state, held.held_reason) != (order.state, order.held_reason):
            _journal(books, Happening.ORDER_HELD, order, held, reason, at, person)
    return held


def resume_order(shop: Shop, number: str, *, at: datetime, person: str) -> Order:
    """Lets a held order go on from where its pieces are.

    Raises:
        StateRefused: when the order isn't held.
    """
    with shop.writing() as books:
        order = books.need(Order, number)
        if order.state is not OrderState.HELD:
            raise StateRefused("resume order", number, f"a held order; this one is {order.state}")
        going_on = resume(books, order, at=at, person=person)
        _journal(books, Happening.ORDER_RESUMED, order, going_on, "", at, person)
    return going_on


def cancel_order(shop: Shop, number: str, reason: str, *, at: datetime, person: str) -> Cancelled:
    """Cancels what is still owed of an order; what was promised is free again, bags on a cart are pulled.

    Raises:
        StateRefused: when nothing is owed any more, a package of it is sealed, or the reason is empty.
    """
    with shop.writing() as books:
        order = must_owe(books, number, "cancel order")
        _needs_reason("cancel order", number, reason)
        unbox(books, order, "cancel order", at=at, person=person)
        take_back_plan(books, [number], at=at, person=person)
        pulled = pull_bags(books, bags_here(books, order), reason, at=at, person=person)
        cancel_open(books, number, reason, at=at, person=person)
        ended = end_with(books, number, reason)
        is_whole = ended.state is OrderState.CANCELLED
        event = Happening.ORDER_CANCELLED if is_whole else Happening.ORDER_REST_CANCELLED
        _journal(books, event, order, ended, reason, at, person)
        tells = open_claim_again(books, ended, reason, at=at, person=person)
    return Cancelled(ended, tuple(pulled), tells)


def _needs_reason(attempted: str, number: str, reason: str) -> None:
    if not reason.strip():
        raise StateRefused(attempted, number, "a reason, for the one who finds it tomorrow")


def _journal(books: Books, event: Happening, was: Order, now: Order, reason: str, at: datetime, person: str) -> None:
    particulars = {"from": was.state, "to": now.state, "reason": reason}
    books.journal(at=at, person=person, event=event, subject=was.number, particulars=particulars)
