"""A rush order goes now: onto a walk of its own, or onto a walk that has not left yet.

A walk has left when somebody has begun it, or a bag of it was checked. The papers of a walk that takes a rush order on
are void: it is planned and printed again under another number.
"""

from datetime import date, datetime

from fulfil.errors import StateRefused
from fulfil.orders.gates import must_owe
from fulfil.orders.moving import take_back_plan, withdraw_bags
from fulfil.records.happening import Happening
from fulfil.records.order import OrderState
from fulfil.records.pieces import UNPLANNED, OwedBalance
from fulfil.records.plan import Bag, BagState, WalkRecord
from fulfil.shop.told import Told
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from fulfil.walks.plan import plan_within
from fulfil.walks.times import whose_hands


def rush_order(
    shop: Shop, number: str, *, day: date, at: datetime, person: str, onto: str = "", is_preview: bool = False
) -> Told:
    """Plans what an order still wants by itself, or together with the orders of a walk that has not left.

    ``onto`` is the walk that takes it on; without it, the order gets a walk of its own. A preview only says what would
    be done.

    Raises:
        UnknownRefused: no such order or walk.
        StateRefused: the order is held or has nothing left to plan, or the walk has left.
    """
    with shop.writing(is_preview=is_preview) as books:
        order = must_owe(books, number, "rush order")
        if order.state is OrderState.HELD:
            raise StateRefused("rush order", number, f"an order that goes on; it is held: {order.held_reason}")
        if not any(one.place in UNPLANNED for one in books.find(OwedBalance, order_number=number)):
            raise StateRefused("rush order", number, "pieces that are on no walk yet; all of it is on paper")
        tells: list[str] = []
        orders = [number]
        if onto:
            tells, others = _take_in(books, onto, at=at, person=person)
            orders = sorted({number, *others})
        take_back_plan(books, orders, at=at, person=person)
        planned, _ = plan_within(books, day=day, at=at, person=person, only=orders)
        if not planned.walks:
            raise StateRefused("rush order", number, "at least one piece in stock; all that it wants is short")
        walks = tuple(walk.number for walk in planned.walks)
        particulars = {"walks": [*walks], "onto": onto}
        books.journal(at=at, person=person, event=Happening.ORDER_RUSHED, subject=number, particulars=particulars)
        tells += [f"Walk {walk} goes now: fulfil walks release {walk}." for walk in walks]
        if planned.short_lines:
            tells.append(f"{planned.short_lines} of its lines are short: fulfil shorts list.")
    return Told(tuple(tells), walks, number)


def _take_in(books: Books, walk_number: str, *, at: datetime, person: str) -> tuple[list[str], list[str]]:
    """Takes a walk that has not left back from paper; what to tell, and its orders."""
    walk = books.need(WalkRecord, walk_number)
    bags = books.find(Bag, walk_number=walk_number)
    hands = whose_hands(books, walk_number)
    if hands is not None or any(bag.state is not BagState.PLANNED for bag in bags):
        who = "bags of it were checked" if hands is None else f"{hands.person} has begun it"
        raise StateRefused("put a rush order onto walk", walk_number, f"one that has not left; {who}")
    tells = []
    if walk.released_at is not None:
        withdraw_bags(books, bags, at=at, person=person)
        tells = [f"Throw the papers and bag labels of walk {walk_number} away; they are void."]
    books.remove(Bag, code=[bag.code for bag in bags])
    books.remove(WalkRecord, number=walk_number)
    return tells, sorted({bag.order_number for bag in bags})
