"""A keyed order goes into the shop by the door of every order, and its draft is forgotten."""

from datetime import datetime

from fulfil.orders.importing import add_order
from fulfil.orders.keying.questions import Keyed
from fulfil.records.draft import Draft
from fulfil.records.finding import Finding
from fulfil.records.order import Order, OrderLine
from fulfil.shop.numbers import next_code_at
from fulfil.store.shop import Shop


def take_in(
    shop: Shop, keyed: Keyed, *, number: str, source: str, code: str, at: datetime, person: str
) -> tuple[str, list[Finding]]:
    """Takes the keyed order in and forgets its draft; gives its number, and findings where it wasn't taken.

    Raises:
        StoreRefused: the shop can't be written; the draft stays.
    """
    with shop.reading() as books:
        currency = books.settings().currency
    if not number:
        with shop.writing() as books:
            number = next_code_at(books, "T", at)
    order = Order.model_validate(
        {**keyed.values, "number": number, "source": source, "received_at": at, "currency": currency}
    )
    lines = [
        OrderLine(
            order_number=number,
            line_no=line_no,
            part_number=line.found.part.number,
            pieces=line.pieces,
            unit_price_minor=line.found.part.price_minor,
        )
        for line_no, line in enumerate(keyed.lines, start=1)
    ]
    findings = add_order(shop, order, lines, at=at, person=person)
    if not findings and code:
        with shop.writing() as books:
            books.remove(Draft, code=code)
    return number, findings
