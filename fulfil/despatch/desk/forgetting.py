"""Forget customers: the personal data of orders that ended long ago is removed, what was sent stays counted.

Gone are name, company, street, city, post code, region, telephone, e-mail, notes and every text that somebody typed
about the order; number, country, service, prices and pieces stay (Regulation (EU) 2016/679, article 5(1)(c) and (e): no
more than is needed, no longer than is needed). With them go the names of returns, the words of claims, keyed orders
that were left lying, and what the kept papers say of the customer: a manifest printed again names its packages, not
its people. From recorded rows it is *erased*: the chain over the record holds (:mod:`fulfil.store.safe.erasing`).

Limits: how long local law has papers kept is the shop's to know. A file of orders imported again would bring an address
back into a *conflict* only, never into the shop. Backups, archives and files that were printed or exported before are
not reached from here; ``orders forget`` names them.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from fulfil.despatch.desk.forgotten_papers import FORGOTTEN, forget_in_papers
from fulfil.despatch.desk.forgotten_texts import forget_in_texts
from fulfil.records.bench import StationAnswer
from fulfil.records.despatch.claim import Claim
from fulfil.records.despatch.customs import CustomsParticulars
from fulfil.records.despatch.dispatch import Package
from fulfil.records.despatch.goods_back import ReturnNotice
from fulfil.records.draft import Draft
from fulfil.records.happening import Happening
from fulfil.records.order import ENDED, Order
from fulfil.records.pieces import ENDED_PLACES, OwedBalance
from fulfil.records.pulled import PulledBag
from fulfil.records.revised import revised
from fulfil.shop.drafts import START
from fulfil.store.books import Books
from fulfil.store.safe.erasing import ERASABLE
from fulfil.store.shop import Shop

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
    "held_reason": "",
}
_PARTICULARS = {"importer_reference": "", "sender_reference": "", "comment": ""}


@dataclass(frozen=True)
class Forgotten:
    """The orders whose personal data is gone now, and those that are old enough but still owe pieces.

    ``is_cleared`` says that nothing of it is left in unused pages of the database either; ``photos`` are the paths of
    their packages' pictures, for a person to remove.
    """

    orders: tuple[str, ...]
    still_open: tuple[str, ...]
    is_cleared: bool = True
    photos: tuple[str, ...] = ()


def forget_customers(shop: Shop, before: datetime, *, at: datetime, person: str) -> Forgotten:
    """Removes the personal data of ended orders received before a moment; asked again, nothing changes."""
    with shop.writing() as books:
        ended = books.between(Order, "received_at", None, before, state=ENDED)
        owing = _owing(books, [order.number for order in ended])
        gone = [order for order in ended if order.number not in owing and order.name != FORGOTTEN]
        numbers = [order.number for order in gone]
        notices = [one for one in books.between(ReturnNotice, "received_at", None, before) if one.name != FORGOTTEN]
        photos = sorted({one.photo_path for one in books.find(Package, order_number=numbers) if one.photo_path})
        forget_in_texts(books, gone, [one.number for one in notices], at=at, person=person)
        books.replace([revised(order, _GONE) for order in gone])
        forget_in_papers(books, numbers, at=at, person=person)
        books.replace([revised(one, {"name": FORGOTTEN}) for one in notices])
        _records(books, numbers)
        _left_lying(books, before)
        if gone or notices:
            particulars = {"orders": len(gone), "returns": len(notices), "before": before}
            books.journal(
                at=at, person=person, event=Happening.CUSTOMERS_FORGOTTEN, subject="orders", particulars=particulars
            )
    is_cleared = shop.clear_pages((*_HELD_IN, *ERASABLE))
    return Forgotten(tuple(numbers), tuple(sorted(owing)), is_cleared, tuple(photos))


_HELD_IN = ("customer_order", "return_notice", "claim", "customs_particulars", "pulled_bag", "draft", "station_answer")
"""Tables besides the recorded ones from which personal data is removed."""


def _records(books: Books, numbers: Sequence[str]) -> None:
    """What other records say of these orders."""
    claims = books.find(Claim, order_number=numbers)
    books.replace([revised(one, {"says": "", "answer": FORGOTTEN if one.answer else ""}) for one in claims])
    told = ((CustomsParticulars, _PARTICULARS), (PulledBag, {"reason": FORGOTTEN}))
    for kind, now in told:
        books.replace([revised(one, now) for one in books.find(kind, order_number=numbers)])


def _left_lying(books: Books, before: datetime) -> None:
    """Orders that were being keyed and what tablets were answered, from before."""
    for draft in books.between(Draft, "at", None, before):
        if draft.code != START:
            books.remove(Draft, code=draft.code)
    for one in books.between(StationAnswer, "at", None, before):
        books.remove(StationAnswer, station=one.station, key=one.key)


def _owing(books: Books, numbers: list[str]) -> set[str]:
    owed = books.find(OwedBalance, order_number=numbers)
    return {one.order_number for one in owed if one.place not in ENDED_PLACES}
