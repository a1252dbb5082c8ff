"""A replacement for a claim: what the customer lacks goes out free of charge, as an order of its own.

Its number is that of the first order with R1, R2 … behind it; address, service and notes are the first order's, the
price is nothing. The claim keeps the number with its answer; when that order is cancelled whole, the customer still
lacks the pieces, and the claim is open again.
"""

import json
from datetime import datetime

from fulfil.errors import StateRefused
from fulfil.records.despatch.claim import Claim
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.happening import Happening
from fulfil.records.order import Order, OrderLine, OrderState
from fulfil.records.revised import revised
from fulfil.shop.told import Told
from fulfil.store.books import Books
from fulfil.store.shop import Shop

SOURCE = "claim"
"""Where a replacement comes from."""


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


def open_claim_again(books: Books, ended: Order, reason: str, *, at: datetime, person: str) -> tuple[str, ...]:
    """Opens the claim that a replacement answered when it was cancelled whole, and says so; else nothing."""
    if ended.source != SOURCE or ended.state is not OrderState.CANCELLED:
        return ()
    received = books.find(JournalEntry, subject=ended.number, event=Happening.ORDER_RECEIVED)
    answered = {json.loads(one.particulars).get("claim") for one in received}
    claims = [one for one in books.find(Claim, number=sorted(filter(None, answered))) if one.is_settled]
    for claim in claims:
        books.replace([revised(claim, {"answer": ""})])
        particulars = {"order": ended.number, "reason": reason}
        books.journal(
            at=at, person=person, event=Happening.CLAIM_OPEN_AGAIN, subject=claim.number, particulars=particulars
        )
    return tuple(f"Claim {one.number} is open again; fulfil claims list --open shows it." for one in claims)


def _order(books: Books, first: Order, at: datetime) -> Order:
    """The next replacement of an order."""
    running = 1
    while books.get(Order, f"{first.number}-R{running}") is not None:
        running += 1
    given = {"number": f"{first.number}-R{running}", "source": SOURCE, "received_at": at, "held_reason": ""}
    return Order.model_validate(first.model_dump(exclude={"state"}) | given)
