"""A replacement for a claim: what the customer lacks goes out free of charge, as an order of its own.

Its number is that of the first order with R1, R2 … behind it; address, service and notes are the first order's, the
price is nothing. The claim keeps the number with its answer.
"""

from datetime import datetime

from fulfil.errors import StateRefused
from fulfil.records.despatch.claim import Claim
from fulfil.records.happening import Happening
from fulfil.records.order import Order, OrderLine
from fulfil.records.revised import revised
from fulfil.shop.told import Told
from fulfil.store.books import Books
from fulfil.store.shop import Shop


def replace_claim(shop: Shop, number: str, pieces: int, *, at: datetime, person: str, is_preview: bool = False) -> Told:
    """Makes the order that sends what a claim lacks.

    Raises:
        UnknownRefused: no such claim.
        StateRefused: it is settled, or no pieces, or more than were ordered.
    """
    with shop.writing(is_preview=is_preview) as books:
        claim = books.need(Claim, number)
        order = books.need(Order, claim.order_number)
        line = books.need(OrderLine, claim.order_number, claim.line_no)
        if claim.is_settled:
            raise StateRefused(
                "replace pieces for claim", number, f"an open claim; this one is answered: {claim.answer}"
            )
        if not 1 <= pieces <= line.pieces:
            raise StateRefused(f"replace pieces for claim {number}:", pieces, f"1 to {line.pieces} pieces, as ordered")
        made = _order(books, order, at)
        again = OrderLine(
            order_number=made.number, line_no=1, part_number=line.part_number, pieces=pieces, unit_price_minor=0
        )
        books.add_orders([(made, [again])])
        answer = f"{pieces} pieces go out with order {made.number}"
        books.replace([revised(claim, {"answer": answer})])
        particulars = {"lines": 1, "pieces": pieces, "source": made.source, "claim": number}
        books.journal(
            at=at, person=person, event=Happening.ORDER_RECEIVED, subject=made.number, particulars=particulars
        )
        settled = {"answer": answer}
        books.journal(at=at, person=person, event=Happening.CLAIM_SETTLED, subject=number, particulars=settled)
    return Told(
        (f"Order {made.number}: {pieces} of {line.part_number}, free of charge.", "Plan it: fulfil walks plan."),
        order_number=made.number,
    )


def _order(books: Books, first: Order, at: datetime) -> Order:
    """The next replacement of an order."""
    running = 1
    while books.get(Order, f"{first.number}-R{running}") is not None:
        running += 1
    given = {"number": f"{first.number}-R{running}", "source": "claim", "received_at": at, "held_reason": ""}
    return Order.model_validate(first.model_dump(exclude={"state"}) | given)
