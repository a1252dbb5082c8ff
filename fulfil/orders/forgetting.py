"""Forget customers: the personal data of orders that ended long ago is removed, what was sent stays counted.

Gone are name, company, street, city, post code, region, telephone, e-mail and the notes; number, country, service,
prices and pieces stay (Regulation (EU) 2016/679, article 5(1)(c) and (e): no more than is needed, no longer than is
needed). Names of returns and words of claims go with them.

Limits: closed manifests and their despatch advices are the shop's proof of the hand-over and stay as they were handed
over; how long local law has them kept is the shop's to know. A file of orders imported again would bring an address
back into a *conflict* only, never into the shop. Copies of the database and exported files are not reached from here.
"""

from dataclasses import dataclass
from datetime import datetime

from fulfil.records.despatch.claim import Claim
from fulfil.records.despatch.goods_back import ReturnNotice
from fulfil.records.happening import Happening
from fulfil.records.order import ENDED, Order
from fulfil.records.pieces import ENDED_PLACES, OwedBalance
from fulfil.records.revised import revised
from fulfil.store.books import Books
from fulfil.store.shop import Shop

FORGOTTEN = "(forgotten)"
_GONE = {
    "name": FORGOTTEN,
    "street": FORGOTTEN,
    "city": FORGOTTEN,
    "company": "",
    "post_code": "",
    "region": "",
    "phone": "",
    "email": "",
    "note_picker": "",
    "note_packer": "",
}


@dataclass(frozen=True)
class Forgotten:
    """The orders whose personal data is gone now, and those that are old enough but still owe pieces."""

    orders: tuple[str, ...]
    still_open: tuple[str, ...]


def forget_customers(shop: Shop, before: datetime, *, at: datetime, person: str) -> Forgotten:
    """Removes the personal data of ended orders received before a moment; asked again, nothing changes."""
    with shop.writing() as books:
        ended = books.between(Order, "received_at", None, before, state=ENDED)
        owing = _owing(books, [order.number for order in ended])
        gone = [order for order in ended if order.number not in owing and order.name != FORGOTTEN]
        books.replace([revised(order, _GONE) for order in gone])
        notices = [one for one in books.between(ReturnNotice, "received_at", None, before) if one.name != FORGOTTEN]
        books.replace([revised(one, {"name": FORGOTTEN}) for one in notices])
        claims = books.find(Claim, order_number=[order.number for order in gone])
        books.replace([revised(claim, {"says": ""}) for claim in claims])
        if gone or notices:
            particulars = {"orders": len(gone), "returns": len(notices), "before": before}
            books.journal(
                at=at, person=person, event=Happening.CUSTOMERS_FORGOTTEN, subject="orders", particulars=particulars
            )
    return Forgotten(tuple(order.number for order in gone), tuple(sorted(owing)))


def _owing(books: Books, numbers: list[str]) -> set[str]:
    owed = books.find(OwedBalance, order_number=numbers)
    return {one.order_number for one in owed if one.place not in ENDED_PLACES}
